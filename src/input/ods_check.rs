//! The cells of an ODS workbook looked over before the reader gets them.
//!
//! The reader trusts its files: one that ends too early would hold it for ever, and cells that say they repeat millions of
//! times would fill the memory. What is merged it does not tell, so that is noted here too.

use std::collections::BTreeSet;

use quick_xml::Reader;
use quick_xml::events::BytesStart;
use quick_xml::events::Event;

use super::table::MOST_COLUMNS;
use super::table::MOST_ROWS;
use super::table::MOST_TEXT;

/// The most cells of a sheet, blank ones between others included.
const MOST_CELLS: usize = 20_000_000;

/// The most spaces that a cell may say it holds in a row.
const MOST_SPACES: usize = 10_000;

/// The most rows that one row of cells that show percent is repeated for; people do not fill in more alike.
const MOST_REPEATS: usize = 100;

/// What the reader does not tell of the cells.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Untold {
    /// Areas that are merged over several rows.
    pub(super) merged: Vec<Merged>,
    /// Cells that show percent, by sheet, row and column, counted from 0: such a cell of 15 % holds 0.15.
    pub(super) percent: BTreeSet<(usize, usize, usize)>,
}

/// A merged area of a sheet that covers several rows, counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Merged {
    pub(super) sheet: usize,
    pub(super) row: usize,
    pub(super) column: usize,
    pub(super) last_row: usize,
}

/// Where the reading stands.
#[derive(Default)]
struct Position {
    sheets: usize,
    row: usize,
    repeats: usize,
    column: usize,
    /// The width up to the last cell of the row with anything in it.
    filled: usize,
    /// The cells of the sheet so far, and the rows up to the last with anything in it.
    cells: usize,
    filled_rows: usize,
    widest: usize,
    /// Copies that the cell at hand stands for, and bytes of text so far, each as often as it is repeated.
    copies: usize,
    text: usize,
    untold: Untold,
}

/// Checks the cells; gives what the reader does not tell, or why the workbook cannot be read.
pub(super) fn check(xml: &[u8]) -> Result<Untold, String> {
    let mut reader = Reader::from_reader(xml);
    let mut at = Position::default();
    let mut buffer = Vec::new();
    let mut depth = 0_usize;
    loop {
        buffer.clear();
        match reader
            .read_event_into(&mut buffer)
            .map_err(|error| error.to_string())?
        {
            Event::Start(element) => {
                depth += 1;
                at.open(&element)?;
            }
            Event::Empty(element) => {
                at.open(&element)?;
                at.close(element.name().as_ref())?;
            }
            Event::End(element) => {
                depth = depth.saturating_sub(1);
                at.close(element.name().as_ref())?;
            }
            Event::Eof if depth > 0 => return Err("it ends too early".to_owned()),
            Event::Eof => return Ok(at.untold),
            Event::Text(text) => at.hold(text.len())?,
            Event::CData(text) => at.hold(text.len())?,
            Event::Comment(_)
            | Event::Decl(_)
            | Event::PI(_)
            | Event::DocType(_)
            | Event::GeneralRef(_) => {}
        }
    }
}

impl Position {
    fn open(&mut self, element: &BytesStart<'_>) -> Result<(), String> {
        match element.name().as_ref() {
            "table:table" if attribute(element, "table:name")?.is_some() => {
                let (sheets, untold) = (self.sheets + 1, std::mem::take(&mut self.untold));
                *self = Self {
                    sheets,
                    untold,
                    ..Self::default()
                };
            }
            "table:table-row" => {
                self.repeats = number(element, "table:number-rows-repeated")?;
                (self.column, self.filled) = (0, 0);
            }
            "table:table-cell" | "table:covered-table-cell" => self.cell(element)?,
            "text:s" => {
                let spaces = number(element, "text:c")?;
                if spaces > MOST_SPACES {
                    return Err(too_large());
                }
                self.hold(spaces)?;
            }
            _ => {}
        }
        Ok(())
    }

    fn cell(&mut self, element: &BytesStart<'_>) -> Result<(), String> {
        let (sheet, row, column) = (self.sheets.saturating_sub(1), self.row, self.column);
        let rows = number(element, "table:number-rows-spanned")?;
        if rows > 1 {
            let last_row = row.saturating_add(rows - 1).min(MOST_ROWS * 2);
            self.untold.merged.push(Merged {
                sheet,
                row,
                column,
                last_row,
            });
        }
        let columns = number(element, "table:number-columns-repeated")?;
        self.column = column.saturating_add(columns);
        self.copies = columns.saturating_mul(self.repeats);
        let sort = attribute(element, "office:value-type")?;
        if sort.as_deref() == Some("percentage") {
            let rows = row..row.saturating_add(self.repeats.min(MOST_REPEATS));
            let columns = column..self.column.min(MOST_COLUMNS);
            self.untold.percent.extend(
                rows.flat_map(|row| columns.clone().map(move |column| (sheet, row, column))),
            );
        }
        match sort.as_deref() {
            Some("string") | None => {
                let text = attribute(element, "office:string-value")?;
                self.hold(text.map_or(0, |text| text.len()))?;
            }
            // What numbers show besides is not kept.
            Some(_) => self.copies = 0,
        }
        if sort.is_some() || attribute(element, "table:formula")?.is_some() {
            self.filled = self.column;
        }
        Ok(())
    }

    /// Counts bytes of text in the cell at hand, as often as the cell is repeated.
    fn hold(&mut self, bytes: usize) -> Result<(), String> {
        self.text = self.text.saturating_add(bytes.saturating_mul(self.copies));
        if self.text > MOST_TEXT {
            return Err(format!(
                "a sheet holds more than {} MB of text",
                MOST_TEXT >> 20
            ));
        }
        Ok(())
    }

    fn close(&mut self, name: &str) -> Result<(), String> {
        if name == "table:table-row" {
            self.row = self.row.saturating_add(self.repeats);
            self.cells = self.cells.saturating_add(self.filled);
            self.widest = self.widest.max(self.filled);
            if self.filled > 0 {
                self.filled_rows = self.row;
            }
            if self.cells > MOST_CELLS || self.widest.saturating_mul(self.filled_rows) > MOST_CELLS
            {
                return Err(too_large());
            }
        }
        Ok(())
    }
}

fn too_large() -> String {
    format!("a sheet has more than {MOST_CELLS} cells")
}

/// A whole number of an attribute; one where it is not there.
fn number(element: &BytesStart<'_>, name: &str) -> Result<usize, String> {
    let Some(text) = attribute(element, name)? else {
        return Ok(1);
    };
    text.trim()
        .parse()
        .map_err(|_| format!("`{name}` is `{text}`"))
}

fn attribute(element: &BytesStart<'_>, name: &str) -> Result<Option<String>, String> {
    let found = element
        .try_get_attribute(name)
        .map_err(|error| error.to_string())?;
    Ok(found.map(|found| found.value.to_string()))
}
