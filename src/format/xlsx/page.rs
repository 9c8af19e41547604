//! How a sheet is printed: paper, margins, one page wide, headings on each page, page numbers.

use rust_xlsxwriter::Worksheet;
use rust_xlsxwriter::XlsxError;

use crate::report::Block;
use crate::report::Paper;
use crate::report::Report;
use crate::report::Sheet;
use crate::report::Table;

use super::Row;
use super::breaks::breaks;
use super::places;
use super::wrapped_lines;

/// Margins in inches.
pub(super) const SIDE: f64 = 0.5;
pub(super) const TOP: f64 = 0.7;
pub(super) const BOTTOM: f64 = 0.6;

/// Sets a sheet up for print, and keeps the headings of its only table in sight.
pub(super) fn set_up_page(
    worksheet: &mut Worksheet,
    sheet: &Sheet,
    report: &Report,
    widths: &[usize],
) -> Result<(), XlsxError> {
    worksheet.set_paper_size(match report.paper {
        Paper::A4 => 9,
        Paper::Letter => 1,
    });
    if sheet.landscape {
        worksheet.set_landscape();
    }
    worksheet.set_margins(SIDE, SIDE, TOP, BOTTOM, 0.3, 0.3);
    worksheet.set_print_fit_to_pages(1, 0);
    worksheet.set_page_breaks(&breaks(sheet, report.paper, widths))?;
    worksheet.set_header(format!("&L{}&R&A", ampersands(&report.title)));
    worksheet.set_footer("&LPlan of the job as written; check before use&RPage &P of &N");
    let single = single_table_row(sheet);
    if let Some(heading) = single.filter(|heading| *heading <= LOWEST_FROZEN) {
        worksheet.set_freeze_panes(heading + 1, 1)?;
    }
    let repeated = single
        .or_else(|| long_table_row(sheet, widths))
        .or_else(|| bars_row(sheet));
    if let Some(heading) = repeated {
        worksheet.set_repeat_rows(heading, heading)?;
    }
    Ok(())
}

/// A heading further down, below a chart, is not kept in sight: there would be no room left on a small screen for what it heads.
const LOWEST_FROZEN: Row = 14;

/// The row of days above bars.
fn bars_row(sheet: &Sheet) -> Option<Row> {
    places::starts(sheet).find_map(|(row, block)| matches!(block, Block::Bars(_)).then_some(row))
}

/// An ampersand starts a code in page headers.
fn ampersands(text: &str) -> String {
    text.replace('&', "&&").chars().take(120).collect()
}

/// The heading row of a sheet's only table.
fn single_table_row(sheet: &Sheet) -> Option<Row> {
    let mut tables = places::tables(sheet);
    let only = tables.next().filter(|_| tables.next().is_none());
    only.map(|(row, _)| row)
}

/// The heading row of a table that runs over pages while the others of its sheet are short.
fn long_table_row(sheet: &Sheet, widths: &[usize]) -> Option<Row> {
    const PAGE_LINES: u32 = 20;
    let lines = |table: &Table| -> u32 {
        table
            .rows
            .iter()
            .map(|row| wrapped_lines(row, widths))
            .sum()
    };
    let tables: Vec<(Row, u32)> = places::tables(sheet)
        .map(|(row, table)| (row, lines(table)))
        .collect();
    let all: u32 = tables.iter().map(|(_, own)| own).sum();
    let long = tables
        .iter()
        .find(|(_, own)| *own > PAGE_LINES && u64::from(*own) * 3 > u64::from(all) * 2);
    long.map(|(row, _)| *row)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::Bars;
    use crate::report::Column;
    use crate::report::Value;

    fn of(words: &str, rows: usize) -> Table {
        Table::new("Words", vec![Column::text("what")])
            .rows((0..rows).map(|_| vec![Value::text(words)]))
    }

    #[test]
    fn a_table_runs_over_pages_by_its_lines_not_its_rows() {
        let sheet = |words| {
            Sheet::new("sheet", "Title")
                .table(of("a", 1))
                .table(of(words, 10))
        };
        assert_eq!(long_table_row(&sheet("a"), &[20]), None);
        let long = "words that take three lines of twenty letters, or more";
        // The title, an empty row, a table of a heading and a row, an empty row.
        assert_eq!(long_table_row(&sheet(long), &[20]), Some(5));
    }

    #[test]
    fn days_above_bars_are_found() {
        let bars = Bars {
            subject: "panel".to_owned(),
            days: Vec::new(),
            rows: Vec::new(),
        };
        let mut sheet = Sheet::new("bars", "Title");
        sheet.blocks.push(Block::Bars(bars));
        assert_eq!(bars_row(&sheet), Some(2));
        assert_eq!(
            bars_row(&Sheet::new("sheet", "Title").table(of("a", 1))),
            None
        );
    }
}
