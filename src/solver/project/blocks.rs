//! A first plan under longest lags: what is tied together is planned on its own and then moved as one block.
//!
//! Activities that hold each other, directly or through others, form a block; between blocks there are only least lags,
//! so a block can wait as long as it must. There is a plan of the whole exactly if every block has one.
//!
//! # Sources
//! Neumann & Zhan, *Heuristics for the minimum project-duration problem with minimal and maximal time lags under fixed
//! resource constraints*, Journal of Intelligent Manufacturing 6 (1995) 145–154 (cycle structures first; from memory).

use super::distances::Distances;
use super::learn::Ending;
use super::learn::Prover;
use super::network::to_size;
use super::problem::Lag;
use super::problem::Problem;
use super::profile::Lanes;
use super::profile::Profile;

/// Dead ends a block may take.
const DEAD_ENDS: u64 = 5000;

/// What planning all blocks came to.
#[derive(Debug)]
pub(super) enum Blocks {
    /// The starts of a plan.
    Plan(Vec<usize>),
    /// A block has no plan, so there is none of the whole.
    Impossible,
    /// A block took too many dead ends.
    Unknown,
}

/// Activities with their starts within the block.
#[derive(Debug, Clone)]
struct Block {
    members: Vec<(usize, usize)>,
}

/// Plans every block and places one after another; `count` is told the dead ends, which may come to `most`.
pub(super) fn plan(
    problem: &Problem,
    distances: &Distances,
    most: u64,
    count: &mut u64,
    stop: &mut dyn FnMut() -> bool,
) -> Blocks {
    let mut blocks = Vec::new();
    for members in tied(problem, distances) {
        match planned(problem, distances, &members, most, count, stop) {
            Ok(block) => blocks.push(block),
            Err(Ending::Proved) => return Blocks::Impossible,
            Err(Ending::Stopped) => return Blocks::Unknown,
        }
    }
    Blocks::Plan(placed(problem, distances, blocks))
}

/// Groups activities that hold each other.
fn tied(problem: &Problem, distances: &Distances) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for activity in 0..problem.activities().len() {
        let own = groups
            .iter_mut()
            .find(|group| distances.are_tied(group[0], activity));
        match own {
            Some(group) => group.push(activity),
            None => groups.push(vec![activity]),
        }
    }
    groups
}

fn planned(
    problem: &Problem,
    distances: &Distances,
    members: &[usize],
    most: u64,
    count: &mut u64,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Block, Ending> {
    if let [activity] = *members {
        return Ok(Block {
            members: vec![(activity, 0)],
        });
    }
    let mut lags = Vec::new();
    for (from, &activity) in members.iter().enumerate() {
        for (to, &other) in members.iter().enumerate() {
            if from != to {
                let least = distances.from(activity)[other];
                lags.push(Lag {
                    from,
                    to,
                    least,
                    most: None,
                });
            }
        }
    }
    let own = members.iter().map(|&one| problem.activities()[one].clone());
    let Ok(alone) = Problem::new(problem.capacities().to_vec(), own.collect(), lags) else {
        return Err(Ending::Stopped);
    };
    let mut prover = Prover::new(&alone, alone.length());
    let ending = prover.search(DEAD_ENDS.min(most.saturating_sub(*count)), stop);
    *count += prover.effort;
    let starts = prover.best.ok_or(ending)?;
    let starts = starts.into_iter().map(to_size);
    Ok(Block {
        members: members.iter().copied().zip(starts).collect(),
    })
}

/// Places blocks as early as they can be, longest way to the end first among those that may follow.
fn placed(problem: &Problem, distances: &Distances, blocks: Vec<Block>) -> Vec<usize> {
    let count = problem.activities().len();
    let durations: Vec<usize> = problem
        .activities()
        .iter()
        .map(|one| to_size(one.duration))
        .collect();
    let mut profile = Profile::new(Lanes::new(problem), to_size(problem.length()));
    let mut earliest = vec![0_i64; count];
    let mut starts = vec![0; count];
    for block in in_order(distances, blocks) {
        let least = block
            .members
            .iter()
            .map(|&(activity, own)| to_size(earliest[activity].max(0)).saturating_sub(own));
        let mut start = least.max().unwrap_or(0);
        while let Some(later) = taken(&mut profile, &durations, &block, start) {
            start = later;
        }
        for &(activity, own) in &block.members {
            starts[activity] = start + own;
            let time = i64::try_from(start + own).unwrap_or(i64::MAX / 2);
            for (earliest, &way) in earliest.iter_mut().zip(distances.from(activity)) {
                *earliest = (*earliest).max(time + way);
            }
        }
    }
    starts
}

/// Takes what a block needs from `start` on; or takes nothing and returns a later start to try.
fn taken(profile: &mut Profile, durations: &[usize], block: &Block, start: usize) -> Option<usize> {
    for (at, &(activity, own)) in block.members.iter().enumerate() {
        let duration = durations[activity];
        let first = profile.earliest(activity, start + own, duration);
        if first > start + own {
            for &(before, own) in &block.members[..at] {
                profile.give(before, start + own, durations[before]);
            }
            // After the first member, others of the block may have stood in the way: then one unit later is tried.
            return Some(if at == 0 { first - own } else { start + 1 });
        }
        profile.take(activity, start + own, duration);
    }
    None
}

/// Sorts blocks so that every one comes after those with a way to it.
fn in_order(distances: &Distances, blocks: Vec<Block>) -> Vec<Block> {
    let leads = |from: &Block, to: &Block| {
        let (first, second) = (from.members[0].0, to.members[0].0);
        Distances::is_way(distances.from(first)[second])
    };
    let followers = |block: &Block| blocks.iter().filter(|other| leads(block, other)).count();
    let counts: Vec<usize> = blocks.iter().map(followers).collect();
    let mut keyed: Vec<(usize, Block)> = counts.into_iter().zip(blocks).collect();
    // Ways go on: what comes before has more followers than what comes after.
    keyed.sort_by_key(|(followers, _)| std::cmp::Reverse(*followers));
    keyed.into_iter().map(|(_, block)| block).collect()
}
