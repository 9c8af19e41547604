//! Chooses the engine: evolution where starts can simply be pushed later, exact search where they cannot.

use std::fmt;

use super::bound;
use super::evolve::Evolution;
use super::incumbent::Incumbent;
use super::lags;
use super::learn::Ending;
use super::learn::Prover;
use super::network::Network;
use super::network::to_size;
use super::problem::Problem;

/// How hard to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Schedules to generate at most, counted as in [`Solution::schedules`]. A dead end of the exact search counts as one.
    pub schedules: u64,
    /// Same seed, same plan.
    pub seed: u64,
}

/// A plan and what is known of the best.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solution {
    /// The start of every activity, in the order of the problem.
    pub starts: Vec<i64>,
    /// The latest end of an activity.
    pub makespan: i64,
    /// No plan is shorter than this; equal to `makespan` if the plan is proved best.
    pub lower_bound: i64,
    /// Schedules generated: the activities placed over the activities there are, rounded up, so that one given up part-way or
    /// begun from a plan already made counts in proportion.
    pub schedules: u64,
}

/// Why there is no plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoPlan {
    /// The lags and resources contradict each other, whatever the length.
    Infeasible,
    /// None was found with the effort given, though there may be one.
    NotFound {
        /// Schedules generated.
        schedules: u64,
    },
}

impl fmt::Display for NoPlan {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Infeasible => write!(out, "the lags and resources allow no plan of any length"),
            Self::NotFound { schedules } => {
                write!(
                    out,
                    "no plan found in {schedules} schedules, though there may be one: allow more"
                )
            }
        }
    }
}

impl std::error::Error for NoPlan {}

/// Plans the shortest project found with the effort given; `stop` is asked often and ends the search early.
///
/// # Errors
/// [`NoPlan`] if longest lags or a cycle of lags leave no plan, or none was found.
pub fn solve(
    problem: &Problem,
    effort: &Effort,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Solution, NoPlan> {
    match Network::new(problem) {
        Some(network) => Ok(solve_network(problem, &network, effort, stop)),
        None => lags::solve(problem, effort, stop),
    }
}

/// The share of the schedules after which a proof is tried: by then the plan is good and few dead ends may do.
const PROOF_AFTER: u64 = 10;
const MOST_BEFORE_PROOF: u64 = 10_000;
/// The share of the schedules that each of two proofs may take as dead ends, and the most of them.
const PROOF_SHARE: u64 = 50;
const MOST_DEAD_ENDS: u64 = 2000;
/// With fewer schedules the first plans are hardly made when a proof would begin.
const LEAST_FOR_PROOF: u64 = 1000;
/// In larger projects a dead end takes too long for the little it proves.
const MOST_FOR_PROOF: usize = 100;

fn solve_network(
    problem: &Problem,
    network: &Network,
    effort: &Effort,
    stop: &mut dyn FnMut() -> bool,
) -> Solution {
    let count = problem.activities().len();
    // At least one schedule is made even if the caller stops at once.
    let schedules = effort.schedules.max(1);
    let mut incumbent = Incumbent::new(count, bound::cheap(problem, network), stop);
    let mut evolution = Evolution::new(problem, network, effort);
    if schedules >= LEAST_FOR_PROOF && count <= MOST_FOR_PROOF {
        with_proofs(problem, schedules, &mut evolution, &mut incumbent);
    }
    incumbent.allow(schedules);
    evolution.run(&mut incumbent);
    let starts = incumbent.starts().iter();
    Solution {
        starts: starts.map(|&start| to_time(start)).collect(),
        makespan: to_time(incumbent.makespan()),
        lower_bound: to_time(incumbent.bound().min(incumbent.makespan())),
        schedules: incumbent.schedules(),
    }
}

/// Evolves with a proof tried early and one near the end, which goes on where the first left off.
fn with_proofs(
    problem: &Problem,
    schedules: u64,
    evolution: &mut Evolution<'_>,
    incumbent: &mut Incumbent<'_>,
) {
    let dead_ends = (schedules / PROOF_SHARE).min(MOST_DEAD_ENDS);
    incumbent.allow((schedules / PROOF_AFTER).min(MOST_BEFORE_PROOF));
    evolution.run(incumbent);
    if incumbent.meets_bound() {
        return;
    }
    let mut prover = Prover::new(problem, to_time(incumbent.makespan()));
    prove(&mut prover, dead_ends, incumbent);
    incumbent.allow(schedules - dead_ends);
    evolution.run(incumbent);
    prove(&mut prover, dead_ends, incumbent);
}

/// Tries to prove that no plan is shorter than the incumbent, or to find one.
pub(super) fn prove(prover: &mut Prover, dead_ends: u64, incumbent: &mut Incumbent<'_>) {
    if incumbent.meets_bound() || incumbent.is_stopped() {
        return;
    }
    let known: Vec<i64> = incumbent
        .starts()
        .iter()
        .map(|&start| to_time(start))
        .collect();
    prover.improve_on(&known, to_time(incumbent.makespan()));
    let before = prover.effort;
    let ending = prover.search(dead_ends, &mut || incumbent.is_stopped());
    incumbent.count_schedules(prover.effort - before);
    if let Some(mut plan) = prover.best.take() {
        let makespan = to_size(plan.pop().unwrap_or(0));
        incumbent.offer(
            makespan,
            &plan.iter().map(|&start| to_size(start)).collect::<Vec<_>>(),
        );
    }
    let bound = to_size(prover.bound());
    incumbent.raise_bound(if ending == Ending::Proved {
        incumbent.makespan()
    } else {
        bound
    });
}

pub(super) fn to_time(size: usize) -> i64 {
    i64::try_from(size).unwrap_or(i64::MAX)
}
