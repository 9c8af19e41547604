//! Bytes of CSV files, workbooks and TOML files to tables and documents whose every cell and key knows its place.
//!
//! In: a file's name and bytes. Out: [`Table`]s and [`Document`]s, whose [`Field`]s become measures, money, dates and
//! choices; whatever cannot be read becomes a problem that names its cell or line, and reading goes on.
//!
//! ```
//! use facelay::diag::Problems;
//! use facelay::input::tables;
//! use facelay::units::{LengthUnit, NumberStyle, bound};
//!
//! let style = NumberStyle { unit: LengthUnit::Mm, decimal_comma: false };
//! let mut problems = Problems::new();
//! let walls = tables("panels.csv", b"panel,width\nN1,3.2 m\nN2,3 q\n", style, &mut problems);
//! let widths: Vec<_> = walls[0].rows().map(|row| row.field("width").length(bound::PANEL_SIDE, &mut problems)).collect();
//! assert_eq!(widths[0].unwrap().to_mm(), 3200.0);
//! assert_eq!(widths[1], None);
//! let problem = problems.iter().next().unwrap();
//! assert_eq!(problem.place.as_ref().unwrap().to_string(), "panels.csv, row 3, column width");
//! ```

mod archive;
mod delimited;
mod digest;
mod digits;
mod document;
mod doubt;
mod encoding;
mod field;
mod measures;
mod node;
mod ods_check;
mod strings;
mod syntax;
mod table;
mod workbook;

use crate::diag::Place;
use crate::diag::Problems;
use crate::units::NumberStyle;

pub use digest::sha256;
pub use document::Document;
pub use document::Section;
pub use field::Field;
pub use table::Row;
pub use table::Table;

/// The most bytes a file may have.
pub const MOST_BYTES: usize = 64 * 1024 * 1024;

/// Reads the tables of a file: one of a CSV file, one a sheet of an XLSX or ODS workbook.
///
/// What the file is, its bytes say, not its name. A file that cannot be read at all gives a problem and no table; what
/// is wrong with a table's headings is said by [`Table::check_headings`], so that sheets nobody asks for do no harm.
pub fn tables(file: &str, bytes: &[u8], style: NumberStyle, problems: &mut Problems) -> Vec<Table> {
    let place = || {
        Some(Place::File {
            file: file.to_owned(),
        })
    };
    if bytes.len() > MOST_BYTES {
        let text = format!(
            "the file has {} MB, more than the 64 MB that are read",
            bytes.len() / 1024 / 1024
        );
        problems.error(
            place(),
            text,
            "delete pictures and unused sheets, and save it again",
        );
        return Vec::new();
    }
    if bytes.starts_with(b"PK") {
        return workbook::read(file, bytes, style, problems);
    }
    if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
        problems.error(
            place(),
            "the file is a workbook with a password, or one in the old .xls format",
            "open it in a spreadsheet program and save it as .xlsx without a password",
        );
        return Vec::new();
    }
    delimited::read(file, bytes, style, problems)
        .into_iter()
        .collect()
}
