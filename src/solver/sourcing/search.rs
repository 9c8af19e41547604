//! Plans for given orders: covered need by need, filled up to minimums, improved by opening and closing orders.

use super::cost::SLACK;
use super::cost::cost;
use super::cost::sums;
use super::cover::Charge;
use super::cover::cover;
use super::problem::Plan;
use super::problem::Problem;

/// What an order may be used for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct State {
    open: bool,
    /// Open to hazardous needs too.
    hazardous: bool,
    /// Filled up to the sum that frees its freight.
    free: bool,
}

const CLOSED: State = State {
    open: false,
    hazardous: false,
    free: false,
};

/// The cheapest plan so far and the work left.
pub(super) struct Search<'a> {
    problem: &'a Problem,
    states: Vec<State>,
    plan: Option<Plan>,
    least: f64,
    work: u64,
}

impl<'a> Search<'a> {
    pub(super) fn new(problem: &'a Problem, work: u64) -> Self {
        let open = State {
            open: true,
            hazardous: true,
            free: false,
        };
        let mut search = Self {
            states: vec![open; problem.orders.len()],
            plan: None,
            least: f64::INFINITY,
            work,
            problem,
        };
        let all = search.states.clone();
        search.consider(&all, None);
        search
    }

    pub(super) const fn least(&self) -> f64 {
        self.least
    }

    pub(super) fn into_plan(self) -> Option<Plan> {
        self.plan
    }

    /// Tries a plan with the orders that a relaxed plan uses.
    pub(super) fn try_orders(&mut self, used: &[(bool, bool)]) {
        for free in [false, true] {
            let states: Vec<State> = used
                .iter()
                .zip(&self.problem.orders)
                .map(|((open, hazardous), order)| State {
                    open: *open,
                    hazardous: *hazardous,
                    free: free && *open && order.free_from.is_some(),
                })
                .collect();
            if free && states.iter().all(|state| !state.free) {
                break;
            }
            self.consider(&states, None);
        }
    }

    /// Opens, closes and frees one order at a time while that makes the plan cheaper, until it meets the bound.
    pub(super) fn improve(&mut self, bound: f64) {
        let mut better = true;
        while better && self.work > 0 {
            better = false;
            for order in 0..self.states.len() {
                for state in self.others(order) {
                    if self.work == 0 || self.least - bound <= super::NO_GAP * self.least.max(1.0) {
                        return;
                    }
                    let mut states = self.states.clone();
                    if let Some(place) = states.get_mut(order) {
                        *place = state;
                    }
                    better |= self.consider(&states, Some(order));
                }
            }
        }
    }

    /// The states that an order might be in instead.
    fn others(&self, order: usize) -> Vec<State> {
        let Some((now, terms)) = self.states.get(order).zip(self.problem.orders.get(order)) else {
            return Vec::new();
        };
        let mut all = vec![CLOSED];
        for hazardous in [true, false] {
            for free in [false, true] {
                all.push(State {
                    open: true,
                    hazardous,
                    free,
                });
            }
        }
        all.retain(|state| {
            state != now
                && (!state.free || terms.free_from.is_some())
                && (state.hazardous || !state.open || terms.hazard > 0.0)
        });
        all
    }

    /// Makes a plan for some states, and keeps it if it is the cheapest; `changed` is the only order that differs from
    /// the states kept, so that needs it does not concern keep their cover.
    fn consider(&mut self, states: &[State], changed: Option<usize>) -> bool {
        let Some(mut plan) = self.covers(states, changed) else {
            return false;
        };
        if !self.fill(&mut plan, states) {
            return false;
        }
        let Some(total) = cost(self.problem, &plan) else {
            return false;
        };
        if total >= self.least - 1e-9 {
            return false;
        }
        self.least = total;
        self.states = self.used_states(&plan, states);
        self.plan = Some(plan);
        true
    }

