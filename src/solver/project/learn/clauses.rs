//! Learned clauses: of the statements in each, at least one must hold.

use super::domains::Domains;
use super::domains::Fact;
use super::domains::Reason;

/// A watch: look at the clause when the bound of its side reaches `value`.
#[derive(Debug, Clone, Copy)]
struct Watch {
    value: i64,
    clause: usize,
}

#[derive(Debug, Clone)]
struct Clause {
    facts: Vec<Fact>,
    worth: f64,
}

/// All clauses, watched by their first two statements.
#[derive(Debug, Clone)]
pub(super) struct Clauses {
    all: Vec<Clause>,
    watches: Vec<Vec<Watch>>,
    step: f64,
}

impl Clauses {
    pub(super) fn new(sides: usize) -> Self {
        Self {
            all: Vec::new(),
            watches: vec![Vec::new(); sides],
            step: 1.0,
        }
    }

    pub(super) fn len(&self) -> usize {
        self.all.len()
    }

    /// Adds a clause of two statements or more; the first must be the one to assert, the second the last made false.
    pub(super) fn add(&mut self, facts: Vec<Fact>) -> usize {
        let index = self.all.len();
        self.all.push(Clause {
            facts,
            worth: self.step,
        });
        self.watch(index);
        index
    }

    fn watch(&mut self, index: usize) {
        for fact in self.all[index].facts.iter().take(2) {
            let opposite = fact.opposite();
            self.watches[opposite.side].push(Watch {
                value: opposite.value,
                clause: index,
            });
        }
    }

    /// The statements that were false when the clause asserted its first.
    pub(super) fn others(&self, index: usize) -> &[Fact] {
        self.all[index].facts.get(1..).unwrap_or(&[])
    }

    pub(super) fn facts(&self, index: usize) -> &[Fact] {
        &self.all[index].facts
    }

    /// Notes that a clause took part in a dead end.
    pub(super) fn reward(&mut self, index: usize) {
        self.all[index].worth += self.step;
    }

    /// Makes later rewards count more than earlier ones.
    pub(super) fn age(&mut self) {
        self.step *= 1.001;
        if self.step > 1e100 {
            self.step *= 1e-100;
            for clause in &mut self.all {
                clause.worth *= 1e-100;
            }
        }
    }

    /// Forgets the less useful half of the long clauses; only before any decision, when no clause is a reason.
    pub(super) fn forget(&mut self) {
        let mut worths: Vec<f64> = self.all.iter().map(|clause| clause.worth).collect();
        worths.sort_unstable_by(f64::total_cmp);
        let middle = worths.get(worths.len() / 2).copied().unwrap_or(0.0);
        self.all
            .retain(|clause| clause.facts.len() <= 2 || clause.worth > middle);
        for list in &mut self.watches {
            list.clear();
        }
        for index in 0..self.all.len() {
            self.watch(index);
        }
    }

    /// Acts on a bound that moved from `old` to `new`; returns a clause that can no longer be kept.
    pub(super) fn propagate(
        &mut self,
        domains: &mut Domains,
        side: usize,
        old: i64,
        new: i64,
    ) -> Option<usize> {
        let mut list = std::mem::take(&mut self.watches[side]);
        let mut kept = 0;
        let mut broken = None;
        for at in 0..list.len() {
            let watch = list[at];
            let stays = broken.is_some()
                || watch.value <= old
                || watch.value > new
                || self.visit(domains, watch, side, &mut broken);
            if stays {
                list[kept] = watch;
                kept += 1;
            }
        }
        list.truncate(kept);
        list.append(&mut self.watches[side]);
        self.watches[side] = list;
        broken
    }

    /// Looks for another statement to watch; says whether the watch stays.
    fn visit(
        &mut self,
        domains: &mut Domains,
        watch: Watch,
        side: usize,
        broken: &mut Option<usize>,
    ) -> bool {
        let facts = &mut self.all[watch.clause].facts;
        let fallen = Fact {
            side,
            value: watch.value,
        }
        .opposite();
        if facts[0] == fallen {
            facts.swap(0, 1);
        }
        let first = facts[0];
        if domains.holds(first) {
            return true;
        }
        for at in 2..facts.len() {
            if !domains.is_false(facts[at]) {
                facts.swap(1, at);
                let opposite = facts[1].opposite();
                self.watches[opposite.side].push(Watch {
                    value: opposite.value,
                    clause: watch.clause,
                });
                return false;
            }
        }
        if domains.is_false(first) {
            *broken = Some(watch.clause);
        } else {
            domains.narrow(first, Reason::Clause(watch.clause));
        }
        true
    }
}
