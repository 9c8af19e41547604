//! States the purchase for the engine of shared charges: amounts in whole units, lines by order, what is due by when.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::solver::sourcing::Check;
use crate::solver::sourcing::Line;
use crate::solver::sourcing::Need;
use crate::solver::sourcing::Order;
use crate::solver::sourcing::Plan;
use crate::solver::sourcing::Problem;
use crate::solver::sourcing::Tier;

use super::market::Choice;
use super::market::Due;
use super::market::MOST_PACKS;
use super::market::Market;
use super::model::Taken;
use super::slots::Days;
use super::slots::Slot;
use super::slots::to_number;

/// Table cells that one need may take; a need of more is counted in coarser units.
const MOST_CELLS: u64 = 4_000_000;

/// Which way amounts go that are counted in coarser units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Rounding {
    /// Needs up and packs down: every plan covers.
    Plan,
    /// Needs down and packs up: every bound holds.
    Bound,
}

/// The problem with what its lines mean.
pub(super) struct Covering {
    pub(super) problem: Problem,
    /// Whether any need is counted in coarser units.
    pub(super) is_coarse: bool,
    /// For each line its offer, its days, and how many packs it stands for.
    means: Vec<Vec<(usize, Days, u32)>>,
}

impl Covering {
    /// Writes the problem; `apart` makes every delivery of a staged need one of its own, so that none comes early.
    pub(super) fn of(
        market: &Market<'_>,
        wanted: &[usize],
        slots: &[Slot],
        rounding: Rounding,
        apart: bool,
    ) -> Self {
        let orders = orders(market, slots);
        let mut covering = Self {
            problem: Problem::default(),
            is_coarse: false,
            means: Vec::new(),
        };
        covering.problem.orders = orders.values().map(|(_, order)| *order).collect();
        let mut by_need: BTreeMap<usize, Vec<&Slot>> = BTreeMap::new();
        for slot in slots {
            if let Some(choice) = market.choices.get(slot.choice) {
                by_need.entry(choice.wanted).or_default().push(slot);
            }
        }
        for wanted in wanted {
            let slots = by_need.remove(wanted).unwrap_or_default();
            for dues in deliveries(market.due(*wanted), apart) {
                covering.add(market, &slots, &dues, &orders, rounding);
            }
        }
        covering
    }

    /// Adds what is due together as one need.
    fn add(
        &mut self,
        market: &Market<'_>,
        slots: &[&Slot],
        dues: &[Due],
        orders: &Orders<'_>,
        rounding: Rounding,
    ) {
        let (Some(from), Some(last)) = (
            dues.iter().map(|due| due.from).min(),
            dues.iter().map(|due| due.last).max(),
        ) else {
            return;
        };
        let mut lines: Vec<(usize, &Slot, &Choice<'_>)> = slots
            .iter()
            .filter(|slot| from <= slot.days.there && slot.days.there <= last)
            .filter_map(|slot| {
                let choice = market.choices.get(slot.choice)?;
                let (place, _) = orders.get(&(slot.days, choice.supplier.id.as_str()))?;
                Some((*place, *slot, choice))
            })
            .collect();
        lines.sort_by_key(|(order, slot, _)| (*order, slot.choice));
        let unit = unit(lines.iter().map(|(_, _, choice)| choice.offer.pack));
        let most = dues.iter().map(|due| due.amount).max().unwrap_or_default();
        let coarse = coarseness(&lines, most, unit);
        self.is_coarse |= coarse > 1;
        let count = |amount: Decimal, up: bool| whole_units(amount, unit, coarse, up);
        let is_plan = rounding == Rounding::Plan;
        let mut need = Need {
            amount: count(most, is_plan || coarse == 1),
            ..Need::default()
        };
        let mut means = Vec::new();
        for (order, slot, choice) in &lines {
            let packs = together(choice.offer.pack, unit, coarse, is_plan);
            let size = count(choice.offer.pack.saturating_mul(packs.into()), !is_plan);
            let last = slot.prices.len();
            let tiers: Vec<Tier> = (1..)
                .zip(&slot.prices)
                .filter_map(|(at, tier)| bundled(*tier, packs, is_plan && coarse > 1 && at == last))
                .collect();
            if size == 0 || tiers.is_empty() {
                continue;
            }
            need.hazardous |= choice.hazardous;
            need.lines.push(Line {
                order: *order,
                size,
                freight: choice.freight() * f64::from(packs),
                tiers,
            });
            means.push((slot.choice, slot.days, packs));
        }
        need.checks = dues
            .iter()
            .map(|due| Check {
                lines: means
                    .iter()
                    .filter(|(_, days, _)| days.there <= due.last)
                    .count(),
                amount: count(due.amount, is_plan || coarse == 1),
            })
            .collect();
        self.problem.needs.push(need);
        self.means.push(means);
    }

    /// The plan in offers, days and packs.
    pub(super) fn taken(&self, plan: &Plan) -> Vec<Taken> {
        let mut sums: BTreeMap<(usize, Days), u32> = BTreeMap::new();
        for (means, packs) in self.means.iter().zip(plan) {
            for (line, packs) in packs {
                if let Some((choice, days, bundle)) = means.get(*line) {
                    let sum = sums.entry((*choice, *days)).or_default();
                    *sum = sum.saturating_add(packs.saturating_mul(*bundle));
                }
            }
        }
        sums.into_iter()
            .map(|((choice, days), packs)| Taken {
                choice,
                days,
                packs,
            })
            .collect()
    }
}

/// Orders by day and supplier, each with its place and terms.
type Orders<'a> = BTreeMap<(Days, &'a str), (usize, Order)>;

