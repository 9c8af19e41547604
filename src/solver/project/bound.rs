//! Lengths no plan can go below: by the critical path and by the work of every resource.

use super::network::Network;
use super::network::to_size;
use super::problem::Problem;

/// Returns the greatest of the cheap bounds.
///
/// # Formula
/// For every resource and every set of activities with a head of at least `h` and a tail after their end of at least `t`:
/// length ≥ h + ⌈Σ duration × demand ÷ capacity⌉ + t. The sets tried are those of one least head and one least tail.
pub(super) fn cheap(problem: &Problem, network: &Network) -> usize {
    let mut bound = network.forwards.critical_path();
    for (resource, &capacity) in problem.capacities().iter().enumerate() {
        bound = bound.max(energy(problem, network, resource, to_size(capacity)));
    }
    bound
}

/// Tries a head with all tails, shortest tail last, so that every set is seen once.
fn energy(problem: &Problem, network: &Network, resource: usize, capacity: usize) -> usize {
    let mut users: Vec<(usize, usize, usize)> = Vec::new();
    for (activity, given) in problem.activities().iter().enumerate() {
        let work = to_size(given.duration * given.demands.get(resource).copied().unwrap_or(0));
        if work > 0 {
            let after = network.forwards.tails[activity] - network.forwards.durations[activity];
            users.push((after, network.forwards.heads[activity], work));
        }
    }
    if capacity == 0 || users.is_empty() {
        return 0;
    }
    users.sort_unstable_by(|one, other| other.cmp(one));
    let mut heads: Vec<usize> = users.iter().map(|&(_, head, _)| head).collect();
    heads.sort_unstable();
    heads.dedup();
    // A project of thousands would make this slow: then only the first heads are tried.
    heads.truncate(MOST_HEADS);
    let mut best = 0;
    for head in heads {
        let mut work = 0;
        for &(after, own_head, own_work) in &users {
            if own_head >= head {
                work += own_work;
                best = best.max(head + work.div_ceil(capacity) + after);
            }
        }
    }
    best
}

/// Heads tried for every resource.
const MOST_HEADS: usize = 1000;
