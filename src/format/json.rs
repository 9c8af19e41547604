//! A report's tables to JSON: an object of tables, each an array of rows by heading.

use serde_json::Map;
use serde_json::Value as Json;

use crate::report::Report;
use crate::report::Table;
use crate::report::Value;

use super::CannotWrite;
use super::finite::finite;

/// Writes every table of a report.
///
/// # Errors
/// The values could not be turned into JSON: one of them is no finite number.
pub fn write_json(report: &Report) -> Result<Vec<u8>, CannotWrite> {
    let tables: Map<String, Json> = report
        .tables()
        .map(|table| (table.name.clone(), rows(table)))
        .collect();
    report.tables().try_for_each(finite)?;
    let mut bytes = serde_json::to_vec_pretty(&Json::Object(tables)).map_err(|e| CannotWrite {
        file: report.name.clone(),
        why: e.to_string(),
    })?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn rows(table: &Table) -> Json {
    let row = |values: &Vec<Value>| {
        let cells = table
            .columns
            .iter()
            .zip(values)
            .map(|(column, value)| (column.heading.clone(), cell(value)));
        Json::Object(cells.collect())
    };
    table.rows.iter().map(row).collect()
}

/// Money and counts stay decimal strings, so that no reader rounds them by accident.
fn cell(value: &Value) -> Json {
    match value {
        Value::Empty => Json::Null,
        Value::Text(text) => Json::from(text.as_str()),
        Value::Number(number) => Json::from(*number),
        Value::Decimal(number) | Value::Formula(_, number) => Json::from(number.to_string()),
        Value::Day(day) => Json::from(day.to_string()),
        Value::Time(time) => Json::from(time.strftime("%Y-%m-%dT%H:%M").to_string()),
    }
}
