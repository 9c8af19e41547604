//! A report to plain text that fits a terminal of 80 columns.

use comfy_table::CellAlignment;
use comfy_table::ColumnConstraint;
use comfy_table::ContentArrangement;
use comfy_table::LineStyle;
use comfy_table::TableStyle;
use comfy_table::Width;

use crate::report::Bars;
use crate::report::Block;
use crate::report::Column;
use crate::report::DaySheet;
use crate::report::Kind;
use crate::report::Mark;
use crate::report::Report;
use crate::report::Sheet;
use crate::report::Table;
use crate::report::Value;
use crate::units::Locale;

use super::paragraph::COLUMNS;
use super::paragraph::cut;
use super::paragraph::plain;
use super::paragraph::width_of;
use super::paragraph::wrap;

/// A line below the headings and below the table; none between rows.
const RULED: TableStyle = TableStyle::new()
    .header_separator(LineStyle::none().fill('-').junction('-'))
    .bottom_border(LineStyle::none().fill('-').junction('-'));

/// The widest line written, as a table takes it.
const WIDTH: u16 = 80;

/// Writes headings, notes and tables as text, wrapped to 80 columns, numbers and days as the locale has them.
pub fn write_text(report: &Report, locale: &Locale) -> String {
    let sheets = report
        .sheets
        .iter()
        .map(|sheet| write_sheet(sheet, report.sheets.len() > 1, locale));
    sheets.collect::<Vec<_>>().join("\n")
}

fn write_sheet(sheet: &Sheet, titled: bool, locale: &Locale) -> String {
    let mut parts = Vec::new();
    if titled && !sheet.title.is_empty() {
        let title = locale.words(&sheet.title);
        let rule = "=".repeat(width_of(&title).min(COLUMNS));
        parts.push(wrapped(&title) + &rule + "\n");
    }
    parts.extend(sheet.blocks.iter().map(|block| match block {
        Block::Heading(heading) => format!("\n{}", wrapped(&locale.words(heading))),
        Block::Note(note) => wrapped(&locale.words(note)),
        Block::Table(table) => write_table(table, locale),
        Block::Bars(bars) => write_bars(bars),
        Block::DaySheet(sheet) => write_day(sheet),
        Block::Chart(_) => String::new(),
    }));
    parts.concat()
}

/// A day as lines: each person's stretches, then the sections.
fn write_day(sheet: &DaySheet) -> String {
    let clock = |minute: u16| format!("{:02}:{:02}", minute / 60, minute % 60);
    let mut text = format!("\n{}\n", sheet.day.strftime("%A %Y-%m-%d"));
    for (person, stretches) in &sheet.rows {
        let told = stretches.iter().map(|stretch| {
            let (from, to) = (clock(stretch.from), clock(stretch.to));
            format!("{from}-{to} {} {}", stretch.subject, stretch.step)
        });
        text += &wrap(&format!("{person}: "), &told.collect::<Vec<_>>().join("; "));
    }
    for (heading, lines) in &sheet.sections {
        text += &wrapped(heading);
        text.extend(lines.iter().map(|line| wrap("  ", line)));
    }
    text
}

fn wrapped(note: &str) -> String {
    wrap("", note)
}

fn write_table(table: &Table, locale: &Locale) -> String {
    if table.rows.is_empty() {
        return "(none)\n".to_owned();
    }
    let shown: Vec<usize> = (0..table.columns.len())
        .filter(|&at| is_shown(table, at))
        .collect();
    let mut drawn = comfy_table::Table::new();
    drawn
        .load_style(RULED)
        .set_content_arrangement(ContentArrangement::Dynamic);
    drawn.set_width(WIDTH);
    drawn.set_header(
        shown
            .iter()
            .filter_map(|&at| table.columns.get(at))
            .map(|column| column.heading.clone()),
    );
    for row in &table.rows {
        drawn.add_row(shown.iter().filter_map(|&at| {
            let kind = table.columns.get(at)?.kind;
            Some(locale.words(&cell(row.get(at)?, kind)))
        }));
    }
    if table.has_totals() {
        drawn.add_row(shown.iter().enumerate().filter_map(|(place, &at)| {
            let told = total(table, at, place, table.columns.get(at)?);
            Some(locale.words(&told))
        }));
    }
    let kinds: Vec<Kind> = shown
        .iter()
        .filter_map(|&at| table.columns.get(at))
        .map(|column| column.kind)
        .collect();
    let least = least_widths(&drawn, &kinds);
    for (place, &at) in shown.iter().enumerate() {
        if let (Some(column), Some(drawn)) = (table.columns.get(at), drawn.column_mut(place)) {
            if let Some(&width) = least.get(place) {
                drawn.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(width)));
            }
            drawn.set_padding((1, 0));
            drawn.set_cell_alignment(match column.kind {
                Kind::Text => CellAlignment::Left,
                Kind::Number(_) | Kind::Money | Kind::Percent | Kind::Day | Kind::Time => {
                    CellAlignment::Right
                }
            });
        }
    }
    lines(&drawn.to_string())
}

