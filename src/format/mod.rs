//! Reports to bytes: workbook, CSV, terminal text, JSON; one file a format.

mod calendar;
mod csv;
mod json;
mod plan_file;
mod text;
mod xlsx;

pub use calendar::write_calendar;
pub use csv::write_csv;
pub use json::write_json;
pub use plan_file::write_plan;
pub use text::wrap;
pub use text::write_text;
pub use xlsx::write_xlsx;

/// A writer could not make a file; the sentence says which and why.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file} could not be made: {why}")]
pub struct CannotWrite {
    /// The file or sheet.
    pub file: String,
    /// Why.
    pub why: String,
}
