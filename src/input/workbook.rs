//! XLSX and ODS workbooks: every sheet a table, formulas by the value they last showed.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::panic::AssertUnwindSafe;
use std::panic::catch_unwind;

use calamine::Data;
use calamine::Ods;
use calamine::Reader;
use calamine::SheetType;
use calamine::Xlsx;
use calamine::XlsxError;
use jiff::civil::Date;

use crate::diag::Place;
use crate::diag::Problems;
use crate::units::NumberStyle;

use super::archive::Content;
use super::archive::content;
use super::digits;
use super::table::Cell;
use super::table::LONGEST_CELL;
use super::table::Line;
use super::table::MOST_COLUMNS;
use super::table::MOST_ROWS;
use super::table::MOST_TEXT;
use super::table::Table;

/// The cells of a sheet by row and column, both counted from 0, and the first one out of bounds.
#[derive(Default)]
struct Grid {
    rows: BTreeMap<u32, BTreeMap<u32, Cell>>,
    /// Bytes of text so far.
    text: usize,
    beyond: Option<(u32, u32)>,
}

/// Sheets by name, or what the library said.
type Sheets = Result<Vec<(String, Grid)>, String>;

/// Reads every sheet of a workbook.
pub(super) fn read(
    file: &str,
    bytes: &[u8],
    style: NumberStyle,
    problems: &mut Problems,
) -> Vec<Table> {
    let place = Some(Place::File {
        file: file.to_owned(),
    });
    let content = content(bytes);
    // The readers meet files that nobody has seen; a fault of theirs must not end the program.
    let guarded = |read: &dyn Fn() -> Sheets| {
        catch_unwind(AssertUnwindSafe(read)).unwrap_or_else(|_| Err("it is damaged".to_owned()))
    };
    let sheets = match content {
        Content::Xlsx => guarded(&|| xlsx(bytes)),
        Content::Locked => Err("password".to_owned()),
        Content::Ods(cells) => guarded(&|| ods(bytes, &cells)),
        Content::Other => {
            let help =
                "save the table as .xlsx, .ods or .csv; a zip archive has to be unpacked first";
            problems.error(
                place,
                "the file is a zip archive, but no workbook that can be read",
                help,
            );
            return Vec::new();
        }
        Content::TooManyTexts => {
            let help = "delete unused sheets and formatted empty rows, and save it again";
            let text = "the workbook holds, or says it holds, more than 5,000,000 different texts";
            problems.error(place, text, help);
            return Vec::new();
        }
        Content::TooLarge => {
            let help = "delete pictures, unused sheets and formatted empty rows, and save it again";
            problems.error(place, "the workbook unpacks to more than 256 MB", help);
            return Vec::new();
        }
    };
    match sheets {
        Ok(sheets) if sheets.is_empty() => {
            problems.error(
                place,
                "the workbook has no sheet with cells",
                "save the table as .xlsx, .ods or .csv",
            );
            Vec::new()
        }
        Ok(sheets) => sheets
            .into_iter()
            .map(|(name, grid)| table(file, &name, style, grid))
            .collect(),
        Err(reason) if reason.contains("password") => {
            problems.error(
                place,
                "the workbook has a password",
                "save it without a password",
            );
            Vec::new()
        }
        Err(reason) => {
            let text = format!("the workbook cannot be read: {reason}");
            problems.error(
                place,
                text,
                "open it in a spreadsheet program and save it again",
            );
            Vec::new()
        }
    }
}

fn xlsx(bytes: &[u8]) -> Sheets {
    let mut book = Xlsx::new(Cursor::new(bytes)).map_err(|error| error.to_string())?;
    let mut sheets = Vec::new();
    for sheet in book.sheets_metadata().to_vec() {
        if sheet.typ != SheetType::WorkSheet {
            continue;
        }
        let Some(mut grid) = xlsx_cells(&mut book, &sheet.name)? else {
            continue;
        };
        for area in book
            .merge_cells_by_sheet_name(&sheet.name)
            .unwrap_or_default()
        {
            grid.spread(area.start, area.end);
        }
        sheets.push((sheet.name, grid));
    }
    Ok(sheets)
}

