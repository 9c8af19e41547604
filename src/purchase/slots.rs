//! The lines that orders could hold: each supplier's delivery days, as few as serve every line it could get, and the
//! prices of each offer on them.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Breaks;
use crate::solver::sourcing::Tier;

use super::calendar::monday;
use super::calendar::shifted;
use super::demand::Wanted;
use super::market::Choice;
use super::market::MOST_PACKS;
use super::market::Market;

/// When an order is sent at the earliest, and by when it is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Days {
    /// The day by which it is there.
    pub(super) there: Date,
    /// The first day on which it may be sent.
    pub(super) sent: Date,
}

/// An offer on a delivery day.
#[derive(Clone, Debug)]
pub(super) struct Slot {
    /// The offer, an index of the market's choices.
    pub(super) choice: usize,
    /// The order's days.
    pub(super) days: Days,
    /// Its prices.
    pub(super) prices: Vec<Tier>,
}

/// The lines that could serve some needs.
pub(super) fn slots(
    market: &Market<'_>,
    wanted: &[usize],
    days: &BTreeMap<String, Vec<Days>>,
) -> Vec<Slot> {
    let mut all = Vec::new();
    for (index, choice) in wanted.iter().flat_map(|wanted| market.choices_for(*wanted)) {
        let prices = prices(market, choice);
        let mut windows = (Date::MIN, Vec::new());
        for days in days.get(&choice.supplier.id).into_iter().flatten() {
            if windows.0 != days.sent {
                windows = (days.sent, market.windows_from(choice, days.sent));
            }
            if windows
                .1
                .iter()
                .any(|(from, last)| *from <= days.there && days.there <= *last)
            {
                all.push(Slot {
                    choice: index,
                    days: *days,
                    prices: prices.clone(),
                });
            }
        }
    }
    all
}

/// An offer's prices as tiers: the packs from one break to the next, what the first of them cost at once, and each.
///
/// Where a break lowers only the packs above it, what the packs below it cost more is the tier's fixed part.
fn prices(market: &Market<'_>, choice: &Choice<'_>) -> Vec<Tier> {
    let offer = choice.offer;
    let most = most_packs(market, choice);
    let mut tiers = Vec::new();
    for (index, price) in offer.prices.iter().enumerate() {
        let next = offer
            .prices
            .get(index + 1)
            .map_or(most, |next| next.from_packs.saturating_sub(1).min(most));
        let from = price.from_packs.max(offer.least_packs);
        if from > next {
            continue;
        }
        let fixed = match offer.breaks {
            Breaks::All => Decimal::ZERO,
            Breaks::Above => {
                offer.cost_of(price.from_packs).amount()
                    - price.price.times(price.from_packs.into()).amount()
            }
        };
        tiers.push(Tier {
            from,
            most: next,
            price: to_number(price.price.amount()),
            fixed: to_number(fixed),
        });
    }
    tiers
}

/// The most packs that could ever pay: enough for the need, the last price break, the minimum order, or what free
/// freight saves.
fn most_packs(market: &Market<'_>, choice: &Choice<'_>) -> u32 {
    let need = market
        .wanted
        .get(choice.wanted)
        .map_or(Decimal::ZERO, Wanted::all_to_buy);
    let prices = &choice.offer.prices;
    let last_break = prices
        .iter()
        .map(|price| price.from_packs)
        .max()
        .unwrap_or(1);
    let lowest = prices
        .iter()
        .map(|price| price.price.amount())
        .min()
        .unwrap_or(Decimal::ZERO);
    let packs_worth = |amount: Decimal| match amount.checked_div(lowest) {
        Some(packs) => packs.ceil().to_u32().unwrap_or(MOST_PACKS),
        None => 0,
    };
    let terms = choice.supplier;
    let minimum = packs_worth(terms.minimum_order.amount());
    // Packs bought only to make freight free can cost no more than the freight that they save, which may be that of
    // other lines.
    let saved = if terms.freight_free_from.is_some() {
        let dearest = market.dearest_freight.get(terms.id.as_str()).copied();
        packs_worth(dearest.unwrap_or(Decimal::ZERO))
    } else {
        0
    };
    choice
        .packs_for(need)
        .max(last_break)
        .max(minimum)
        .saturating_add(saved)
        .min(MOST_PACKS)
}

