//! Cells for people to write in: boxed, so that they are seen in grey print too, and checked as they type.

use rust_xlsxwriter::DataValidation;
use rust_xlsxwriter::DataValidationRule;
use rust_xlsxwriter::ExcelDateTime;
use rust_xlsxwriter::Format;
use rust_xlsxwriter::FormatBorder;
use rust_xlsxwriter::Worksheet;
use rust_xlsxwriter::XlsxError;

use crate::report::Column;
use crate::report::Kind;
use crate::report::Table;

use super::Col;
use super::Row;

/// A light tint for screens; the box alone tells in grey print.
const TINT: u32 = 0xFF_F4_D6;

/// Boxes a cell to write in; words stay words, so that `1/2` and `15:30` are not turned into something else.
pub(super) fn boxed(format: Format, column: &Column) -> Format {
    let format = format
        .set_border(FormatBorder::Thin)
        .set_background_color(TINT);
    if matches!(column.kind, Kind::Text) {
        format.set_num_format("@")
    } else {
        format
    }
}

/// Has the cells of columns to write in say what they take, and refuse what no day or number is.
pub(super) fn ask(
    worksheet: &mut Worksheet,
    (first, last): (Row, Row),
    table: &Table,
) -> Result<(), XlsxError> {
    for (col, column) in (0..).zip(&table.columns) {
        if column.input && !column.hint.is_empty() {
            ask_column(worksheet, (first, last), col, column)?;
        }
    }
    Ok(())
}

fn ask_column(
    worksheet: &mut Worksheet,
    (first, last): (Row, Row),
    col: Col,
    column: &Column,
) -> Result<(), XlsxError> {
    let rule = DataValidation::new();
    let rule = match column.kind {
        Kind::Day | Kind::Time => {
            let least = ExcelDateTime::from_ymd(2000, 1, 1)?;
            rule.allow_date(DataValidationRule::GreaterThanOrEqualTo(least))
        }
        Kind::Number(_) | Kind::Money | Kind::Percent => {
            rule.allow_decimal_number(DataValidationRule::GreaterThanOrEqualTo(0.0))
        }
        Kind::Text => rule.allow_any_value(),
    };
    let rule = rule
        .set_input_title(short(&column.heading))?
        .set_input_message(column.hint)?
        .set_error_title(short(&column.heading))?
        .set_error_message(format!("Write {}.", column.hint))?;
    worksheet.add_data_validation(first, col, last, col, &rule)?;
    Ok(())
}

/// A title of a message has at most 32 letters.
fn short(heading: &str) -> String {
    heading.chars().take(32).collect()
}
