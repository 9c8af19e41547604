//! The terms of orders in the program: minimum orders, freight and when it is free, surcharges, and what may stand at
//! a place.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::catalog::Supplier;
use crate::solver::milp::Model;
use crate::solver::milp::Var;

use super::market::Choice;
use super::model::Draft;
use super::model::Line;
use super::model::Order;
use super::model::to_number;
use super::staging::Staged;

impl Draft<'_> {
    /// Adds minimum orders, freight and hazard surcharges of every order that may be sent.
    pub(super) fn add_terms(&mut self) {
        for ((supplier, day), order) in &self.orders {
            let joined = self.lines.iter().filter(|line| line.day == *day);
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
        let stored = self.stored_at(place);
        let wanted = stored.iter().filter_map(|index| self.market.wanted.get(*index));
        let shelf: f64 = wanted.map(|want| to_number(want.stock.amount)).sum();
        let smallest = stored.iter().filter_map(|index| self.market.smallest_pack(*index)).map(to_number);
        let rounding: f64 = smallest.sum();
        for (order, delivery) in staged.deliveries.iter().enumerate() {
            let next = staged.deliveries.get(order + 1).map(|next| next.need_by);
            let last = next.and_then(|day| day.yesterday().ok()).unwrap_or(Date::MAX);
            let arrived = stored.iter().flat_map(|wanted| self.packs_of(*wanted, Date::MIN, last));
            let litres: Vec<(Var, f64)> = arrived.map(|(var, size)| (var, size / 1_000.0)).collect();
            let gives_way = if is_relaxed { delivery.standing() + rounding } else { 0.0 };
            let most = staged.limit.max(gives_way) + delivery.used_before - delivery.carried - shelf;
            self.model.at_most(most / 1_000.0, litres);
        }
    }

    /// The needs of this draft that count towards a place's limit.
    fn stored_at(&self, place: usize) -> Vec<usize> {
        let counts = |index: &usize| {
            let stages = self.market.wanted.get(*index).map(|want| want.stages.as_slice());
            stages.unwrap_or_default().iter().any(|stage| stage.limited == Some(place))
        };
        let choices = self.lines.iter().filter_map(|line| self.market.choices.get(line.choice));
        let needs: BTreeSet<usize> = choices.map(|choice| choice.wanted).collect();
        needs.into_iter().filter(counts).collect()
    }
}

/// What an order's packs add up to, with a weight for each.
fn sum_of<'a>(
    lines: &'a [(&Line, &Choice<'_>)],
    weight: impl Fn(&Choice<'_>, f64) -> f64 + 'a,
) -> impl Iterator<Item = (Var, f64)> + 'a {
    lines.iter().flat_map(move |(line, choice)| {
        let weights: Vec<(Var, f64)> = line.tiers.iter().map(|tier| (tier.packs, weight(choice, tier.price))).collect();
        weights
    })
}

fn add_minimum(model: &mut Model, supplier: &Supplier, order: &Order, lines: &[(&Line, &Choice<'_>)]) {
    let minimum = to_number(supplier.minimum_order.amount());
    if minimum > 0.0 {
        let goods = sum_of(lines, |_, price| price);
        model.at_least(0.0, goods.chain([(order.sent, -minimum)]));
    }
}

/// Freight that may become free: a variable at least as large as the freight, unless the goods reach the sum that
/// waives it.
fn add_freight(model: &mut Model, supplier: &Supplier, order: &Order, lines: &[(&Line, &Choice<'_>)]) {
    let Some(((freight, waived), from)) = order.freight.zip(supplier.freight_free_from) else { return };
    let (fixed, per_kg) = (to_number(supplier.freight_fixed.amount()), to_number(supplier.freight_per_kg.amount()));
    let heaviest = |(line, choice): &(&Line, &Choice<'_>)| {
        let packs = line.tiers.iter().map(|tier| f64::from(tier.most)).fold(0.0, f64::max);
        per_kg * choice.kilograms * packs
    };
    let most = fixed + lines.iter().map(heaviest).sum::<f64>();
    let charged = sum_of(lines, |choice, _| -per_kg * choice.kilograms);
    model.at_least(0.0, charged.chain([(freight, 1.0), (order.sent, -fixed), (waived, most)]));
    let goods = sum_of(lines, |_, price| price);
    model.at_least(0.0, goods.chain([(waived, -to_number(from.amount()))]));
    model.at_most(0.0, [(waived, 1.0), (order.sent, -1.0)]);
}

fn add_hazard(model: &mut Model, order: &Order, lines: &[(&Line, &Choice<'_>)]) {
    let Some(hazard) = order.hazard else { return };
    for tier in lines.iter().filter(|(_, choice)| choice.hazardous).flat_map(|(line, _)| &line.tiers) {
        model.at_most(0.0, [(tier.packs, 1.0), (hazard, -f64::from(tier.most))]);
    }
}
