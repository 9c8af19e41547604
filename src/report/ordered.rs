//! What is ordered already and what came: carried from list to list, with room to write what was bought elsewhere.

use crate::plan::Plan;
use crate::units::Quantity;

use super::Column;
use super::Sheet;
use super::Table;
use super::Value;

/// Rows left for what is bought outside the plan.
const EMPTY_ROWS: usize = 10;

/// The sheet; facelay reads it back whole.
pub(super) fn sheet(plan: &Plan) -> Sheet {
    Sheet::new("ordered", "Ordered already, and what came")
        .across()
        .note(
            "From this list on it stands here what earlier lists ordered. Write into it what you buy elsewhere, and the day on which each \
             row came. Give the latest purchase list only.",
        )
        .table(table(plan))
}

fn table(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material").asked("the id of the material, as on the sheet materials"),
        Column::text("what"),
        Column::number("quantity", 1).asked("how much, in the material's unit"),
        Column::text("unit").asked("sheet, roll, g, ml or each; kg and l are converted"),
        Column::text("supplier").asked("from whom"),
        Column::day("ordered").asked("the day it was ordered"),
        Column::day("promised").asked("the day for which it is promised"),
        Column::day("received").asked("the day it came"),
        Column::text("notes").asked("anything else; it is not read"),
    ];
    let what = |material: &str, quantity: Quantity, supplier: &str| {
        vec![
            Value::text(material),
            Value::text(plan.material_name(material)),
            Value::Decimal(quantity.amount),
            Value::text(quantity.unit.name()),
            Value::text(supplier),
        ]
    };
    let day = |day: Option<jiff::civil::Date>| day.map_or(Value::Empty, Value::Day);
    let came = plan.job.received.iter().map(|row| {
        let mut cells = what(&row.material, row.quantity, &row.supplier);
        // A day nobody wrote must not turn what came into what is still to come.
        let on = row.received.unwrap_or(plan.job.order_day);
        cells.extend([
            day(row.ordered),
            Value::Day(on),
            Value::Day(on),
            Value::Empty,
        ]);
        cells
    });
    let coming = plan.job.ordered.iter().map(|row| {
        let mut cells = what(&row.material, row.quantity, &row.supplier);
        cells.extend([
            day(row.ordered),
            Value::Day(row.promised),
            Value::Empty,
            Value::Empty,
        ]);
        cells
    });
    let count = columns.len();
    let empty = std::iter::repeat_with(|| vec![Value::Empty; count]).take(EMPTY_ROWS);
    Table::new("Ordered", columns)
        .rows(came)
        .rows(coming)
        .rows(empty)
}
