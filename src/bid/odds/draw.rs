//! One draw: how far off each hour, quantity and price is.

use std::collections::BTreeMap;

use crate::job::OddsTerms;
use crate::job::Spread;
use crate::job::SpreadOf;

use super::chance::Chance;
use super::chance::below;
use super::chance::joined;
use super::chance::triangular;

/// How many things each kind of spread is about.
#[derive(Clone, Copy, Debug)]
pub(super) struct Counts {
    /// Panels, and one more for work on none.
    pub(super) panels: usize,
    pub(super) materials: usize,
    pub(super) suppliers: usize,
    pub(super) own_lines: usize,
}

impl Counts {
    fn of(self, of: SpreadOf) -> usize {
        match of {
            SpreadOf::Removal | SpreadOf::Labour => self.panels,
            SpreadOf::Materials => self.materials,
            SpreadOf::Prices => self.suppliers,
            SpreadOf::Own => self.own_lines,
        }
    }
}

/// The factors of one draw.
#[derive(Clone, Debug)]
pub(super) struct Draw {
    /// By kind of spread and thing, the product of all spreads and conditions about it.
    factors: BTreeMap<SpreadOf, Vec<f64>>,
    /// Which conditions hold, in the order of the terms.
    pub(super) holds: Vec<bool>,
    /// Working days lost at the site.
    pub(super) days_lost: i64,
    /// What each spread, then each condition, was: its mean factor, or 1 where it holds.
    pub(super) drivers: Vec<f64>,
}

impl Draw {
    /// Draws everything once.
    pub(super) fn of(terms: &OddsTerms, counts: Counts, number: u64) -> Self {
        let mut chance = Chance::of(terms.seed, number);
        let mut draw = Self::planned(counts);
        let mut causes: BTreeMap<&str, f64> = BTreeMap::new();
        for spread in &terms.spreads {
            // Drawn whether it is used or not, so that a cause given to one spread leaves the numbers of the others alone.
            let fresh = chance.normal();
            let common = if spread.cause.is_empty() {
                fresh
            } else {
                *causes.entry(&spread.cause).or_insert(fresh)
            };
            draw.spread(spread, common, &mut chance);
        }
        for condition in &terms.conditions {
            let holds = chance.even() < condition.chance;
            let days = chance.even();
            draw.holds.push(holds);
            draw.drivers.push(if holds { 1.0 } else { 0.0 });
            if !holds {
                continue;
            }
            draw.scale(SpreadOf::Removal, condition.removal);
            draw.scale(SpreadOf::Labour, condition.labour);
            draw.scale(SpreadOf::Materials, condition.materials);
            if let Some(points) = condition.days {
                draw.days_lost += whole(triangular(points, days));
            }
        }
        draw
    }

    /// Everything as planned.
    pub(super) fn planned(counts: Counts) -> Self {
        let ones = |of: &SpreadOf| (*of, vec![1.0; counts.of(*of)]);
        Self {
            factors: SpreadOf::ALL.iter().map(ones).collect(),
            holds: Vec::new(),
            days_lost: 0,
            drivers: Vec::new(),
        }
    }

    fn spread(&mut self, spread: &Spread, common: f64, chance: &mut Chance) {
        let factors = self.factors.entry(spread.of).or_default();
        let mut sum = 0.0;
        for factor in factors.iter_mut() {
            let own = joined(spread.shared, common, chance.normal());
            let drawn = triangular(spread.points, below(own));
            *factor *= drawn;
            sum += drawn;
        }
        let count = u32::try_from(factors.len()).unwrap_or(u32::MAX).max(1);
        self.drivers.push(sum / f64::from(count));
    }

    fn scale(&mut self, of: SpreadOf, by: f64) {
        for factor in self.factors.entry(of).or_default() {
            *factor *= by;
        }
    }

    /// The factor on one thing; 1 where there is no such thing.
    pub(super) fn factor(&self, of: SpreadOf, at: usize) -> f64 {
        let factors = self.factors.get(&of);
        factors
            .and_then(|factors| factors.get(at))
            .copied()
            .unwrap_or(1.0)
    }
}

/// Rounds to a whole number.
#[allow(
    clippy::cast_possible_truncation,
    reason = "clamped far inside the range of i64 just before"
)]
pub(super) fn whole(value: f64) -> i64 {
    if value.is_finite() {
        value.clamp(-1.0e15, 1.0e15).round() as i64
    } else {
        0
    }
}
