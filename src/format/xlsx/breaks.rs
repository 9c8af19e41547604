//! Where a new page has to begin: no heading stands at a page's foot without its lines, and no chart or person's row is cut.
//!
//! A spreadsheet program breaks pages between any two rows. Rows that belong together are added up in points at the scale at which the
//! sheet is printed, and a page is begun before those that might not fit on what is left of one.

use crate::report::Block;
use crate::report::Column;
use crate::report::Paper;
use crate::report::Sheet;
use crate::report::Table;

use super::LINE_POINTS;
use super::NOTE_WIDTH;
use super::Row;
use super::bars;
use super::broken;
use super::day_sheet;
use super::page;
use super::places;
use super::wrapped_lines;

/// A row of a sheet: its height in points, whether it stays with the row after it, and whether nothing stands in it.
struct Line {
    points: f64,
    stays: bool,
    empty: bool,
}

impl Line {
    const fn alone(points: f64) -> Self {
        Self {
            points,
            stays: false,
            empty: false,
        }
    }

    const fn staying(points: f64) -> Self {
        Self {
            points,
            stays: true,
            empty: false,
        }
    }

    /// A row between blocks.
    const fn empty() -> Self {
        Self {
            points: LINE_POINTS,
            stays: false,
            empty: true,
        }
    }
}

/// Programs do not agree on heights to the point: of a page's height so much is sure to be there.
const SURE: f64 = 0.93;

/// Points of a letter of the usual type, and of what a column has besides its letters.
const LETTER: f64 = 5.25;
const BESIDES: f64 = 3.75;

/// An inch in points.
const INCH: f64 = 72.0;

/// More breaks than this no program takes (the limit of the file format).
const MOST_BREAKS: usize = 1023;

/// The rows, counted from 0, above which a new page is to begin: before rows that belong together and might not fit on what is left of one.
///
/// A sheet of day sheets gets a break at the end of every page as it is reckoned, down to its last rows that belong together: where a
/// program's letters are wider, it prints smaller and has room for more, and its own ends would come elsewhere. On other sheets the program
/// ends the pages, since a break of ours behind one of its own would leave a page half empty.
pub(super) fn breaks(sheet: &Sheet, paper: Paper, widths: &[usize]) -> Vec<Row> {
    let lines = lines(sheet, widths);
    let whole = page_points(sheet, paper, widths);
    let sure = whole * SURE;
    let is_day_sheet = |block: &Block| matches!(block, Block::DaySheet(_));
    let ends_pages = sheet.blocks.iter().any(is_day_sheet);
    let last = lines.iter().rposition(|line| line.stays).unwrap_or(0);
    let mut breaks = Vec::new();
    let mut used = 0.0;
    let mut at = 0;
    while at <= last {
        let rest = lines.get(at..).unwrap_or(&[]);
        let together = rest.iter().take_while(|line| line.stays).count() + 1;
        let group = rest.get(..together).unwrap_or(rest);
        let points: f64 = group.iter().map(|line| line.points).sum();
        let is_empty = group.iter().all(|line| line.empty);
        if points > sure {
            // What no page holds is cut wherever a page ends.
            for line in group {
                used = down(used, line.points, whole);
            }
        } else if used > 0.0 && used + points > sure && !is_empty && (ends_pages || together > 1) {
            breaks.push(Row::try_from(at).unwrap_or(Row::MAX));
            used = points;
        } else {
            used = down(used, points, whole);
        }
        at += group.len();
    }
    breaks.truncate(MOST_BREAKS);
    breaks
}

/// Points of a page that are used after so many more, which stand on the next one if they do not fit.
fn down(used: f64, more: f64, page: f64) -> f64 {
    if used + more > page {
        more
    } else {
        used + more
    }
}

/// Points of a sheet's height that a page has room for, at the scale that makes it as wide as the page.
fn page_points(sheet: &Sheet, paper: Paper, widths: &[usize]) -> f64 {
    let (short, long) = match paper {
        Paper::A4 => (595.3, 841.9),
        Paper::Letter => (612.0, 792.0),
    };
    let (wide, high) = if sheet.landscape {
        (long, short)
    } else {
        (short, long)
    };
    let room = wide - 2.0 * page::SIDE * INCH;
    let room_down = high - (page::TOP + page::BOTTOM) * INCH;
    room_down / (room / width_points(sheet, widths)).min(1.0)
}

/// Points of a sheet's width, its paragraphs and bars included.
fn width_points(sheet: &Sheet, widths: &[usize]) -> f64 {
    let letters = |letters: f64| letters * LETTER + BESIDES;
    let count = |number: usize| u32::try_from(number).map_or(0.0, f64::from);
    let first = widths
        .first()
        .map_or(0.0, |width| letters(count(width + 1)));
    let columns: f64 = widths.iter().map(|width| letters(count(width + 1))).sum();
    let blocks = sheet.blocks.iter().map(|block| match block {
        Block::Bars(bars) => first + count(bars.days.len() * 2) * letters(bars::WIDTH),
        Block::DaySheet(day) => {
            first + f64::from(day_sheet::columns(day)) * letters(day_sheet::WIDTH)
        }
        Block::Heading(_) | Block::Note(_) | Block::Table(_) | Block::Chart(_) => 0.0,
    });
    blocks.fold(columns.max(1.0), f64::max)
}

