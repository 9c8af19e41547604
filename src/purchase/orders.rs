//! What was chosen to orders with their money, to the cent line by line.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::catalog::Delivery;
use crate::catalog::Supplier;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::job::Job;
use crate::units::Money;
use crate::units::Quantity;

use super::calendar::monday;
use super::calendar::shifted;
use super::choose::Chosen;
use super::market::Choice;
use super::market::Market;
use super::outcome::Order;
use super::outcome::OrderLine;
use super::slots::Days;

/// Groups what was chosen into orders, by order day and supplier.
pub(super) fn of(
    job: &Job,
    market: &Market<'_>,
    chosen: &Chosen,
    ledger: &mut Ledger,
) -> Vec<Order> {
    let mut grouped: BTreeMap<(&str, Days), Vec<(&Choice<'_>, u32)>> = BTreeMap::new();
    for one in &chosen.taken {
        if let Some(choice) = market.choices.get(one.choice) {
            grouped
                .entry((&choice.supplier.id, one.days))
                .or_default()
                .push((choice, one.packs));
        }
    }
    let mut orders: Vec<Order> = Vec::new();
    for ((_, days), mut lines) in grouped {
        lines.sort_by(|(a, _), (b, _)| {
            (&a.offer.material, a.wanted, a.offer.pack).cmp(&(
                &b.offer.material,
                b.wanted,
                b.offer.pack,
            ))
        });
        orders.extend(order(job, market, days, &lines));
    }
    orders.sort_by(|a, b| {
        (a.order_by, a.arrives, &a.supplier).cmp(&(b.order_by, b.arrives, &b.supplier))
    });
    record(job, &orders, ledger);
    orders
}

/// An order with its days; with a weekly budget it is sent in the week planned for it.
fn order(
    job: &Job,
    market: &Market<'_>,
    days: Days,
    taken: &[(&Choice<'_>, u32)],
) -> Option<Order> {
    let supplier = taken.first()?.0.supplier;
    let day = days.there;
    let lines: Vec<OrderLine> = taken
        .iter()
        .flat_map(|(choice, packs)| lines(job, market, choice, *packs, day))
        .collect();
    let goods: Money = lines.iter().map(|line| line.amount).sum();
    let kilograms = lines.iter().fold(Decimal::ZERO, |sum, line| {
        sum.saturating_add(line.kilograms.saturating_mul(line.packs.into()))
    });
    let freight = freight(supplier, goods, kilograms);
    let hazardous = taken.iter().any(|(choice, _)| choice.hazardous);
    let surcharge = if hazardous {
        supplier.hazard_surcharge.cents()
    } else {
        Money::ZERO.cents()
    };
    // What may not stand there yet is asked for on its day.
    let held_back = taken
        .iter()
        .flat_map(|(choice, _)| market.windows(choice))
        .filter(|(from, last)| *from <= day && day <= *last);
    let from = held_back.map(|(from, _)| from).max();
    let by = latest_arrival(market, day, taken);
    let latest = taken.iter().map(|(choice, _)| choice.last_order(by)).min();
    let order_by = match job.buying.budget_week {
        Some(_) => latest.map(|latest| latest.min(shifted(monday(days.sent), 4))),
        None => latest,
    };
    let order_by = order_by.unwrap_or(day).max(days.sent);
    let arrival = taken
        .iter()
        .map(|(choice, _)| choice.offer.arrival(days.sent))
        .max();
    Some(Order {
        supplier: supplier.id.clone(),
        order_by,
        arrives: arrival.max(from).unwrap_or(day),
        total: goods + freight + surcharge,
        tax: tax(job, &lines, freight + surcharge),
        lines,
        goods,
        freight,
        surcharge,
        kilograms: kilograms.normalize(),
    })
}

/// Tax on every line and on freight and surcharge, summed and rounded once.
fn tax(job: &Job, lines: &[OrderLine], others: Money) -> Money {
    let lines = lines.iter().map(|line| line.tax.of(line.amount));
    (lines.sum::<Money>() + job.terms.tax.of(others)).cents()
}

/// The day by which an order must be there: the first need of any of its lines.
fn latest_arrival(market: &Market<'_>, day: Date, taken: &[(&Choice<'_>, u32)]) -> Date {
    let windows = taken.iter().filter_map(|(choice, _)| {
        market
            .windows(choice)
            .into_iter()
            .filter(|(from, last)| *from <= day && day <= *last)
            .map(|(_, last)| last)
            .min()
    });
    windows.min().unwrap_or(day)
}

/// The lines of an offer, one a price: packs above a break that lowers only them stand apart.
fn lines(
    job: &Job,
    market: &Market<'_>,
    choice: &Choice<'_>,
    packs: u32,
    day: Date,
) -> Vec<OrderLine> {
    let stages = market
        .wanted
        .get(choice.wanted)
        .zip(market.deadlines.get(choice.wanted));
    let served = stages.and_then(|(want, deadlines)| {
        want.stages
            .iter()
            .zip(deadlines)
            .filter(|(_, deadline)| **deadline >= day)
            .map(|(stage, _)| stage.need_by)
            .min()
    });
    let offer = choice.offer;
    let line = |(packs, unit_price): (u32, Money)| OrderLine {
        material: offer.material.clone(),
        serves: stages.map_or_else(|| offer.material.clone(), |(want, _)| want.material.clone()),
        pack: Quantity::new(offer.pack, choice.unit),
        packs,
        unit_price,
        amount: unit_price.times(Decimal::from(packs)).cents(),
        need_by: served.unwrap_or(day),
        lead_days: offer.lead_days,
        is_express: offer.delivery == Delivery::Express,
        kilograms: choice.kilograms,
        tax: offer.tax.unwrap_or(job.terms.tax),
        quantity: offer.pack.saturating_mul(Decimal::from(packs)),
    };
    offer.parts_of(packs).into_iter().map(line).collect()
}

/// Freight of an order: a fixed sum and so much a kilogram, or nothing from a goods value on; to the cent.
fn freight(supplier: &Supplier, goods: Money, kilograms: Decimal) -> Money {
    if supplier.freight_free_from.is_some_and(|from| goods >= from) {
        return Money::ZERO.cents();
    }
    (supplier.freight_fixed + supplier.freight_per_kg.times(kilograms)).cents()
}

/// The id under which an order's derivation is kept: `order/SUPPLIER`, for later orders to the same supplier
/// `order/SUPPLIER/2` ….
pub(crate) fn derivation_id(orders: &[Order], index: usize) -> String {
    let Some(order) = orders.get(index) else {
        return String::new();
    };
    let number = orders
        .iter()
        .take(index + 1)
        .filter(|other| other.supplier == order.supplier)
        .count();
    if number == 1 {
        format!("order/{}", order.supplier)
    } else {
        format!("order/{}/{number}", order.supplier)
    }
}

fn record(job: &Job, orders: &[Order], ledger: &mut Ledger) {
    for (index, order) in orders.iter().enumerate() {
        let supplier = job.catalog.suppliers.get(&order.supplier);
        let name = supplier.map_or(order.supplier.as_str(), |supplier| supplier.name.as_str());
        let mut derivation = Derivation::new(
            derivation_id(orders, index),
            format!("order to {name}"),
            format!("{} {}", order.total, job.currency),
            "goods, line by line to the cent + freight + hazard surcharge",
        );
        for line in &order.lines {
            let what = format!(
                "{} × {} at {} = {}",
                line.packs, line.pack, line.unit_price, line.amount
            );
            derivation =
                derivation.input_from(&line.material, what, format!("need/{}", line.serves));
        }
        ledger.record(
            derivation
                .input("goods", order.goods)
                .input("freight", order.freight)
                .input("hazard surcharge", order.surcharge)
                .input("send by", order.order_by)
                .rounded("each line, freight and surcharge to the cent, halves away from zero"),
        );
    }
}
