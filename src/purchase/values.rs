//! Plans in and out of the program: a plan to values to start from, values to the plan they mean.

use crate::solver::milp::Var;

use super::market::MOST_PACKS;
use super::market::Market;
use super::model::Draft;
use super::model::Taken;
use super::model::Tier;
use super::slots::Days;
use super::slots::to_number;

impl Draft<'_> {
    /// The values of all variables for a plan.
    pub(super) fn values(&self, plan: &[Taken]) -> Vec<f64> {
        let mut values = vec![0.0; self.model.variable_count()];
        let mut set = |var: Var, value: f64| {
            if let Some(slot) = values.get_mut(var.index()) {
                *slot = value;
            }
        };
        for line in &self.lines {
            let packs = plan
                .iter()
                .filter(|taken| taken.choice == line.choice && taken.days == line.days)
                .map(|taken| taken.packs)
                .sum::<u32>();
            let tier = line
                .tiers
                .iter()
                .rev()
                .find(|tier| packs >= tier.price.from);
            if let Some(tier) = tier.filter(|_| packs > 0) {
                set(tier.packs, f64::from(packs));
                tier.chosen.into_iter().for_each(|chosen| set(chosen, 1.0));
            }
        }
        for (key, order) in &self.orders {
            let totals = Totals::of(self.market, plan, *key);
            if totals.packs == 0 {
                continue;
            }
            set(order.sent, 1.0);
            order
                .hazard
                .into_iter()
                .for_each(|hazard| set(hazard, f64::from(u8::from(totals.hazardous))));
            if let Some((freight, waived)) = order.freight {
                set(waived, f64::from(u8::from(totals.is_freight_free)));
                set(
                    freight,
                    if totals.is_freight_free {
                        0.0
                    } else {
                        totals.freight
                    },
                );
            }
        }
        values
    }

    /// Reads a plan off the values of the variables.
    pub(super) fn read(&self, values: &[f64]) -> Vec<Taken> {
        let packs = |tier: &Tier| {
            values
                .get(tier.packs.index())
                .map_or(0, |value| whole(*value))
        };
        let taken = self.lines.iter().map(|line| Taken {
            choice: line.choice,
            days: line.days,
            packs: line.tiers.iter().map(packs).sum(),
        });
        taken.filter(|taken| taken.packs > 0).collect()
    }
}

/// What an order comes to, for a start.
struct Totals {
    packs: u32,
    hazardous: bool,
    freight: f64,
    is_freight_free: bool,
}

impl Totals {
    fn of(market: &Market<'_>, plan: &[Taken], (supplier, days): (&str, Days)) -> Self {
        let mut totals = Self {
            packs: 0,
            hazardous: false,
            freight: 0.0,
            is_freight_free: false,
        };
        let (mut goods, mut kilograms) = (0.0, 0.0);
        for taken in plan
            .iter()
            .filter(|taken| taken.days == days && taken.packs > 0)
        {
            let Some(choice) = market
                .choices
                .get(taken.choice)
                .filter(|choice| choice.supplier.id == supplier)
            else {
                continue;
            };
            totals.packs = totals.packs.saturating_add(taken.packs);
            totals.hazardous |= choice.hazardous;
            goods += to_number(choice.offer.cost_of(taken.packs).amount());
            kilograms += to_number(choice.kilograms) * f64::from(taken.packs);
            let terms = choice.supplier;
            totals.freight = to_number(terms.freight_fixed.amount())
                + to_number(terms.freight_per_kg.amount()) * kilograms;
            totals.is_freight_free = terms
                .freight_free_from
                .is_some_and(|from| goods >= to_number(from.amount()));
        }
        totals
    }
}

/// A whole number of packs.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the range of u32 just before"
)]
fn whole(value: f64) -> u32 {
    value.round().clamp(0.0, f64::from(MOST_PACKS)) as u32
}
