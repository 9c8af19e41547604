//! The linear program over patterns: least cost so that every length is covered and no bar kind overdrawn.
//!
//! Primal revised simplex with an explicit inverse; columns are added as they are found
//! (Gilmore and Gomory 1961, "A linear programming approach to the cutting-stock problem",
//! Operations Research 9). Only the four operations are used, so every machine finds the same numbers.

use crate::solver::packing::effort::Effort;
use crate::solver::packing::job::Job;
use crate::solver::packing::job::Pattern;
use crate::solver::packing::knapsack::real;

/// Reduced costs closer to nought than this count as nought (costs are scaled to at most 1).
const TINY: f64 = 1e-9;
/// Pivots between two fresh computations of the basic values and prices.
const REFRESH: usize = 64;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Basic {
    Pattern(usize),
    /// More pieces than asked.
    Surplus(usize),
    /// Bars left over.
    Slack(usize),
    /// A piece nothing covers yet; costs far more than any bar.
    Missing(usize),
}

/// The linear program and its present basis.
#[derive(Debug)]
pub(super) struct Master {
    pieces: usize,
    /// Row of each bar kind with a limited supply.
    bar_row: Vec<Option<usize>>,
    costs: Vec<f64>,
    dear: f64,
    need: Vec<f64>,
    columns: Vec<Pattern>,
    basis: Vec<Basic>,
    inverse: Vec<f64>,
    at: Vec<f64>,
    prices: Vec<f64>,
    pivots: usize,
}

impl Master {
    /// `costs` are those of the bar kinds, scaled to at most 1.
    pub(super) fn new(job: &Job, costs: Vec<f64>) -> Self {
        let pieces = job.lengths.len();
        let mut rows = pieces;
        let mut need: Vec<f64> = job.demand.iter().map(|n| real(*n)).collect();
        let mut bar_row = Vec::new();
        for kind in &job.kinds {
            bar_row.push(kind.supply.map(|supply| {
                need.push(real(supply));
                rows += 1;
                rows - 1
            }));
        }
        let basis = (0..rows)
            .map(|r| {
                if r < pieces {
                    Basic::Missing(r)
                } else {
                    Basic::Slack(r)
                }
            })
            .collect();
        let mut inverse = vec![0.0; rows * rows];
        for r in 0..rows {
            inverse[r * rows + r] = 1.0;
        }
        let mut master = Self {
            pieces,
            bar_row,
            costs,
            dear: 64.0,
            at: need.clone(),
            need,
            columns: Vec::new(),
            basis,
            inverse,
            prices: Vec::new(),
            pivots: 0,
        };
        master.refresh();
        master
    }

    /// Adds patterns that may enter the basis.
    pub(super) fn add(&mut self, patterns: impl IntoIterator<Item = Pattern>) {
        self.columns.extend(patterns);
    }

    /// Patterns added so far.
    pub(super) fn columns(&self) -> &[Pattern] {
        &self.columns
    }

    /// The price of each length: what one more piece would cost.
    pub(super) fn piece_prices(&self) -> &[f64] {
        &self.prices[..self.pieces]
    }

    /// What one bar of a kind costs, with the price of its scarcity.
    pub(super) fn bar_price(&self, kind: usize) -> f64 {
        self.costs[kind] - self.bar_row[kind].map_or(0.0, |row| self.prices[row])
    }

    /// Patterns in the basis with how often they are cut, and how many pieces stay uncovered.
    pub(super) fn solution(&self) -> (Vec<(usize, f64)>, f64) {
        let mut used = Vec::new();
        let mut missing = 0.0;
        for (basic, at) in self.basis.iter().zip(&self.at) {
            match *basic {
                Basic::Pattern(c) if *at > 1e-7 => used.push((c, *at)),
                Basic::Missing(_) => missing += at.max(0.0),
                Basic::Pattern(_) | Basic::Surplus(_) | Basic::Slack(_) => {}
            }
        }
        (used, missing)
    }

    /// The least cost over the patterns added so far; false if the effort ran out first.
    pub(super) fn optimise(&mut self, effort: &mut Effort<'_>) -> bool {
        let limit = 40 * self.basis.len() + 4_000;
        let rows = self.basis.len() as u64;
        for _ in 0..limit {
            let Some(entering) = self.entering() else {
                return true;
            };
            if !effort.spend(50 + 2 * self.columns.len() as u64 + rows * rows / 8) {
                return false;
            }
            if !self.pivot(entering) {
                return true;
            }
        }
        false
    }

