//! The best cuts for the last few pieces, by trying all of them.

use crate::solver::packing::effort::Effort;
use crate::solver::packing::job::Cuts;
use crate::solver::packing::job::Job;
use crate::solver::packing::job::Pattern;

/// Pieces up to which all cuts are tried.
const PIECES: u64 = 14;
/// Fills after which the search settles for the best it has.
const FILLS: u64 = 4_000;

/// The cheapest cuts, with the fewest bars, of a job of few pieces; `None` if there are more or no way was found.
pub(super) fn cut_tail(job: &Job, effort: &mut Effort<'_>) -> Option<Cuts> {
    if job.pieces() > PIECES {
        return None;
    }
    let mut kinds: Vec<usize> = (0..job.kinds.len()).collect();
    kinds.sort_by_key(|k| (job.kinds[*k].cost, job.kinds[*k].length));
    let mut tail = Tail {
        left: job.clone(),
        kinds,
        chosen: Vec::new(),
        best: None,
        fills: 0,
    };
    tail.next_bar((0, 0));
    effort.spend(tail.fills * 10);
    tail.best
        .map(|(_, chosen)| chosen.into_iter().map(|pattern| (pattern, 1)).collect())
}

struct Tail {
    left: Job,
    kinds: Vec<usize>,
    chosen: Vec<Pattern>,
    best: Option<((u128, u64), Vec<Pattern>)>,
    fills: u64,
}

impl Tail {
    /// The longest piece that is left goes on some bar: tries each kind.
    fn next_bar(&mut self, cost: (u128, u64)) {
        let Some(first) = self.left.demand.iter().position(|n| *n > 0) else {
            if self.best.as_ref().is_none_or(|best| cost < best.0) {
                self.best = Some((cost, self.chosen.clone()));
            }
            return;
        };
        for k in self.kinds.clone() {
            let kind = self.left.kinds[k].clone();
            let dearer = (cost.0 + u128::from(kind.cost), cost.1 + 1);
            let hopeless = self.best.as_ref().is_some_and(|best| dearer >= best.0);
            if hopeless || kind.supply == Some(0) || kind.length < self.left.lengths[first] {
                continue;
            }
            self.left.kinds[k].supply = kind.supply.map(|supply| supply - 1);
            let mut pattern = Pattern {
                kind: k,
                items: Vec::new(),
            };
            self.fill(&mut pattern, (first, 1), kind.length, dearer);
            self.left.kinds[k].supply = kind.supply;
        }
    }

    /// Tries every count of length `i` from `least` on the bar, most first, then the shorter ones.
    fn fill(
        &mut self,
        pattern: &mut Pattern,
        (i, least): (usize, u64),
        room: u64,
        cost: (u128, u64),
    ) {
        if self.fills >= FILLS {
            return;
        }
        let Some(&length) = self.left.lengths.get(i) else {
            self.fills += 1;
            if !self.could_hold_more(room) {
                self.chosen.push(pattern.clone());
                self.next_bar(cost);
                self.chosen.pop();
            }
            return;
        };
        let most = self.left.demand[i].min(room / length);
        for n in (least..=most).rev() {
            self.left.demand[i] -= n;
            if n > 0 {
                pattern.items.push((i, n));
            }
            self.fill(pattern, (i + 1, 0), room - n * length, cost);
            if n > 0 {
                pattern.items.pop();
            }
            self.left.demand[i] += n;
        }
    }

    /// Whether a piece that is left would still fit; then the bar with it is no worse.
    fn could_hold_more(&self, room: u64) -> bool {
        self.left
            .lengths
            .iter()
            .zip(&self.left.demand)
            .any(|(length, n)| *n > 0 && *length <= room)
    }
}
