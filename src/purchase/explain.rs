//! Each material summed up, with why it is bought where it is.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use rust_decimal::Decimal;

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
pub(super) fn bought(market: &Market<'_>, orders: &[Order], taken: &[Taken]) -> Vec<Bought> {
    let mut lines: BTreeMap<&str, Vec<(&Order, &OrderLine)>> = BTreeMap::new();
    for order in orders {
        for line in &order.lines {
            lines.entry(&line.material).or_default().push((order, line));
        }
    }
    let mut used: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    for one in taken {
        if let Some(choice) = market.choices.get(one.choice) {
            used.entry(choice.wanted).or_default().insert(one.choice);
        }
    }
    let sum_up = |(index, want): (usize, &Wanted)| {
        let lines = lines.get(want.material.as_str()).map_or(&[][..], Vec::as_slice);
        let bought = lines.iter().fold(Decimal::ZERO, |sum, (_, line)| sum.saturating_add(line.quantity));
        let left = (bought - want.all_to_buy()).max(Decimal::ZERO);
        let cost = lines.iter().map(|(_, line)| line.amount).sum::<Money>();
        Bought {
            material: want.material.clone(),
            need: want.need,
            stock: want.stock,
            bought: Quantity::new(bought, want.need.unit),
            left: Quantity::new(left, want.need.unit),
            need_by: want.first_need(),
            cost,
            chosen: why(market, index, want, lines, used.get(&index)),
        }
    };
    market.wanted.iter().enumerate().map(sum_up).collect()
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
    let bought: Vec<String> =
        lines.iter().map(|(order, line)| format!("{} from {}", packs(line.packs, line.pack), order.supplier)).collect();
    let cost = lines.iter().map(|(_, line)| line.amount).sum::<Money>();
    format!("{}: {}", bought.join(", "), beside(next_best(market, index, want, used), cost.amount()))
}

/// The cheapest other offer that covers the need alone, with its goods value.
fn next_best<'a>(
    market: &'a Market<'_>,
    index: usize,
    want: &Wanted,
    used: Option<&BTreeSet<usize>>,
) -> Option<(&'a Choice<'a>, u32, Decimal)> {
    let others = market.choices_for(index).filter(|(choice, _)| used.is_none_or(|used| !used.contains(choice)));
    let priced = others.map(|(_, choice)| {
        let (packs, cost) = choice.cheapest_for(want.all_to_buy());
        (choice, packs, Money::new(cost).cents().amount())
    });
    priced.min_by(|a, b| (a.2, &a.0.offer.supplier, a.0.offer.pack).cmp(&(b.2, &b.0.offer.supplier, b.0.offer.pack)))
}

/// What the next best offer costs beside what was chosen, before freight.
fn beside(other: Option<(&Choice<'_>, u32, Decimal)>, cost: Decimal) -> String {
    let Some((choice, count, other_cost)) = other else { return "no other offer can be there in time".to_owned() };
    let pack = Quantity::new(choice.offer.pack, choice.unit);
    let next = format!("next best {} from {}", packs(count, pack), choice.supplier.id);
    let difference = Money::new(other_cost - cost).cents().amount();
    if difference > Decimal::ZERO {
        format!("{next} costs {difference} more before freight")
    } else if difference.is_zero() {
        format!("{next} costs the same before freight")
    } else {
        format!("{next} costs {} less before freight, but more with the orders as a whole", difference.abs())
    }
}

fn packs(count: u32, pack: Quantity) -> String {
    format!("{count} × {} {}", pack.amount.normalize(), pack.unit.name())
}
