//! Orders by supplier: what a studio manager sends.

use crate::plan::Plan;
use crate::purchase::Order;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::cells::paper;
use super::materials;

/// The tables that `facelay buy` prints.
pub(super) fn build(plan: &Plan) -> Report {
    let sheet = Sheet::new("orders", "Orders")
        .heading("Orders, the most urgent first")
        .table(overview(plan))
        .heading("Order lines")
        .table(lines(plan))
        .heading("Materials")
        .table(materials::table(plan))
        .note(format!("Found by {}.", plan.purchase.engine));
    Report {
        name: "buy".into(),
        title: format!("{}: orders", plan.job.title),
        paper: paper(plan),
        sheets: vec![sheet],
    }
}

/// One row an order.
pub(super) fn overview(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("supplier"),
        Column::day("send by"),
        Column::day("arrives"),
        Column::number("lines", 0),
        Column::money("goods").summed(),
        Column::money("freight").summed(),
        Column::money("surcharge").summed(),
        Column::money("total")
            .summed()
            .computed("[goods]+[freight]+[surcharge]"),
    ];
    let rows = plan.purchase.orders.iter().map(|order| {
        vec![
            Value::text(supplier(plan, order)),
            Value::Day(order.order_by),
            Value::Day(order.arrives),
            Value::count(order.lines.len()),
            Value::Decimal(order.goods.cents().amount()),
            Value::Decimal(order.freight.cents().amount()),
            Value::Decimal(order.surcharge.cents().amount()),
            Value::Decimal(order.total.cents().amount()),
        ]
    });
    Table::new("Orders", columns).rows(rows)
}

fn lines(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("supplier"),
        Column::text("material"),
        Column::number("packs", 0),
        Column::text("pack of"),
        Column::money("price of a pack"),
        Column::money("amount")
            .summed()
            .computed("ROUND([packs]*[price of a pack],2)"),
        Column::day("need by").only_wide(),
    ];
    let rows = plan.purchase.orders.iter().flat_map(|order| {
        order.lines.iter().map(|line| {
            vec![
                Value::text(supplier(plan, order)),
                Value::text(&line.material),
                Value::Decimal(line.packs.into()),
                Value::Text(line.pack.to_string()),
                Value::Decimal(line.unit_price.amount()),
                Value::Decimal(line.amount.cents().amount()),
                Value::Day(line.need_by),
            ]
        })
    });
    Table::new("OrderLines", columns).rows(rows)
}

/// The supplier's name as it is written on orders.
pub(super) fn supplier(plan: &Plan, order: &Order) -> String {
    plan.job
        .catalog
        .suppliers
        .get(&order.supplier)
        .map_or_else(|| order.supplier.clone(), |supplier| supplier.name.clone())
}
