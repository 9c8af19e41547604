//! How a sheet is printed: paper, margins, one page wide, headings on each page, page numbers.

use rust_xlsxwriter::Worksheet;
use rust_xlsxwriter::XlsxError;

use crate::report::Paper;
use crate::report::Report;
use crate::report::Sheet;

use super::Row;
use super::breaks::breaks;
use super::places;

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
    if let Some(heading) = single_table_row(sheet) {
        worksheet.set_freeze_panes(heading + 1, 1)?;
        worksheet.set_repeat_rows(heading, heading)?;
    } else if let Some(heading) = long_table_row(sheet) {
        worksheet.set_repeat_rows(heading, heading)?;
    }
    Ok(())
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
fn long_table_row(sheet: &Sheet) -> Option<Row> {
    const PAGE_ROWS: usize = 20;
    let all: usize = places::tables(sheet)
        .map(|(_, table)| table.rows.len())
        .sum();
    let mut tables = places::tables(sheet);
    let long = tables.find(|(_, table)| {
        let rows = table.rows.len();
        rows > PAGE_ROWS && rows * 3 > all * 2
    });
    long.map(|(row, _)| row)
}
