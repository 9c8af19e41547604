//! States the purchase as a mixed-integer program: packs, price breaks, freight, surcharges and minimum orders.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::solver::milp::Model;
use crate::solver::milp::Var;

use super::demand::Wanted;
use super::market::Choice;
use super::market::MOST_PACKS;
use super::market::Market;

/// So many packs of an offer in the order that arrives by a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Taken {
    /// The offer, an index of the market's choices.
    pub(super) choice: usize,
    /// The day of the order.
    pub(super) day: Date,
    /// The packs.
    pub(super) packs: u32,
}

/// The program with what its variables mean.
#[derive(Clone)]
pub(super) struct Draft<'a> {
    pub(super) market: &'a Market<'a>,
    pub(super) model: Model,
    pub(super) lines: Vec<Line>,
    pub(super) orders: BTreeMap<(&'a str, Date), Order>,
}

/// An offer in an order.
#[derive(Clone)]
pub(super) struct Line {
    pub(super) choice: usize,
    pub(super) day: Date,
    pub(super) tiers: Vec<Tier>,
}

/// Packs at one price.
#[derive(Clone)]
pub(super) struct Tier {
    pub(super) packs: Var,
    /// Whether this price is the one; none where the offer has one price.
    pub(super) chosen: Option<Var>,
    pub(super) from: u32,
    pub(super) most: u32,
    pub(super) price: f64,
}

/// An order that may be sent.
#[derive(Clone)]
pub(super) struct Order {
    pub(super) sent: Var,
    pub(super) hazard: Option<Var>,
    /// Freight as a variable, and whether it is free; none where freight is never free.
    pub(super) freight: Option<(Var, Var)>,
}

impl<'a> Draft<'a> {
    /// Writes the program for some of the market's needs.
    pub(super) fn of(market: &'a Market<'a>, wanted: &[usize], days: &BTreeMap<String, Vec<Date>>) -> Self {
        let mut draft = Self { market, model: Model::new(), lines: Vec::new(), orders: BTreeMap::new() };
        for wanted in wanted {
            for (index, choice) in market.choices_for(*wanted) {
                draft.add_choice(index, choice, days);
            }
        }
        for wanted in wanted {
            draft.cover(*wanted);
        }
        draft.add_terms();
        draft
    }

    /// Adds an offer to every order that it can join.
    fn add_choice(&mut self, index: usize, choice: &Choice<'a>, days: &BTreeMap<String, Vec<Date>>) {
        let windows = self.market.windows(choice);
        for day in days.get(&choice.supplier.id).into_iter().flatten() {
            if windows.iter().any(|(from, last)| from <= day && day <= last) {
                let sent = self.order(choice, *day);
                let tiers = self.tiers(choice, sent);
                self.lines.push(Line { choice: index, day: *day, tiers });
            }
        }
    }

    fn order(&mut self, choice: &Choice<'a>, day: Date) -> Var {
        let supplier = choice.supplier;
        if let Some(order) = self.orders.get(&(supplier.id.as_str(), day)) {
            return order.sent;
        }
        let free = supplier.freight_free_from.is_some();
        let fixed = if free { 0.0 } else { to_number(supplier.freight_fixed.amount()) };
        let sent = self.model.whole(fixed, 0.0, 1.0);
        let surcharge = to_number(supplier.hazard_surcharge.amount());
        let hazard = (surcharge > 0.0).then(|| self.model.whole(surcharge, 0.0, 1.0));
        let freight = free.then(|| (self.model.continuous(1.0, 0.0, f64::INFINITY), self.model.whole(0.0, 0.0, 1.0)));
        self.orders.insert((&supplier.id, day), Order { sent, hazard, freight });
        sent
    }

    /// The packs at each price of an offer: at most one price holds, for all of them.
    fn tiers(&mut self, choice: &Choice<'a>, sent: Var) -> Vec<Tier> {
        let most = most_packs(self.market, choice);
        let free = choice.supplier.freight_free_from.is_some();
        let per_pack = if free { 0.0 } else { to_number(choice.supplier.freight_per_kg.amount()) * choice.kilograms };
        let prices = &choice.offer.prices;
        let single = prices.len() == 1;
        let mut tiers = Vec::new();
        for (index, price) in prices.iter().enumerate() {
            let next = prices.get(index + 1).map_or(most, |next| next.from_packs.saturating_sub(1).min(most));
            let from = if index == 0 { 1 } else { price.from_packs };
            if from > next {
                continue;
            }
            let cost = to_number(price.price.amount());
            let packs = self.model.whole(cost + per_pack, 0.0, f64::from(next));
            let chosen = (!single).then(|| self.model.whole(0.0, 0.0, 1.0));
            self.model.at_most(0.0, [(packs, 1.0), (chosen.unwrap_or(sent), -f64::from(next))]);
            if let Some(chosen) = chosen {
                self.model.at_least(0.0, [(packs, 1.0), (chosen, -f64::from(from))]);
            }
            tiers.push(Tier { packs, chosen, from, most: next, price: cost });
        }
        let chosen: Vec<(Var, f64)> = tiers.iter().filter_map(|tier| Some((tier.chosen?, 1.0))).collect();
        if !chosen.is_empty() {
            self.model.at_most(0.0, chosen.into_iter().chain([(sent, -1.0)]));
        }
        tiers
    }

