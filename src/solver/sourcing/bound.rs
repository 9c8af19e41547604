//! Charges of orders shared out among needs: a bound, and the next shares.
//!
//! An order's fixed charge F is paid if anybody uses it. With a share s of it asked of every need that uses the order, no
//! plan costs less than the sum of the needs' own least costs plus, for every order, min(0, F - Σs). In the same way a
//! share of the hazard charge is asked of hazardous needs. A minimum order M is asked for by making goods cheaper by a
//! part ℓ/M and adding ℓ to F; that freight is free from a sum T by charging no freight by weight and at most F(1 - goods/T).

use super::cover::Charge;
use super::cover::Cover;
use super::cover::cover;
use super::problem::Need;
use super::problem::Problem;

/// The shares: one row a need, one place an order.
pub(super) struct Shares<'a> {
    problem: &'a Problem,
    /// The orders that each need could use.
    orders_of: Vec<Vec<usize>>,
    fixed: Vec<Vec<f64>>,
    hazard: Vec<Vec<f64>>,
    /// ℓ of every order's minimum.
    minimum: Vec<f64>,
    /// The same for the sum that frees its freight.
    free: Vec<f64>,
    step: f64,
    is_fresh: bool,
}

/// The relaxed plan under some shares.
pub(super) struct Relaxed {
    pub(super) bound: f64,
    /// Which orders each need uses.
    pub(super) uses: Vec<Vec<bool>>,
    /// Which orders anybody uses, and any hazardous need.
    pub(super) used: Vec<(bool, bool)>,
    /// What goods come to in every order.
    goods: Vec<f64>,
    /// Whether each order's charge is paid in the bound, and its hazard charge.
    paid: Vec<(bool, bool)>,
}

impl<'a> Shares<'a> {
    pub(super) fn new(problem: &'a Problem) -> Self {
        let orders = problem.orders.len();
        let rows = vec![vec![0.0; orders]; problem.needs.len()];
        Self {
            orders_of: problem.needs.iter().map(Need::orders).collect(),
            fixed: rows.clone(),
            hazard: rows,
            minimum: vec![0.0; orders],
            free: vec![0.0; orders],
            step: 1.0,
            is_fresh: true,
            problem,
        }
    }

    /// What orders cost a need under the shares.
    fn charge(&self, need: usize, order: usize) -> Charge {
        let share = |rows: &[Vec<f64>]| {
            rows.get(need)
                .and_then(|row| row.get(order))
                .copied()
                .unwrap_or(0.0)
        };
        let terms = self.problem.orders.get(order).copied().unwrap_or_default();
        let part = |shares: &[f64], of: f64| {
            if of > 0.0 {
                shares.get(order).copied().unwrap_or(0.0) / of
            } else {
                0.0
            }
        };
        let cheaper =
            part(&self.minimum, terms.minimum) + part(&self.free, terms.free_from.unwrap_or(0.0));
        Charge {
            closed: false,
            once: share(&self.fixed) + share(&self.hazard),
            goods: (1.0 - cheaper).max(0.0),
            freight: f64::from(u8::from(terms.free_from.is_none())),
        }
    }

    /// The needs' own covers and the bound; none where a need cannot be covered.
    pub(super) fn relaxed(&self) -> Option<Relaxed> {
        let orders = self.problem.orders.len();
        let mut relaxed = Relaxed {
            bound: 0.0,
            uses: Vec::with_capacity(self.problem.needs.len()),
            used: vec![(false, false); orders],
            goods: vec![0.0; orders],
            paid: vec![(false, false); orders],
        };
        for (index, need) in self.problem.needs.iter().enumerate() {
            let found = cover(need, |order| self.charge(index, order))?;
            relaxed.bound += found.cost;
            relaxed.count(self.problem, index, &found);
        }
        let shared = (self.sums(&self.fixed), self.sums(&self.hazard));
        for (order, shared) in shared.0.iter().zip(&shared.1).enumerate() {
            let (fixed, hazard) = self.unshared(order, *shared.0, *shared.1);
            if let Some(paid) = relaxed.paid.get_mut(order) {
                *paid = (fixed < 0.0, hazard < 0.0);
            }
            relaxed.bound += fixed.min(0.0) + hazard.min(0.0);
        }
        Some(relaxed)
    }

