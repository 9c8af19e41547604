//! A day to hang up: people down, quarter hours across, then the day's lists over the whole width.

use rust_xlsxwriter::Format;
use rust_xlsxwriter::FormatAlign;
use rust_xlsxwriter::FormatBorder;
use rust_xlsxwriter::Worksheet;
use rust_xlsxwriter::XlsxError;

use crate::report::DaySheet;
use crate::report::Stretch;

use super::Col;
use super::LINE_POINTS;
use super::Row;
use super::broken;

/// Minutes of a column.
const SLOT: u16 = 15;

/// Width of a quarter of an hour in characters.
pub(super) const WIDTH: f64 = 2.6;

/// Height of a person's row in points: four lines of small print.
pub(super) const PERSON_POINTS: f64 = 52.0;

/// Characters of a list's line: as many as a page across has room for at full size.
pub(super) const LINE: usize = 120;

/// The last column of the quarter hours.
pub(super) fn columns(day: &DaySheet) -> Col {
    (day.hours.1.saturating_sub(day.hours.0) / SLOT).max(4)
}

/// How many rows a day sheet takes, the empty ones included.
pub(super) fn height(day: &DaySheet) -> usize {
    let lists = day.sections.iter().map(|(_, lines)| 1 + rows_of(lines) + 1);
    1 + day.rows.len() + 1 + lists.sum::<usize>()
}

fn rows_of(lines: &[String]) -> usize {
    lines.iter().map(|line| broken(line, LINE).len()).sum()
}

/// Writes the day.
pub(super) fn write(worksheet: &mut Worksheet, row: Row, day: &DaySheet) -> Result<(), XlsxError> {
    let mut row = write_hours(worksheet, row, day)?;
    for (person, stretches) in &day.rows {
        let name = Format::new()
            .set_bold()
            .set_text_wrap()
            .set_align(FormatAlign::VerticalCenter)
            .set_border(FormatBorder::Thin);
        worksheet.write_string_with_format(row, 0, person, &name)?;
        write_person(worksheet, row, day, stretches)?;
        worksheet.set_row_height(row, PERSON_POINTS)?;
        row += 1;
    }
    row += 1;
    for (heading, lines) in &day.sections {
        let bold = Format::new()
            .set_bold()
            .set_border_bottom(FormatBorder::Thin);
        worksheet.merge_range(row, 0, row, columns(day), heading, &bold)?;
        row += 1;
        for line in lines.iter().flat_map(|line| broken(line, LINE)) {
            worksheet.write_string(row, 0, line)?;
            worksheet.set_row_height(row, LINE_POINTS)?;
            row += 1;
        }
        row += 1;
    }
    Ok(())
}

/// The row of hours; the answer is the row below it.
fn write_hours(worksheet: &mut Worksheet, row: Row, day: &DaySheet) -> Result<Row, XlsxError> {
    let head = Format::new()
        .set_bold()
        .set_align(FormatAlign::Left)
        .set_border(FormatBorder::Thin);
    worksheet.write_string_with_format(row, 0, "who", &head)?;
    let quarters = 60 / SLOT;
    let mut col: Col = 1;
    let mut hour = day.hours.0 / 60;
    while col + quarters - 1 <= columns(day) {
        let text = format!("{hour:02}:00");
        worksheet.merge_range(row, col, row, col + quarters - 1, &text, &head)?;
        col += quarters;
        hour += 1;
    }
    Ok(row + 1)
}

/// One person's stretches as boxes; where two meet in a quarter of an hour, the later one begins in the next.
fn write_person(
    worksheet: &mut Worksheet,
    row: Row,
    day: &DaySheet,
    stretches: &[Stretch],
) -> Result<(), XlsxError> {
    let empty = Format::new()
        .set_border_bottom(FormatBorder::Hair)
        .set_border_top(FormatBorder::Hair);
    let task = Format::new()
        .set_font_size(8)
        .set_text_wrap()
        .set_align(FormatAlign::Top)
        .set_border(FormatBorder::Thin);
    let last = columns(day);
    let mut next: Col = 1;
    for stretch in stretches {
        let column = |minute: u16| 1 + minute.saturating_sub(day.hours.0) / SLOT;
        let from = column(stretch.from).max(next);
        let to = column(stretch.to.saturating_sub(1)).min(last);
        if from > to {
            continue;
        }
        for col in next..from {
            worksheet.write_blank(row, col, &empty)?;
        }
        let text = words(stretch, to - from + 1);
        if from == to {
            worksheet.write_string_with_format(row, from, text, &task)?;
        } else {
            worksheet.merge_range(row, from, row, to, &text, &task)?;
        }
        next = to + 1;
    }
    for col in next..=last {
        worksheet.write_blank(row, col, &empty)?;
    }
    Ok(())
}

/// As many words as so many quarters of an hour have room for; the list below has them all.
fn words(stretch: &Stretch, quarters: Col) -> String {
    let clock = |minute: u16| format!("{}:{:02}", minute / 60, minute % 60);
    match quarters {
        0..=1 => stretch.subject.clone(),
        2..=3 => format!("{} {}", stretch.subject, clock(stretch.from)),
        _ => format!(
            "{} {}\n{}-{}",
            stretch.subject,
            stretch.step,
            clock(stretch.from),
            clock(stretch.to)
        ),
    }
}
