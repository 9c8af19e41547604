//! The files of a new job folder: filled in, explained line by line, and ready to be planned as they stand.

mod book;
mod columns;
mod guide;
mod keys;
mod keys_of_kits;
mod keys_of_money;
mod own;

pub use guide::guide;

use rust_xlsxwriter::XlsxError;

use crate::catalog::choices;

choices! {
    /// The measures in which a new job folder is written.
    TemplateKind {
        /// Metres and degrees Celsius.
        Metric = "metric",
        /// Feet, inches and degrees Fahrenheit.
        Imperial = "imperial",
    }
}

/// Returns the files of a new job folder by name: `job.toml` and `panels.xlsx`, the same bytes every time.
///
/// # Errors
/// The workbook could not be written, which no input can bring about.
pub fn template(kind: TemplateKind) -> Result<Vec<(String, Vec<u8>)>, XlsxError> {
    let settings = match kind {
        TemplateKind::Metric => include_str!("metric.toml"),
        TemplateKind::Imperial => include_str!("imperial.toml"),
    };
    Ok(vec![
        ("job.toml".to_owned(), settings.as_bytes().to_vec()),
        ("panels.xlsx".to_owned(), book::write(kind)?),
    ])
}
