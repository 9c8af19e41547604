//! What is spent of a daily budget, day by day.

use super::calendar::Minute;
use super::calendar::index;

/// Units spent of one budget on each day.
#[derive(Debug, Clone)]
pub(super) struct Daily {
    limit: i64,
    spent: Vec<i64>,
}

impl Daily {
    /// Returns a budget of which nothing is spent.
    pub(super) fn new(limit: i64) -> Self {
        Self {
            limit,
            spent: Vec::new(),
        }
    }

    /// Forgets all that was spent.
    pub(super) fn clear(&mut self) {
        self.spent.clear();
    }

    /// Returns the units left on a day.
    pub(super) fn left(&self, day: i64) -> i64 {
        self.limit - self.spent.get(index(day)).copied().unwrap_or(0)
    }

    /// Adds (or takes off) units on a day.
    pub(super) fn add(&mut self, day: i64, units: i64) {
        let day = index(day);
        if self.spent.len() <= day {
            self.spent.resize(day + 1, 0);
        }
        self.spent[day] += units;
    }

    /// Returns the first day from `day` on with at least `units` left.
    pub(super) fn next_with(&self, day: i64, units: i64) -> Option<i64> {
        if units > self.limit {
            return None;
        }
        let mut day = day;
        while self.left(day) < units {
            day += 1;
        }
        Some(day)
    }
}

/// Returns the part of `units` that falls on `minutes` of `whole` working minutes, rounded up.
pub(super) fn part(units: i64, minutes: Minute, whole: Minute) -> i64 {
    if whole <= 0 {
        return units;
    }
    let (product, whole) = (units.saturating_mul(minutes), whole);
    product / whole + i64::from(product % whole > 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_round_up_and_a_single_day_bears_all() {
        assert_eq!(part(10, 60, 60), 10);
        assert_eq!((part(10, 20, 60), part(10, 40, 60)), (4, 7));
        assert_eq!(part(7, 0, 0), 7);
    }

    #[test]
    fn full_days_are_skipped() {
        let mut daily = Daily::new(10);
        daily.add(0, 10);
        daily.add(1, 8);
        assert_eq!(daily.next_with(0, 1), Some(1));
        assert_eq!(daily.next_with(0, 3), Some(2));
        assert_eq!(daily.next_with(0, 11), None);
    }
}
