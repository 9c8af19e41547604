//! Working hours a weekday, and days that are named one by one or from … to.

use std::collections::BTreeSet;

use jiff::ToSpan;
use jiff::civil::Date;

use crate::diag::Problems;
use crate::input::Field;
use crate::input::Section;

use super::settings::day;

const WEEKDAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// The most days that one `from..to` may cover.
const LONGEST_RANGE: i32 = 3_660;

/// Working hours as minutes of the day, Monday first.
pub(super) type Hours = [Vec<(u16, u16)>; 7];

/// Reads `{ mon-fri = ["08:00-12:00", "13:00-17:00"], sat = ["08:00-12:00"] }`.
pub(super) fn hours(field: Field<'_>, problems: &mut Problems) -> Hours {
    let mut hours = Hours::default();
    let Some(week) = field.section(problems) else {
        return hours;
    };
    let mut given: [bool; 7] = [false; 7];
    let before = problems.iter().count();
    for entry in week.entries() {
        let Some((first, last)) = weekdays(&week, entry.name(), problems) else {
            continue;
        };
        let spans = spans(&entry, problems);
        for day in first..=last {
            let (Some(slot), Some(taken)) = (hours.get_mut(day), given.get_mut(day)) else {
                continue;
            };
            if std::mem::replace(taken, true) {
                let text = format!("`{}` has hours twice", WEEKDAYS.get(day).unwrap_or(&""));
                problems.error(
                    Some(week.key_place(entry.name())),
                    text,
                    "write each weekday once",
                );
                break;
            }
            slot.clone_from(&spans);
        }
    }
    if hours.iter().all(Vec::is_empty) && problems.iter().count() == before {
        field.problem(
            "nobody ever works here",
            "write hours, such as `mon-fri = [\"08:00-17:00\"]`",
            problems,
        );
    }
    hours
}

/// Reads `wed` or `mon-fri` as the first and last weekday.
fn weekdays(week: &Section<'_>, name: &str, problems: &mut Problems) -> Option<(usize, usize)> {
    let number = |word: &str| {
        let word = word.trim().to_lowercase();
        WEEKDAYS.iter().position(|day| *day == word)
    };
    let (first, last) = name.split_once('-').unwrap_or((name, name));
    if let (Some(first), Some(last)) = (number(first), number(last))
        && first <= last
    {
        return Some((first, last));
    }
    let text = format!("`{name}` is no weekday");
    let help = "use `mon`, `tue`, `wed`, `thu`, `fri`, `sat`, `sun`, or a range such as `mon-fri`";
    problems.error(Some(week.key_place(name)), text, help);
    None
}

/// Reads a day's spans of hours, in order and apart.
fn spans(entry: &Field<'_>, problems: &mut Problems) -> Vec<(u16, u16)> {
    let mut spans = Vec::new();
    for item in entry.list(problems) {
        let Some(text) = item.text(problems) else {
            continue;
        };
        match span(&text) {
            Some(span) => spans.push(span),
            None => item.problem(
                format!("`{}` is no span of hours", item.shown()),
                "write from and to, such as `08:00-12:00`",
                problems,
            ),
        }
    }
    spans.sort_unstable();
    if spans
        .windows(2)
        .any(|pair| matches!(pair, [first, second] if first.1 > second.0))
    {
        entry.problem(
            "two spans of hours overlap",
            "write spans that end before the next begins",
            problems,
        );
    }
    spans
}

pub(super) fn span(text: &str) -> Option<(u16, u16)> {
    let (from, to) = text.split_once(['-', '–'])?;
    let (from, to) = (minute(from)?, minute(to)?);
    (from < to).then_some((from, to))
}

/// Reads `8`, `8:00` or `08:00` as a minute of the day; midnight at its end is `24:00`.
pub(super) fn minute(text: &str) -> Option<u16> {
    let (hour, minute) = text.trim().split_once(':').unwrap_or((text.trim(), "00"));
    let fits = |digits: &str, most: usize| {
        (1..=most).contains(&digits.len()) && digits.bytes().all(|byte| byte.is_ascii_digit())
    };
    if !fits(hour, 2) || !fits(minute, 2) || minute.len() != 2 {
        return None;
    }
    let (hour, minute): (u16, u16) = (hour.parse().ok()?, minute.parse().ok()?);
    let all = hour * 60 + minute;
    (minute < 60 && all <= 24 * 60).then_some(all)
}

/// Reads a list of days; a text such as `2026-12-24..2027-01-02` means all from the first to the last.
pub(super) fn days(field: Field<'_>, problems: &mut Problems) -> BTreeSet<Date> {
    let mut days = BTreeSet::new();
    for item in field.list(problems) {
        let shown = item.shown();
        let Some((from, to)) = shown.split_once("..") else {
            days.extend(day(item, problems));
            continue;
        };
        match (from.trim().parse::<Date>(), to.trim().parse::<Date>()) {
            (Ok(from), Ok(to)) if from <= to && (to - from).get_days() < LONGEST_RANGE => {
                days.extend(from.series(1.day()).take_while(|day| *day <= to));
            }
            (Ok(from), Ok(to)) if from <= to => {
                item.problem(
                    format!("`{shown}` covers more than ten years"),
                    "check the years",
                    problems,
                );
            }
            _ => item.problem(
                format!("`{shown}` is no range of days"),
                "write the first and the last day, such as `2026-12-24..2027-01-02`",
                problems,
            ),
        }
    }
    days
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_of_hours() {
        assert_eq!(span("08:00-12:00"), Some((480, 720)));
        assert_eq!(span("8 – 12:30"), Some((480, 750)));
        assert_eq!(span("20:00-24:00"), Some((1200, 1440)));
        assert_eq!(span("12:00-08:00"), None);
        assert_eq!(span("08:00-08:00"), None);
        assert_eq!(span("08:60-12:00"), None);
        assert_eq!(span("08:00-24:01"), None);
        assert_eq!(span("morning"), None);
    }
}
