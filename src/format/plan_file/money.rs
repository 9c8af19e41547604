//! Stock used, demands, orders and the bid; every amount of money a decimal string.

use std::collections::BTreeMap;

use jiff::civil::DateTime;
use serde::Serialize;
use serde::ser::SerializeMap;

use crate::bid::LEVELS;
use crate::bid::Odds;
use crate::plan::Plan;
use crate::plan::Side;
use crate::purchase::Demand;
use crate::purchase::Order;
use crate::purchase::OrderLine;
use crate::units::Money;

use super::Rows;

#[derive(Serialize)]
struct Stock<'a> {
    material: &'a str,
    quantity: String,
    unit: &'a str,
}

#[derive(Serialize)]
struct DemandRow<'a> {
    material: &'a str,
    quantity: String,
    unit: &'a str,
    need_by: String,
    because: &'a str,
}

#[derive(Serialize)]
struct Purchase<'a> {
    ordered: Vec<Stock<'a>>,
    orders: Vec<OrderRow<'a>>,
    total: String,
    lower_bound: String,
    engine: &'a str,
}

#[derive(Serialize)]
struct OrderRow<'a> {
    supplier: &'a str,
    order_by: String,
    arrives: String,
    lines: Vec<Line<'a>>,
    goods: String,
    freight: String,
    surcharge: String,
    total: String,
    tax: String,
    kilograms: String,
}

#[derive(Serialize)]
struct Line<'a> {
    material: &'a str,
    pack: String,
    unit: &'a str,
    packs: u32,
    unit_price: String,
    amount: String,
    need_by: String,
    /// The material needed, where another is ordered instead.
    #[serde(rename = "for")]
    serves: &'a str,
    express: bool,
    tax_percent: String,
}

#[derive(Serialize)]
struct Bid<'a> {
    lines: Vec<BidLine<'a>>,
    subtotal: String,
    contingency: String,
    overhead: String,
    markup: String,
    tax: String,
    total: String,
    contingency_of: BTreeMap<&'a str, String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    odds: Option<OddsRow>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    cases: Vec<CaseRow<'a>>,
}

/// Price with tax at each level; the sums of the cost lines and the days beside it.
#[derive(Serialize)]
struct OddsRow {
    p10: String,
    p50: String,
    p80: String,
    p90: String,
    draws: u32,
    seed: u64,
    cost: BTreeMap<String, String>,
    finish: BTreeMap<String, String>,
    enough: f64,
    in_time: Option<f64>,
}

#[derive(Serialize)]
struct CaseRow<'a> {
    case: &'a str,
    total: Option<String>,
    finish: Option<String>,
}

#[derive(Serialize)]
struct BidLine<'a> {
    id: &'a str,
    group: &'a str,
    text: &'a str,
    quantity: String,
    unit: &'a str,
    rate: String,
    amount: String,
}

pub(super) fn write<M: SerializeMap>(map: &mut M, plan: &Plan) -> Result<(), M::Error> {
    let stock = plan
        .purchase
        .from_stock
        .iter()
        .map(|(material, quantity)| Stock {
            material,
            quantity: quantity.amount.to_string(),
            unit: quantity.unit.name(),
        });
    map.serialize_entry("stock", &stock.collect::<Vec<_>>())?;
    map.serialize_entry(
        "demands",
        &Rows(|| plan.purchase.demands.iter().map(demand)),
    )?;
    let purchase = Purchase {
        ordered: plan
            .purchase
            .of_ordered
            .iter()
            .map(|(material, quantity)| Stock {
                material,
                quantity: quantity.amount.to_string(),
                unit: quantity.unit.name(),
            })
            .collect(),
        orders: plan.purchase.orders.iter().map(order).collect(),
        total: cents(plan.purchase.total),
        lower_bound: cents(plan.purchase.lower_bound),
        engine: &plan.purchase.engine,
    };
    map.serialize_entry("purchase", &purchase)?;
    map.serialize_entry("bid", &bid(plan))
}

fn cents(money: Money) -> String {
    money.cents().to_string()
}

fn demand(demand: &Demand) -> DemandRow<'_> {
    DemandRow {
        material: &demand.material,
        quantity: demand.quantity.amount.to_string(),
        unit: demand.quantity.unit.name(),
        need_by: demand.need_by.to_string(),
        because: &demand.because,
    }
}

fn order(order: &Order) -> OrderRow<'_> {
    OrderRow {
        supplier: &order.supplier,
        order_by: order.order_by.to_string(),
        arrives: order.arrives.to_string(),
        lines: order.lines.iter().map(line).collect(),
        goods: cents(order.goods),
        freight: cents(order.freight),
        surcharge: cents(order.surcharge),
        total: cents(order.total),
        tax: cents(order.tax),
        kilograms: order.kilograms.to_string(),
    }
}

fn line(line: &OrderLine) -> Line<'_> {
    Line {
        material: &line.material,
        pack: line.pack.amount.to_string(),
        unit: line.pack.unit.name(),
        packs: line.packs,
        unit_price: line.unit_price.to_string(),
        amount: cents(line.amount),
        need_by: line.need_by.to_string(),
        serves: &line.serves,
        express: line.is_express,
        tax_percent: line.tax.value().to_string(),
    }
}

fn bid(plan: &Plan) -> Bid<'_> {
    let bid = &plan.bid;
    let line = |line: &'_ crate::bid::BidLine| {
        (
            line.quantity.to_string(),
            line.rate.to_string(),
            cents(line.amount),
        )
    };
    let lines = bid.lines.iter().map(|row| {
        let (quantity, rate, amount) = line(row);
        BidLine {
            id: &row.id,
            group: row.group.name(),
            text: &row.text,
            quantity,
            unit: &row.unit,
            rate,
            amount,
        }
    });
    Bid {
        lines: lines.collect(),
        subtotal: cents(bid.subtotal),
        contingency: cents(bid.contingency),
        overhead: cents(bid.overhead),
        markup: cents(bid.markup),
        tax: cents(bid.tax),
        total: cents(bid.total),
        contingency_of: bid
            .contingencies
            .iter()
            .map(|(group, amount)| (group.name(), cents(*amount)))
            .collect(),
        odds: plan.odds.as_ref().map(odds),
        cases: plan
            .cases
            .iter()
            .flat_map(|comparison| comparison.sides.iter().skip(1))
            .map(case)
            .collect(),
    }
}

fn odds(odds: &Odds) -> OddsRow {
    let [p10, p50, p80, p90] = odds.price.map(cents);
    let name = |at: usize| {
        LEVELS
            .get(at)
            .map_or_else(String::new, |level| format!("p{level}"))
    };
    let costs = odds.cost.iter().enumerate();
    let days = odds.finish.iter().enumerate();
    OddsRow {
        p10,
        p50,
        p80,
        p90,
        draws: odds.draws,
        seed: odds.seed,
        cost: costs
            .map(|(at, level)| (name(at), cents(level.value)))
            .collect(),
        finish: days
            .map(|(at, level)| (name(at), moment(level.value)))
            .collect(),
        enough: odds.enough,
        in_time: odds.in_time,
    }
}

fn case(side: &Side) -> CaseRow<'_> {
    let outcome = side.outcome.as_ref();
    CaseRow {
        case: &side.name,
        total: outcome.map(|outcome| cents(outcome.total)),
        finish: outcome.and_then(|outcome| outcome.finish).map(moment),
    }
}

fn moment(moment: DateTime) -> String {
    moment.strftime("%Y-%m-%dT%H:%M").to_string()
}
