//! Bars over half days: black for work, a light grey for drying; both read when printed grey.

use rust_xlsxwriter::Format;
use rust_xlsxwriter::FormatAlign;
use rust_xlsxwriter::FormatBorder;
use rust_xlsxwriter::Worksheet;
use rust_xlsxwriter::XlsxError;

use crate::report::Bars;
use crate::report::Mark;

use super::Col;
use super::Row;
use super::Serial;

/// Height of the row of dates, which stand upright, in points.
pub(super) const DATE_POINTS: f64 = 78.0;

/// Width of half a day in characters.
pub(super) const WIDTH: f64 = 3.0;

/// Writes a row of dates and a row a subject, two cells a day.
pub(super) fn write_bars(
    worksheet: &mut Worksheet,
    row: Row,
    bars: &Bars,
) -> Result<(), XlsxError> {
    let head = Format::new().set_bold().set_border(FormatBorder::Thin);
    let turned = head.clone().set_rotation(90).set_num_format("ddd d mmm");
    worksheet.write_string_with_format(row, 0, &bars.subject, &head)?;
    for (at, day) in (0..).zip(&bars.days) {
        let col: Col = 1 + at * 2;
        worksheet.write_datetime_with_format(row, col, Serial::day(*day), &turned)?;
        worksheet.write_blank(row, col + 1, &head)?;
    }
    worksheet.set_row_height(row, DATE_POINTS)?;
    for (row, (name, marks)) in (row + 1..).zip(&bars.rows) {
        worksheet.write_string(row, 0, name)?;
        for (col, mark) in (1..).zip(marks) {
            write_mark(worksheet, (row, col), mark)?;
        }
    }
    Ok(())
}

fn write_mark(
    worksheet: &mut Worksheet,
    (row, col): (Row, Col),
    mark: &Mark,
) -> Result<(), XlsxError> {
    let cell = Format::new()
        .set_align(FormatAlign::Center)
        .set_font_size(8)
        .set_border(FormatBorder::Hair);
    match mark {
        Mark::Idle => worksheet.write_blank(row, col, &cell)?,
        Mark::Drying => worksheet.write_string_with_format(
            row,
            col,
            "~",
            &cell.set_background_color("#E0E0E0"),
        )?,
        Mark::Work(sign) => {
            let work = cell
                .set_background_color("#404040")
                .set_font_color("#FFFFFF")
                .set_bold();
            worksheet.write_string_with_format(row, col, sign, &work)?
        }
    };
    Ok(())
}
