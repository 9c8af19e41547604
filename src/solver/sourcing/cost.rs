//! What a plan costs, order by order.

use super::problem::Order;
use super::problem::Plan;
use super::problem::Problem;

/// What an order comes to.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Sum {
    pub(super) used: bool,
    pub(super) hazardous: bool,
    pub(super) goods: f64,
    pub(super) freight: f64,
}

/// Goods and freight of every order of a plan.
pub(super) fn sums(problem: &Problem, plan: &Plan) -> Vec<Sum> {
    let mut sums = vec![Sum::default(); problem.orders.len()];
    for (need, packs) in problem.needs.iter().zip(plan) {
        for (index, count) in packs {
            let Some(line) = need.lines.get(*index) else {
                continue;
            };
            if let Some(sum) = sums.get_mut(line.order) {
                sum.used = true;
                sum.hazardous |= need.hazardous;
                sum.goods += line.goods(*count).unwrap_or(f64::INFINITY);
                sum.freight += line.freight * f64::from(*count);
            }
        }
    }
    sums
}

/// What an order costs in all; none where it does not reach its minimum.
pub(super) fn total(order: &Order, sum: &Sum) -> Option<f64> {
    if !sum.used {
        return Some(0.0);
    }
    if sum.goods < order.minimum - SLACK {
        return None;
    }
    let is_free = order
        .free_from
        .is_some_and(|from| sum.goods >= from - SLACK);
    let freight = if is_free {
        0.0
    } else {
        order.fixed + sum.freight
    };
    let hazard = if sum.hazardous { order.hazard } else { 0.0 };
    Some(sum.goods + freight + hazard)
}

/// What a plan costs; none where an order does not reach its minimum.
pub(super) fn cost(problem: &Problem, plan: &Plan) -> Option<f64> {
    let sums = sums(problem, plan);
    problem
        .orders
        .iter()
        .zip(&sums)
        .map(|(order, sum)| total(order, sum))
        .sum()
}

/// Sums of binary fractions of cents may miss a limit by this much.
pub(super) const SLACK: f64 = 1e-6;
