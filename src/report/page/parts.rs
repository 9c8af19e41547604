//! What a section of the page is made of.

use crate::report::Bars;
use crate::report::Block;
use crate::report::Figure;
use crate::report::Sheet;
use crate::report::Table;
use crate::report::Value;

use super::how::How;
use super::how::Opening;
use super::how::Placer;

/// A piece of a section.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// A heading under the section's.
    Heading(String),
    /// A paragraph.
    Note(String),
    /// A paragraph that nobody may miss.
    Alarm(String),
    /// Lines of words, one below the other.
    List(Vec<String>),
    /// Figures side by side.
    Facts(Vec<Fact>),
    /// A table.
    Table(Listing),
    /// Shares of a whole as bars: what the whole is, then each part.
    Shares(String, Vec<Share>),
    /// Bars over half days, and what its letters mean.
    Bars(Bars),
    /// A drawing.
    Drawing(Drawing),
    /// Parts of which one is shown at a time.
    Switch(Switch),
    /// Parts that are shown on demand.
    Fold(Fold),
    /// Cards side by side where there is room, each with a heading.
    Cards(Vec<(String, Vec<Self>)>),
    /// A derivation that stands behind no figure of its own.
    How(How),
}

/// A figure with its name.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// What it is.
    pub label: String,
    /// The figure.
    pub value: String,
    /// What belongs to it, a line each.
    pub more: Vec<String>,
    /// How it came about.
    pub how: Option<Opening>,
    /// Whether it has to be acted on.
    pub alarm: bool,
    /// Whether it takes the whole width.
    pub wide: bool,
    /// The section that says more.
    pub section: Option<&'static str>,
}

impl Fact {
    /// A figure with its name.
    pub(super) fn new(label: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            value: value.into(),
            more: Vec::new(),
            how: None,
            alarm: false,
            wide: false,
            section: None,
        }
    }

    /// With lines that belong to it.
    pub(super) fn more(mut self, lines: impl IntoIterator<Item = String>) -> Self {
        self.more.extend(lines);
        self
    }

    /// With how it came about.
    pub(super) fn how(mut self, how: Option<Opening>) -> Self {
        self.how = how;
        self
    }

    /// With the section that says more.
    pub(super) fn section(mut self, id: &'static str) -> Self {
        self.section = Some(id);
        self
    }
}

/// A table with what it is called and how its rows' figures came about.
#[derive(Clone, Debug, PartialEq)]
pub struct Listing {
    /// What it is called.
    pub caption: String,
    /// The table.
    pub table: Table,
    /// How the figures of each row came about; as long as the rows, or empty.
    pub how: Vec<Option<Opening>>,
    /// Which column opens.
    pub opens: usize,
    /// How many rows were left out.
    pub left_out: usize,
}

/// More rows than this are read by nobody on a page; the workbooks and CSV files hold them all.
const MOST_ROWS: usize = 400;

impl Listing {
    /// A table, cut to what can be read.
    pub(super) fn new(caption: impl Into<String>, mut table: Table) -> Self {
        let left_out = table.rows.len().saturating_sub(MOST_ROWS);
        if left_out > 0 {
            // A sum of the rows shown would be wrong, so none is shown.
            table.rows.truncate(MOST_ROWS);
            for column in &mut table.columns {
                column.total = false;
            }
        }
        Self {
            caption: caption.into(),
            table,
            how: Vec::new(),
            opens: 0,
            left_out,
        }
    }

    /// The same, each row that is shown opening in a column to the derivation of an id.
    pub(super) fn opening(
        mut self,
        column: usize,
        ids: impl IntoIterator<Item = String>,
        placer: &mut Placer<'_>,
    ) -> Self {
        self.opens = column;
        let shown = ids.into_iter().take(self.table.rows.len());
        self.how = shown.map(|id| placer.open(&id)).collect();
        self
    }
}

/// A part of a whole.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// What it is.
    pub name: String,
    /// How much, in words.
    pub amount: String,
    /// Which part of the whole, from 0 to 1.
    pub part: f64,
}

/// A drawing with what it shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// What it shows, in words below it.
    pub caption: String,
    /// The drawing.
    pub figure: Figure,
}