    /// What of every order's charge is shared out.
    fn sums(&self, rows: &[Vec<f64>]) -> Vec<f64> {
        let mut sums = vec![0.0; self.problem.orders.len()];
        for (row, orders) in rows.iter().zip(&self.orders_of) {
            for order in orders {
                if let Some((sum, share)) = sums.get_mut(*order).zip(row.get(*order)) {
                    *sum += share;
                }
            }
        }
        sums
    }

    /// What of an order's charges is not shared out.
    fn unshared(&self, order: usize, shared_fixed: f64, shared_hazard: f64) -> (f64, f64) {
        let of = |shares: &[f64]| shares.get(order).copied().unwrap_or(0.0);
        let terms = self.problem.orders.get(order).copied().unwrap_or_default();
        let fixed = if terms.free_from.is_some() {
            terms.fixed.min(of(&self.free))
        } else {
            terms.fixed
        };
        (
            fixed + of(&self.minimum) - shared_fixed,
            terms.hazard - shared_hazard,
        )
    }

    /// Moves the shares towards a higher bound; smaller steps where the bound has not risen for a while.
    pub(super) fn step(&mut self, relaxed: &Relaxed, least: f64, stale: usize) {
        if self.is_fresh {
            self.is_fresh = false;
            self.share_evenly(relaxed);
            return;
        }
        if stale > 0 && stale.is_multiple_of(12) {
            self.step *= 0.6;
        }
        let target = if least.is_finite() {
            least
        } else {
            relaxed.bound * 1.05 + 1.0
        };
        let slopes = self.slopes(relaxed);
        let norm: f64 = slopes.iter().map(Slope::square).sum();
        if norm <= 0.0 {
            return;
        }
        let stride = self.step * (target - relaxed.bound).max(1e-6) / norm;
        for slope in slopes {
            self.move_by(&slope, stride);
        }
    }

    /// The first shares: each order's charge by equal parts to those who would use it for nothing.
    fn share_evenly(&mut self, relaxed: &Relaxed) {
        for (order, terms) in self.problem.orders.iter().enumerate() {
            let uses = |need: usize| {
                relaxed
                    .uses
                    .get(need)
                    .and_then(|row| row.get(order))
                    .is_some_and(|used| *used)
            };
            let users: Vec<usize> = (0..self.problem.needs.len())
                .filter(|need| uses(*need))
                .collect();
            let is_hazardous = |need: &usize| {
                self.problem
                    .needs
                    .get(*need)
                    .is_some_and(|need| need.hazardous)
            };
            let hazardous: Vec<usize> = users.iter().copied().filter(is_hazardous).collect();
            let fixed = if terms.free_from.is_some() {
                0.0
            } else {
                terms.fixed
            };
            put(&mut self.fixed, &users, order, fixed);
            put(&mut self.hazard, &hazardous, order, terms.hazard);
        }
    }

    fn slopes(&self, relaxed: &Relaxed) -> Vec<Slope> {
        let mut slopes = Vec::new();
        for (need, row) in relaxed.uses.iter().enumerate() {
            let hazardous = self
                .problem
                .needs
                .get(need)
                .is_some_and(|need| need.hazardous);
            for order in self.orders_of.get(need).into_iter().flatten().copied() {
                let Some((uses, paid)) = row.get(order).zip(relaxed.paid.get(order)) else {
                    continue;
                };
                let slope = |paid: bool| f64::from(u8::from(*uses)) - f64::from(u8::from(paid));
                slopes.push(Slope::Fixed(need, order, slope(paid.0)));
                if hazardous {
                    slopes.push(Slope::Hazard(need, order, slope(paid.1)));
                }
            }
        }
        for (order, terms) in self.problem.orders.iter().enumerate() {
            let goods = relaxed.goods.get(order).copied().unwrap_or(0.0);
            let sent = f64::from(u8::from(relaxed.paid.get(order).is_some_and(|paid| paid.0)));
            if terms.minimum > 0.0 {
                slopes.push(Slope::Minimum(
                    order,
                    (sent - goods / terms.minimum).max(-1.0),
                ));
            }
            if let Some(from) = terms.free_from.filter(|from| *from > 0.0) {
                let free = self.free.get(order).copied().unwrap_or(0.0);
                let waived = if free < terms.fixed { sent } else { 0.0 };
                slopes.push(Slope::Free(order, (waived - goods / from).max(-1.0)));
            }
        }
        slopes.retain(|slope| !self.is_stuck(slope));
        slopes
    }

