//! Where in a person's files a problem stands.

use std::fmt;

/// A place in an input file, as a person would look it up.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// A whole file or folder.
    File {
        /// The file's name within the job folder.
        file: String,
    },
    /// A stretch of one line of a TOML file.
    Toml {
        /// The file's name within the job folder.
        file: String,
        /// The line, counted from 1.
        line: usize,
        /// The first character of the stretch, counted from 1.
        column: usize,
        /// How many characters the stretch covers, at least 1.
        width: usize,
        /// The whole line, to show with a caret.
        excerpt: String,
    },
    /// A cell of a table.
    Cell {
        /// The file's name within the job folder.
        file: String,
        /// The sheet of a workbook; none in a CSV file.
        sheet: Option<String>,
        /// The row, counted from 1 with the headings.
        row: usize,
        /// The column, counted from 1; 0 for the whole row.
        column: usize,
        /// The column's heading as the person wrote it.
        heading: String,
    },
}

impl Place {
    /// The file's name within the job folder.
    pub fn file(&self) -> &str {
        match self {
            Self::File { file } | Self::Toml { file, .. } | Self::Cell { file, .. } => file,
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File { file } => write!(f, "{file}"),
            Self::Toml {
                file, line, column, ..
            } => write!(f, "{file}, line {line}, column {column}"),
            Self::Cell {
                file,
                sheet,
                row,
                column,
                heading,
            } => {
                write!(f, "{file}")?;
                match sheet {
                    Some(sheet) if *column > 0 => {
                        write!(f, ", sheet {sheet}, cell {}", cell_name(*row, *column))?;
                    }
                    Some(sheet) => write!(f, ", sheet {sheet}, row {row}")?,
                    None => write!(f, ", row {row}")?,
                }
                match (heading.is_empty(), *column) {
                    (false, _) => write!(f, ", column {heading}"),
                    (true, 0) => Ok(()),
                    (true, column) => write!(f, ", column {column}"),
                }
            }
        }
    }
}

/// Names a cell as spreadsheets do: row 5, column 28 is `AB5`.
pub fn cell_name(row: usize, column: usize) -> String {
    let mut letters = Vec::new();
    let mut rest = column;
    while rest > 0 {
        rest -= 1;
        letters.push(char::from(b'A' + u8::try_from(rest % 26).unwrap_or(0)));
        rest /= 26;
    }
    letters.iter().rev().collect::<String>() + &row.to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_named_as_in_a_spreadsheet() {
        assert_eq!(cell_name(1, 1), "A1");
        assert_eq!(cell_name(5, 28), "AB5");
        assert_eq!(cell_name(9, 702), "ZZ9");
        assert_eq!(cell_name(0x0010_0000, 0x4000), "XFD1048576");
    }
}