/// Parts of which one is shown at a time, the first to begin with.
#[derive(Clone, Debug, PartialEq)]
pub struct Switch {
    /// What is chosen.
    pub legend: String,
    /// What can be chosen: a short name and what it shows.
    pub options: Vec<(String, Vec<Part>)>,
}

/// Parts that are shown on demand.
#[derive(Clone, Debug, PartialEq)]
pub struct Fold {
    /// What it opens to.
    pub title: String,
    /// What it shows.
    pub parts: Vec<Part>,
}

impl Part {
    /// Parts that are shown on demand.
    pub(super) fn fold(title: impl Into<String>, parts: Vec<Self>) -> Self {
        Self::Fold(Fold {
            title: title.into(),
            parts,
        })
    }

    /// A table.
    pub(super) fn table(caption: impl Into<String>, table: Table) -> Self {
        Self::Table(Listing::new(caption, table))
    }
}

/// An amount to the cent, thousands apart from ten thousand on.
pub(super) fn money(money: crate::units::Money) -> String {
    crate::units::grouped(&format!("{:.2}", money.cents().amount()))
}

/// A table of some of its columns, those that a table of the kind may lack left away.
pub(super) fn only(table: Table, headings: &[&str]) -> Table {
    let kept: Vec<usize> = headings
        .iter()
        .filter_map(|heading| {
            table
                .columns
                .iter()
                .position(|column| column.heading == *heading)
        })
        .filter(|&at| {
            table
                .rows
                .iter()
                .any(|row| row.get(at).is_some_and(|cell| !is_blank(cell)))
        })
        .collect();
    let columns = kept.iter().filter_map(|&at| table.columns.get(at).cloned());
    let columns = columns.collect();
    let rows = table.rows.into_iter().map(|row| {
        let cells = kept.iter().filter_map(|&at| row.get(at).cloned());
        cells.collect::<Vec<_>>()
    });
    Table::new(table.name, columns).rows(rows)
}

fn is_blank(cell: &Value) -> bool {
    match cell {
        Value::Empty => true,
        Value::Text(text) => text.is_empty(),
        Value::Number(_)
        | Value::Decimal(_)
        | Value::Day(_)
        | Value::Time(_)
        | Value::Formula(..) => false,
    }
}

/// The blocks of a workbook's sheet as parts; each table takes the heading above it for its caption, and charts are left away.
pub(super) fn of_sheet(sheet: Sheet) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    let mut heading = sheet.title;
    for block in sheet.blocks {
        match block {
            Block::Heading(words) => {
                parts.push(Part::Heading(words.clone()));
                heading = words;
            }
            Block::Note(words) if words.is_empty() => {}
            Block::Note(words) => parts.push(Part::Note(words)),
            Block::Table(table) if table.rows.is_empty() => {
                // A heading over nothing tells less than a word.
                if parts.last() == Some(&Part::Heading(heading.clone())) {
                    parts.push(Part::Note("None.".to_owned()));
                }
            }
            Block::Table(table) => parts.push(Part::table(heading.clone(), table)),
            Block::Bars(bars) => parts.push(Part::Bars(bars)),
            Block::DaySheet(_) | Block::Chart(_) => {}
        }
    }
    parts
}

/// The same, what stands under some of the headings folded away.
pub(super) fn folded(parts: Vec<Part>, headings: &[&str]) -> Vec<Part> {
    let mut all: Vec<Part> = Vec::new();
    let mut into_fold = false;
    for part in parts {
        if let Part::Heading(words) = part {
            into_fold = headings.contains(&words.as_str());
            all.push(if into_fold {
                Part::fold(words, Vec::new())
            } else {
                Part::Heading(words)
            });
        } else if into_fold && let Some(Part::Fold(fold)) = all.last_mut() {
            fold.parts.push(part);
        } else {
            all.push(part);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::Column;

    #[test]
    fn long_tables_are_cut_and_then_show_no_total() {
        let column = vec![Column::money("amount").summed()];
        let rows = |many: usize| (0..many).map(|at| vec![Value::count(at)]);
        let short = Listing::new("short", Table::new("Short", column.clone()).rows(rows(400)));
        assert!(short.table.has_totals() && short.left_out == 0);
        let long = Listing::new("long", Table::new("Long", column).rows(rows(1_000)));
        assert_eq!((long.table.rows.len(), long.left_out), (400, 600));
        assert!(!long.table.has_totals());
    }
}
