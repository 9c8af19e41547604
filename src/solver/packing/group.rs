//! Pieces of equal length taken together, and cuts handed back to single pieces.

use std::collections::BTreeMap;
use std::collections::VecDeque;

use crate::solver::packing::job::Cuts;
use crate::solver::packing::job::Job;

/// Pieces by length.
#[derive(Debug, Default)]
pub(super) struct Groups {
    /// Distinct lengths, longest first.
    pub(super) lengths: Vec<u64>,
    /// How many of each.
    pub(super) demand: Vec<u64>,
    /// The pieces of each length: (index, count).
    members: Vec<Vec<(usize, u64)>>,
    /// Pieces of no length.
    pub(super) nothing: Vec<(usize, u64)>,
    /// Pieces longer than `longest`.
    pub(super) too_long: Vec<(usize, u64)>,
}

/// Groups (length, count) pieces.
pub(super) fn group(pieces: impl Iterator<Item = (u64, u64)>, longest: u64) -> Groups {
    let mut by_length: BTreeMap<u64, Vec<(usize, u64)>> = BTreeMap::new();
    let mut groups = Groups::default();
    for (i, (length, count)) in pieces.enumerate().filter(|piece| piece.1.1 > 0) {
        if length > longest {
            groups.too_long.push((i, count));
        } else if length == 0 {
            groups.nothing.push((i, count));
        } else {
            by_length.entry(length).or_default().push((i, count));
        }
    }
    for (length, members) in by_length.into_iter().rev() {
        groups.lengths.push(length);
        groups.demand.push(
            members
                .iter()
                .map(|piece| piece.1)
                .fold(0, u64::saturating_add),
        );
        groups.members.push(members);
    }
    groups
}

/// Cuts by length as cuts by piece: the pieces of each, and how many bars are cut so.
///
/// Keeps the order of `cuts`; one cut becomes several where its pieces change along the way.
pub(super) fn hand_out(job: &Job, groups: &Groups, cuts: &Cuts) -> Vec<Handed> {
    let mut queues: Vec<VecDeque<(usize, u64)>> = groups
        .members
        .iter()
        .map(|members| members.iter().copied().collect())
        .collect();
    let mut handed = Vec::new();
    for (pattern, times) in cuts {
        let mut more = *times;
        let left = job.kinds[pattern.kind]
            .length
            .saturating_sub(job.used(pattern));
        while more > 0 {
            let repeats = pattern
                .items
                .iter()
                .map(|&(i, n)| same_again(&queues[i], n))
                .fold(more, u64::min);
            let mut pieces = Vec::new();
            for &(i, n) in &pattern.items {
                take(&mut queues[i], n, repeats, &mut pieces);
            }
            handed.push(Handed {
                kind: pattern.kind,
                pieces,
                times: repeats,
                left,
            });
            more -= repeats;
        }
    }
    handed
}

/// A cut in terms of pieces.
#[derive(Debug)]
pub(super) struct Handed {
    pub(super) kind: usize,
    pub(super) pieces: Vec<usize>,
    pub(super) times: u64,
    /// What is left of each bar.
    pub(super) left: u64,
}

/// The pieces that no cut holds.
pub(super) fn left_over(groups: &Groups, cuts: &Cuts) -> Vec<(usize, u64)> {
    let mut cut = vec![0_u64; groups.lengths.len()];
    for (pattern, times) in cuts {
        for &(i, n) in &pattern.items {
            cut[i] += n * times;
        }
    }
    let mut over = Vec::new();
    for (members, mut cut) in groups.members.iter().zip(cut) {
        for &(i, count) in members {
            let placed = cut.min(count);
            cut -= placed;
            if placed < count {
                over.push((i, count - placed));
            }
        }
    }
    over
}

/// How many bars in a row can take `n` pieces from the head of the queue alone; at least one.
fn same_again(queue: &VecDeque<(usize, u64)>, n: u64) -> u64 {
    queue
        .front()
        .map_or(1, |head| head.1.checked_div(n).unwrap_or(1))
        .max(1)
}

fn take(queue: &mut VecDeque<(usize, u64)>, n: u64, repeats: u64, pieces: &mut Vec<usize>) {
    let mut wanted = n;
    while let Some(head) = queue.front_mut().filter(|_| wanted > 0) {
        let taken = wanted.min(head.1);
        pieces.extend((0..taken).map(|_| head.0));
        head.1 -= if taken == n { n * repeats } else { taken };
        wanted -= taken;
        if head.1 == 0 {
            queue.pop_front();
        }
    }
}
