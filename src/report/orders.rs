//! Orders by supplier: what a studio manager sends.

use crate::plan::Plan;
use crate::purchase::Order;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::cells::paper;
use super::leftovers;
use super::materials;

/// The tables that `facelay buy` prints.
pub(super) fn build(plan: &Plan) -> Report {
    let sheet = Sheet::new("orders", "Orders")
        .heading("Orders, the most urgent first")
        .table(overview(plan, false))
        .heading("Order lines")
        .table(lines(plan))
        .heading("Materials")
        .table(materials::table(plan, false))
        .heading("On the shelf after the job")
        .table(leftovers::stock_after(plan))
        .note(format!("The sum is {}.", plan.purchase.sure()));
    Report {
        name: "buy".into(),
        title: format!("{}: orders", plan.job.title),
        paper: paper(plan),
        sheets: vec![sheet],
    }
}

/// One row an order; `live` where each has a sheet of its own whose sums are taken over.
pub(super) fn overview(plan: &Plan, live: bool) -> Table {
    let columns = vec![
        Column::text("supplier"),
        Column::day("send by"),
        Column::day("arrives"),
        Column::number("lines", 0).only_wide(),
        Column::money("goods").summed(),
        Column::money("freight").summed(),
        Column::money("surcharge").summed(),
        Column::money("total")
            .summed()
            .computed("[goods]+[freight]+[surcharge]"),
        Column::money("tax").summed().only_wide(),
    ];
    let rows = plan.purchase.orders.iter().enumerate().map(|(at, order)| {
        let sum = |row: usize, amount: crate::units::Money| {
            let amount = amount.cents().amount();
            if live {
                let formula = format!("INDEX({}[amount],{row})", sums_name(at + 1));
                Value::Formula(formula, amount)
            } else {
                Value::Decimal(amount)
            }
        };
        vec![
            Value::text(supplier(plan, order)),
            Value::Day(order.order_by),
            Value::Day(order.arrives),
            Value::count(order.lines.len()),
            sum(1, order.goods),
            sum(2, order.freight),
            sum(3, order.surcharge),
            Value::Decimal(order.total.cents().amount()),
            sum(5, order.tax),
        ]
    });
    Table::new("OrderSums", columns).rows(rows)
}

/// The table of an order's lines in its sheet.
pub(super) fn lines_name(number: usize) -> String {
    format!("Order{number}")
}

/// The table of an order's sums in its sheet.
pub(super) fn sums_name(number: usize) -> String {
    format!("Order{number}Sum")
}

/// One row an order line.
pub(super) fn lines(plan: &Plan) -> Table {
    let columns = vec![
        Column::number("order", 0).only_wide(),
        Column::text("supplier"),
        Column::day("send by").only_wide(),
        Column::day("arrives").only_wide(),
        Column::text("material"),
        Column::text("what").only_wide(),
        Column::number("packs", 0),
        Column::text("pack of"),
        Column::money("price of a pack"),
        Column::money("amount")
            .summed()
            .computed("ROUND([packs]*[price of a pack],2)"),
        Column::number("tax (%)", 2).only_wide(),
        Column::day("need by").only_wide(),
        Column::text("delivery").only_wide(),
        Column::text("instead of").only_wide(),
    ];
    let rows = plan
        .purchase
        .orders
        .iter()
        .enumerate()
        .flat_map(|(at, order)| {
            order.lines.iter().map(move |line| {
                vec![
                    Value::count(at + 1),
                    Value::text(supplier(plan, order)),
                    Value::Day(order.order_by),
                    Value::Day(order.arrives),
                    Value::text(&line.material),
                    Value::text(plan.material_name(&line.material)),
                    Value::Decimal(line.packs.into()),
                    Value::Text(line.pack.to_string()),
                    Value::Decimal(line.unit_price.amount()),
                    Value::Decimal(line.amount.cents().amount()),
                    Value::Decimal(line.tax.value()),
                    Value::Day(line.need_by),
                    delivery(line.is_express),
                    instead_of(line),
                ]
            })
        });
    Table::new("PurchaseOrders", columns).rows(rows)
}

/// How a line is delivered, where that is out of the ordinary.
pub(super) fn delivery(is_express: bool) -> Value {
    if is_express {
        Value::text("express")
    } else {
        Value::Empty
    }
}

/// The material that a substitute stands in for.
pub(super) fn instead_of(line: &crate::purchase::OrderLine) -> Value {
    if line.serves == line.material {
        Value::Empty
    } else {
        Value::text(&line.serves)
    }
}

/// The supplier's name as it is written on orders.
pub(super) fn supplier(plan: &Plan, order: &Order) -> String {
    plan.job
        .catalog
        .suppliers
        .get(&order.supplier)
        .map_or_else(|| order.supplier.clone(), |supplier| supplier.name.clone())
}
