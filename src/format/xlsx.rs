//! A report to a workbook: real tables with filters, frozen headings, print set-up, cached results.

mod asked;
mod bars;
mod breaks;
mod charts;
mod day_sheet;
mod localised;
mod page;
mod places;
mod widths;

use jiff::civil::Date;
use jiff::civil::DateTime;
use rust_decimal::prelude::ToPrimitive;
use rust_xlsxwriter::DocProperties;
use rust_xlsxwriter::ExcelDateTime;
use rust_xlsxwriter::Format;
use rust_xlsxwriter::FormatAlign;
use rust_xlsxwriter::FormatBorder;
use rust_xlsxwriter::Formula;
use rust_xlsxwriter::IntoExcelDateTime;
use rust_xlsxwriter::TableColumn;
use rust_xlsxwriter::TableFunction;
use rust_xlsxwriter::TableStyle;
use rust_xlsxwriter::Workbook;
use rust_xlsxwriter::Worksheet;
use rust_xlsxwriter::XlsxError;

use crate::report::Block;
use crate::report::Column;
use crate::report::Kind;
use crate::report::Report;
use crate::report::Sheet;
use crate::report::Table;
use crate::report::Value;
use crate::units::Locale;

use super::CannotWrite;
use super::finite::finite;

use bars::write_bars;
use charts::write_chart;
use localised::localised;
use page::set_up_page;
use places::Places;
use widths::set_widths;
use widths::widths;

/// Rows and columns as the library counts them.
type Row = u32;
type Col = u16;

/// Writes a workbook; the document's date is the one given, so that the same plan gives the same bytes.
///
/// # Errors
/// The library refuses a sheet, e.g. one with more rows than a workbook holds, or a number is none.
pub fn write_xlsx(report: &Report, dated: Date, locale: &Locale) -> Result<Vec<u8>, CannotWrite> {
    report.tables().try_for_each(finite)?;
    let cannot = |why: XlsxError| CannotWrite {
        file: format!("{}.xlsx", report.name),
        why: why.to_string(),
    };
    let mut workbook = Workbook::new();
    workbook.set_properties(&properties(report, dated).map_err(cannot)?);
    let report = &localised(report, locale);
    let places = Places::of(report, locale.spreadsheet_days());
    for sheet in &report.sheets {
        let worksheet = workbook.add_worksheet();
        write_sheet(worksheet, sheet, report, &places).map_err(cannot)?;
    }
    workbook.save_to_buffer().map_err(cannot)
}

fn properties(report: &Report, dated: Date) -> Result<DocProperties, XlsxError> {
    let year = u16::try_from(dated.year()).unwrap_or(1900);
    let month = u8::try_from(dated.month()).unwrap_or(1);
    let day = u8::try_from(dated.day()).unwrap_or(1);
    let created = ExcelDateTime::from_ymd(year, month, day)?;
    Ok(DocProperties::new()
        .set_title(&report.title)
        .set_creation_datetime(&created))
}

fn write_sheet(
    worksheet: &mut Worksheet,
    sheet: &Sheet,
    report: &Report,
    places: &Places<'_>,
) -> Result<(), XlsxError> {
    worksheet.set_name(&sheet.name)?;
    worksheet.write_string_with_format(
        0,
        0,
        &sheet.title,
        &Format::new().set_bold().set_font_size(14),
    )?;
    let widths = widths(sheet, places.days);
    for (row, block) in places::starts(sheet) {
        match block {
            Block::Heading(text) => write_lines(worksheet, row, text, &Format::new().set_bold())?,
            Block::Note(text) => write_lines(worksheet, row, text, &Format::new())?,
            Block::Table(table) => write_table(worksheet, row, table, (places, &widths))?,
            Block::Bars(bars) => write_bars(worksheet, row, bars)?,
            Block::DaySheet(day) => day_sheet::write(worksheet, row, day)?,
            Block::Chart(chart) => write_chart(worksheet, row, chart, places)?,
        }
    }
    set_widths(worksheet, sheet, &widths)?;
    set_up_page(worksheet, sheet, report, &widths)
}

/// Paragraphs are broken into lines of about a page's width, since a long cell would be cut at the page's edge.
fn write_lines(
    worksheet: &mut Worksheet,
    row: Row,
    text: &str,
    format: &Format,
) -> Result<(), XlsxError> {
    for (row, line) in (row..).zip(broken(text, NOTE_WIDTH)) {
        worksheet.write_string_with_format(row, 0, line, format)?;
    }
    Ok(())
}

/// Characters of a paragraph's line.
const NOTE_WIDTH: usize = 95;

