//! What was chosen to orders with their money, to the cent line by line.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::catalog::Supplier;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::job::Job;
use crate::units::Money;
use crate::units::Quantity;

use super::calendar::arrival;
use super::calendar::latest_sending;
use super::market::Choice;
use super::market::Market;
use super::model::Taken;
use super::outcome::Order;
use super::outcome::OrderLine;

/// Groups what was chosen into orders, by order day and supplier.
pub(super) fn of(job: &Job, market: &Market<'_>, taken: &[Taken], ledger: &mut Ledger) -> Vec<Order> {
    let mut grouped: BTreeMap<(&str, Date), Vec<(&Choice<'_>, u32)>> = BTreeMap::new();
    for one in taken {
        if let Some(choice) = market.choices.get(one.choice) {
            grouped.entry((&choice.supplier.id, one.day)).or_default().push((choice, one.packs));
        }
    }
    let mut orders: Vec<Order> = Vec::new();
    for ((_, day), mut lines) in grouped {
        lines.sort_by(|(a, _), (b, _)| (&a.offer.material, a.offer.pack).cmp(&(&b.offer.material, b.offer.pack)));
        let Some(supplier) = lines.first().map(|(choice, _)| choice.supplier) else { continue };
        orders.push(order(job, market, supplier, day, &lines));
    }
    orders.sort_by(|a, b| (a.order_by, a.arrives, &a.supplier).cmp(&(b.order_by, b.arrives, &b.supplier)));
    record(job, &orders, ledger);
    orders
}

fn order(job: &Job, market: &Market<'_>, supplier: &Supplier, day: Date, taken: &[(&Choice<'_>, u32)]) -> Order {
    let lines: Vec<OrderLine> = taken.iter().map(|(choice, packs)| line(market, choice, *packs, day)).collect();
    let goods: Money = lines.iter().map(|line| line.amount).sum();
    let lead = taken.iter().map(|(choice, _)| choice.offer.lead_days).max().unwrap_or(0);
    let kilograms: f64 = taken.iter().map(|(choice, packs)| choice.kilograms * f64::from(*packs)).sum();
    let freight = freight(supplier, goods, kilograms);
    let hazardous = taken.iter().any(|(choice, _)| choice.hazardous);
    let surcharge = if hazardous { supplier.hazard_surcharge.cents() } else { Money::ZERO.cents() };
    let earliest = arrival(job.order_day, lead);
    // What may not stand there yet is asked for on its day.
    let held_back =
        taken.iter().flat_map(|(choice, _)| market.windows(choice)).filter(|(from, last)| *from <= day && day <= *last);
    let from = held_back.map(|(from, _)| from).max().unwrap_or(earliest);
    Order {
        supplier: supplier.id.clone(),
        order_by: latest_sending(latest_arrival(market, day, taken), lead).max(job.order_day),
        arrives: earliest.max(from),
        total: goods + freight + surcharge,
        lines,
        goods,
        freight,
        surcharge,
    }
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

fn line(market: &Market<'_>, choice: &Choice<'_>, packs: u32, day: Date) -> OrderLine {
    let unit_price = choice.offer.price_of(packs);
    let stages = market.wanted.get(choice.wanted).zip(market.deadlines.get(choice.wanted));
    let served = stages.and_then(|(want, deadlines)| {
        want.stages
            .iter()
            .zip(deadlines)
            .filter(|(_, deadline)| **deadline >= day)
            .map(|(stage, _)| stage.need_by)
            .min()
    });
    OrderLine {
        material: choice.offer.material.clone(),
        pack: Quantity::new(choice.offer.pack, choice.unit),
        packs,
        unit_price,
        amount: unit_price.times(Decimal::from(packs)).cents(),
        need_by: served.unwrap_or(day),
        lead_days: choice.offer.lead_days,
        quantity: choice.offer.pack.saturating_mul(Decimal::from(packs)),
    }
}

/// Freight of an order: a fixed sum and so much a kilogram, or nothing from a goods value on; to the cent.
fn freight(supplier: &Supplier, goods: Money, kilograms: f64) -> Money {
    if supplier.freight_free_from.is_some_and(|from| goods >= from) {
        return Money::ZERO.cents();
    }
    let kilograms = Decimal::try_from(kilograms).unwrap_or_default();
    (supplier.freight_fixed + supplier.freight_per_kg.times(kilograms)).cents()
}

/// The id under which an order's derivation is kept: `order/SUPPLIER`, for later orders to the same supplier
/// `order/SUPPLIER/2` ….
pub(crate) fn derivation_id(orders: &[Order], index: usize) -> String {
    let Some(order) = orders.get(index) else { return String::new() };
    let number = orders.iter().take(index + 1).filter(|other| other.supplier == order.supplier).count();
    if number == 1 { format!("order/{}", order.supplier) } else { format!("order/{}/{number}", order.supplier) }
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
            let what = format!("{} × {} at {} = {}", line.packs, line.pack, line.unit_price, line.amount);
            derivation = derivation.input_from(&line.material, what, format!("need/{}", line.material));
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
