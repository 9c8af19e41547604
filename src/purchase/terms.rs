//! The terms of orders in the program: minimum orders, freight and when it is free, surcharges, and what may stand at
//! a place.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::catalog::Supplier;
use crate::solver::milp::Effort;
use crate::solver::milp::Model;
use crate::solver::milp::Var;
use crate::solver::milp::solve;

use super::calendar::monday;
use super::market::Choice;
use super::model::Draft;
use super::model::Line;
use super::model::Order;
use super::slots::to_number;
use super::staging::Staged;

impl Draft<'_> {
    /// Adds minimum orders, freight and hazard surcharges of every order that may be sent.
    pub(super) fn add_terms(&mut self) {
        for ((supplier, days), order) in &self.orders {
            let joined = self.lines.iter().filter(|line| line.days == *days);
            let lines: Vec<(&Line, &Choice<'_>)> = joined
                .filter_map(|line| Some((line, self.market.choices.get(line.choice)?)))
                .filter(|(_, choice)| choice.supplier.id == *supplier)
                .collect();
            if let Some((_, choice)) = lines.first() {
                add_minimum(&mut self.model, choice.supplier, order, &lines);
                add_freight(&mut self.model, choice.supplier, order, &lines);
                add_hazard(&mut self.model, order, &lines);
            }
        }
    }

    /// Keeps what stands at a place under its limit: when a delivery comes, no more has arrived than the limit and
    /// what was used before.
    ///
    /// A relaxed limit gives way to what the work takes on the day, rounded up to the smallest packs.
    pub(super) fn limit_storage(&mut self, place: usize, staged: &Staged, is_relaxed: bool) {
        let needs: BTreeSet<usize> = self
            .lines
            .iter()
            .filter_map(|line| Some(self.market.choices.get(line.choice)?.wanted))
            .collect();
        let needs: Vec<usize> = needs.into_iter().collect();
        let stored = self.market.stored_at(&needs, place);
        let wanted = stored
            .iter()
            .filter_map(|index| self.market.wanted.get(*index));
        let shelf: f64 = wanted.map(|want| to_number(want.stock.amount)).sum();
        let smallest = stored
            .iter()
            .filter_map(|index| self.market.smallest_pack(*index))
            .map(to_number);
        let rounding: f64 = smallest.sum();
        for (delivery, (last, room)) in staged.deliveries.iter().zip(staged.rooms()) {
            let arrived = stored
                .iter()
                .flat_map(|wanted| self.packs_of(*wanted, Date::MIN, last));
            let litres: Vec<(Var, f64)> =
                arrived.map(|(var, size)| (var, size / 1_000.0)).collect();
            let gives_way = if is_relaxed {
                (delivery.standing() + rounding - staged.limit).max(0.0)
            } else {
                0.0
            };
            self.model
                .at_most((room + gives_way - shelf) / 1_000.0, litres);
        }
    }

    /// Keeps what the orders sent in each week come to under a budget.
    pub(super) fn limit_budget(&mut self, budget: f64) {
        for terms in self.weeks() {
            self.model.at_most(budget, terms);
        }
    }

    /// The least weekly budget that any plan keeps; none where that is not found.
    pub(super) fn least_budget(&self) -> Option<f64> {
        let mut model = self.model.without_costs();
        let budget = model.continuous(1.0, 0.0, f64::INFINITY);
        for terms in self.weeks() {
            model.at_most(0.0, terms.into_iter().chain([(budget, -1.0)]));
        }
        let answer = solve(&model, None, Effort::nodes(2_000));
        answer
            .has_values()
            .then(|| answer.values.get(budget.index()).copied())?
    }

    /// What the orders sent in each week come to.
    fn weeks(&self) -> Vec<Vec<(Var, f64)>> {
        let mut weeks: BTreeMap<Date, Vec<Var>> = BTreeMap::new();
        for ((supplier, days), order) in &self.orders {
            let vars = weeks.entry(monday(days.sent)).or_default();
            vars.push(order.sent);
            vars.extend(order.hazard);
            vars.extend(order.freight.map(|(freight, _)| freight));
            let lines = self.lines.iter().filter(|line| {
                line.days == *days
                    && self
                        .market
                        .choices
                        .get(line.choice)
                        .is_some_and(|choice| choice.supplier.id == *supplier)
            });
            for tier in lines.flat_map(|line| &line.tiers) {
                vars.push(tier.packs);
                vars.extend(tier.chosen);
            }
        }
        weeks
            .into_values()
            .map(|vars| {
                let cost = |var: Var| (var, self.model.cost_of(var));
                vars.into_iter().map(cost).collect()
            })
            .collect()
    }
}

/// What an order's goods come to.
fn goods(lines: &[(&Line, &Choice<'_>)]) -> Vec<(Var, f64)> {
    let tiers = lines.iter().flat_map(|(line, _)| &line.tiers);
    tiers
        .flat_map(|tier| {
            let fixed = tier.chosen.map(|chosen| (chosen, tier.price.fixed));
            [Some((tier.packs, tier.price.price)), fixed]
        })
        .flatten()
        .collect()
}

fn add_minimum(
    model: &mut Model,
    supplier: &Supplier,
    order: &Order,
    lines: &[(&Line, &Choice<'_>)],
) {
    let minimum = to_number(supplier.minimum_order.amount());
    if minimum > 0.0 {
        model.at_least(
            0.0,
            goods(lines).into_iter().chain([(order.sent, -minimum)]),
        );
    }
}

/// Freight that may become free: a variable at least as large as the freight, unless the goods reach the sum that
/// waives it.
fn add_freight(
    model: &mut Model,
    supplier: &Supplier,
    order: &Order,
    lines: &[(&Line, &Choice<'_>)],
) {
    let Some(((freight, waived), from)) = order.freight.zip(supplier.freight_free_from) else {
        return;
    };
    let fixed = to_number(supplier.freight_fixed.amount());
    let heaviest = |(line, choice): &(&Line, &Choice<'_>)| {
        let packs = line
            .tiers
            .iter()
            .map(|tier| f64::from(tier.price.most))
            .fold(0.0, f64::max);
        choice.freight() * packs
    };
    let most = fixed + lines.iter().map(heaviest).sum::<f64>();
    let charged = lines.iter().flat_map(|(line, choice)| {
        let freight = choice.freight();
        line.tiers.iter().map(move |tier| (tier.packs, -freight))
    });
    model.at_least(
        0.0,
        charged.chain([(freight, 1.0), (order.sent, -fixed), (waived, most)]),
    );
    model.at_least(
        0.0,
        goods(lines)
            .into_iter()
            .chain([(waived, -to_number(from.amount()))]),
    );
    model.at_most(0.0, [(waived, 1.0), (order.sent, -1.0)]);
}

fn add_hazard(model: &mut Model, order: &Order, lines: &[(&Line, &Choice<'_>)]) {
    let Some(hazard) = order.hazard else { return };
    for tier in lines
        .iter()
        .filter(|(_, choice)| choice.hazardous)
        .flat_map(|(line, _)| &line.tiers)
    {
        model.at_most(
            0.0,
            [(tier.packs, 1.0), (hazard, -f64::from(tier.price.most))],
        );
    }
}
