//! A report as data: sheets of notes and tables with typed columns, which any writer can write.

use jiff::civil::Date;
use jiff::civil::DateTime;
use rust_decimal::Decimal;

use crate::job::Paper;

use super::day_sheet::DaySheet;

/// A whole document: a workbook, or the tables a command prints.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// File name without ending, e.g. `purchase-list`.
    pub name: String,
    /// Title for people.
    pub title: String,
    /// The paper it is printed on.
    pub paper: Paper,
    /// The sheets, in order.
    pub sheets: Vec<Sheet>,
}

impl Report {
    /// Every table of the report, in order.
    pub fn tables(&self) -> impl Iterator<Item = &Table> {
        self.sheets.iter().flat_map(Sheet::tables)
    }
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

impl Sheet {
    /// Starts an upright sheet.
    pub fn new(name: impl Into<String>, title: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            title: title.into(),
            landscape: false,
            blocks: Vec::new(),
        }
    }

    /// Every table of the sheet, in order.
    pub fn tables(&self) -> impl Iterator<Item = &Table> {
        self.blocks.iter().filter_map(|block| match block {
            Block::Table(table) => Some(table),
            Block::Heading(_)
            | Block::Note(_)
            | Block::Bars(_)
            | Block::DaySheet(_)
            | Block::Chart(_) => None,
        })
    }

    /// Prints the sheet across.
    #[must_use]
    pub fn across(mut self) -> Self {
        self.landscape = true;
        self
    }

    /// Adds a heading.
    #[must_use]
    pub fn heading(mut self, text: impl Into<String>) -> Self {
        self.blocks.push(Block::Heading(text.into()));
        self
    }

    /// Adds a paragraph.
    #[must_use]
    pub fn note(mut self, text: impl Into<String>) -> Self {
        self.blocks.push(Block::Note(text.into()));
        self
    }

    /// Adds a chart.
    #[must_use]
    pub fn chart(mut self, chart: Chart) -> Self {
        self.blocks.push(Block::Chart(chart));
        self
    }

    /// Adds a table.
    #[must_use]
    pub fn table(mut self, table: Table) -> Self {
        self.blocks.push(Block::Table(table));
        self
    }
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
    /// Bars over half days.
    Bars(Bars),
    /// A day to hang up.
    DaySheet(DaySheet),
    /// A chart of a table's columns, in workbooks; elsewhere the table itself says the same.
    Chart(Chart),
}

/// A chart whose values stand in a table of the same report.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chart {
    /// What it shows.
    pub title: String,
    /// How it is drawn.
    pub kind: ChartKind,
    /// The table's name.
    pub table: String,
    /// The heading of the column along the foot, and the axis's title.
    pub along: (String, String),
    /// The headings of the columns drawn.
    pub series: Vec<String>,
    /// The title of the axis at the side.
    pub side: String,
}

/// How a chart is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChartKind {
    /// Upright bars, one for each row.
    Columns,
    /// Lines over numbers or times.
    Lines,
}

/// Bars: a row of marks a subject, a column a half day.
#[derive(Clone, Debug, PartialEq)]
pub struct Bars {
    /// What the rows are.
    pub subject: String,
    /// Days, each with a morning and an afternoon.
    pub days: Vec<Date>,
    /// Rows: a name and two cells a day.
    pub rows: Vec<(String, Vec<Mark>)>,
}

/// What stands in one half day of a bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Nothing happens.
    Idle,
    /// Something dries and nobody works.
    Drying,
    /// Work, with the short sign of the step.
    Work(String),
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
    /// Whether it is shown only and no CSV file is written of it: its rows stand in another one.
    pub shown_only: bool,
}

impl Table {
    /// Starts a table.
    pub fn new(name: impl Into<String>, columns: Vec<Column>) -> Self {
        Self {
            name: name.into(),
            columns,
            rows: Vec::new(),
            shown_only: false,
        }
    }

    /// Adds rows.
    #[must_use]
    pub fn rows(mut self, rows: impl IntoIterator<Item = Vec<Value>>) -> Self {
        self.rows.extend(rows);
        self
    }

    /// Writes no CSV file of it.
    #[must_use]
    pub fn shown_only(mut self) -> Self {
        self.shown_only = true;
        self
    }

    /// Says whether any column is summed below the rows.
    pub fn has_totals(&self) -> bool {
        self.columns.iter().any(|column| column.total) && !self.rows.is_empty()
    }

    /// The sum of a column's numbers, as exact as they are.
    pub fn total(&self, column: usize) -> Decimal {
        self.rows
            .iter()
            .filter_map(|row| row.get(column))
            .map(Value::to_decimal)
            .sum()
    }
}

/// A column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Heading with its unit, unique in the table.
    pub heading: String,
    /// What its values are.
    pub kind: Kind,
    /// Whether a totals row sums it.
    pub total: bool,
    /// Whether people write in it.
    pub input: bool,
    /// What they are to write, shown when the cell is chosen.
    pub hint: &'static str,
    /// For a computed column: the formula, other headings of the row in brackets, e.g. `[packs]*[price]`.
    pub formula: Option<String>,
    /// Whether a terminal of 80 columns leaves it out.
    pub wide_only: bool,
}

impl Column {
    /// A column of some kind.
    pub fn new(heading: impl Into<String>, kind: Kind) -> Self {
        Self {
            heading: heading.into(),
            kind,
            total: false,
            input: false,
            hint: "",
            formula: None,
            wide_only: false,
        }
    }

    /// A column of words.
    pub fn text(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Text)
    }

    /// A column of numbers with so many decimals.
    pub fn number(heading: impl Into<String>, decimals: u8) -> Self {
        Self::new(heading, Kind::Number(decimals))
    }

    /// A column of money.
    pub fn money(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Money)
    }

    /// A column of days.
    pub fn day(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Day)
    }

    /// A column of days with times.
    pub fn time(heading: impl Into<String>) -> Self {
        Self::new(heading, Kind::Time)
    }

    /// Sums the column below the rows.
    #[must_use]
    pub fn summed(mut self) -> Self {
        self.total = true;
        self
    }

    /// Leaves the column for people to fill in.
    #[must_use]
    pub fn to_fill_in(mut self) -> Self {
        self.input = true;
        self
    }

    /// Leaves the column for people to fill in, and says what.
    #[must_use]
    pub fn asked(self, hint: &'static str) -> Self {
        Self {
            hint,
            ..self.to_fill_in()
        }
    }

    /// Computes the column from others of its row.
    #[must_use]
    pub fn computed(mut self, formula: impl Into<String>) -> Self {
        self.formula = Some(formula.into());
        self
    }

    /// Leaves the column out on a terminal.
    #[must_use]
    pub fn only_wide(mut self) -> Self {
        self.wide_only = true;
        self
    }
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
    /// A formula for workbooks and its result for everything else.
    ///
    /// Other tables are named as `Table[heading]`; a cell of the same table so many rows down (or up, negative) is written
    /// `{rows:heading}`.
    Formula(String, Decimal),
}

impl Value {
    /// Words.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A whole count.
    pub fn count(count: usize) -> Self {
        Self::Decimal(Decimal::from(count))
    }

    /// The value as a decimal; words and days are nothing.
    pub fn to_decimal(&self) -> Decimal {
        match self {
            Self::Number(number) => Decimal::try_from(*number).unwrap_or_default(),
            Self::Decimal(number) | Self::Formula(_, number) => *number,
            Self::Empty | Self::Text(_) | Self::Day(_) | Self::Time(_) => Decimal::ZERO,
        }
    }
}
