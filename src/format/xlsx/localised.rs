//! Numbers and days within the words of a report, as a locale has them.

use crate::report::Block;
use crate::report::Report;
use crate::report::Value;
use crate::units::Locale;

/// The report with the numbers and days within its words as the locale has them; cells that hold numbers and days are left to the
/// spreadsheet program, which knows its user's customs.
pub(super) fn localised(report: &Report, locale: &Locale) -> Report {
    let mut report = report.clone();
    for sheet in &mut report.sheets {
        sheet.title = locale.words(&sheet.title);
        for block in &mut sheet.blocks {
            match block {
                Block::Heading(text) | Block::Note(text) => *text = locale.words(text),
                Block::Table(table) => {
                    for value in table.rows.iter_mut().flatten() {
                        if let Value::Text(text) = value {
                            *text = locale.words(text);
                        }
                    }
                }
                Block::DaySheet(day) => {
                    for line in day.sections.iter_mut().flat_map(|(_, lines)| lines) {
                        *line = locale.words(line);
                    }
                }
                Block::Bars(_) | Block::Chart(_) => {}
            }
        }
    }
    report
}