    /// A share that is nothing and would become less stays.
    fn is_stuck(&self, slope: &Slope) -> bool {
        slope.value() == 0.0
            || slope.value() < 0.0
                && match slope {
                    Slope::Fixed(need, order, _) => at(&self.fixed, *need, *order) <= 0.0,
                    Slope::Hazard(need, order, _) => at(&self.hazard, *need, *order) <= 0.0,
                    Slope::Minimum(order, _) => self.minimum.get(*order).is_none_or(|x| *x <= 0.0),
                    Slope::Free(order, _) => self.free.get(*order).is_none_or(|x| *x <= 0.0),
                }
    }

    fn move_by(&mut self, slope: &Slope, stride: f64) {
        let change = slope.value() * stride;
        // Goods may become cheaper, but not free.
        let most = |of: Option<f64>| 0.45 * of.unwrap_or(0.0);
        let orders = &self.problem.orders;
        let (place, most) = match slope {
            Slope::Fixed(need, order, _) => (
                self.fixed
                    .get_mut(*need)
                    .and_then(|row| row.get_mut(*order)),
                f64::INFINITY,
            ),
            Slope::Hazard(need, order, _) => (
                self.hazard
                    .get_mut(*need)
                    .and_then(|row| row.get_mut(*order)),
                f64::INFINITY,
            ),
            Slope::Minimum(order, _) => (
                self.minimum.get_mut(*order),
                most(orders.get(*order).map(|terms| terms.minimum)),
            ),
            Slope::Free(order, _) => (
                self.free.get_mut(*order),
                most(orders.get(*order).and_then(|terms| terms.free_from)),
            ),
        };
        if let Some(share) = place {
            *share = (*share + change).clamp(0.0, most);
        }
    }
}

fn at(rows: &[Vec<f64>], need: usize, order: usize) -> f64 {
    rows.get(need)
        .and_then(|row| row.get(order))
        .copied()
        .unwrap_or(0.0)
}

fn put(rows: &mut [Vec<f64>], needs: &[usize], order: usize, charge: f64) {
    let count = f64::from(u32::try_from(needs.len().max(1)).unwrap_or(u32::MAX));
    for need in needs {
        if let Some(share) = rows.get_mut(*need).and_then(|row| row.get_mut(order)) {
            *share = charge / count;
        }
    }
}

/// By how much the bound rises with a share.
enum Slope {
    Fixed(usize, usize, f64),
    Hazard(usize, usize, f64),
    Minimum(usize, f64),
    Free(usize, f64),
}

impl Slope {
    const fn value(&self) -> f64 {
        match self {
            Self::Fixed(_, _, value)
            | Self::Hazard(_, _, value)
            | Self::Minimum(_, value)
            | Self::Free(_, value) => *value,
        }
    }

    fn square(&self) -> f64 {
        self.value() * self.value()
    }
}

impl Relaxed {
    fn count(&mut self, problem: &Problem, index: usize, cover: &Cover) {
        let mut row = vec![false; problem.orders.len()];
        let Some(need) = problem.needs.get(index) else {
            return;
        };
        for (line, packs) in &cover.packs {
            let Some(line) = need.lines.get(*line) else {
                continue;
            };
            if let Some(used) = row.get_mut(line.order) {
                *used = true;
            }
            if let Some(used) = self.used.get_mut(line.order) {
                used.0 = true;
                used.1 |= need.hazardous;
            }
            if let Some(goods) = self.goods.get_mut(line.order) {
                *goods += line.goods(*packs).unwrap_or(0.0);
            }
        }
        self.uses.push(row);
    }
}
