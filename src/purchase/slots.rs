//! The days on which a supplier's orders may arrive: as few as serve every line it could get.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::civil::Date;

use super::market::Market;

/// Returns for each supplier the days worth an order of its own.
///
/// All lines of an order arrive together, so a line can join an order of a day within one of its windows. The last
/// days of windows are enough to choose from, and of those each day is dropped whose lines another day serves as
/// well.
pub(super) fn delivery_days(market: &Market<'_>) -> BTreeMap<String, Vec<Date>> {
    let mut windows: BTreeMap<&str, Vec<(Date, Date)>> = BTreeMap::new();
    for choice in &market.choices {
        windows.entry(&choice.supplier.id).or_default().extend(market.windows(choice));
    }
    windows.into_iter().map(|(supplier, windows)| (supplier.to_owned(), worth_having(&windows))).collect()
}

fn worth_having(windows: &[(Date, Date)]) -> Vec<Date> {
    let ends: BTreeSet<Date> = windows.iter().map(|(_, last)| *last).collect();
    let served = |day: Date| -> BTreeSet<usize> {
        windows
            .iter()
            .enumerate()
            .filter(|(_, (from, last))| *from <= day && day <= *last)
            .map(|(index, _)| index)
            .collect()
    };
    let days: Vec<(Date, BTreeSet<usize>)> = ends.into_iter().map(|day| (day, served(day))).collect();
    let mut kept: Vec<Date> = Vec::new();
    for (index, (day, lines)) in days.iter().enumerate() {
        // Of two days that serve the same the earlier stays.
        let better = days.iter().enumerate().any(|(other, (_, more))| {
            other != index && lines.is_subset(more) && (lines.len() < more.len() || other < index)
        });
        if !better {
            kept.push(*day);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    fn days(windows: &[(i8, i8)]) -> Vec<i8> {
        let windows: Vec<_> =
            windows.iter().map(|(from, last)| (date(2026, 12, *from), date(2026, 12, *last))).collect();
        worth_having(&windows).into_iter().map(Date::day).collect()
    }

    #[test]
    fn one_day_where_everything_can_arrive_together() {
        assert_eq!(days(&[(1, 9), (2, 5), (4, 20)]), [5]);
    }

    #[test]
    fn two_days_where_a_slow_line_would_hold_up_a_quick_one() {
        assert_eq!(days(&[(1, 3), (8, 9), (2, 9)]), [3, 9]);
    }

    #[test]
    fn of_equal_days_the_earlier() {
        assert_eq!(days(&[(1, 5), (1, 5)]), [5]);
        assert_eq!(days(&[]), Vec::<i8>::new());
    }
}
