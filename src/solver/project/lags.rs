//! Projects with longest lags: exact search, plans by unscheduling and their evolution, in turns.

use super::blocks;
use super::blocks::Blocks;
use super::bound;
use super::distances::Distances;
use super::evolve::Evolution;
use super::incumbent::Incumbent;
use super::learn::Ending;
use super::learn::Prover;
use super::network::Network;
use super::network::to_size;
use super::problem::Lag;
use super::problem::Problem;
use super::solve::Effort;
use super::solve::NoPlan;
use super::solve::Solution;
use super::solve::prove;
use super::solve::to_time;

/// Dead ends before anything else is tried: most small projects need no more.
const FIRST_DEAD_ENDS: u64 = 500;
/// Dead ends of the first turn of the exact search, and schedules of evolution for each of them; every turn is twice as long.
const TURN: u64 = 250;
const SCHEDULES_A_DEAD_END: u64 = 4;
/// The population is made for so many schedules.
const SCHEDULES: u64 = 10_000;

/// Plans the shortest project found with the effort given.
///
/// # Errors
/// [`NoPlan`] if the lags leave no plan, or none was found.
pub(super) fn solve(
    problem: &Problem,
    effort: &Effort,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Solution, NoPlan> {
    let mut prover = Prover::new(problem, problem.length());
    let first = effort.schedules.min(FIRST_DEAD_ENDS);
    let mut ending = prover.search(first, stop);
    let mut spent = prover.effort;
    if ending == Ending::Stopped && spent < effort.schedules && !stop() {
        if let Some(distances) = Distances::new(problem) {
            let known = prover.best.take();
            return in_turns(problem, &distances, effort, prover, known, stop);
        }
        ending = prover.search(effort.schedules - spent, stop);
        spent = prover.effort;
    }
    let Some(mut starts) = prover.best.take() else {
        return Err(if ending == Ending::Proved {
            NoPlan::Infeasible
        } else {
            NoPlan::NotFound { schedules: spent }
        });
    };
    let makespan = starts.pop().unwrap_or(0);
    let lower_bound = if ending == Ending::Proved {
        makespan
    } else {
        prover.bound().min(makespan)
    };
    Ok(Solution {
        starts,
        makespan,
        lower_bound,
        schedules: spent,
    })
}

/// Evolution and exact search take turns, each beginning from the other's best.
fn in_turns(
    problem: &Problem,
    distances: &Distances,
    effort: &Effort,
    mut prover: Prover,
    known: Option<Vec<i64>>,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Solution, NoPlan> {
    let mut spent = prover.effort;
    let known = match known {
        Some(mut plan) => {
            plan.pop();
            plan.into_iter().map(to_size).collect()
        }
        None => match blocks::plan(problem, distances, effort.schedules, &mut spent, stop) {
            Blocks::Plan(starts) => starts,
            Blocks::Impossible => return Err(NoPlan::Infeasible),
            Blocks::Unknown => Vec::new(),
        },
    };
    let network = forwards_only(problem, distances);
    let Some(network) = network else {
        return Err(NoPlan::NotFound { schedules: spent });
    };
    let bound = to_size(prover.bound()).max(by_energy(problem, distances));
    let mut incumbent = Incumbent::new(problem.activities().len(), bound, stop);
    incumbent.count_schedules(spent);
    let limited = Effort {
        schedules: effort.schedules.min(SCHEDULES),
        ..*effort
    };
    let mut evolution = Evolution::with_windows(problem, &network, distances, &limited);
    if !known.is_empty() {
        let ends = known.iter().zip(problem.activities());
        let makespan = ends.map(|(start, one)| start + to_size(one.duration)).max();
        incumbent.offer(makespan.unwrap_or(0), &known);
        evolution.add(&known);
    }
    let mut turn = TURN;
    loop {
        let until = incumbent
            .schedules()
            .saturating_add(turn * SCHEDULES_A_DEAD_END);
        incumbent.allow(until.min(effort.schedules));
        evolution.run(&mut incumbent);
        incumbent.allow(effort.schedules);
        if incumbent.is_done() {
            break;
        }
        let left = effort.schedules - incumbent.schedules();
        prove(&mut prover, turn.min(left), &mut incumbent);
        if incumbent.is_done() {
            break;
        }
        turn = turn.saturating_mul(2);
    }
    if incumbent.makespan() == usize::MAX {
        let schedules = incumbent.schedules();
        if incumbent.meets_bound() {
            return Err(NoPlan::Infeasible);
        }
        return Err(NoPlan::NotFound { schedules });
    }
    let starts = incumbent.starts().iter();
    Ok(Solution {
        starts: starts.map(|&start| to_time(start)).collect(),
        makespan: to_time(incumbent.makespan()),
        lower_bound: to_time(incumbent.bound().min(incumbent.makespan())),
        schedules: incumbent.schedules(),
    })
}

fn by_energy(problem: &Problem, distances: &Distances) -> usize {
    let sizes = |times: Vec<i64>| times.into_iter().map(|time| to_size(time.max(0))).collect();
    let (heads, tails): (Vec<usize>, Vec<usize>) =
        (sizes(distances.heads()), sizes(distances.tails(problem)));
    bound::by_energy(problem, &heads, &tails)
}

/// The lags that say which of two starts first: they have no cycle.
fn forwards_only(problem: &Problem, distances: &Distances) -> Option<Network> {
    let both = problem.lags().iter().flat_map(|lag| {
        let back = lag.most.map(|most| (lag.to, lag.from, -most));
        back.into_iter().chain([(lag.from, lag.to, lag.least)])
    });
    let lags = both
        .filter(|&(from, to, least)| {
            (least > 0 || distances.from(from)[to] >= 0) && distances.is_before(from, to)
        })
        .map(|(from, to, least)| Lag {
            from,
            to,
            least: least.max(0),
            most: None,
        });
    let capacities = problem.capacities().to_vec();
    let relaxed = Problem::new(capacities, problem.activities().to_vec(), lags.collect());
    Network::new(&relaxed.ok()?)
}
