//! Writes the template workbook: the tables with drop-downs, a sheet that explains the columns, and the lists.

use rust_xlsxwriter::DataValidation;
use rust_xlsxwriter::DataValidationErrorStyle;
use rust_xlsxwriter::DocProperties;
use rust_xlsxwriter::ExcelDateTime;
use rust_xlsxwriter::Format;
use rust_xlsxwriter::FormatAlign;
use rust_xlsxwriter::FormatBorder;
use rust_xlsxwriter::Formula;
use rust_xlsxwriter::Image;
use rust_xlsxwriter::Workbook;
use rust_xlsxwriter::Worksheet;
use rust_xlsxwriter::XlsxError;

use super::Scene;
use super::TemplateKind;
use super::columns::List;
use super::columns::SHEETS;
use super::columns::Sheet;

/// The last row, counted from 0, for which drop-downs are offered.
const LAST_ROW: u32 = 2_000;

/// The width in letters of the long columns of the explaining sheet.
const ABOUT_WIDTH: f64 = 60.0;

/// Writes the workbook.
pub(super) fn write(kind: TemplateKind, scene: Scene) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // A fixed day, so that the same template has the same bytes.
    let day = ExcelDateTime::from_ymd(2026, 1, 1)?;
    book.set_properties(
        &DocProperties::new()
            .set_title("Panels")
            .set_creation_datetime(&day),
    );
    for sheet in SHEETS {
        table(book.add_worksheet(), sheet, kind, scene)?;
    }
    about(book.add_worksheet(), kind)?;
    measures(book.add_worksheet(), kind)?;
    lists(book.add_worksheet(), kind)?;
    book.save_to_buffer()
}

fn heading_format() -> Format {
    Format::new()
        .set_bold()
        .set_background_color(0xE3_E9_EC)
        .set_border_bottom(FormatBorder::Thin)
}

/// Text cells, so that a spreadsheet does not turn `1/2` into a date.
fn text_format() -> Format {
    Format::new().set_num_format("@")
}

fn wrapped() -> Format {
    Format::new().set_text_wrap().set_align(FormatAlign::Top)
}

fn table(
    page: &mut Worksheet,
    sheet: &Sheet,
    kind: TemplateKind,
    scene: Scene,
) -> Result<(), XlsxError> {
    page.set_name(sheet.name)?;
    for_paper(page, kind)?;
    page.set_freeze_panes(1, 1)?;
    for (number, column) in (0..).zip(sheet.columns) {
        page.set_column_width(number, column.width)?;
        page.set_column_format(number, &text_format())?;
        page.write_with_format(0, number, column.heading, &heading_format())?;
        let own = scene.cells(kind, sheet.name, column.heading);
        let cells = own.unwrap_or_else(|| column.cells(kind).to_vec());
        for (row, cell) in (1..).zip(cells).filter(|(_, cell)| !cell.is_empty()) {
            page.write_with_format(row, number, cell, &text_format())?;
        }
        if let Some(list) = column.list {
            page.add_data_validation(1, number, LAST_ROW, number, &drop_down(list))?;
        }
    }
    Ok(())
}

/// Offers the words of a list; a recipe may also be the job folder's own, so another is asked about, not refused.
fn drop_down(list: List) -> DataValidation {
    let letter = (b'A'..)
        .zip(List::ALL)
        .find(|(_, other)| *other == list)
        .map_or('A', |(letter, _)| char::from(letter));
    let range = format!("=lists!${letter}$2:${letter}${}", list.words().len() + 1);
    let style = if list == List::Recipe {
        DataValidationErrorStyle::Warning
    } else {
        DataValidationErrorStyle::Stop
    };
    DataValidation::new()
        .allow_list_formula(Formula::new(range))
        .set_error_style(style)
        .ignore_blank(true)
}

/// Sets a sheet up for paper across, as wide as one page, its headings on each, pages numbered.
fn for_paper(page: &mut Worksheet, kind: TemplateKind) -> Result<(), XlsxError> {
    let paper = match kind {
        TemplateKind::Metric => 9,
        TemplateKind::Imperial => 1,
    };
    page.set_landscape()
        .set_paper_size(paper)
        .set_header("&R&A")
        .set_footer("&RPage &P of &N")
        .set_print_fit_to_pages(1, 0)
        .set_repeat_rows(0, 0)?;
    Ok(())
}

/// A picture of where each measure is taken; `tests/reference/draw_measures.py` draws it.
fn measures(page: &mut Worksheet, kind: TemplateKind) -> Result<(), XlsxError> {
    page.set_name("measures")?;
    for_paper(page, kind)?;
    page.write_with_format(
        0,
        0,
        "Where each measure is taken",
        &Format::new().set_bold().set_font_size(14),
    )?;
    let picture = Image::new_from_buffer(include_bytes!("measures.png"))?
        .set_scale_width(0.5)
        .set_scale_height(0.5)
        .set_alt_text(
            "A rectangle with width and height, an arch with its spring, a lunette with its rise as the height, and an opening with left \
             and bottom, each measured from the lower left corner of the panel.",
        );
    page.insert_image(2, 0, &picture)?;
    Ok(())
}

fn about(page: &mut Worksheet, kind: TemplateKind) -> Result<(), XlsxError> {
    page.set_name("about")?;
    for_paper(page, kind)?;
    page.set_freeze_panes(1, 0)?;
    for (column, (heading, width)) in (0..).zip([
        ("sheet", 11.0),
        ("column", 19.0),
        ("meaning", ABOUT_WIDTH),
        ("allowed", ABOUT_WIDTH),
        ("example", 18.0),
    ]) {
        page.set_column_width(column, width)?;
        page.write_with_format(0, column, heading, &heading_format())?;
    }
    let mut row = 1;
    for sheet in SHEETS {
        page.write_with_format(row, 0, sheet.name, &wrapped().set_bold())?;
        page.write_with_format(row, 2, sheet.about, &wrapped().set_bold())?;
        page.set_row_height(row, height_of(sheet.about.len()))?;
        row += 1;
        for column in sheet.columns {
            let example = column
                .cells(kind)
                .iter()
                .find(|cell| !cell.is_empty())
                .unwrap_or(&"");
            for (place, text) in (0..).zip([
                sheet.name,
                column.heading,
                column.meaning,
                column.allowed,
                example,
            ]) {
                page.write_with_format(row, place, text, &wrapped())?;
            }
            page.set_row_height(
                row,
                height_of(column.meaning.len().max(column.allowed.len())),
            )?;
            row += 1;
        }
    }
    Ok(())
}

/// The height in points of a row whose longest text has so many letters; not every program finds it out by itself.
fn height_of(letters: usize) -> f64 {
    let one_line = 15.0;
    (1..=6)
        .zip([1.0, 2.0, 3.0, 4.0, 5.0, 6.0])
        .find(|(lines, _)| letters <= lines * 50)
        .map_or(6.0, |(_, lines)| lines)
        * one_line
}

fn lists(page: &mut Worksheet, kind: TemplateKind) -> Result<(), XlsxError> {
    page.set_name("lists")?;
    for_paper(page, kind)?;
    for (column, list) in (0..).zip(List::ALL) {
        page.set_column_width(column, 20.0)?;
        page.write_with_format(0, column, list.heading(), &heading_format())?;
        for (row, word) in (1..).zip(list.words()) {
            page.write(row, column, word)?;
        }
    }
    Ok(())
}
