//! Reports and drawings to bytes: workbook, CSV, terminal text, JSON, HTML, PDF, SVG; one file a format.

mod archive;
mod calendar;
mod csv;
mod finite;
mod html;
mod json;
mod outputs;
mod paragraph;
mod pdf;
mod plan_file;
mod svg;
mod text;
mod xlsx;

pub use archive::write_zip;
pub use calendar::write_calendar;
pub use csv::write_csv;
pub use html::page_body;
pub use html::page_style;
pub use html::plain_style;
pub use html::write_html;
pub use json::write_json;
pub use outputs::DAYS;
pub use outputs::SHEETS;
pub use outputs::outputs;
pub use paragraph::wrap;
pub use pdf::write_pdf;
pub use plan_file::write_plan;
pub use svg::write_svg;
pub use text::write_text;
pub use xlsx::write_xlsx;

use crate::report::Dash;

/// The grey of a filled area, 255 being white: light enough for words, dark enough for a copier.
const GREY: u8 = 208;

/// Stroke and gap of a broken line in millimetres.
const fn dash_lengths(dash: Dash) -> Option<[f64; 2]> {
    match dash {
        Dash::Solid => None,
        Dash::Dashed => Some([2.0, 1.2]),
        Dash::Dotted => Some([0.4, 1.0]),
    }
}

/// A writer could not make a file; the sentence says which and why.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file} could not be made: {why}")]
pub struct CannotWrite {
    /// The file or sheet.
    pub file: String,
    /// Why.
    pub why: String,
}
