//! Each material summed up, with why it is bought where it is.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::job::Job;
use crate::units::Money;
use crate::units::Quantity;

use super::demand::Wanted;
use super::market::Choice;
use super::market::Market;
use super::model::Taken;
use super::outcome::Bought;
use super::outcome::Order;
use super::outcome::OrderLine;

/// Sums up every needed material, in the order of the needs.
pub(super) fn bought(
    job: &Job,
    market: &Market<'_>,
    orders: &[Order],
    taken: &[Taken],
) -> Vec<Bought> {
    let mut lines: BTreeMap<&str, Vec<(&Order, &OrderLine)>> = BTreeMap::new();
    for order in orders {
        for line in &order.lines {
            lines.entry(&line.serves).or_default().push((order, line));
        }
    }
    let mut used: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    for one in taken {
        if let Some(choice) = market.choices.get(one.choice) {
            used.entry(choice.wanted).or_default().insert(one.choice);
        }
    }
    let sum_up = |(index, want): (usize, &Wanted)| {
        let lines = lines
            .get(want.material.as_str())
            .map_or(&[][..], Vec::as_slice);
        let bought = lines.iter().fold(Decimal::ZERO, |sum, (_, line)| {
            sum.saturating_add(line.quantity)
        });
        let left = (bought - want.all_to_buy()).max(Decimal::ZERO);
        let cost = lines.iter().map(|(_, line)| line.amount).sum::<Money>();
        Bought {
            material: want.material.clone(),
            need: want.need,
            safety: safety(want),
            stock: want.stock,
            ordered: Quantity::new(want.of_ordered(), want.need.unit),
            bought: Quantity::new(bought, want.need.unit),
            packs: in_packs(lines),
            left: Quantity::new(left, want.need.unit),
            unopened: unopened(lines, left),
            left_value: left_value(job, cost, left, bought),
            first_use: want.first_use.clone(),
            need_by: want.first_need(),
            order_by: lines.iter().map(|(order, _)| order.order_by).min(),
            arrives: lines.iter().map(|(order, _)| order.arrives).min(),
            cost,
            chosen: why(market, index, want, lines, used.get(&index)),
        }
    };
    market.wanted.iter().enumerate().map(sum_up).collect()
}

/// What the odds add to the need, rounded as the need is.
fn safety(want: &Wanted) -> Decimal {
    let extra = want.service.map_or(0.0, |service| service.extra);
    Decimal::try_from(extra)
        .unwrap_or_default()
        .round_dp(u32::from(!want.need.unit.is_whole()))
}

/// The packs of all lines, in words.
fn in_packs(lines: &[(&Order, &OrderLine)]) -> String {
    let words: Vec<String> = lines
        .iter()
        .map(|(_, line)| packs(line.packs, line.pack))
        .collect();
    words.join(" + ")
}

/// How many packs, the largest first, a leftover leaves unopened.
fn unopened(lines: &[(&Order, &OrderLine)], left: Decimal) -> String {
    let mut lines: Vec<&OrderLine> = lines.iter().map(|(_, line)| *line).collect();
    lines.sort_by_key(|line| std::cmp::Reverse(line.pack.amount));
    let mut rest = left;
    let mut words = Vec::new();
    for line in lines {
        let whole = rest
            .checked_div(line.pack.amount)
            .unwrap_or_default()
            .floor();
        let count = whole.to_u32().unwrap_or(u32::MAX).min(line.packs);
        if count > 0 {
            rest -= line.pack.amount.saturating_mul(count.into());
            words.push(packs(count, line.pack));
        }
    }
    words.join(" + ")
}

/// The leftover's share of what was paid, at what the job says leftovers are worth.
fn left_value(job: &Job, cost: Money, left: Decimal, bought: Decimal) -> Money {
    let share = left.min(bought).checked_div(bought).unwrap_or_default();
    job.buying.kept_value.of(cost.times(share)).cents()
}

fn why(
    market: &Market<'_>,
    index: usize,
    want: &Wanted,
    lines: &[(&Order, &OrderLine)],
    used: Option<&BTreeSet<usize>>,
) -> String {
    if want.all_to_buy().is_zero() {
        return "the shelf holds enough".to_owned();
    }
    if lines.is_empty() {
        return "nobody offers it".to_owned();
    }
    let name = |id: &str| {
        let choice = market
            .choices_for(index)
            .find(|(_, choice)| choice.supplier.id == id);
        choice.map_or_else(|| id.to_owned(), |(_, choice)| choice.supplier.name.clone())
    };
    let bought: Vec<String> = lines
        .iter()
        .map(|(order, line)| {
            format!(
                "{} from {}",
                packs(line.packs, line.pack),
                name(&order.supplier)
            ) + &beside_the_need(want, line)
        })
        .collect();
    let cost = lines.iter().map(|(_, line)| line.amount).sum::<Money>();
    format!(
        "{}: {}",
        bought.join(", "),
        beside(next_best(market, index, want, used), cost.amount())
    )
}

/// What is out of the ordinary about a line: a substitute, an express delivery.
fn beside_the_need(want: &Wanted, line: &OrderLine) -> String {
    let mut words = String::new();
    if line.material != want.material {
        words = format!(" as `{}`", line.material);
    }
    if line.is_express {
        words += " by express";
    }
    words
}

/// The cheapest other offer that covers the need alone, with its goods value.
fn next_best<'a>(
    market: &'a Market<'_>,
    index: usize,
    want: &Wanted,
    used: Option<&BTreeSet<usize>>,
) -> Option<(&'a Choice<'a>, u32, Decimal)> {
    let others = market
        .choices_for(index)
        .filter(|(choice, _)| used.is_none_or(|used| !used.contains(choice)));
    let priced = others.map(|(_, choice)| {
        let (packs, cost) = choice.cheapest_for(want.all_to_buy());
        (choice, packs, Money::new(cost).cents().amount())
    });
    priced.min_by(|a, b| {
        (a.2, &a.0.offer.supplier, a.0.offer.pack).cmp(&(b.2, &b.0.offer.supplier, b.0.offer.pack))
    })
}

/// What the next best offer costs beside what was chosen, before freight.
fn beside(other: Option<(&Choice<'_>, u32, Decimal)>, cost: Decimal) -> String {
    let Some((choice, count, other_cost)) = other else {
        return "no other offer can be there in time".to_owned();
    };
    let pack = Quantity::new(choice.offer.pack, choice.unit);
    let next = format!(
        "next best {} from {}",
        packs(count, pack),
        choice.supplier.name
    );
    let difference = Money::new(other_cost - cost).cents().amount();
    if difference > Decimal::ZERO {
        format!("{next} costs {difference} more before freight")
    } else if difference.is_zero() {
        format!("{next} costs the same before freight")
    } else {
        format!(
            "{next} costs {} less before freight, but more with the orders as a whole",
            difference.abs()
        )
    }
}

fn packs(count: u32, pack: Quantity) -> String {
    format!("{count} × {} {}", pack.amount.normalize(), pack.unit.name())
}