fn orders<'a>(market: &Market<'a>, slots: &[Slot]) -> Orders<'a> {
    let mut orders: Orders<'a> = BTreeMap::new();
    for slot in slots {
        let Some(choice) = market.choices.get(slot.choice) else {
            continue;
        };
        let terms = choice.supplier;
        orders
            .entry((slot.days, terms.id.as_str()))
            .or_insert_with(|| {
                let order = Order {
                    fixed: to_number(terms.freight_fixed.amount()),
                    hazard: to_number(terms.hazard_surcharge.amount()),
                    minimum: to_number(terms.minimum_order.amount()),
                    free_from: terms.freight_free_from.map(|from| to_number(from.amount())),
                };
                (0, order)
            });
    }
    for (place, (index, _)) in orders.values_mut().enumerate() {
        *index = place;
    }
    orders
}

/// What is due, by needs that are covered together: all of what keeps, each delivery of what does not.
fn deliveries(dues: Vec<Due>, apart: bool) -> Vec<Vec<Due>> {
    let (own, together): (Vec<Due>, Vec<Due>) = dues.into_iter().partition(|due| due.own);
    let mut all: Vec<Vec<Due>> = own.into_iter().map(|due| vec![due]).collect();
    if apart {
        let (mut before, mut from) = (Decimal::ZERO, Date::MIN);
        for due in together {
            let amount = due.amount - before;
            if amount > Decimal::ZERO {
                all.push(vec![Due {
                    amount,
                    from,
                    ..due
                }]);
            }
            before = before.max(due.amount);
            from = due.last.tomorrow().unwrap_or(due.last);
        }
    } else if !together.is_empty() {
        all.push(together);
    }
    all
}

/// The largest amount of which every pack is a whole number, in thousandths of the material's unit.
fn unit(packs: impl Iterator<Item = Decimal>) -> u64 {
    packs
        .fold(0, |unit, pack| gcd(unit, thousandths(pack)))
        .max(1)
}

/// Packs are written to a thousandth at the finest.
fn thousandths(amount: Decimal) -> u64 {
    amount
        .checked_mul(Decimal::ONE_THOUSAND)
        .and_then(|amount| amount.ceil().to_u64())
        .unwrap_or(u64::MAX)
}

const fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// How many units count as one, so that the tables of a need stay small.
fn coarseness(lines: &[(usize, &Slot, &Choice<'_>)], most: Decimal, unit: u64) -> u64 {
    let tiers: usize = lines.iter().map(|(_, slot, _)| slot.prices.len() + 1).sum();
    let amount = thousandths(most).div_ceil(unit);
    let cells = u64::try_from(tiers)
        .unwrap_or(u64::MAX)
        .saturating_mul(amount);
    cells.div_ceil(MOST_CELLS).max(1)
}

/// How many packs are taken together where a need is counted in coarser units: as many, up to some sixteen units' worth, as lose least when
/// their amount is rounded down to whole units. The bound takes packs one by one.
fn together(pack: Decimal, unit: u64, coarse: u64, is_plan: bool) -> u32 {
    const UNITS: u64 = 16;
    const TRIES: u64 = 64;
    let step = unit.saturating_mul(coarse);
    let pack = thousandths(pack).max(1);
    if !is_plan || coarse == 1 || pack >= UNITS.saturating_mul(step) {
        return 1;
    }
    let least = step.div_ceil(pack);
    let most = UNITS
        .saturating_mul(step)
        .div_ceil(pack)
        .min(least.saturating_add(TRIES));
    // Lost of every thousand thousandths.
    let lost = |packs: &u64| {
        let amount = u128::from(packs.saturating_mul(pack));
        (amount % u128::from(step)).saturating_mul(1_000_000) / amount.max(1)
    };
    let packs = (least..=most).min_by_key(lost).unwrap_or(least);
    u32::try_from(packs).unwrap_or(u32::MAX)
}

/// A price for bundles of so many packs; none where no whole bundle has it. The last price goes on without an end where a need is counted in
/// coarser units, since rounding then takes a little more than the most packs that could pay.
fn bundled(tier: Tier, packs: u32, goes_on: bool) -> Option<Tier> {
    let most = if goes_on {
        MOST_PACKS
    } else {
        tier.most / packs
    };
    let from = tier.from.div_ceil(packs);
    (from <= most).then(|| Tier {
        from,
        most,
        price: tier.price * f64::from(packs),
        fixed: tier.fixed,
    })
}

/// An amount in units, up or down to a whole one.
fn whole_units(amount: Decimal, unit: u64, coarse: u64, up: bool) -> usize {
    let step = unit.saturating_mul(coarse);
    let amount = thousandths(amount);
    let units = if up {
        amount.div_ceil(step)
    } else {
        amount / step
    };
    usize::try_from(units).unwrap_or(usize::MAX)
}