/// How wide each column has to be so that no word is cut and no number or day broken, the space before it included; where that is more than
/// a line has room for, only words are kept whole, and where even they are too long, nothing is asked for.
fn least_widths(drawn: &comfy_table::Table, kinds: &[Kind]) -> Vec<u16> {
    let whole: Vec<usize> = (0..kinds.len())
        .map(|at| least_width(drawn, at, kinds.get(at) != Some(&Kind::Text)))
        .collect();
    let words: Vec<usize> = (0..kinds.len())
        .map(|at| least_width(drawn, at, false))
        .collect();
    // A column is parted from the next by a space besides its own.
    let fits = |widths: &Vec<usize>| widths.iter().map(|width| width + 1).sum::<usize>() <= COLUMNS;
    let least = [whole, words].into_iter().find(fits);
    let widths = least.unwrap_or_default().into_iter();
    widths
        .map(|width| u16::try_from(width).unwrap_or(WIDTH))
        .collect()
}

/// The width of a column's longest word, or of its longest cell; headings may break between words.
fn least_width(drawn: &comfy_table::Table, at: usize, whole: bool) -> usize {
    const SIDE: usize = 1;
    let longest_word = |text: &str| text.split_whitespace().map(width_of).max().unwrap_or(0);
    let heading = drawn.header().and_then(|row| row.cell_iter().nth(at));
    let heading = heading.map_or(0, |cell| longest_word(&cell.content()));
    let cells = drawn.row_iter().filter_map(|row| row.cell_iter().nth(at));
    let widths = cells.map(|cell| {
        let content = cell.content();
        if whole {
            width_of(&content)
        } else {
            longest_word(&content)
        }
    });
    widths.max().unwrap_or(0).max(heading) + SIDE
}

fn is_shown(table: &Table, at: usize) -> bool {
    table
        .columns
        .get(at)
        .is_some_and(|column| !column.wide_only && !column.input)
}

fn total(table: &Table, at: usize, place: usize, column: &Column) -> String {
    match (column.total, place) {
        (true, _) => cell(&Value::Decimal(table.total(at)), column.kind),
        (false, 0) => "total".to_owned(),
        (false, _) => String::new(),
    }
}

/// Strips the spaces that a table leaves at line ends.
fn lines(text: &str) -> String {
    text.lines()
        .fold(String::new(), |all, line| all + line.trim_end() + "\n")
}

fn cell(value: &Value, kind: Kind) -> String {
    match value {
        Value::Empty => String::new(),
        Value::Text(text) => plain(text),
        Value::Number(number) => decimals(*number, kind),
        Value::Decimal(number) | Value::Formula(_, number) => match kind {
            Kind::Money => format!("{number:.2}"),
            Kind::Number(places) => format!("{number:.*}", usize::from(places)),
            Kind::Text | Kind::Percent | Kind::Day | Kind::Time => number.normalize().to_string(),
        },
        Value::Day(day) => day.strftime("%a %d %b").to_string(),
        Value::Time(time) => time.strftime("%a %d %b %H:%M").to_string(),
    }
}

fn decimals(number: f64, kind: Kind) -> String {
    match kind {
        Kind::Number(places) => format!("{number:.*}", usize::from(places)),
        Kind::Text | Kind::Money | Kind::Percent | Kind::Day | Kind::Time => format!("{number:.2}"),
    }
}

/// Bars as letters: one a half day, as many days as fit, then the next stretch below.
fn write_bars(bars: &Bars) -> String {
    let label = bars
        .rows
        .iter()
        .map(|(name, _)| width_of(name))
        .max()
        .unwrap_or(0)
        .clamp(5, 20);
    let days_a_line = ((COLUMNS - label - 1) / 3).max(1);
    let parts = bars
        .days
        .chunks(days_a_line)
        .enumerate()
        .map(|(part, days)| {
            let dates: String = days
                .iter()
                .map(|day| day.strftime("%d ").to_string())
                .collect();
            let head = bar_line(&bars.subject, label, &dates);
            let rows = bars.rows.iter().map(|(name, marks)| {
                let half_days = marks
                    .iter()
                    .skip(part * days_a_line * 2)
                    .take(days.len() * 2);
                let half_days: Vec<char> = half_days.map(letter).collect();
                let drawn: Vec<String> = half_days
                    .chunks(2)
                    .map(|pair| pair.iter().collect())
                    .collect();
                bar_line(name, label, &drawn.join(" "))
            });
            head + &rows.collect::<String>()
        });
    parts.collect()
}

fn bar_line(name: &str, label: usize, cells: &str) -> String {
    let (name, width) = cut(name, label);
    let gap = " ".repeat(label + 1 - width);
    format!("{name}{gap}{}\n", cells.trim_end())
}

fn letter(mark: &Mark) -> char {
    match mark {
        Mark::Idle => '.',
        Mark::Drying => '~',
        Mark::Work(sign) => sign.chars().next().unwrap_or('#'),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_not_cut_where_a_line_has_room_for_them() {
        let mut columns = vec![Column::text("supplier"), Column::day("send by")];
        columns.extend(["one", "two", "three", "four"].map(Column::text));
        let long = "ten or more words that take what room a line has";
        let mut row = vec![
            Value::text("North Quay Conservation Supply"),
            Value::Day(jiff::civil::date(2026, 12, 29)),
        ];
        row.extend((0..4).map(|_| Value::text(long)));
        let table = Table::new("Orders", columns).rows([row]);
        let text = write_table(&table, &Locale::PLAIN);
        assert!(text.contains("Conservation"), "{text}");
        assert!(text.contains("Tue 29 Dec"), "{text}");
        assert!(text.lines().all(|line| width_of(line) <= COLUMNS), "{text}");
    }
}