    fn entering(&self) -> Option<Basic> {
        let mut best = (-TINY, None);
        for (c, column) in self.columns.iter().enumerate() {
            let reduced = self.bar_price(column.kind)
                - column
                    .items
                    .iter()
                    .map(|&(i, n)| self.prices[i] * real(n))
                    .sum::<f64>();
            if reduced < best.0 {
                best = (reduced, Some(Basic::Pattern(c)));
            }
        }
        for (r, price) in self.prices.iter().enumerate() {
            let (reduced, basic) = if r < self.pieces {
                (*price, Basic::Surplus(r))
            } else {
                (-*price, Basic::Slack(r))
            };
            if reduced < best.0 {
                best = (reduced, Some(basic));
            }
        }
        best.1
    }

    fn entries(&self, basic: Basic) -> Vec<(usize, f64)> {
        match basic {
            Basic::Pattern(c) => {
                let column = &self.columns[c];
                let pieces = column.items.iter().map(|&(i, n)| (i, real(n)));
                pieces
                    .chain(self.bar_row[column.kind].map(|row| (row, 1.0)))
                    .collect()
            }
            Basic::Surplus(r) => vec![(r, -1.0)],
            Basic::Slack(r) | Basic::Missing(r) => vec![(r, 1.0)],
        }
    }

    fn cost(&self, basic: Basic) -> f64 {
        match basic {
            Basic::Pattern(c) => self.costs[self.columns[c].kind],
            Basic::Missing(_) => self.dear,
            Basic::Surplus(_) | Basic::Slack(_) => 0.0,
        }
    }

    /// Brings `entering` into the basis; false if nothing limits it (rounding has spoilt the inverse).
    fn pivot(&mut self, entering: Basic) -> bool {
        let rows = self.basis.len();
        let entries = self.entries(entering);
        let direction: Vec<f64> = (0..rows)
            .map(|r| {
                entries
                    .iter()
                    .map(|&(k, v)| self.inverse[r * rows + k] * v)
                    .sum()
            })
            .collect();
        let reduced = self.cost(entering)
            - entries
                .iter()
                .map(|&(k, v)| self.prices[k] * v)
                .sum::<f64>();
        let Some(leaving) = self.leaving(&direction) else {
            return false;
        };
        let step = self.at[leaving].max(0.0) / direction[leaving];
        self.at
            .iter_mut()
            .zip(&direction)
            .for_each(|(at, by)| *at -= step * by);
        self.at[leaving] = step;
        let row: Vec<f64> = self.inverse[leaving * rows..(leaving + 1) * rows]
            .iter()
            .map(|v| v / direction[leaving])
            .collect();
        for (r, by) in direction.iter().enumerate() {
            let target = &mut self.inverse[r * rows..(r + 1) * rows];
            if r == leaving {
                target.copy_from_slice(&row);
            } else if by.abs() > 1e-14 {
                target.iter_mut().zip(&row).for_each(|(t, v)| *t -= by * v);
            }
        }
        self.prices
            .iter_mut()
            .zip(&row)
            .for_each(|(price, v)| *price += reduced * v);
        self.basis[leaving] = entering;
        self.pivots += 1;
        if self.pivots.is_multiple_of(REFRESH) {
            self.refresh();
        }
        true
    }

    /// The row that reaches nought first; of several, the one with the greatest pivot.
    fn leaving(&self, direction: &[f64]) -> Option<usize> {
        let mut best: Option<(f64, f64, usize)> = None;
        for (r, &by) in direction.iter().enumerate().filter(|(_, by)| **by > 1e-9) {
            let ratio = self.at[r].max(0.0) / by;
            let better = best.is_none_or(|(least, pivot, _)| {
                ratio < least - 1e-10 || (ratio < least + 1e-10 && by > pivot)
            });
            if better {
                best = Some((ratio, by, r));
            }
        }
        best.map(|found| found.2)
    }

    /// Values and prices anew from the inverse.
    fn refresh(&mut self) {
        let rows = self.basis.len();
        self.prices = vec![0.0; rows];
        for r in 0..rows {
            let row = &self.inverse[r * rows..(r + 1) * rows];
            self.at[r] = row.iter().zip(&self.need).map(|(v, n)| v * n).sum();
            let cost = self.cost(self.basis[r]);
            if cost != 0.0 {
                self.prices
                    .iter_mut()
                    .zip(row)
                    .for_each(|(price, v)| *price += cost * v);
            }
        }
    }
}
