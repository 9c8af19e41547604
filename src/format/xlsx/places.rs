//! Where each table of a report stands in its workbook, and the cells that formulas name.
//!
//! Formulas name other tables as `Table[heading]`. Some spreadsheet programs read that form only after the table itself, and so not across
//! sheets; written as plain cells it is read by all.

use std::collections::BTreeMap;

use rust_xlsxwriter::utility::row_col_to_cell;
use rust_xlsxwriter::utility::row_col_to_cell_absolute;

use crate::report::Block;
use crate::report::Report;
use crate::report::Sheet;
use crate::report::Table;

use super::Col;
use super::NOTE_WIDTH;
use super::Row;
use super::broken;

/// The rows between a sheet's title and its first block.
pub(super) const FIRST_ROW: Row = 2;

/// Rows that a chart covers.
pub(super) const CHART_ROWS: usize = 18;

/// Cells of tables, by table.
pub(super) struct Places<'a> {
    spots: BTreeMap<&'a str, Spot<'a>>,
    /// How days are written.
    pub(super) days: &'static str,
}

struct Spot<'a> {
    sheet: &'a str,
    table: &'a Table,
    first: Row,
}

impl<'a> Places<'a> {
    /// Finds where every table of a report will stand.
    pub(super) fn of(report: &'a Report, days: &'static str) -> Self {
        let mut spots = BTreeMap::new();
        for sheet in &report.sheets {
            for (row, table) in tables(sheet) {
                let spot = Spot {
                    sheet: &sheet.name,
                    table,
                    first: row + 1,
                };
                spots.insert(table.name.as_str(), spot);
            }
        }
        Self { spots, days }
    }

    /// Writes a formula with plain cells: `Table[heading]` as a range, `{-1:heading}` as a cell of the row above in the same table.
    pub(super) fn plain(&self, formula: &str, table: &Table, row: Row) -> String {
        self.with_ranges(&with_cells(formula, table, row))
    }

    fn with_ranges(&self, formula: &str) -> String {
        let mut text = String::new();
        let mut rest = formula;
        while let Some((before, heading, after)) = bracketed(rest) {
            let name_starts = before
                .rfind(|c: char| !c.is_ascii_alphanumeric())
                .map_or(0, |at| at + 1);
            let (ahead, name) = before.split_at(name_starts);
            text += ahead;
            text += &self
                .range(name, heading)
                .unwrap_or_else(|| format!("{name}[{heading}]"));
            rest = after;
        }
        text + rest
    }

    /// The cells of a table's column, as charts and formulas name them.
    pub(super) fn range(&self, name: &str, heading: &str) -> Option<String> {
        let spot = self.spots.get(name)?;
        let col = column(spot.table, heading)?;
        let last = spot.first + Row::try_from(spot.table.rows.len()).ok()?.saturating_sub(1);
        let (from, to) = (
            row_col_to_cell_absolute(spot.first, col),
            row_col_to_cell_absolute(last, col),
        );
        Some(format!("'{}'!{from}:{to}", spot.sheet.replace('\'', "''")))
    }
}

/// The text before a bracket, what is in it, and what follows it.
fn bracketed(text: &str) -> Option<(&str, &str, &str)> {
    let (before, inner) = text.split_once('[')?;
    let (heading, after) = inner.split_once(']')?;
    Some((before, heading, after))
}

fn column(table: &Table, heading: &str) -> Option<Col> {
    let at = table
        .columns
        .iter()
        .position(|column| column.heading == heading)?;
    Col::try_from(at).ok()
}

/// Turns `{-1:amount}` into the name of the cell one row up in the column `amount`.
fn with_cells(formula: &str, table: &Table, row: Row) -> String {
    let mut parts = formula.split('{');
    let mut text = parts.next().unwrap_or("").to_owned();
    for part in parts {
        let (cell, rest) = part.split_once('}').unwrap_or((part, ""));
        let (rows, heading) = cell.split_once(':').unwrap_or(("0", cell));
        let row = row.saturating_add_signed(rows.parse().unwrap_or(0));
        text += &row_col_to_cell(row, column(table, heading).unwrap_or(0));
        text += rest;
    }
    text
}

/// The row at which each block of a sheet begins; an empty row parts a paragraph from the table after it.
pub(super) fn starts(sheet: &Sheet) -> impl Iterator<Item = (Row, &Block)> {
    let mut row = FIRST_ROW;
    let mut after_text = false;
    sheet.blocks.iter().map(move |block| {
        let is_text = matches!(block, Block::Heading(_) | Block::Note(_));
        let here = row + Row::from(after_text && !is_text);
        after_text = matches!(block, Block::Note(_));
        row = here + height(block);
        (here, block)
    })
}

/// The tables of a sheet with the rows of their headings; tables without rows are written as a word and have none.
pub(super) fn tables(sheet: &Sheet) -> impl Iterator<Item = (Row, &Table)> {
    starts(sheet).filter_map(|(row, block)| match block {
        Block::Table(table) if !table.rows.is_empty() => Some((row, table)),
        Block::Table(_)
        | Block::Heading(_)
        | Block::Note(_)
        | Block::Bars(_)
        | Block::DaySheet(_)
        | Block::Chart(_) => None,
    })
}

/// How many rows a block takes, the empty ones after it included.
fn height(block: &Block) -> Row {
    let rows = match block {
        Block::Heading(text) | Block::Note(text) => broken(text, NOTE_WIDTH).len(),
        Block::Table(table) if table.rows.is_empty() => 2,
        Block::Table(table) => 1 + table.rows.len() + usize::from(table.has_totals()) + 1,
        Block::Bars(bars) => 1 + bars.rows.len() + 1,
        Block::DaySheet(sheet) => super::day_sheet::height(sheet),
        Block::Chart(_) => CHART_ROWS + 1,
    };
    Row::try_from(rows).unwrap_or(Row::MAX / 2)
}
