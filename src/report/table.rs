//! A report as data: sheets of notes and tables with typed columns.

use jiff::civil::Date;
use jiff::civil::DateTime;
use rust_decimal::Decimal;

/// A whole document: a workbook, or the tables a command prints.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// File name without ending, e.g. `purchase-list`.
    pub name: String,
    /// Title for people.
    pub title: String,
    /// The sheets, in order.
    pub sheets: Vec<Sheet>,
}

/// One sheet of a report.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The sheet's name, at most 31 characters.
    pub name: String,
    /// Title at its top.
    pub title: String,
    /// Whether it is printed across.
    pub landscape: bool,
    /// What stands on it, from top to bottom.
    pub blocks: Vec<Block>,
}

/// A piece of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading.
    Heading(String),
    /// A paragraph.
    Note(String),
    /// A table.
    Table(Table),
}

/// A table with typed columns.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// A name unique in the report, of letters and digits only; CSV files take it.
    pub name: String,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows; each has one value a column.
    pub rows: Vec<Vec<Value>>,
    /// Whether a totals row follows, summing the columns that say so.
    pub totals: bool,
}

/// A column.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Heading with its unit, unique in the table.
    pub heading: String,
    /// What its values are.
    pub kind: Kind,
    /// Whether the totals row sums it.
    pub total: bool,
    /// Whether people write in it.
    pub input: bool,
    /// For a computed column: the formula with other headings of the row in brackets, e.g. `[packs]*[price of a pack]`.
    pub formula: Option<String>,
    /// Whether a terminal of 80 columns shows it.
    pub terminal: bool,
}

/// What a column's values are; writers choose formats by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Words.
    Text,
    /// A number with so many decimals.
    Number(u8),
    /// An amount of the job's currency.
    Money,
    /// A percentage: 8 is eight percent.
    Percent,
    /// A day.
    Day,
    /// A day and time.
    Time,
}

/// A cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Nothing.
    Empty,
    /// Words, never a formula.
    Text(String),
    /// A measured or computed number.
    Number(f64),
    /// A decimal: money, counts, percentages.
    Decimal(Decimal),
    /// A day.
    Day(Date),
    /// A day and time.
    Time(DateTime),
}
