//! What is left over: what to return or keep, what it is worth, and the shelf after the job as the next job reads it.

use crate::plan::Plan;

use super::Column;
use super::Table;
use super::Value;
use super::cells::length_down;

/// One row a material that leaves something over.
pub(super) fn table(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::text("what"),
        Column::number("left over", 1),
        Column::text("unit"),
        Column::text("of that unopened packs"),
        Column::text("keeps"),
        Column::money("worth").summed(),
        Column::text("returned or kept").to_fill_in(),
    ];
    let left = plan
        .purchase
        .bought
        .iter()
        .filter(|bought| !bought.left.amount.is_zero());
    let rows = left.map(|bought| {
        vec![
            Value::text(&bought.material),
            Value::text(plan.material_name(&bought.material)),
            Value::Decimal(bought.left.amount),
            Value::text(bought.left.unit.name()),
            Value::text(&bought.unopened),
            keeps(plan, &bought.material),
            Value::Decimal(bought.left_value.amount()),
            Value::Empty,
        ]
    });
    Table::new("Leftovers", columns).rows(rows)
}

/// How long a material keeps, in words.
pub(super) fn keeps(plan: &Plan, material: &str) -> Value {
    plan.job
        .catalog
        .materials
        .get(material)
        .and_then(|material| material.keeps_days)
        .map_or(Value::Empty, |days| Value::Text(format!("{days} days")))
}

/// The shelf after the job, offcuts last, with the headings of the stock table that a job reads.
pub(super) fn stock_after(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::number("quantity", 1),
        Column::text("unit"),
        Column::text("width"),
        Column::text("length"),
        Column::day("received"),
        Column::text("notes"),
    ];
    let whole = plan.purchase.shelf_after.iter().map(|kept| {
        vec![
            Value::text(&kept.material),
            Value::Decimal(kept.quantity.amount),
            Value::text(kept.quantity.unit.name()),
            Value::Empty,
            Value::Empty,
            kept.received.map_or(Value::Empty, Value::Day),
            Value::text(&kept.notes),
        ]
    });
    let parts = plan.offcuts().map(|part| {
        let material = plan.job.catalog.materials.get(&part.material);
        vec![
            Value::text(&part.material),
            Value::Decimal(part.count.into()),
            Value::text(material.map_or("", |material| material.unit().name())),
            length_down(plan, part.width),
            length_down(plan, part.length),
            Value::Empty,
            Value::text("offcut"),
        ]
    });
    Table::new("StockAfter", columns).rows(whole.chain(parts))
}