    fn covers(&mut self, states: &[State], changed: Option<usize>) -> Option<Plan> {
        let mut plan = Vec::with_capacity(self.problem.needs.len());
        let bookkeeping = self.problem.needs.len() * 8 + self.problem.orders.len() * 8;
        self.work = self
            .work
            .saturating_sub(u64::try_from(bookkeeping).unwrap_or(u64::MAX));
        for (index, need) in self.problem.needs.iter().enumerate() {
            let kept = changed
                .zip(self.plan.as_ref())
                .filter(|(order, _)| need.lines.iter().all(|line| line.order != *order))
                .and_then(|(_, plan)| plan.get(index));
            if let Some(kept) = kept {
                plan.push(kept.clone());
                continue;
            }
            self.work = self.work.saturating_sub(need.cells());
            let found = cover(need, |order| {
                let state = states.get(order).copied().unwrap_or(CLOSED);
                Charge {
                    closed: !state.open || need.hazardous && !state.hazardous,
                    once: 0.0,
                    goods: 1.0,
                    freight: f64::from(u8::from(!state.free)),
                }
            })?;
            plan.push(found.packs);
        }
        Some(plan)
    }

    /// Orders that nobody uses are closed.
    fn used_states(&self, plan: &Plan, states: &[State]) -> Vec<State> {
        sums(self.problem, plan)
            .iter()
            .zip(states)
            .map(|(sum, state)| State {
                open: sum.used,
                hazardous: sum.used && (sum.hazardous || state.hazardous),
                free: sum.used && state.free,
            })
            .collect()
    }

    /// Buys more of a line where an order does not come to what it must; false where no line can.
    fn fill(&self, plan: &mut Plan, states: &[State]) -> bool {
        let sums = sums(self.problem, plan);
        for (index, (order, sum)) in self.problem.orders.iter().zip(&sums).enumerate() {
            let is_free = states.get(index).is_some_and(|state| state.free);
            let asked = order
                .minimum
                .max(order.free_from.filter(|_| is_free).unwrap_or(0.0));
            if sum.used
                && sum.goods < asked - SLACK
                && !self.fill_one(plan, index, asked - sum.goods)
            {
                return false;
            }
        }
        true
    }

    fn fill_one(&self, plan: &mut Plan, order: usize, missing: f64) -> bool {
        let mut best: Option<(f64, usize, usize, u32)> = None;
        for (index, (need, packs)) in self.problem.needs.iter().zip(plan.iter()).enumerate() {
            for (place, (line, count)) in packs.iter().enumerate() {
                let Some(line) = need.lines.get(*line).filter(|line| line.order == order) else {
                    continue;
                };
                let Some(now) = line.goods(*count) else {
                    continue;
                };
                let Some(more) = reaching(line, *count, now + missing) else {
                    continue;
                };
                let added = line.goods(more).unwrap_or(f64::INFINITY) - now
                    + line.freight * f64::from(more - count);
                if best.is_none_or(|(least, ..)| added < least) {
                    best = Some((added, index, place, more));
                }
            }
        }
        let Some((_, need, place, more)) = best else {
            return false;
        };
        if let Some(line) = plan.get_mut(need).and_then(|packs| packs.get_mut(place)) {
            line.1 = more;
        }
        true
    }
}

/// The fewest packs, at least so many, whose goods come to an amount.
fn reaching(line: &super::problem::Line, least: u32, goods: f64) -> Option<u32> {
    line.tiers
        .iter()
        .filter(|tier| tier.price > 0.0)
        .filter_map(|tier| {
            let packs = whole(((goods - tier.fixed - SLACK) / tier.price).ceil())?;
            let packs = packs.max(tier.from).max(least);
            (packs <= tier.most).then_some(packs)
        })
        .min()
}

/// A number of packs; none where it is beyond any order.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "kept within the range of u32 just before"
)]
fn whole(packs: f64) -> Option<u32> {
    (packs <= 1e9).then_some(packs.max(0.0) as u32)
}
