//! Plan to reports: typed tables and notes that any writer can write; one file a report.

mod about;
mod actuals;
mod air;
pub mod answers;
mod bid;
mod cells;
mod crates;
mod critical;
mod cut_sheets;
mod day_pages;
mod day_sheet;
mod day_sheets;
mod days;
mod done;
mod drums;
mod drying;
mod figure;
mod labour_schedule;
mod leftovers;
mod materials;
mod ordered;
mod orders;
mod page;
mod panel_drum;
mod purchase_list;
mod quantities;
mod table;

use crate::plan::Plan;

pub use crate::job::Paper;
pub use cut_sheets::cut_sheets;
pub use day_pages::day_pages;
pub use day_sheet::DaySheet;
pub use day_sheet::Stretch;
pub(crate) use figure::BOLD;
pub use figure::Booklet;
pub use figure::Dash;
pub use figure::Figure;
pub use figure::Fill;
pub use figure::Frame;
pub(crate) use figure::PLAIN;
pub use figure::Path;
pub use figure::Role;
pub use figure::Shape;
pub use figure::Text;
pub use figure::Type;
pub use page::Drawing;
pub use page::Fact;
pub use page::Fold;
pub use page::How;
pub use page::Listing;
pub use page::Opening;
pub use page::Page;
pub use page::Part;
pub use page::Section;
pub use page::Share;
pub use page::Switch;
pub use page::page;
pub use panel_drum::panel_drum;
pub use table::Bars;
pub use table::Block;
pub use table::Chart;
pub use table::ChartKind;
pub use table::Column;
pub use table::Kind;
pub use table::Mark;
pub use table::Report;
pub use table::Sheet;
pub use table::Table;
pub use table::Value;

/// What a report is made for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// A workbook of its own.
    Workbook,
    /// Tables that a command prints and that are written as CSV.
    Tables,
    /// Tables that are written as CSV and too long to print.
    Files,
}

/// A report that can be made.
#[derive(Clone, Copy, Debug)]
pub struct Entry {
    /// Its name: the workbook's file name, or the command that prints it.
    pub name: &'static str,
    /// What it is made for.
    pub purpose: Purpose,
    /// Makes it.
    pub build: fn(&Plan) -> Report,
}

/// Every report, in the order people meet them.
pub const ALL: &[Entry] = &[
    Entry {
        name: "purchase-list",
        purpose: Purpose::Workbook,
        build: purchase_list::build,
    },
    Entry {
        name: "labour-schedule",
        purpose: Purpose::Workbook,
        build: labour_schedule::build,
    },
    Entry {
        name: "bid",
        purpose: Purpose::Workbook,
        build: bid::build,
    },
    Entry {
        name: "quantities",
        purpose: Purpose::Tables,
        build: quantities::build,
    },
    Entry {
        name: "drums",
        purpose: Purpose::Tables,
        build: drums::build,
    },
    Entry {
        name: "crates",
        purpose: Purpose::Files,
        build: crates::build,
    },
    Entry {
        name: "days",
        purpose: Purpose::Tables,
        build: days::build,
    },
    Entry {
        name: "buy",
        purpose: Purpose::Tables,
        build: orders::build,
    },
    Entry {
        name: "price",
        purpose: Purpose::Tables,
        build: bid::build_tables,
    },
    Entry {
        name: "compare",
        purpose: Purpose::Tables,
        build: bid::build_comparison,
    },
];
