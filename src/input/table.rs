//! A table whose columns are found by their headings and whose cells know their place.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::diag::Level;
use crate::diag::Place;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::units::NumberStyle;

use super::field::Field;
use super::field::Origin;
use super::field::Raw;
use super::field::normalised;
use super::field::shortened;

/// The most rows a table may have below its headings.
pub(super) const MOST_ROWS: usize = 100_000;

/// The most columns a table may have.
pub(super) const MOST_COLUMNS: usize = 256;

/// The most bytes of text in a cell, about what spreadsheets allow.
pub(super) const LONGEST_CELL: usize = 32 * 1024 - 1;

/// The most bytes of text in a sheet, all cells together.
pub(super) const MOST_TEXT: usize = 128 * 1024 * 1024;

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Cell {
    Blank,
    Text(String),
    /// A number in plain digits.
    Number(String),
    Bool(bool),
    Date(Date),
    /// What the spreadsheet shows for a formula that failed.
    Error(String),
}

/// A row of cells, the first in column 1.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    /// The row's number, counted from 1.
    pub(super) number: usize,
    /// Its cells.
    pub(super) cells: Vec<Cell>,
}

/// A table of a CSV file or a sheet of a workbook.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    file: String,
    sheet: Option<String>,
    style: NumberStyle,
    headings: Vec<String>,
    heading_row: usize,
    /// Normalised heading to index of column.
    columns: BTreeMap<String, usize>,
    lines: Vec<Line>,
    /// What is wrong with the table itself; said once somebody asks for it.
    faults: Vec<Problem>,
    /// Whether what is wrong makes its rows meaningless.
    torn: bool,
}

impl Table {
    /// Makes a table of lines; the first that is not blank holds the headings.
    pub(super) fn new(
        file: &str,
        sheet: Option<&str>,
        style: NumberStyle,
        lines: Vec<Line>,
    ) -> Self {
        let mut lines = lines
            .into_iter()
            .filter(|line| line.cells.iter().any(|cell| !cell.is_blank()));
        let first = lines.next();
        let heading_row = first.as_ref().map_or(0, |line| line.number);
        let headings: Vec<String> = first.map_or_else(Vec::new, |line| {
            line.cells
                .iter()
                .map(|cell| cell.shown().trim().to_owned())
                .collect()
        });
        let mut columns = BTreeMap::new();
        for (index, heading) in headings
            .iter()
            .enumerate()
            .filter(|(_, heading)| !heading.is_empty())
        {
            columns.entry(normalised(heading)).or_insert(index);
        }
        let mut table = Self {
            file: file.to_owned(),
            sheet: sheet.map(str::to_owned),
            style,
            headings,
            heading_row,
            columns,
            lines: lines.collect(),
            faults: Vec::new(),
            torn: false,
        };
        table.find_faults();
        table
    }

    /// The table within this sheet whose row of headings has all of some headings, from there to a row `Total` or the sheet's end.
    ///
    /// For sheets on which words and other tables stand above it.
    pub fn part(&self, wanted: &[&str]) -> Option<Self> {
        let top = Line {
            number: self.heading_row,
            cells: self.headings.iter().cloned().map(Cell::Text).collect(),
        };
        let heads = |line: &Line| {
            let has = |name: &&str| {
                let is = |cell: &Cell| normalised(&cell.shown()) == normalised(name);
                line.cells.iter().any(is)
            };
            wanted.iter().all(has)
        };
        let ends = |line: &Line| {
            let first = line.cells.iter().find(|cell| !cell.is_blank());
            first.is_some_and(|cell| normalised(&cell.shown()) == "total")
        };
        let lines = std::iter::once(&top).chain(&self.lines);
        let below = lines.skip_while(|line| !heads(line));
        let lines: Vec<Line> = below.take_while(|line| !ends(line)).cloned().collect();
        let found = !lines.is_empty();
        found.then(|| Self::new(&self.file, self.sheet.as_deref(), self.style, lines))
    }

    /// Adds what was found wrong while the table was read.
    pub(super) fn fault(&mut self, place: Place, text: impl Into<String>, help: impl Into<String>) {
        let (text, help) = (text.into(), vec![help.into()]);
        self.faults.push(Problem {
            level: Level::Error,
            place: Some(place),
            text,
            help,
        });
    }

    /// Says that the rows make no sense.
    pub(super) const fn tear(&mut self) {
        self.torn = true;
    }