    /// Every stage of a need is covered by what has arrived by then.
    fn cover(&mut self, wanted: usize) {
        let Some((want, deadlines)) = self.market.wanted.get(wanted).zip(self.market.deadlines.get(wanted)) else {
            return;
        };
        let Some(unit) = self.market.smallest_pack(wanted) else { return };
        // Where all packs are whole numbers of the smallest, so is what they add up to: that much tighter is the program.
        let even = self
            .market
            .choices_for(wanted)
            .all(|(_, choice)| choice.offer.pack.checked_rem(unit).is_some_and(|rest| rest.is_zero()));
        let mut before = Decimal::ZERO;
        for (index, (stage, deadline)) in want.stages.iter().zip(deadlines).enumerate() {
            let all = want.to_buy(index);
            let needed = if stage.own_delivery { all - before } else { all };
            before = all;
            let from = stage.not_before.filter(|_| stage.own_delivery).unwrap_or(Date::MIN);
            if needed > Decimal::ZERO {
                let terms = self.packs_of(wanted, from, *deadline);
                let units = needed.checked_div(unit).unwrap_or(Decimal::MAX);
                let units = to_number(if even { units.ceil() } else { units });
                self.model.at_least(units, terms.into_iter().map(|(var, size)| (var, size / to_number(unit))));
            }
        }
    }

    /// The variables of a need's packs that arrive within some days, with what each pack holds.
    pub(super) fn packs_of(&self, wanted: usize, from: Date, last: Date) -> Vec<(Var, f64)> {
        let mut terms = Vec::new();
        for line in self.lines.iter().filter(|line| from <= line.day && line.day <= last) {
            if let Some(choice) = self.market.choices.get(line.choice).filter(|choice| choice.wanted == wanted) {
                let size = to_number(choice.offer.pack);
                terms.extend(line.tiers.iter().map(|tier| (tier.packs, size)));
            }
        }
        terms
    }

    /// The orders' days on which an offer could be taken.
    pub(super) fn days_of(&self, choice: usize) -> impl Iterator<Item = Date> {
        self.lines.iter().filter(move |line| line.choice == choice).map(|line| line.day)
    }
}

/// The most packs that could ever pay: enough for the need, the last price break, the minimum order, or what free
/// freight saves.
fn most_packs(market: &Market<'_>, choice: &Choice<'_>) -> u32 {
    let need = market.wanted.get(choice.wanted).map_or(Decimal::ZERO, Wanted::all_to_buy);
    let covering = choice.packs_for(need);
    let last_break = choice.offer.prices.iter().map(|price| price.from_packs).max().unwrap_or(1);
    let lowest = choice.offer.prices.iter().map(|price| price.price.amount()).min().unwrap_or(Decimal::ZERO);
    let packs_worth = |amount: Decimal| match amount.checked_div(lowest) {
        Some(packs) => packs.ceil().to_u32().unwrap_or(MOST_PACKS),
        None => 0,
    };
    let terms = choice.supplier;
    let minimum = packs_worth(terms.minimum_order.amount());
    // Packs bought only to make freight free can cost no more than the freight that they save, which may be that of
    // other lines.
    let saved =
        if terms.freight_free_from.is_some() { packs_worth(dearest_freight(market, terms.id.as_str())) } else { 0 };
    covering.max(last_break).max(minimum).saturating_add(saved).min(MOST_PACKS)
}

/// The freight of everything a supplier could be asked for.
fn dearest_freight(market: &Market<'_>, supplier: &str) -> Decimal {
    let mut total = Decimal::ZERO;
    for choice in market.choices.iter().filter(|choice| choice.supplier.id == supplier) {
        let need = market.wanted.get(choice.wanted).map_or(Decimal::ZERO, Wanted::all_to_buy);
        let kilograms =
            Decimal::try_from(choice.kilograms * f64::from(choice.packs_for(need))).unwrap_or(Decimal::ZERO);
        let freight = choice.supplier.freight_per_kg.times(kilograms).amount();
        total = total.max(choice.supplier.freight_fixed.amount()).saturating_add(freight);
    }
    total
}

/// A decimal for the engine, which counts in binary fractions; the price is worked out again in decimals afterwards.
pub(super) fn to_number(amount: Decimal) -> f64 {
    amount.to_f64().unwrap_or(0.0)
}
