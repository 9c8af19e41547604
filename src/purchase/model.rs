//! States the purchase as a mixed-integer program: packs, price breaks, freight, surcharges and minimum orders.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::solver::milp::Model;
use crate::solver::milp::Var;
use crate::solver::sourcing::Tier as Price;

use super::market::Choice;
use super::market::Market;
use super::slots::Days;
use super::slots::Slot;
use super::slots::to_number;

/// So many packs of an offer in the order that arrives by a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Taken {
    /// The offer, an index of the market's choices.
    pub(super) choice: usize,
    /// The days of the order.
    pub(super) days: Days,
    /// The packs.
    pub(super) packs: u32,
}

/// The program with what its variables mean.
#[derive(Clone)]
pub(super) struct Draft<'a> {
    pub(super) market: &'a Market<'a>,
    pub(super) model: Model,
    pub(super) lines: Vec<Line>,
    pub(super) orders: BTreeMap<(&'a str, Days), Order>,
}

/// An offer in an order.
#[derive(Clone)]
pub(super) struct Line {
    pub(super) choice: usize,
    pub(super) days: Days,
    pub(super) tiers: Vec<Tier>,
}

/// Packs at one price.
#[derive(Clone)]
pub(super) struct Tier {
    pub(super) packs: Var,
    /// Whether this price is the one; none where the offer has one price for any number.
    pub(super) chosen: Option<Var>,
    pub(super) price: Price,
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
    /// Writes the program for some of the market's needs with the lines that could serve them.
    pub(super) fn of(market: &'a Market<'a>, wanted: &[usize], slots: &[Slot]) -> Self {
        let mut draft = Self {
            market,
            model: Model::new(),
            lines: Vec::new(),
            orders: BTreeMap::new(),
        };
        for slot in slots {
            if let Some(choice) = market.choices.get(slot.choice) {
                let sent = draft.order(choice, slot.days);
                let tiers = draft.tiers(choice, &slot.prices, sent);
                draft.lines.push(Line {
                    choice: slot.choice,
                    days: slot.days,
                    tiers,
                });
            }
        }
        for wanted in wanted {
            draft.cover(*wanted);
        }
        draft.add_terms();
        draft
    }

    fn order(&mut self, choice: &Choice<'a>, days: Days) -> Var {
        let supplier = choice.supplier;
        if let Some(order) = self.orders.get(&(supplier.id.as_str(), days)) {
            return order.sent;
        }
        let free = supplier.freight_free_from.is_some();
        let fixed = if free {
            0.0
        } else {
            to_number(supplier.freight_fixed.amount())
        };
        let sent = self.model.whole(fixed, 0.0, 1.0);
        let surcharge = to_number(supplier.hazard_surcharge.amount());
        let hazard = (surcharge > 0.0).then(|| self.model.whole(surcharge, 0.0, 1.0));
        let freight = free.then(|| {
            (
                self.model.continuous(1.0, 0.0, f64::INFINITY),
                self.model.whole(0.0, 0.0, 1.0),
            )
        });
        self.orders.insert(
            (&supplier.id, days),
            Order {
                sent,
                hazard,
                freight,
            },
        );
        sent
    }

    /// The packs at each price of an offer: at most one price holds, for all of them.
    fn tiers(&mut self, choice: &Choice<'a>, prices: &[Price], sent: Var) -> Vec<Tier> {
        let free = choice.supplier.freight_free_from.is_some();
        let per_pack = if free { 0.0 } else { choice.freight() };
        let is_plain = |price: &Price| prices.len() == 1 && price.from <= 1 && price.fixed == 0.0;
        let mut tiers = Vec::new();
        for price in prices {
            let most = f64::from(price.most);
            let packs = self.model.whole(price.price + per_pack, 0.0, most);
            let chosen = (!is_plain(price)).then(|| self.model.whole(price.fixed, 0.0, 1.0));
            self.model
                .at_most(0.0, [(packs, 1.0), (chosen.unwrap_or(sent), -most)]);
            if let Some(chosen) = chosen {
                self.model
                    .at_least(0.0, [(packs, 1.0), (chosen, -f64::from(price.from))]);
            }
            tiers.push(Tier {
                packs,
                chosen,
                price: *price,
            });
        }
        let chosen: Vec<(Var, f64)> = tiers
            .iter()
            .filter_map(|tier| Some((tier.chosen?, 1.0)))
            .collect();
        if !chosen.is_empty() {
            self.model
                .at_most(0.0, chosen.into_iter().chain([(sent, -1.0)]));
        }
        tiers
    }

    /// Every stage of a need is covered by what has arrived by then.
    fn cover(&mut self, wanted: usize) {
        let Some(unit) = self.market.smallest_pack(wanted) else {
            return;
        };
        // Where all packs are whole numbers of the smallest, so is what they add up to: that much tighter is the program.
        let even = self.market.choices_for(wanted).all(|(_, choice)| {
            choice
                .offer
                .pack
                .checked_rem(unit)
                .is_some_and(|rest| rest.is_zero())
        });
        for due in self.market.due(wanted) {
            let terms = self.packs_of(wanted, due.from, due.last);
            let units = due.amount.checked_div(unit).unwrap_or(Decimal::MAX);
            let units = to_number(if even { units.ceil() } else { units });
            self.model.at_least(
                units,
                terms
                    .into_iter()
                    .map(|(var, size)| (var, size / to_number(unit))),
            );
        }
    }

    /// The variables of a need's packs that arrive within some days, with what each pack holds.
    pub(super) fn packs_of(&self, wanted: usize, from: Date, last: Date) -> Vec<(Var, f64)> {
        let mut terms = Vec::new();
        for line in self
            .lines
            .iter()
            .filter(|line| from <= line.days.there && line.days.there <= last)
        {
            if let Some(choice) = self
                .market
                .choices
                .get(line.choice)
                .filter(|choice| choice.wanted == wanted)
            {
                let size = to_number(choice.offer.pack);
                terms.extend(line.tiers.iter().map(|tier| (tier.packs, size)));
            }
        }
        terms
    }
}
