//! First fit for many pieces: an index over the open sheets answers where a piece may go.

use crate::solver::cutting::insert::Fit;
use crate::solver::cutting::insert::best_spot;
use crate::solver::cutting::job::Job;
use crate::solver::cutting::job::Sheet;
use crate::solver::cutting::openings::Openings;
use crate::solver::cutting::order::Order;
use crate::solver::cutting::tree::Free;
use crate::solver::cutting::tree::Laid;
use crate::solver::packing::Effort;

/// Sheets that look as if they would hold a piece but do not, before a new one is opened.
const TRIES: usize = 48;

/// Lays out `counts` of the parts, each on the first sheet that holds it; what no sheet can hold comes back.
pub(super) fn first_fit(
    job: &Job,
    counts: &[u64],
    order: Order,
    fit: Fit,
    openings: &mut Openings,
    effort: &mut Effort<'_>,
) -> (Vec<Sheet>, Vec<(u32, u64)>) {
    let mut numbers: Vec<u32> = (0_u32..)
        .zip(counts)
        .filter(|(_, count)| **count > 0)
        .map(|(n, _)| n)
        .collect();
    order.sort(&job.parts, &mut numbers);
    let mut sheets: Vec<Sheet> = Vec::new();
    let mut index = Index::default();
    let mut over = Vec::new();
    for n in numbers {
        // A sheet that does not hold a part now never will: equal parts look on from where the last one went.
        let mut from = 0;
        for done in 0..counts[n as usize] {
            match put(job, n, fit, &mut sheets, &mut index, from, effort) {
                Some(sheet) => from = sheet,
                None if open(job, n, fit, &mut sheets, openings) => {
                    from = sheets.len() - 1;
                    index.set(from, sheets[from].tree.free);
                }
                None => {
                    over.push((n, counts[n as usize] - done));
                    break;
                }
            }
        }
    }
    (sheets, over)
}

fn put(
    job: &Job,
    n: u32,
    fit: Fit,
    sheets: &mut [Sheet],
    index: &mut Index,
    from: usize,
    effort: &mut Effort<'_>,
) -> Option<usize> {
    let ways = job.part(n).ways(n);
    let mut at = from;
    for _ in 0..TRIES {
        let next = ways.iter().filter_map(|laid| index.next(at, laid)).min()?;
        let tree = &mut sheets[next].tree;
        effort.spend(tree.nodes() as u64);
        if let Some((_, spot, laid)) = best_spot(tree, &ways, fit) {
            tree.insert(spot, laid);
            index.set(next, tree.free);
            return Some(next);
        }
        at = next + 1;
    }
    None
}

fn open(job: &Job, n: u32, fit: Fit, sheets: &mut Vec<Sheet>, openings: &mut Openings) -> bool {
    let Some(mut sheet) = openings.open(job, n) else {
        return false;
    };
    if let Some((_, spot, laid)) = best_spot(&sheet.tree, &job.part(n).ways(n), fit) {
        sheet.tree.insert(spot, laid);
    }
    sheets.push(sheet);
    true
}

/// Nodes of the index that one question may look at.
const LOOKS: u32 = 1_000;

/// A tree of what is free at most, over the sheets in order.
#[derive(Debug, Default)]
struct Index {
    leaves: usize,
    most: Vec<Free>,
}

impl Index {
    fn set(&mut self, at: usize, free: Free) {
        if at >= self.leaves {
            self.widen(at + 1);
        }
        let mut node = self.leaves + at;
        self.most[node] = free;
        while node > 1 {
            node /= 2;
            self.most[node] = self.most[2 * node].greatest(self.most[2 * node + 1]);
        }
    }

    fn widen(&mut self, leaves: usize) {
        let wider = leaves.next_power_of_two().max(64);
        let mut most = vec![Free::default(); 2 * wider];
        most[wider..wider + self.leaves].copy_from_slice(&self.most[self.leaves..]);
        for node in (1..wider).rev() {
            most[node] = most[2 * node].greatest(most[2 * node + 1]);
        }
        (self.leaves, self.most) = (wider, most);
    }

    /// The first sheet from `at` on that may hold the piece; gives up after many looks.
    fn next(&self, at: usize, laid: Laid) -> Option<usize> {
        let mut looks = LOOKS;
        self.find(1, (0, self.leaves), (at, laid), &mut looks)
    }

    fn find(
        &self,
        node: usize,
        (start, span): (usize, usize),
        (at, laid): (usize, Laid),
        looks: &mut u32,
    ) -> Option<usize> {
        *looks = looks.saturating_sub(1);
        let holds = self.most.get(node).is_some_and(|most| most.may_hold(laid));
        if !holds || start + span <= at || *looks == 0 {
            return None;
        }
        if span == 1 {
            return Some(start);
        }
        let half = span / 2;
        let left = self.find(2 * node, (start, half), (at, laid), looks);
        left.or_else(|| self.find(2 * node + 1, (start + half, half), (at, laid), looks))
    }
}
