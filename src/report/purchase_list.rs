//! The purchase list: orders ready to send, every material, and how each quantity came about.

use rust_decimal::Decimal;

use crate::plan::Plan;
use crate::purchase::Order;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::about;
use super::cells::paper;
use super::cells::sheet_name;
use super::crates;
use super::materials;
use super::orders;

/// The workbook for whoever orders supplies.
pub(super) fn build(plan: &Plan) -> Report {
    let mut sheets = vec![about::sheet(
        plan,
        "Purchase list: what to order from whom and by when. Send each order sheet as it stands.",
        &[
            "Sheet orders: one row an order, the most urgent first. The sheets after it: one order each.",
            "Sheet materials: what is needed in all, what is taken from the shelf, what is left over.",
            "Dotted columns are for you to write in. Change a price or a number of packs and the sums follow.",
        ],
    )];
    sheets.push(
        Sheet::new("orders", "Orders, the most urgent first")
            .across()
            .note(format!(
                "All amounts in {}. Found by {}.",
                plan.job.currency, plan.purchase.engine
            ))
            .table(orders::overview(plan)),
    );
    sheets.extend(
        plan.purchase
            .orders
            .iter()
            .enumerate()
            .map(|(at, order)| order_sheet(plan, at + 1, order)),
    );
    sheets.push(
        Sheet::new("materials", "Every material")
            .across()
            .table(materials::table(plan)),
    );
    sheets.push(
        Sheet::new("needs", "What is needed by when")
            .across()
            .table(needs(plan)),
    );
    if !plan.crating.crates.is_empty() {
        sheets.push(crates::sheet(plan));
    }
    sheets.push(about::derivations(
        plan,
        &["material/", "need/", "order/", "solution/"],
    ));
    sheets.push(about::cautions(plan));
    Report {
        name: "purchase-list".into(),
        title: format!("{}: purchase list", plan.job.title),
        paper: paper(plan),
        sheets,
    }
}

fn order_sheet(plan: &Plan, number: usize, order: &Order) -> Sheet {
    let name = orders::supplier(plan, order);
    let lines = format!("Order{number}");
    let columns = vec![
        Column::text("material"),
        Column::text("what"),
        Column::number("packs", 0),
        Column::text("pack of"),
        Column::money("price of a pack"),
        Column::money("amount")
            .summed()
            .computed("ROUND([packs]*[price of a pack],2)"),
        Column::day("need by"),
        Column::text("supplier's reply").to_fill_in(),
        Column::text("received").to_fill_in(),
    ];
    let rows = order.lines.iter().map(|line| {
        vec![
            Value::text(&line.material),
            Value::text(plan.material_name(&line.material)),
            Value::Decimal(line.packs.into()),
            Value::Text(line.pack.to_string()),
            Value::Decimal(line.unit_price.amount()),
            Value::Decimal(line.amount.cents().amount()),
            Value::Day(line.need_by),
            Value::Empty,
            Value::Empty,
        ]
    });
    Sheet::new(
        sheet_name(&format!("{number} {name}")),
        format!("Order to {name}"),
    )
    .across()
    .note(format!(
        "Send by {}. Sent on {}, it arrives on {}. Amounts in {}.",
        order.order_by.strftime("%A %Y-%m-%d"),
        plan.job.order_day,
        order.arrives.strftime("%A %Y-%m-%d"),
        plan.job.currency
    ))
    .table(Table::new(&lines, columns).rows(rows))
    .table(sums(order, &lines))
}

/// Goods, freight, surcharge and total of one order, live.
fn sums(order: &Order, lines: &str) -> Table {
    let goods = order.goods.cents().amount();
    let fixed = |text: &str, amount: Decimal| vec![Value::text(text), Value::Decimal(amount)];
    let rows = [
        vec![
            Value::text("goods"),
            Value::Formula(format!("SUM({lines}[amount])"), goods),
        ],
        fixed("freight", order.freight.cents().amount()),
        fixed("hazard surcharge", order.surcharge.cents().amount()),
        vec![
            Value::text("total of the order"),
            Value::Formula(
                "{-3:amount}+{-2:amount}+{-1:amount}".into(),
                order.total.cents().amount(),
            ),
        ],
    ];
    Table::new(
        format!("{lines}Sum"),
        vec![Column::text("sum"), Column::money("amount")],
    )
    .rows(rows)
}

fn needs(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::text("what"),
        Column::number("quantity", 1),
        Column::text("unit"),
        Column::day("ready by"),
        Column::text("first used for"),
        Column::text("figure"),
    ];
    let rows = plan.purchase.demands.iter().map(|demand| {
        vec![
            Value::text(&demand.material),
            Value::text(plan.material_name(&demand.material)),
            Value::Decimal(demand.quantity.amount),
            Value::text(demand.quantity.unit.name()),
            Value::Day(demand.need_by),
            Value::text(&demand.first_use),
            Value::text(&demand.because),
        ]
    });
    Table::new("Needs", columns).rows(rows)
}
