//! From a dead end back to the decision behind it: the first single reason at the deepest level.

use super::clauses::Clauses;
use super::domains::Domains;
use super::domains::Fact;
use super::domains::Reason;

/// What a dead end teaches.
#[derive(Debug)]
pub(super) struct Lesson {
    /// The clause: its first statement is to be asserted, its second fell last.
    pub(super) facts: Vec<Fact>,
    /// The level to go back to.
    pub(super) level: usize,
}

/// Work space of the analysis.
#[derive(Debug, Clone)]
pub(super) struct Analysis {
    /// The strongest statement needed of every side and the step that made it true.
    needed: Vec<Option<(i64, usize)>>,
    touched: Vec<usize>,
    /// How many needed statements were made true at the deepest level.
    open: usize,
}

impl Analysis {
    pub(super) fn new(sides: usize) -> Self {
        Self {
            needed: vec![None; sides],
            touched: Vec::new(),
            open: 0,
        }
    }

    /// Resolves statements that cannot all hold; nothing if they contradict without any decision.
    ///
    /// `seen` is told every side that took part.
    pub(super) fn learn(
        &mut self,
        domains: &Domains,
        clauses: &mut Clauses,
        broken: &[Fact],
        mut seen: impl FnMut(usize),
    ) -> Option<Lesson> {
        let deepest = broken
            .iter()
            .filter_map(|&fact| domains.made_by(fact, usize::MAX))
            .map(|step| domains.steps[step].level)
            .max()
            .unwrap_or(0);
        if deepest == 0 {
            return None;
        }
        for &fact in broken {
            self.need(domains, fact, usize::MAX, deepest);
        }
        let mut at = domains.steps.len();
        let top = loop {
            at -= 1;
            let step = domains.steps[at];
            let Some((value, made)) = self.needed[step.side] else {
                continue;
            };
            if made != at {
                continue;
            }
            seen(step.side);
            if self.open == 1 {
                break Fact {
                    side: step.side,
                    value,
                };
            }
            self.needed[step.side] = None;
            self.open -= 1;
            self.explain(domains, clauses, at, value, deepest);
        };
        Some(self.finish(domains, top))
    }

    /// Replaces a statement by those it follows from.
    fn explain(
        &mut self,
        domains: &Domains,
        clauses: &mut Clauses,
        at: usize,
        value: i64,
        deepest: usize,
    ) {
        match domains.steps[at].reason {
            Reason::Choice => {}
            Reason::Lag { side, gap } => self.need(
                domains,
                Fact {
                    side,
                    value: value - gap,
                },
                at,
                deepest,
            ),
            Reason::Order { decided, side, gap } => {
                self.need(domains, decided, at, deepest);
                self.need(
                    domains,
                    Fact {
                        side,
                        value: value - gap,
                    },
                    at,
                    deepest,
                );
            }
            Reason::Clause(index) => {
                clauses.reward(index);
                for fact in clauses.others(index) {
                    self.need(domains, fact.opposite(), at, deepest);
                }
            }
            Reason::Stored { first, count } => {
                for &fact in &domains.stored[first..first + count] {
                    self.need(domains, fact, at, deepest);
                }
            }
        }
    }

    fn need(&mut self, domains: &Domains, fact: Fact, limit: usize, deepest: usize) {
        if self.needed[fact.side].is_some_and(|(value, _)| value >= fact.value) {
            return;
        }
        let Some(made) = domains.made_by(fact, limit) else {
            return;
        };
        let level = domains.steps[made].level;
        if level == 0 {
            return;
        }
        if let Some((_, before)) = self.needed[fact.side].replace((fact.value, made)) {
            self.open -= usize::from(domains.steps[before].level == deepest);
        }
        self.touched.push(fact.side);
        self.open += usize::from(level == deepest);
    }

    /// Turns what is still needed into a clause.
    fn finish(&mut self, domains: &Domains, top: Fact) -> Lesson {
        let mut facts = vec![top.opposite()];
        self.needed[top.side] = None;
        let mut last: Option<(usize, usize)> = None;
        for side in self.touched.drain(..) {
            let Some((value, made)) = self.needed[side].take() else {
                continue;
            };
            let level = domains.steps[made].level;
            if last.is_none_or(|(deepest, _)| level > deepest) {
                last = Some((level, facts.len()));
            }
            facts.push(Fact { side, value }.opposite());
        }
        self.open = 0;
        let level = last.map_or(0, |(level, position)| {
            facts.swap(1, position);
            level
        });
        Lesson { facts, level }
    }
}
