//! Chooses the engine: evolution where starts can simply be pushed later, exact search where they cannot.

use std::fmt;

use super::bound;
use super::evolve::Evolution;
use super::incumbent::Incumbent;
use super::learn::Ending;
use super::learn::Prover;
use super::network::Network;
use super::network::to_size;
use super::problem::Problem;

/// How hard to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Schedules to generate at most. A dead end of the exact search counts as one.
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
    /// Schedules generated. One given up part-way counts in proportion to the activities placed.
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
                write!(out, "no plan found in {schedules} schedules, though there may be one: allow more")
            }
        }
    }
}

impl std::error::Error for NoPlan {}

/// Plans the shortest project found with the effort given; `stop` is asked often and ends the search early.
///
/// # Errors
/// [`NoPlan`] if longest lags or a cycle of lags leave no plan, or none was found.
pub fn solve(problem: &Problem, effort: &Effort, stop: &mut dyn FnMut() -> bool) -> Result<Solution, NoPlan> {
    match Network::new(problem) {
        Some(network) => Ok(solve_network(problem, &network, effort, stop)),
        None => solve_lags(problem, effort, stop),
    }
}

fn solve_network(problem: &Problem, network: &Network, effort: &Effort, stop: &mut dyn FnMut() -> bool) -> Solution {
    let length = to_size(problem.length());
    let bound = bound::cheap(problem, network);
    let mut incumbent = Incumbent::new(vec![0; problem.activities().len()], usize::MAX, bound, effort.schedules.max(1), stop);
    Evolution::new(problem, network, length, effort.seed).run(&mut incumbent);
    if let Ok(k) = std::env::var("PROOF") {
        let mut pr = Prover::new(problem, problem.length());
        let st: Vec<i64> = incumbent.starts().iter().map(|&start| to_time(start)).collect();
        pr.know(&st, to_time(incumbent.makespan()));
        let e = pr.search(k.parse().unwrap(), &mut || false);
        let b = pr.best.as_ref().unwrap();
        let m = to_size(*b.last().unwrap());
        if m < incumbent.makespan() { eprint!("improved {}->{} ", incumbent.makespan(), m); let v: Vec<usize> = b.iter().take(b.len() - 1).map(|&x| to_size(x)).collect(); incumbent.offer(m, &v); }
        incumbent.raise_bound(if e == Ending::Proved { m } else { to_size(pr.bound()) });
    }
    Solution {
        starts: incumbent.starts().iter().map(|&start| to_time(start)).collect(),
        makespan: to_time(incumbent.makespan()),
        lower_bound: to_time(incumbent.bound().min(incumbent.makespan())),
        schedules: incumbent.schedules(),
    }
}

fn solve_lags(problem: &Problem, effort: &Effort, stop: &mut dyn FnMut() -> bool) -> Result<Solution, NoPlan> {
    let mut prover = Prover::new(problem, problem.length());
    let bound = prover.bound();
    let ending = prover.search(effort.schedules, stop);
    let schedules = prover.effort;
    let Some(mut starts) = prover.best.take() else {
        return Err(if ending == Ending::Proved { NoPlan::Infeasible } else { NoPlan::NotFound { schedules } });
    };
    let makespan = starts.pop().unwrap_or(0);
    let lower_bound = if ending == Ending::Proved { makespan } else { bound.max(prover.bound()).min(makespan) };
    Ok(Solution { starts, makespan, lower_bound, schedules })
}

fn to_time(size: usize) -> i64 {
    i64::try_from(size).unwrap_or(i64::MAX)
}