impl Choice<'_> {
    /// Freight of a pack by weight.
    pub(super) fn freight(&self) -> f64 {
        to_number(self.supplier.freight_per_kg.times(self.kilograms).amount())
    }
}

/// A decimal for the engines, which count in binary fractions; the price is worked out again in decimals afterwards.
pub(super) fn to_number(amount: Decimal) -> f64 {
    amount.to_f64().unwrap_or(0.0)
}

/// Returns for each supplier the days worth an order of its own.
///
/// All lines of an order arrive together, so a line can join an order of a day within one of its windows. The last
/// days of windows are enough to choose from, and of those each day is dropped whose lines another day serves as
/// well. Orders are sent from the order day on, or from the day on which a later price holds, or, where a weekly budget
/// spreads them, in any later week.
pub(super) fn delivery_days(market: &Market<'_>, spread: bool) -> BTreeMap<String, Vec<Days>> {
    let mut all: BTreeMap<String, Vec<Days>> = BTreeMap::new();
    for sent in sending_days(market, spread) {
        let mut windows: BTreeMap<&str, Vec<(Date, Date)>> = BTreeMap::new();
        for choice in &market.choices {
            windows
                .entry(&choice.supplier.id)
                .or_default()
                .extend(market.windows_from(choice, sent));
        }
        for (supplier, windows) in windows {
            let days = worth_having(&windows)
                .into_iter()
                .map(|there| Days { there, sent });
            all.entry(supplier.to_owned()).or_default().extend(days);
        }
    }
    all
}

/// No more weeks than these are chosen from.
const MOST_WEEKS: usize = 60;

/// The order day, the days from which later prices hold, and with a budget the Mondays after it while anything could
/// still come in time.
fn sending_days(market: &Market<'_>, spread: bool) -> BTreeSet<Date> {
    let later = market
        .choices
        .iter()
        .filter_map(|choice| choice.offer.valid_from);
    let mut days: BTreeSet<Date> = later
        .filter(|day| *day > market.order_day)
        .chain([market.order_day])
        .collect();
    let last = market.deadlines.iter().flatten().max();
    if let Some(last) = last.filter(|_| spread) {
        let mut next = shifted(monday(market.order_day), 7);
        for _ in 0..MOST_WEEKS {
            if next > *last {
                break;
            }
            days.insert(next);
            next = shifted(next, 7);
        }
    }
    days
}

fn worth_having(windows: &[(Date, Date)]) -> Vec<Date> {
    let unique: BTreeSet<(Date, Date)> = windows.iter().copied().collect();
    let ends: BTreeSet<Date> = unique.iter().map(|(_, last)| *last).collect();
    let served = |day: Date| -> BTreeSet<usize> {
        unique
            .iter()
            .enumerate()
            .filter(|(_, (from, last))| *from <= day && day <= *last)
            .map(|(index, _)| index)
            .collect()
    };
    let days: Vec<(Date, BTreeSet<usize>)> =
        ends.into_iter().map(|day| (day, served(day))).collect();
    let mut kept: Vec<Date> = Vec::new();
    for (index, (day, lines)) in days.iter().enumerate() {
        // Of two days that serve the same the earlier stays.
        let better = days.iter().enumerate().any(|(other, (_, more))| {
            other != index && lines.is_subset(more) && (lines.len() < more.len() || other < index)
        });
        if !better {
            kept.push(*day);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    fn days(windows: &[(i8, i8)]) -> Vec<i8> {
        let windows: Vec<_> = windows
            .iter()
            .map(|(from, last)| (date(2026, 12, *from), date(2026, 12, *last)))
            .collect();
        worth_having(&windows).into_iter().map(Date::day).collect()
    }

    #[test]
    fn one_day_where_everything_can_arrive_together() {
        assert_eq!(days(&[(1, 9), (2, 5), (4, 20)]), [5]);
    }

    #[test]
    fn two_days_where_a_slow_line_would_hold_up_a_quick_one() {
        assert_eq!(days(&[(1, 3), (8, 9), (2, 9)]), [3, 9]);
    }

    #[test]
    fn of_equal_days_the_earlier() {
        assert_eq!(days(&[(1, 5), (1, 5)]), [5]);
        assert_eq!(days(&[]), Vec::<i8>::new());
    }
}