/// Reads a sheet cell by cell, so that a single one in the far corner does not make a table of thousands of millions.
fn xlsx_cells(book: &mut Xlsx<Cursor<&[u8]>>, name: &str) -> Result<Option<Grid>, String> {
    let mut cells = match book.worksheet_cells_reader(name) {
        Ok(cells) => cells,
        Err(XlsxError::NotAWorksheet(_)) => return Ok(None),
        Err(error) => return Err(error.to_string()),
    };
    let mut grid = Grid::default();
    while let Some((found, style)) = cells
        .next_cell_with_style_id()
        .map_err(|error| error.to_string())?
    {
        let format = cells
            .styles()
            .get(style)
            .and_then(|style| style.number_format.as_ref());
        let percent = format.is_some_and(|format| format.format_code.contains('%'));
        grid.put(
            found.get_position(),
            cell(&Data::from(found.get_value().clone()), percent),
        );
        if grid.text > MOST_TEXT {
            return Err(format!(
                "a sheet holds more than {} MB of text",
                MOST_TEXT >> 20
            ));
        }
    }
    Ok(Some(grid))
}

fn ods(bytes: &[u8], cells: &[u8]) -> Sheets {
    let untold = super::ods_check::check(cells)?;
    let mut book: Ods<_> = Ods::new(Cursor::new(bytes)).map_err(|error| error.to_string())?;
    let mut sheets = Vec::new();
    for (index, name) in book.sheet_names().into_iter().enumerate() {
        let range = book
            .worksheet_range(&name)
            .map_err(|error| error.to_string())?;
        let (top, left) = range.start().unwrap_or((0, 0));
        let (top, left) = (large(top), large(left));
        let mut grid = Grid::default();
        for (row, column, value) in range.used_cells() {
            let (row, column) = (top + row, left + column);
            let percent = untold.percent.contains(&(index, row, column));
            grid.put((small(row), small(column)), cell(value, percent));
        }
        for area in untold.merged.iter().filter(|area| area.sheet == index) {
            let column = small(area.column);
            grid.spread((small(area.row), column), (small(area.last_row), column));
        }
        sheets.push((name, grid));
    }
    Ok(sheets)
}