/// Every row of a sheet down to its last.
fn lines(sheet: &Sheet, widths: &[usize]) -> Vec<Line> {
    let mut lines = Vec::new();
    for (row, block) in places::starts(sheet) {
        let row = usize::try_from(row).unwrap_or(usize::MAX);
        // Empty rows stand between blocks; the sheet's title stays with what it is the title of.
        let empty = |at: usize| {
            if at < 2 {
                Line::staying(LINE_POINTS)
            } else {
                Line::empty()
            }
        };
        lines.extend((lines.len()..row).map(empty));
        match block {
            Block::Heading(text) => {
                lines.extend(
                    broken(text, NOTE_WIDTH)
                        .iter()
                        .map(|_| Line::staying(LINE_POINTS)),
                );
            }
            Block::Note(text) => {
                let mut own = joined(broken(text, NOTE_WIDTH).len());
                lines.append(&mut own);
            }
            Block::Table(table) if table.rows.is_empty() => lines.push(Line::alone(LINE_POINTS)),
            Block::Table(table) => lines.append(&mut of_table(table, widths)),
            Block::Bars(bars) => {
                lines.push(Line::staying(bars::DATE_POINTS));
                lines.extend(bars.rows.iter().map(|_| Line::alone(LINE_POINTS)));
            }
            Block::DaySheet(day) => lines.append(&mut of_day(day)),
            Block::Chart(_) => lines.append(&mut joined(places::CHART_ROWS)),
        }
    }
    lines
}

/// Rows that stay together.
fn joined(count: usize) -> Vec<Line> {
    let mut lines: Vec<Line> = (0..count).map(|_| Line::staying(LINE_POINTS)).collect();
    if let Some(last) = lines.last_mut() {
        last.stays = false;
    }
    lines
}

/// The heading of a table stays with its first row, its sums with its last.
fn of_table(table: &Table, widths: &[usize]) -> Vec<Line> {
    let heading_lines = |(column, width): (&Column, &usize)| {
        // Bold type is wider.
        broken(&column.heading, width.saturating_sub(1).max(1)).len()
    };
    let heading = table.columns.iter().zip(widths).map(heading_lines).max();
    let heading = u32::try_from(heading.unwrap_or(1)).unwrap_or(1);
    let mut lines = vec![Line::staying(LINE_POINTS * f64::from(heading))];
    let rows = table.rows.iter();
    lines.extend(rows.map(|row| Line::alone(LINE_POINTS * f64::from(wrapped_lines(row, widths)))));
    if table.has_totals() {
        if let Some(last) = lines.last_mut() {
            last.stays = true;
        }
        lines.push(Line::alone(LINE_POINTS));
    }
    lines
}

/// A day's hours stay with its first person; the heading of a list with its first line, and the parts of a line with each other.
fn of_day(day: &crate::report::DaySheet) -> Vec<Line> {
    let mut lines = vec![Line::staying(LINE_POINTS)];
    let people = day.rows.iter();
    lines.extend(people.map(|_| Line::alone(day_sheet::PERSON_POINTS)));
    lines.push(Line::empty());
    for (_, list) in &day.sections {
        lines.push(Line::staying(LINE_POINTS));
        for line in list {
            lines.append(&mut joined(broken(line, day_sheet::LINE).len()));
        }
        lines.push(Line::empty());
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::Value;

    fn table(name: &str, rows: usize) -> Table {
        let rows = (0..rows).map(|row| vec![Value::count(row)]);
        Table::new(name, vec![Column::number("number", 0)]).rows(rows)
    }

    fn of(rows: usize) -> Vec<Row> {
        let sheet = Sheet::new("sheet", "Title")
            .table(table("First", rows))
            .heading("Second")
            .table(table("Second", 5));
        breaks(&sheet, Paper::A4, &[10])
    }

    #[test]
    fn a_heading_at_a_pages_foot_begins_the_next() {
        // About 50 rows stand on a page; the title, an empty row and a heading come before the first table's rows, an empty row after them.
        assert_eq!(of(20), Vec::<Row>::new());
        assert_eq!(of(40), [44]);
        assert_eq!(of(43), [47]);
        // Here the first table goes on on the second page, and the heading has room there.
        assert_eq!(of(60), Vec::<Row>::new());
    }

    #[test]
    fn a_table_alone_ends_its_pages_where_the_program_likes() {
        let sheet = Sheet::new("sheet", "Title").table(table("Only", 500));
        assert_eq!(breaks(&sheet, Paper::A4, &[10]), Vec::<Row>::new());
    }

    #[test]
    fn a_note_higher_than_a_page_is_cut() {
        let sheet = Sheet::new("sheet", "Title").note("word ".repeat(3_000));
        assert_eq!(breaks(&sheet, Paper::Letter, &[10]), Vec::<Row>::new());
    }
}
