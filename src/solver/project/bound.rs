//! Lengths no plan can go below: by the critical path, by the work of every resource, and by refuting lengths.
//!
//! # Sources
//! Klein & Scholl, *Computing lower bounds by destructive improvement*, EJOR 112 (1999) 322–346; energy in windows: Baptiste,
//! Le Pape & Nuijten, *Satisfiability tests and time-bound adjustments for cumulative scheduling problems*, Annals of
//! Operations Research 92 (1999) 305–333; both cited from memory.

use super::network::Direction;
use super::network::Network;
use super::network::to_size;
use super::problem::Problem;

/// Returns the greatest of the cheap bounds.
///
/// # Formula
/// For every resource and every set of activities with a head of at least `h` and a tail after their end of at least `t`:
/// length ≥ h + ⌈Σ duration × demand ÷ capacity⌉ + t. The sets tried are those of one least head and one least tail.
pub(super) fn cheap(problem: &Problem, network: &Network) -> usize {
    let Direction { heads, tails, .. } = &network.forwards;
    network
        .forwards
        .critical_path()
        .max(by_energy(problem, heads, tails))
}

/// Returns the bound by the work of every resource, given least starts and least times from the starts to the end.
pub(super) fn by_energy(problem: &Problem, heads: &[usize], tails: &[usize]) -> usize {
    let capacities = problem.capacities().iter().enumerate();
    let whole = capacities
        .map(|(resource, &capacity)| energy(problem, heads, tails, resource, to_size(capacity)))
        .max()
        .unwrap_or(0);
    let through = heads.iter().zip(tails).map(|(head, tail)| head + tail);
    first_not_refuted(problem, heads, tails, through.max().unwrap_or(0).max(whole))
}

/// Activities up to which lengths are refuted.
const MOST_REFUTED: usize = 2000;
/// Starts and ends of windows tried for every length and resource.
const MOST_EDGES: usize = 80;

/// Returns the first length from `low` on that is not refuted: with steps twice as long each, then by halving.
fn first_not_refuted(problem: &Problem, heads: &[usize], tails: &[usize], low: usize) -> usize {
    let is_refuted = |length: usize| is_refuted(problem, heads, tails, length);
    if problem.activities().len() > MOST_REFUTED || !is_refuted(low) {
        return low;
    }
    let (mut refuted, mut step) = (low, 1);
    while is_refuted(refuted + step) {
        refuted += step;
        step *= 2;
    }
    let mut open = refuted + step;
    while refuted + 1 < open {
        let middle = usize::midpoint(refuted, open);
        if is_refuted(middle) {
            refuted = middle;
        } else {
            open = middle;
        }
    }
    open
}

/// Whether in some window of time more must be done than can be if all is to end by `length`.
///
/// # Formula
/// In a window from `a` to `b`, an activity of duration d with a least start r and a latest start s works at least
/// min(d, b − a, r + d − a, b − s) time units, or none.
fn is_refuted(problem: &Problem, heads: &[usize], tails: &[usize], length: usize) -> bool {
    let mut begins = heads.to_vec();
    let latest = |activity: usize| length.saturating_sub(tails[activity]);
    let duration = |activity: usize| to_size(problem.activities()[activity].duration);
    let mut ends: Vec<usize> = (0..heads.len())
        .map(|activity| latest(activity) + duration(activity))
        .collect();
    for edges in [&mut begins, &mut ends] {
        edges.sort_unstable();
        edges.dedup();
        let step = edges.len().div_ceil(MOST_EDGES).max(1);
        *edges = edges.iter().copied().step_by(step).collect();
    }
    let capacities = problem.capacities().iter().enumerate();
    capacities.into_iter().any(|(resource, &capacity)| {
        let demand = |activity: usize| problem.activities()[activity].demands[resource];
        let users: Vec<(usize, usize, usize, usize)> = (0..heads.len())
            .filter(|&activity| demand(activity) > 0 && duration(activity) > 0)
            .map(|activity| {
                let demand = to_size(demand(activity));
                (
                    duration(activity),
                    heads[activity],
                    latest(activity),
                    demand,
                )
            })
            .collect();
        let windows = begins.iter().flat_map(|&begin| {
            let after = ends.iter().filter(move |end| **end > begin);
            after.map(move |&end| (begin, end))
        });
        windows.into_iter().any(|(begin, end)| {
            let works = users.iter().map(|&(duration, head, latest, demand)| {
                let left = (head + duration).saturating_sub(begin);
                let right = end.saturating_sub(latest);
                demand * duration.min(end - begin).min(left).min(right)
            });
            works.sum::<usize>() > to_size(capacity) * (end - begin)
        })
    })
}

fn energy(
    problem: &Problem,
    heads: &[usize],
    tails: &[usize],
    resource: usize,
    capacity: usize,
) -> usize {
    let mut users: Vec<(usize, usize, usize)> = Vec::new();
    for (activity, given) in problem.activities().iter().enumerate() {
        let work = to_size(given.duration * given.demands.get(resource).copied().unwrap_or(0));
        if work > 0 {
            let after = tails[activity].saturating_sub(to_size(given.duration));
            users.push((after, heads[activity], work));
        }
    }
    if capacity == 0 || users.is_empty() {
        return 0;
    }
    users.sort_unstable_by(|one, other| other.cmp(one));
    let mut starts: Vec<usize> = users.iter().map(|&(_, head, _)| head).collect();
    starts.sort_unstable();
    starts.dedup();
    // A project of thousands would make this slow: then only the first heads are tried.
    starts.truncate(MOST_HEADS);
    let mut best = 0;
    for head in starts {
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
