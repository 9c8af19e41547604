//! The files of a new job folder: filled in, explained line by line, and ready to be planned as they stand.

mod book;
mod columns;

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
pub fn template(kind: TemplateKind) -> Vec<(String, Vec<u8>)> {
    let settings = match kind {
        TemplateKind::Metric => include_str!("metric.toml"),
        TemplateKind::Imperial => include_str!("imperial.toml"),
    };
    let mut files = vec![("job.toml".to_owned(), settings.as_bytes().to_vec())];
    // The workbook holds nothing that a person brings along: that it can be written is a test's business.
    files.extend(book::write(kind).map(|bytes| ("panels.xlsx".to_owned(), bytes)));
    files
}
