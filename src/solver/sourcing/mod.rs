//! Covers needs from packs that come in orders with charges of their own, at least cost.
//!
//! *In*: [`Problem`]: needs, each with the lines that could cover it; orders, each with what it costs to send and the least
//! it must come to. *Out*: [`Outcome`]: a plan that covers every need, and a bound that no plan can cost less than.
//!
//! What ties needs together is the orders alone. So the charges of an order are shared out among the needs (Lagrangian
//! relaxation): each need then finds its own cheapest cover by dynamic programming over what has been bought so far, and
//! the sum of all is a bound. The shares are improved by subgradients, and the plans met on the way are tried with the
//! orders they use, then mended and improved by opening and closing orders. The work grows with needs × lines × amounts.
//!
//! # Sources
//! Held, Wolfe, Crowder, "Validation of subgradient optimization", Mathematical Programming 6 (1974) for the steps;
//! Fisher, "The Lagrangian relaxation method for solving integer programming problems", Management Science 27 (1981)
//! for the method (both from memory).

mod bound;
mod cost;
mod cover;
mod problem;
mod search;
#[cfg(test)]
mod tests;

pub use problem::Check;
pub use problem::Line;
pub use problem::Need;
pub use problem::Order;
pub use problem::Outcome;
pub use problem::Plan;
pub use problem::Problem;
pub use problem::Tier;

use bound::Shares;
use search::Search;

/// What a plan costs, whether or not its orders reach their minimums.
pub fn cost(problem: &Problem, plan: &Plan) -> f64 {
    let sums = cost::sums(problem, plan);
    let orders = problem.orders.iter().zip(&sums);
    orders
        .map(|(order, sum)| {
            let without = Order {
                minimum: 0.0,
                ..*order
            };
            cost::total(&without, sum).unwrap_or(f64::INFINITY)
        })
        .sum()
}

/// What the engine is called.
pub const NAME: &str = "shared charges";

/// A gap this small, as a part of the cost, is none.
const NO_GAP: f64 = 1e-7;

/// Rounds of sharing out charges at most.
const ROUNDS: usize = 400;

/// A plan is made of every so many-th round's orders.
const PLAN_EVERY: usize = 8;

/// Finds a cheap plan and a bound; `work` limits the effort, in table cells filled.
///
/// Without a plan where some need cannot be covered or some order cannot reach its minimum.
pub fn solve(problem: &Problem, work: u64) -> Outcome {
    let mut search = Search::new(problem, work / 2);
    let mut shares = Shares::new(problem);
    let mut bound = 0.0_f64;
    let cells = problem.cells().max(1);
    let rounds = usize::try_from(work / 2 / cells)
        .unwrap_or(ROUNDS)
        .clamp(2, ROUNDS);
    let mut stale = 0;
    for round in 0..rounds {
        let Some(relaxed) = shares.relaxed() else {
            return Outcome { plan: None, bound };
        };
        if relaxed.bound > bound + 1e-9 {
            bound = relaxed.bound;
            stale = 0;
        } else {
            stale += 1;
        }
        if round % PLAN_EVERY == 0 {
            search.try_orders(&relaxed.used);
        }
        let least = search.least();
        if least - bound <= NO_GAP * least.max(1.0) {
            break;
        }
        shares.step(&relaxed, least, stale);
    }
    search.improve(bound);
    Outcome {
        bound: bound.min(search.least()),
        plan: search.into_plan(),
    }
}
