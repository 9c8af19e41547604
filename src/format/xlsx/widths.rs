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
const NARROWEST: usize = 7;
const WIDEST: usize = 60;

/// Rows of a sheet that are looked at to share out a page's width among columns of words; a few hundred tell as much as all.
const ROWS_LOOKED_AT: usize = 300;

/// Characters on a page's width, upright and across, so that print is no smaller than about three quarters of its size.
const UPRIGHT: usize = 104;
const ACROSS: usize = 156;

/// No column of words is made narrower than this to fit the page.
const LEAST_WORDS: usize = 9;

/// Letters of a weekday and the gap behind it, which days to be written in do not have.
const WEEKDAY: usize = 4;

/// Room between a column and its neighbour.
const GAP: usize = 1;

/// The width of each column of a sheet in characters, over all its tables; columns of words give way where the page is too narrow.
pub(super) fn widths(sheet: &Sheet, days: &str) -> Vec<usize> {
    // The weekday, the day as written, and a second digit of the day where the pattern has one.
    let day = WEEKDAY + days.len() + usize::from(days.contains("mmm"));
    let mut widths: Vec<usize> = Vec::new();
    let mut least: Vec<usize> = Vec::new();
    for block in &sheet.blocks {
        match block {
            Block::Table(table) => {
                for (at, column) in table.columns.iter().enumerate() {
                    widen(&mut widths, at, column_width(table, at, column, day));
                    widen(&mut least, at, least_width(table, at, column, day));
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
            Block::DaySheet(_) => widths.resize(widths.len().max(1), 16),
            Block::Heading(_) | Block::Note(_) | Block::Chart(_) => {}
        }
    }
    let page = if sheet.landscape { ACROSS } else { UPRIGHT };
    fit(&mut widths, &least, &lengths(sheet), page);
    widths
}

/// The letters of each cell of words in the rows of a sheet's tables, spread evenly over them.
fn lengths(sheet: &Sheet) -> Vec<Vec<usize>> {
    let all: usize = sheet.tables().map(|table| table.rows.len()).sum();
    let letters = |value: &Value| match value {
        Value::Text(text) => text.chars().count(),
        Value::Empty
        | Value::Number(_)
        | Value::Decimal(_)
        | Value::Day(_)
        | Value::Time(_)
        | Value::Formula(..) => 0,
    };
    sheet
        .tables()
        .flat_map(|table| &table.rows)
        .step_by(all.div_ceil(ROWS_LOOKED_AT).max(1))
        .map(|row| row.iter().map(letters).collect())
        .collect()
}

fn widen(widths: &mut Vec<usize>, at: usize, width: usize) {
    match widths.get_mut(at) {
        Some(known) => *known = width.max(*known),
        None => widths.push(width),
    }
}

/// Narrows columns letter by letter, each time the one that costs the fewest lines of print, until all fit the page or none can. So a
/// column of sentences keeps its width while one of names gives way.
fn fit(widths: &mut [usize], least: &[usize], rows: &[Vec<usize>], page: usize) {
    let all = |widths: &[usize]| widths.iter().map(|width| width + GAP).sum::<usize>();
    while all(widths) > page {
        let can: Vec<usize> = (0..widths.len())
            .filter(|&at| widths.get(at) > least.get(at))
            .collect();
        let cheapest = can.into_iter().min_by_key(|&at| {
            let mut tried = widths.to_vec();
            narrow(&mut tried, at);
            // Of columns that cost the same the widest gives way.
            (
                lines(rows, &tried),
                std::cmp::Reverse(widths.get(at).copied()),
            )
        });
        let Some(at) = cheapest else { return };
        narrow(widths, at);
    }
}

fn narrow(widths: &mut [usize], at: usize) {
    if let Some(width) = widths.get_mut(at) {
        *width -= 1;
    }
}

/// About how many lines of print rows take, each as high as its highest cell.
fn lines(rows: &[Vec<usize>], widths: &[usize]) -> usize {
    let high = |row: &Vec<usize>| {
        let cells = row.iter().zip(widths);
        let lines = cells.map(|(&letters, &width)| {
            // Words are not cut, which leaves a few letters of each line empty.
            let filled = width.saturating_sub(3).max(1);
            if letters <= width {
                1
            } else {
                letters.div_ceil(filled)
            }
        });
        lines.max().unwrap_or(1)
    };
    rows.iter().map(high).sum()
}

/// What a column needs at least: its longest word for words; for numbers and days every value, and the longest word of the heading.
fn least_width(table: &Table, at: usize, column: &Column, day: usize) -> usize {
    let width = column_width(table, at, column, day);
    if !matches!(column.kind, Kind::Text) {
        return needed(table, at, column, day).clamp(NARROWEST, WIDEST);
    }
    let values = table.rows.iter().filter_map(|row| row.get(at));
    let texts = values.filter_map(|value| match value {
        Value::Text(text) => Some(text.as_str()),
        Value::Empty
        | Value::Number(_)
        | Value::Decimal(_)
        | Value::Day(_)
        | Value::Time(_)
        | Value::Formula(..) => None,
    });
    let longest = |text: &str| {
        text.split_whitespace()
            .map(|word| word.chars().count())
            .max()
    };
    let in_cells = texts.filter_map(longest).max().unwrap_or(0);
    // Headings are bold, which takes more room.
    let in_heading = longest(&column.heading).unwrap_or(0) + 2;
    let longest = in_cells.max(in_heading);
    longest.max(LEAST_WORDS).min(width)
}

/// Sets the widths of a sheet's columns; bars have narrow ones.
pub(super) fn set_widths(
    worksheet: &mut Worksheet,
    sheet: &Sheet,
    widths: &[usize],
) -> Result<(), XlsxError> {
    for (col, width) in (0..).zip(widths) {
        let width = u32::try_from(*width + GAP).unwrap_or(20);
        worksheet.set_column_width(col, f64::from(width))?;
    }
    for block in &sheet.blocks {
        if let Block::Bars(bars) = block {
            let last = Col::try_from(bars.days.len() * 2).unwrap_or(Col::MAX - 1);
            worksheet.set_column_range_width(1, last.max(1), super::bars::WIDTH)?;
        }
        if let Block::DaySheet(day) = block {
            let last = super::day_sheet::columns(day);
            worksheet.set_column_range_width(1, last, super::day_sheet::WIDTH)?;
        }
    }
    Ok(())
}

/// Wide enough for the longest value (long words wrap), for the total, and for a short heading on one line.
fn column_width(table: &Table, at: usize, column: &Column, day: usize) -> usize {
    let heading = (column.heading.chars().count() + 2).min(11);
    needed(table, at, column, day)
        .max(heading)
        .clamp(NARROWEST, WIDEST)
}

/// What the longest value takes, the total, the longest word of the heading, and what is to be written.
fn needed(table: &Table, at: usize, column: &Column, day: usize) -> usize {
    let day = if column.input && matches!(column.kind, Kind::Day) {
        day.saturating_sub(WEEKDAY)
    } else {
        day
    };
    let values = table
        .rows
        .iter()
        .filter_map(|row| row.get(at))
        .map(|value| shown_width(value, column.kind, day));
    let total = if column.total {
        shown_width(&Value::Decimal(table.total(at)), column.kind, day) + 1
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
    let asked = match column.kind {
        Kind::Day | Kind::Time if column.input => day,
        Kind::Text if column.input => 9,
        Kind::Text | Kind::Number(_) | Kind::Money | Kind::Percent | Kind::Day | Kind::Time => 0,
    };
    values.max().unwrap_or(0).max(total).max(heading).max(asked)
}

fn shown_width(value: &Value, kind: Kind, day: usize) -> usize {
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
        Value::Day(_) => day,
        Value::Time(_) => day + 6,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_of_sentences_keeps_its_width() {
        // Names of at most 30 letters beside sentences of 200.
        let rows = vec![vec![30, 200]; 4];
        let mut widths = [30, 60];
        fit(&mut widths, &[9, 9], &rows, 77);
        // Four lines, as before: the sentences down to 53 letters, the names to what still takes no more lines than they do.
        assert_eq!(widths, [22, 53]);
        // Where names would break into more lines than the sentences have, the sentences give way.
        let mut widths = [30, 60];
        fit(&mut widths, &[28, 9], &rows, 77);
        assert_eq!(widths, [28, 47]);
    }

    #[test]
    fn days_to_write_in_have_no_weekday_and_headings_of_numbers_break_where_room_lacks() {
        let table = Table::new(
            "Lines",
            vec![
                Column::day("sent on").asked("the day"),
                Column::day("sent on"),
                Column::money("price of a pack"),
            ],
        )
        .rows([vec![
            Value::Empty,
            Value::Day(jiff::civil::date(2027, 1, 11)),
            Value::Number(12.5),
        ]]);
        let day = WEEKDAY + "dd/mm/yyyy".len();
        let width = |at: usize, of: fn(&Table, usize, &Column, usize) -> usize| {
            table
                .columns
                .get(at)
                .map(|column| of(&table, at, column, day))
        };
        assert_eq!(width(0, column_width), Some(10));
        assert_eq!(width(1, column_width), Some(14));
        // `price of a pack` on two lines, down to its longest word in bold.
        assert_eq!(width(2, column_width), Some(11));
        assert_eq!(width(2, least_width), Some(7));
    }

    #[test]
    fn what_cannot_be_narrowed_stays() {
        let mut widths = [30, 60];
        fit(&mut widths, &[30, 55], &[vec![30, 60]], 40);
        assert_eq!(widths, [30, 55]);
    }
}
