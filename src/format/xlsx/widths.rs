//! Column widths: wide enough for every value, the total and the heading.

use rust_decimal::prelude::ToPrimitive;
use rust_xlsxwriter::Worksheet;
use rust_xlsxwriter::XlsxError;

use crate::report::Block;
use crate::report::Column;
use crate::report::Kind;
use crate::report::Sheet;
use crate::report::Table;
use crate::report::Value;

use super::Col;

/// The narrowest and widest column, in characters.
const NARROWEST: usize = 8;
const WIDEST: usize = 60;

/// The widest column of a table of many columns, so that it can be read when printed on one page's width.
const WIDEST_OF_MANY: usize = 26;

/// From so many columns on, a table has many.
const MANY: usize = 10;

/// The width of each column of a sheet in characters, over all its tables.
pub(super) fn widths(sheet: &Sheet) -> Vec<usize> {
    let mut widths: Vec<usize> = Vec::new();
    for block in &sheet.blocks {
        match block {
            Block::Table(table) => {
                for (at, column) in table.columns.iter().enumerate() {
                    let width = column_width(table, at, column);
                    match widths.get_mut(at) {
                        Some(known) => *known = width.max(*known),
                        None => widths.push(width),
                    }
                }
            }
            Block::Bars(bars) => {
                let names = bars
                    .rows
                    .iter()
                    .map(|(name, _)| name.chars().count())
                    .max()
                    .unwrap_or(0);
                let names = names.max(bars.subject.chars().count());
                widths.resize(widths.len().max(1), NARROWEST);
                if let Some(first) = widths.first_mut() {
                    *first = (*first).max(names.min(WIDEST));
                }
            }
            Block::Heading(_) | Block::Note(_) | Block::Chart(_) => {}
        }
    }
    widths
}

/// Sets the widths of a sheet's columns; bars have narrow ones.
pub(super) fn set_widths(
    worksheet: &mut Worksheet,
    sheet: &Sheet,
    widths: &[usize],
) -> Result<(), XlsxError> {
    for (col, width) in (0..).zip(widths) {
        worksheet.set_column_width(col, f64::from(u32::try_from(*width).unwrap_or(20)) + 2.0)?;
    }
    for block in &sheet.blocks {
        if let Block::Bars(bars) = block {
            let last = Col::try_from(bars.days.len() * 2).unwrap_or(Col::MAX - 1);
            worksheet.set_column_range_width(1, last.max(1), 3.0)?;
        }
    }
    Ok(())
}

/// Wide enough for the longest value (long words wrap), for the total and for the longest word of the heading.
fn column_width(table: &Table, at: usize, column: &Column) -> usize {
    let values = table
        .rows
        .iter()
        .filter_map(|row| row.get(at))
        .map(|value| shown_width(value, column.kind));
    let widest = if table.columns.len() < MANY {
        WIDEST
    } else {
        WIDEST_OF_MANY
    };
    let total = if column.total {
        shown_width(&Value::Decimal(table.total(at)), column.kind) + 1
    } else {
        0
    };
    let heading = column
        .heading
        .split_whitespace()
        .map(|word| word.chars().count())
        .max()
        .unwrap_or(0)
        + 2;
    let heading = heading.max((column.heading.chars().count() + 2).min(16));
    values
        .max()
        .unwrap_or(0)
        .max(total)
        .max(heading)
        .clamp(NARROWEST, widest)
}

fn shown_width(value: &Value, kind: Kind) -> usize {
    let digits = |number: f64| {
        let whole = format!("{:.0}", number.abs()).chars().count();
        let places = match kind {
            Kind::Number(places) => usize::from(places),
            Kind::Text | Kind::Money | Kind::Percent | Kind::Day | Kind::Time => 2,
        };
        whole + whole / 3 + places + 2
    };
    match value {
        Value::Empty => 0,
        Value::Text(text) => text.chars().count(),
        Value::Number(number) => digits(*number),
        Value::Decimal(number) | Value::Formula(_, number) => {
            digits(number.to_f64().unwrap_or(0.0))
        }
        Value::Day(_) => 14,
        Value::Time(_) => 20,
    }
}
