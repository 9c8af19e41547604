//! CSV files: the separator from the heading line, quoted line ends, rows numbered as a spreadsheet numbers them.

use crate::diag::Place;
use crate::diag::Problems;
use crate::units::NumberStyle;

use super::encoding::decode;
use super::table::Cell;
use super::table::Line;
use super::table::MOST_COLUMNS;
use super::table::MOST_ROWS;
use super::table::Table;

/// Reads a CSV file; gives none, and a problem, where its bytes are no text.
pub(super) fn read(
    file: &str,
    bytes: &[u8],
    style: NumberStyle,
    problems: &mut Problems,
) -> Option<Table> {
    let text = decode(file, bytes, problems)?;
    let (separator, text) = separator(&text);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut lines = Vec::new();
    let mut wide = None;
    let mut counted = 0;
    let mut next_row = 1;
    let mut inner = 0_usize;
    let mut record = csv::StringRecord::new();
    while lines.len() <= MOST_ROWS + 1 && reader.read_record(&mut record).unwrap_or(false) {
        // The library skips blank lines; a spreadsheet counts them, but not the line ends within quotes.
        let at = record
            .position()
            .and_then(|position| usize::try_from(position.byte()).ok())
            .unwrap_or(counted);
        let blank = text
            .get(at..)
            .unwrap_or("")
            .bytes()
            .take_while(|byte| matches!(byte, b'\r' | b'\n'))
            .count();
        let begin = at + blank;
        next_row += line_ends(text.get(counted..begin).unwrap_or("")).saturating_sub(inner);
        counted = begin;
        let number = next_row;
        inner = record.iter().map(line_ends).sum();
        if record.len() > MOST_COLUMNS {
            wide = wide.or(Some(number));
        }
        let cells = record.iter().take(MOST_COLUMNS).map(cell).collect();
        lines.push(Line { number, cells });
    }
    let mut table = Table::new(file, None, style, lines);
    let row_place = |row| Place::Cell {
        file: file.to_owned(),
        sheet: None,
        row,
        column: 0,
        heading: String::new(),
    };
    if let Some(row) = wide {
        table.fault(
            row_place(row),
            "the row has more than 256 columns",
            "delete the columns that are not needed",
        );
    }
    if let Some(row) = open_quote(text, separator) {
        table.tear();
        table.fault(
            row_place(row),
            "a double quotation mark at the beginning of a cell is never closed, so the rest of the file is one cell",
            "write a second `\"` at the end of that cell; a `\"` within the cell is written twice, `\"10' 6\"\"\"`",
        );
    }
    Some(table)
}

/// Counts line ends: of Unix, of Windows, and of old Macintosh files.
fn line_ends(text: &str) -> usize {
    text.matches('\n').count() + text.matches('\r').count() - text.matches("\r\n").count()
}

fn cell(text: &str) -> Cell {
    if text.trim().is_empty() {
        Cell::Blank
    } else {
        Cell::Text(text.to_owned())
    }
}

/// Finds the separator that the heading line uses most, a comma where it uses none, and skips a `sep=;` line.
fn separator(text: &str) -> (u8, &str) {
    if let Some(rest) = text.strip_prefix("sep=")
        && let Some((mark, rest)) = rest.split_once('\n')
        && let [mark @ (b',' | b';' | b'\t')] = mark.trim_end_matches('\r').as_bytes()
    {
        return (*mark, rest);
    }
    let headings = text
        .lines()
        .find(|line| !line.trim().is_empty())
        .unwrap_or("");
    let mut counts = [(b',', 0_usize), (b';', 0), (b'\t', 0)];
    let mut quoted = false;
    for byte in headings.bytes() {
        quoted ^= byte == b'"';
        for (mark, count) in &mut counts {
            *count += usize::from(!quoted && byte == *mark);
        }
    }
    let mut best = (b',', 0);
    for (mark, count) in counts {
        if count > best.1 {
            best = (mark, count);
        }
    }
    (best.0, text)
}

/// Finds the line of a quotation mark that opens a cell and is never closed.
fn open_quote(text: &str, separator: u8) -> Option<usize> {
    let mut opened = None;
    let mut at_start = true;
    let mut line = 1;
    let mut bytes = text.bytes().peekable();
    while let Some(byte) = bytes.next() {
        line += usize::from(byte == b'\n');
        match (opened, byte) {
            (Some(_), b'"') if bytes.peek() == Some(&b'"') => drop(bytes.next()),
            (Some(_), b'"') => opened = None,
            (None, b'"') if at_start => opened = Some(line),
            _ => {}
        }
        at_start = opened.is_none() && (byte == separator || byte == b'\n' || byte == b'\r');
    }
    opened
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::LengthUnit;

    const STYLE: NumberStyle = NumberStyle {
        unit: LengthUnit::Mm,
        decimal_comma: false,
    };

    fn rows(text: &str) -> Vec<(usize, String, String)> {
        let mut problems = Problems::new();
        let table = read("t.csv", text.as_bytes(), STYLE, &mut problems).unwrap();
        assert!(
            table.check_headings(&["panel", "width"], &["panel", "width"], &mut problems),
            "{problems:?}"
        );
        assert!(problems.is_empty(), "{problems:?}");
        let mut texts = Problems::new();
        let mut get = |row: crate::input::Row<'_>, name: &'static str| {
            row.field(name).text(&mut texts).unwrap_or_default()
        };
        table
            .rows()
            .map(|row| (row.number(), get(row, "panel"), get(row, "width")))
            .collect()
    }

    fn row(number: usize, panel: &str, width: &str) -> (usize, String, String) {
        (number, panel.to_owned(), width.to_owned())
    }

    #[test]
    fn every_separator_and_line_end_is_read() {
        let wanted = [row(2, "N1", "3.2 m"), row(3, "N2", "10")];
        assert_eq!(rows("panel,width\nN1,3.2 m\nN2,10\n"), wanted);
        assert_eq!(rows("Panel; WIDTH \r\nN1;3.2 m\r\nN2;10"), wanted);
        assert_eq!(rows("panel,width\rN1,3.2 m\rN2,10\r"), wanted);
        assert_eq!(rows("\u{feff}panel\twidth\nN1\t3.2 m\nN2\t10\n"), wanted);
        assert_eq!(
            rows("\"panel\",\"width\"\n\"N1\",\"3.2 m\"\nN2,10,,\n"),
            wanted
        );
    }

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_does() {
        assert_eq!(
            rows("panel,width\n\"N\r\n1\",1\n\n,\nN2,\"10' 6\"\"\"\nN3,126 1/2\"\n"),
            [
                row(2, "N\r\n1", "1"),
                row(5, "N2", "10' 6\""),
                row(6, "N3", "126 1/2\"")
            ]
        );
    }

    #[test]
    fn a_line_names_its_separator() {
        assert_eq!(
            rows("sep=;\r\npanel;width\r\nN1;3,2 m\r\n"),
            [row(2, "N1", "3,2 m")]
        );
    }

    #[test]
    fn an_open_quotation_mark_is_found() {
        assert_eq!(open_quote("panel,width\nN1,\"10' 6\"\nN2,3\n", b','), None);
        assert_eq!(
            open_quote("panel,width\nN1,\"10' 6\"\"\nN2,3\n", b','),
            Some(2)
        );
        assert_eq!(open_quote("panel,width\nN1,126 1/2\"\nN2,3\n", b','), None);
    }
}
