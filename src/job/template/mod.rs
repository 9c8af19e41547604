//! The files of a new job folder: filled in, explained line by line, and ready to be planned as they stand.

mod book;
mod columns;
mod guide;
mod keys;
mod keys_of_kits;
mod keys_of_money;
mod own;
mod scenes;

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

pub use scenes::Scene;

/// Returns the files of a new job folder by name: `job.toml`, `panels.xlsx` and what the scene brings along, the same bytes every time.
///
/// # Errors
/// The workbook could not be written, which no input can bring about.
pub fn template(kind: TemplateKind, scene: Scene) -> Result<Vec<(String, Vec<u8>)>, XlsxError> {
    let settings = match kind {
        TemplateKind::Metric => include_str!("metric.toml"),
        TemplateKind::Imperial => include_str!("imperial.toml"),
    };
    let mut files = vec![
        ("job.toml".to_owned(), scene.settings(settings).into_bytes()),
        ("panels.xlsx".to_owned(), book::write(kind, scene)?),
    ];
    files.extend(scene.files());
    Ok(files)
}
