//! How long each step dries at other temperatures: a table with its chart.

use std::collections::BTreeMap;

use crate::exposure::by_temperature;
use crate::plan::Plan;

use super::Chart;
use super::ChartKind;
use super::Column;
use super::Sheet;
use super::Table;
use super::Value;
use super::days;

/// Degrees Celsius at which drying is shown.
const CELSIUS: [f64; 9] = [5.0, 8.0, 10.0, 12.0, 15.0, 18.0, 20.0, 25.0, 30.0];

/// More lines than this cannot be told apart in print.
const MOST_LINES: usize = 4;

/// What dries overnight.
pub(super) fn overnight(plan: &Plan) -> Sheet {
    Sheet::new("drying", "Drying when the day ends")
        .across()
        .table(days::overnight(plan))
}

/// The hours by temperature with the chart.
pub(super) fn by_temperature_sheet(plan: &Plan) -> Sheet {
    let table = by_degrees(plan);
    let mut headings = table
        .columns
        .iter()
        .skip(1)
        .map(|column| column.heading.clone());
    let chart = Chart {
        title: "Hours until the next step, by temperature of the room (estimated)".into(),
        kind: ChartKind::Lines,
        table: table.name.clone(),
        along: ("°C".into(), "°C".into()),
        series: headings.by_ref().collect(),
        side: "hours".into(),
    };
    let sheet = Sheet::new(
        "drying hours",
        "Hours of drying by temperature, at the humidity of the step's place",
    )
    .across();
    if table.rows.is_empty() {
        return sheet.note("Nothing has to dry.");
    }
    sheet
        .note("Estimated from the vapour pressure of the slowest solvent (EPA 550-B-99-009, equation D-1). Touch it: the wall, the draught \
               and the canvas decide, not the formula.")
        .chart(chart)
        .table(table)
}

/// A column for each of the steps that dry longest, alike ones once.
fn by_degrees(plan: &Plan) -> Table {
    let steps = plan
        .job
        .recipes
        .values()
        .flat_map(|recipe| recipe.steps.iter().map(move |step| (recipe, step)));
    let mut curves: BTreeMap<String, (String, Vec<f64>)> = BTreeMap::new();
    for (recipe, step) in steps {
        let hours = by_temperature(&plan.job, recipe, step, &CELSIUS);
        if !hours.is_empty() {
            let key = format!("{hours:?}");
            let name = format!("{}: {}", recipe.id, step.id);
            curves.entry(key).or_insert((name, hours));
        }
    }
    let mut curves: Vec<(String, Vec<f64>)> = curves.into_values().collect();
    curves.sort_by(|a, b| {
        let first = |hours: &[f64]| hours.first().copied().unwrap_or(0.0);
        first(&b.1).total_cmp(&first(&a.1)).then(a.0.cmp(&b.0))
    });
    curves.truncate(MOST_LINES);
    if curves.is_empty() {
        return Table::new("DryingHours", vec![Column::number("°C", 0)]);
    }
    let lines = curves
        .iter()
        .map(|(name, _)| Column::number(name.clone(), 1));
    let columns: Vec<Column> = [Column::number("°C", 0)].into_iter().chain(lines).collect();
    let rows = CELSIUS.iter().enumerate().map(|(at, celsius)| {
        let values = curves.iter().map(|(_, hours)| {
            hours
                .get(at)
                .map_or(Value::Empty, |hours| Value::Number(*hours))
        });
        [Value::Number(*celsius)]
            .into_iter()
            .chain(values)
            .collect()
    });
    Table::new("DryingHours", columns).rows(rows)
}