fn small(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

fn large(number: u32) -> usize {
    usize::try_from(number).unwrap_or(usize::MAX)
}

impl Grid {
    fn put(&mut self, (row, column): (u32, u32), cell: Cell) {
        if cell == Cell::Blank {
            return;
        }
        if let Cell::Text(text) = &cell {
            self.text = self.text.saturating_add(text.len());
        }
        // Twice the rows that are read, so that blank rows between do not count.
        let full = self.rows.len() > MOST_ROWS * 2;
        if full || usize::try_from(column).is_ok_and(|column| column >= MOST_COLUMNS) {
            self.beyond = self.beyond.or(Some((row, column)));
            return;
        }
        self.rows.entry(row).or_default().insert(column, cell);
    }

    /// Gives every row of a merged area the value that stands in its first cell.
    fn spread(&mut self, (top, left): (u32, u32), (bottom, _): (u32, u32)) {
        let Some(cell) = self
            .rows
            .get(&top)
            .and_then(|cells| cells.get(&left))
            .cloned()
        else {
            return;
        };
        for (_, cells) in self
            .rows
            .range_mut(top.saturating_add(1)..=bottom.max(top.saturating_add(1)))
        {
            if bottom > top {
                cells.entry(left).or_insert_with(|| cell.clone());
            }
        }
    }
}

fn table(file: &str, sheet: &str, style: NumberStyle, grid: Grid) -> Table {
    let lines = grid.rows.into_iter().map(|(row, cells)| {
        let width = cells.keys().next_back().map_or(0, |last| large(*last) + 1);
        let mut line = vec![Cell::Blank; width];
        for (column, cell) in cells {
            if let Some(place) = line.get_mut(large(column)) {
                *place = cell;
            }
        }
        Line {
            number: large(row).saturating_add(1),
            cells: line,
        }
    });
    let mut table = Table::new(file, Some(sheet), style, lines.collect());
    if let Some((row, column)) = grid.beyond {
        let place = Place::Cell {
            file: file.to_owned(),
            sheet: Some(sheet.to_owned()),
            row: large(row).saturating_add(1),
            column: large(column).saturating_add(1),
            heading: String::new(),
        };
        let text = format!(
            "the cell lies beyond the {MOST_ROWS} rows and {MOST_COLUMNS} columns that are read"
        );
        table.fault(
            place,
            text,
            "clear the cell, or move the table to the upper left",
        );
    }
    table
}

fn cell(value: &Data, percent: bool) -> Cell {
    match value {
        Data::Empty => Cell::Blank,
        Data::String(text) if text.trim().is_empty() => Cell::Blank,
        Data::String(text) if is_error(text) => Cell::Error(text.clone()),
        // One byte more than a cell may hold is enough to be told.
        Data::String(text) => Cell::Text(text.chars().take(LONGEST_CELL + 1).collect()),
        Data::Int(number) if percent => number_cell((i128::from(*number) * 100).to_string(), true),
        Data::Int(number) => number_cell(number.to_string(), false),
        Data::Float(number) if percent => number_cell(digits::of_cell(number * 100.0), true),
        Data::Float(number) => number_cell(digits::of_cell(*number), false),
        Data::Bool(value) => Cell::Bool(*value),
        Data::Error(error) => Cell::Error(error.to_string()),
        Data::DurationIso(text) => {
            clock_of(text).map_or_else(|| Cell::Error(text.clone()), Cell::Text)
        }
        Data::DateTimeIso(text) => {
            date_of(text).map_or_else(|| Cell::Error(text.clone()), Cell::Date)
        }
        Data::DateTime(time) => {
            let (year, month, day, ..) = time.to_ymd_hms_milli();
            let parts = (i16::try_from(year), i8::try_from(month), i8::try_from(day));
            let date = match parts {
                (Ok(year), Ok(month), Ok(day)) if time.is_datetime() && time.as_f64() >= 1.0 => {
                    Date::new(year, month, day).ok()
                }
                _ => None,
            };
            date.map_or_else(|| Cell::Text(clock(time.as_f64())), Cell::Date)
        }
    }
}

/// A time of day, `HH:MM`, of the share of the day that has passed.
fn clock(share: f64) -> String {
    let minutes = (share.fract().abs() * 1440.0).round();
    format!("{:02.0}:{:02.0}", (minutes / 60.0).floor(), minutes % 60.0)
}

/// The time of day of a duration such as `PT16H30M00S`; none of what is longer than a day.
fn clock_of(duration: &str) -> Option<String> {
    let (hours, rest) = duration.strip_prefix("PT")?.split_once('H')?;
    let (minutes, _) = rest.split_once('M')?;
    let (hours, minutes): (u8, u8) = (hours.parse().ok()?, minutes.parse().ok()?);
    (hours < 24 && minutes < 60).then(|| format!("{hours:02}:{minutes:02}"))
}

/// A number, with its sign where the cell shows percent: such a cell of 15 % holds 0.15.
fn number_cell(digits: String, percent: bool) -> Cell {
    Cell::Number(if percent {
        format!("{digits} %")
    } else {
        digits
    })
}

/// ODS files hold what a failed formula shows as plain text.
fn is_error(text: &str) -> bool {
    let shown = [
        "#REF!", "#NAME?", "#VALUE!", "#DIV/0!", "#N/A", "#NUM!", "#NULL!",
    ]
    .contains(&text);
    shown
        || text
            .strip_prefix("Err:")
            .is_some_and(|code| code.len() == 3 && code.bytes().all(|byte| byte.is_ascii_digit()))
}

fn date_of(text: &str) -> Option<Date> {
    text.get(..10)?.parse().ok()
}