    fn find_faults(&mut self) {
        let mut strays = BTreeMap::new();
        let mut long = Vec::new();
        for (row, line) in self.lines.iter().enumerate() {
            for (column, cell) in line
                .cells
                .iter()
                .enumerate()
                .filter(|(_, cell)| !cell.is_blank())
            {
                if self.headings.get(column).is_none_or(String::is_empty) {
                    strays
                        .entry(column)
                        .or_insert((row, shortened(&cell.shown())));
                }
                if matches!(cell, Cell::Text(text) if text.len() > LONGEST_CELL) {
                    long.push((row, column));
                }
            }
        }
        for (column, (row, shown)) in strays {
            let text = format!("`{shown}` stands in a column without a heading");
            let help = if self.sheet.is_some() {
                "write a heading over the column, or clear the cell"
            } else {
                "put a text that holds a comma or semicolon between double quotation marks, or write a heading over the column"
            };
            self.fault(self.cell_place(row, Some(column)), text, help);
        }
        for (row, column) in long {
            self.fault(
                self.cell_place(row, Some(column)),
                "the cell has more than 32,767 letters",
                "shorten the text",
            );
        }
        if self.lines.len() > MOST_ROWS {
            let text = format!(
                "the table has {} rows, more than the {MOST_ROWS} that are read",
                self.lines.len()
            );
            self.fault(
                self.place(),
                text,
                "split the job, or write identical panels as one row with a `count`",
            );
            self.lines.truncate(MOST_ROWS);
        }
    }

    /// The file's name.
    pub fn file(&self) -> &str {
        &self.file
    }

    /// The sheet's name; none in a CSV file.
    pub fn sheet(&self) -> Option<&str> {
        self.sheet.as_deref()
    }

    /// Says whether the sheet has that name, written in any case and with any spaces and hyphens.
    pub fn is_named(&self, name: &str) -> bool {
        self.sheet
            .as_deref()
            .is_some_and(|sheet| normalised(sheet) == normalised(name))
    }

    /// The style of its bare lengths and decimal marks.
    pub const fn style(&self) -> NumberStyle {
        self.style
    }

    /// The number of rows with anything in them, headings not counted.
    pub const fn len(&self) -> usize {
        self.lines.len()
    }

    /// Says whether there is no row with anything in it.
    pub const fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// The place of the headings, or the file where there are none.
    pub fn place(&self) -> Place {
        match (&self.sheet, self.heading_row) {
            (None, 0) => Place::File {
                file: self.file.clone(),
            },
            (_, row) => Place::Cell {
                file: self.file.clone(),
                sheet: self.sheet.clone(),
                row: row.max(1),
                column: 0,
                heading: String::new(),
            },
        }
    }

    /// Says whether there is a column of that heading.
    pub fn has(&self, heading: &str) -> bool {
        self.columns.contains_key(&normalised(heading))
    }

    /// Checks the headings against the known and the required ones, and says whatever else is wrong with the table.
    ///
    /// Returns false if the rows make no sense to read: no headings at all, or a required one missing.
    pub fn check_headings(
        &self,
        known: &[&str],
        required: &[&str],
        problems: &mut Problems,
    ) -> bool {
        for fault in &self.faults {
            problems.push(fault.clone());
        }
        if self.headings.is_empty() {
            let help = format!(
                "write the headings into the first row: {}",
                list(required, "and")
            );
            problems.error(Some(self.place()), "there is nothing in the table", help);
            return false;
        }
        let mut meant = Vec::new();
        for (index, heading) in self
            .headings
            .iter()
            .enumerate()
            .filter(|(_, heading)| !heading.is_empty())
        {
            meant.extend(self.check_heading(index, heading, known, problems));
        }
        let missing: Vec<&str> = required
            .iter()
            .copied()
            .filter(|heading| !self.has(heading))
            .collect();
        // A required heading that was misspelt has been told.
        for heading in missing.iter().filter(|heading| !meant.contains(heading)) {
            let text = format!("there is no column `{heading}`");
            let help = format!("write `{heading}` as the heading of the column that holds it");
            problems.error(Some(self.place()), text, help);
        }
        missing.is_empty() && !self.torn
    }