fn broken(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let Some(line) = lines.last_mut() else {
            continue;
        };
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > width {
            lines.push(word.to_owned());
        } else {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines
}

fn write_table(
    worksheet: &mut Worksheet,
    row: Row,
    table: &Table,
    (places, widths): (&Places<'_>, &[usize]),
) -> Result<(), XlsxError> {
    if table.rows.is_empty() {
        return write_lines(worksheet, row, "None.", &Format::new().set_italic());
    }
    let first = row + 1;
    for (at, values) in (first..).zip(&table.rows) {
        for ((col, column), value) in (0..).zip(&table.columns).zip(values) {
            write_cell(
                worksheet,
                (at, col),
                (column, places.days),
                value,
                |formula| places.plain(formula, table, at),
            )?;
        }
        let lines = wrapped_lines(values, widths);
        if lines > 1 {
            worksheet.set_row_height(at, LINE_POINTS * f64::from(lines))?;
        }
    }
    let count = Row::try_from(table.rows.len()).unwrap_or(Row::MAX / 2);
    let totals = table.has_totals();
    let last_col = Col::try_from(table.columns.len().saturating_sub(1)).unwrap_or(Col::MAX);
    worksheet.add_table(
        row,
        0,
        row + count + Row::from(totals),
        last_col,
        &declared(table, totals, places.days),
    )?;
    write_results(worksheet, first, table);
    asked::ask(worksheet, (first, first + count.saturating_sub(1)), table)?;
    if totals {
        write_totals(worksheet, first + count, table)?;
    }
    Ok(())
}

/// Height of a line of text in points.
const LINE_POINTS: f64 = 15.0;

/// A row is at most 409 points high.
const MOST_LINES: usize = 27;

/// Lines that the longest text of a row takes in its column; spreadsheet programs do not all find this out by themselves.
fn wrapped_lines(values: &[Value], widths: &[usize]) -> u32 {
    let lines = values
        .iter()
        .zip(widths)
        .map(|(value, &width)| match value {
            Value::Text(text) => broken(text, width.max(1)).len(),
            Value::Empty
            | Value::Number(_)
            | Value::Decimal(_)
            | Value::Day(_)
            | Value::Time(_)
            | Value::Formula(..) => 1,
        });
    u32::try_from(lines.max().unwrap_or(1).min(MOST_LINES)).unwrap_or(1)
}

fn declared(table: &Table, totals: bool, days: &str) -> rust_xlsxwriter::Table {
    let columns: Vec<TableColumn> = (0..)
        .zip(&table.columns)
        .map(|(at, column): (usize, &Column)| {
            let mut declared = TableColumn::new()
                .set_header(&column.heading)
                .set_header_format(heading_format(column));
            if let Some(formula) = &column.formula {
                declared = declared
                    .set_formula(Formula::new(this_row(formula, &table.name)))
                    .set_format(cell_format(column, days));
            }
            if column.total {
                declared = declared.set_total_function(TableFunction::Sum);
            } else if at == 0 && totals {
                declared = declared.set_total_label("Total");
            }
            declared
        })
        .collect();
    rust_xlsxwriter::Table::new()
        .set_name(&table.name)
        .set_style(TableStyle::Light1)
        .set_columns(&columns)
        .set_total_row(totals)
}

/// Turns `[packs]*[price]` into what spreadsheet programs store: `Lines[[#This Row],[packs]]*…`.
fn this_row(formula: &str, table: &str) -> String {
    let closed = formula.replace(']', "]]");
    format!(
        "={}",
        closed.replace('[', &format!("{table}[[#This Row],["))
    )
}

/// Writes a value; `named` turns the names in a formula into cells.
fn write_cell(
    worksheet: &mut Worksheet,
    (row, col): (Row, Col),
    (column, days): (&Column, &str),
    value: &Value,
    named: impl Fn(&str) -> String,
) -> Result<(), XlsxError> {
    let format = cell_format(column, days);
    match value {
        Value::Text(text) => {
            worksheet.write_string_with_format(row, col, shortened(text), &format)?;
        }
        Value::Number(number) if number.is_finite() => {
            worksheet.write_number_with_format(row, col, rounded(*number, column.kind), &format)?;
        }
        Value::Empty | Value::Number(_) => {
            worksheet.write_blank(row, col, &format)?;
        }
        Value::Decimal(number) => {
            worksheet.write_number_with_format(
                row,
                col,
                number.to_f64().unwrap_or(0.0),
                &format,
            )?;
        }
        Value::Day(day) => {
            worksheet.write_datetime_with_format(row, col, Serial::day(*day), &format)?;
        }
        Value::Time(time) => {
            worksheet.write_datetime_with_format(row, col, Serial::time(*time), &format)?;
        }
        Value::Formula(formula, result) => {
            let formula =
                Formula::new(format!("={}", named(formula))).set_result(result.to_string());
            worksheet.write_formula_with_format(row, col, formula, &format)?;
        }
    }
    Ok(())
}

/// The number as the column shows it, so that a reader of the file sees the same figure as a reader of the sheet.
fn rounded(number: f64, kind: Kind) -> f64 {
    match kind {
        Kind::Number(places) => to_places(number, places),
        Kind::Percent => to_places(number, 2),
        Kind::Text | Kind::Money | Kind::Day | Kind::Time => number,
    }
}

fn to_places(number: f64, places: u8) -> f64 {
    let scale = libm::pow(10.0, f64::from(places));
    (number * scale).round() / scale
}

/// A workbook's cell holds at most 32,767 characters.
fn shortened(text: &str) -> String {
    text.chars().take(32_000).collect()
}

/// Computed columns get their formula from the table; here they get the results to show before any recalculation.
fn write_results(worksheet: &mut Worksheet, first: Row, table: &Table) {
    for (col, column) in (0..).zip(&table.columns) {
        if column.formula.is_none() {
            continue;
        }
        for (row, values) in (first..).zip(&table.rows) {
            if let Some(value) = values.get(usize::from(col)) {
                worksheet.set_formula_result(row, col, value.to_decimal().to_string());
            }
        }
    }
}

/// Totals in the form that every program reads; the library's own short form gives an error in some.
fn write_totals(worksheet: &mut Worksheet, row: Row, table: &Table) -> Result<(), XlsxError> {
    for (col, column) in (0..).zip(&table.columns) {
        if column.total {
            let formula =
                Formula::new(format!("=SUBTOTAL(109,{}[{}])", table.name, column.heading))
                    .set_result(table.total(usize::from(col)).to_string());
            let format = number_format(column, "")
                .set_bold()
                .set_border_top(FormatBorder::Thin);
            worksheet.write_formula_with_format(row, col, formula, &format)?;
        }
    }
    Ok(())
}

/// Headings stand over their values: numbers to the right, everything else to the left.
fn heading_format(column: &Column) -> Format {
    let format = Format::new()
        .set_bold()
        .set_text_wrap()
        .set_align(FormatAlign::Bottom)
        .set_border_bottom(FormatBorder::Thin);
    if is_number(column) {
        format.set_align(FormatAlign::Right)
    } else {
        format.set_align(FormatAlign::Left).set_indent(1)
    }
}

const fn is_number(column: &Column) -> bool {
    matches!(column.kind, Kind::Number(_) | Kind::Money | Kind::Percent)
}

fn cell_format(column: &Column, days: &str) -> Format {
    let format = number_format(column, days).set_align(FormatAlign::Top);
    let format = if is_number(column) {
        format
    } else {
        format.set_align(FormatAlign::Left).set_indent(1)
    };
    let format = if matches!(column.kind, Kind::Text) {
        format.set_text_wrap()
    } else {
        format
    };
    if column.input {
        asked::boxed(format, column)
    } else {
        format
    }
}

fn number_format(column: &Column, days: &str) -> Format {
    let code = match column.kind {
        Kind::Text => return Format::new(),
        Kind::Number(0) => "#,##0".to_owned(),
        Kind::Number(places) => format!("#,##0.{}", "0".repeat(usize::from(places))),
        Kind::Money => "#,##0.00".to_owned(),
        // A pattern such as 0.## would leave a point behind whole numbers.
        Kind::Percent => "General\" %\"".to_owned(),
        // A day to be written in stands as it is typed.
        Kind::Day if column.input => days.to_owned(),
        Kind::Day => format!("ddd {days}"),
        Kind::Time => format!("ddd {days} hh:mm"),
    };
    Format::new().set_num_format(code)
}

/// A day or time as spreadsheets count it: days since 1899-12-30.
struct Serial(f64);

impl Serial {
    fn day(day: Date) -> Self {
        Self(f64::from(
            (day - jiff::civil::date(1899, 12, 30)).get_days(),
        ))
    }

    fn time(time: DateTime) -> Self {
        let minutes = f64::from(time.hour()) * 60.0 + f64::from(time.minute());
        Self(Self::day(time.date()).0 + minutes / 1440.0)
    }
}

impl IntoExcelDateTime for Serial {
    fn to_excel_serial_date(&self) -> f64 {
        self.0
    }
}