    /// Checks a heading; gives the known one that was probably meant by an unknown one.
    fn check_heading<'k>(
        &self,
        index: usize,
        heading: &str,
        known: &[&'k str],
        problems: &mut Problems,
    ) -> Option<&'k str> {
        let plain = normalised(heading);
        let shown = shortened(heading);
        let place = Some(Place::Cell {
            file: self.file.clone(),
            sheet: self.sheet.clone(),
            row: self.heading_row,
            column: index + 1,
            heading: String::new(),
        });
        if !known.iter().any(|name| normalised(name) == plain) {
            let (meant, help) = heading_help(heading, known);
            problems.error(
                place,
                format!("the column `{shown}` is not known here"),
                help,
            );
            return meant;
        }
        if self.columns.get(&plain) != Some(&index) {
            let text = format!("the heading `{shown}` stands over two columns");
            problems.error(place, text, "delete one of the two columns, or rename it");
        }
        None
    }

    /// The rows with anything in them, in order.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        (0..self.lines.len()).map(|index| Row { table: self, index })
    }

    /// The place of a cell by its indices, or of the whole row where the table has no such column.
    pub(super) fn cell_place(&self, row: usize, column: Option<usize>) -> Place {
        let heading = column.and_then(|column| self.headings.get(column));
        Place::Cell {
            file: self.file.clone(),
            sheet: self.sheet.clone(),
            row: self
                .lines
                .get(row)
                .map_or(self.heading_row, |line| line.number),
            column: column.map_or(0, |column| column + 1),
            heading: heading.cloned().unwrap_or_default(),
        }
    }
}

/// The heading that was probably meant, and what to write.
fn heading_help<'k>(heading: &str, known: &[&'k str]) -> (Option<&'k str>, String) {
    let plain = normalised(heading);
    let stem = plain.trim_end_matches([')', ']']);
    let units = ["mm", "cm", "m", "in", "inches", "ft"];
    let bare = units
        .iter()
        .find_map(|unit| stem.strip_suffix(unit))
        .map(|stem| stem.trim_end_matches(['(', '[']));
    let named = |wanted: &str| {
        known
            .iter()
            .copied()
            .find(|name| normalised(name) == wanted)
    };
    if let Some(name) = bare.and_then(named) {
        return (
            Some(name),
            format!("write `{name}`, and the unit in its cells or as the job's `unit`"),
        );
    }
    let mut longer = known
        .iter()
        .copied()
        .filter(|name| plain.len() >= 4 && normalised(name).starts_with(&plain));
    let near = nearest(&plain, known.iter().copied())
        .or_else(|| longer.next().filter(|_| longer.next().is_none()));
    let help = match near {
        Some(near) => format!("write `{near}` if that is meant, or delete the column"),
        None => format!("use one of {}, or delete the column", list(known, "or")),
    };
    (near, help)
}

/// A row of a table.
#[derive(Clone, Copy, Debug)]
pub struct Row<'a> {
    table: &'a Table,
    index: usize,
}

impl<'a> Row<'a> {
    /// The whole row's place.
    pub fn place(&self) -> Place {
        Place::Cell {
            file: self.table.file.clone(),
            sheet: self.table.sheet.clone(),
            row: self
                .table
                .lines
                .get(self.index)
                .map_or(0, |line| line.number),
            column: 0,
            heading: String::new(),
        }
    }

    /// The row's number, counted from 1 with the headings.
    pub fn number(&self) -> usize {
        self.table
            .lines
            .get(self.index)
            .map_or(0, |line| line.number)
    }

    /// The value below a heading; a column that is not there is blank.
    pub fn field(&self, heading: &'a str) -> Field<'a> {
        let table = self.table;
        let column = table
            .columns
            .get(heading)
            .or_else(|| table.columns.get(&normalised(heading)))
            .copied();
        let cell = column.and_then(|column| table.lines.get(self.index)?.cells.get(column));
        let origin = Origin::Cell {
            table,
            row: self.index,
            column,
        };
        Field {
            name: heading,
            raw: cell.map_or(Raw::Blank, Cell::raw),
            origin,
        }
    }
}

impl Cell {
    fn is_blank(&self) -> bool {
        match self {
            Self::Blank => true,
            Self::Text(text) => text.trim().is_empty(),
            Self::Number(_) | Self::Bool(_) | Self::Date(_) | Self::Error(_) => false,
        }
    }

    fn raw(&self) -> Raw<'_> {
        match self {
            Self::Blank => Raw::Blank,
            Self::Text(text) => Raw::Text(text),
            Self::Number(text) => Raw::Number(text),
            Self::Bool(value) => Raw::Bool(*value),
            Self::Date(date) => Raw::Date(*date),
            Self::Error(text) => Raw::Error(text),
        }
    }

    fn shown(&self) -> String {
        match self {
            Self::Blank => String::new(),
            Self::Text(text) | Self::Number(text) | Self::Error(text) => text.clone(),
            Self::Bool(value) => value.to_string(),
            Self::Date(date) => date.to_string(),
        }
    }
}
