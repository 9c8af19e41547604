//! Working time of one place on a line of minutes, so that adding work to a moment is a look-up.

use std::collections::BTreeSet;

use jiff::ToSpan;
use jiff::civil::Date;

/// Minutes of a day.
pub(super) const DAY: i64 = 24 * 60;

/// The open hours of a place, as minutes from midnight of the job's first day.
#[derive(Clone, Debug)]
pub(super) struct Clock {
    /// From and to, sorted and apart.
    open: Vec<(i64, i64)>,
    /// Working minutes before each of them.
    before: Vec<i64>,
}

impl Clock {
    /// The hours of a place for so many days.
    pub(super) fn of(
        hours: &[Vec<(u16, u16)>; 7],
        closed: &BTreeSet<Date>,
        first: Date,
        days: i32,
    ) -> Self {
        let mut open = Vec::new();
        for (at, date) in first
            .series(1.day())
            .take(usize::try_from(days).unwrap_or(0))
            .enumerate()
        {
            if closed.contains(&date) {
                continue;
            }
            let weekday = usize::try_from(date.weekday().to_monday_zero_offset()).unwrap_or(0);
            let midnight = i64::try_from(at).unwrap_or(0) * DAY;
            for (from, to) in hours.get(weekday).into_iter().flatten() {
                open.push((midnight + i64::from(*from), midnight + i64::from(*to)));
            }
        }
        let mut total = 0;
        let before = open
            .iter()
            .map(|(from, to)| {
                total += to - from;
                total - (to - from)
            })
            .collect();
        Self { open, before }
    }

    /// Working minutes before a moment.
    fn worked(&self, minute: i64) -> i64 {
        let at = self.open.partition_point(|(_, to)| *to <= minute);
        match self.open.get(at).zip(self.before.get(at)) {
            Some(((from, _), before)) => before + (minute - from).max(0),
            None => self.total(),
        }
    }

    fn total(&self) -> i64 {
        let last = self.open.last().zip(self.before.last());
        last.map_or(0, |((from, to), before)| before + to - from)
    }

    /// The first moment at or after a moment at which somebody can work; the moment itself beyond the last.
    pub(super) fn opens(&self, minute: i64) -> i64 {
        let at = self.open.partition_point(|(_, to)| *to <= minute);
        self.open
            .get(at)
            .map_or(minute, |(from, _)| minute.max(*from))
    }

    /// When so much work, begun at a moment, is done; beyond the last open hour it is done without a pause.
    pub(super) fn after(&self, minute: i64, work: i64) -> i64 {
        if work <= 0 {
            return minute;
        }
        let end = self.worked(minute) + work;
        let at = self
            .before
            .partition_point(|before| *before < end)
            .saturating_sub(1);
        match self.open.get(at).zip(self.before.get(at)) {
            Some(((from, _), before)) if end <= self.total() => from + (end - before),
            _ => minute.max(self.open.last().map_or(minute, |(_, to)| *to)) + work,
        }
    }

    /// The moment that lies so many days with open hours later, at the same time of day.
    pub(super) fn later(&self, minute: i64, days: i64) -> i64 {
        let mut moment = minute;
        for _ in 0..days {
            moment = self.opens((moment.div_euclid(DAY) + 1) * DAY);
        }
        moment
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// Monday to Friday, 8 to 12 and 13 to 17; the first Wednesday closed.
    fn clock() -> Clock {
        Clock {
            open: (0..14)
                .filter(|day| day % 7 < 5 && *day != 2)
                .flat_map(|day| {
                    [
                        (day * DAY + 480, day * DAY + 720),
                        (day * DAY + 780, day * DAY + 1020),
                    ]
                })
                .collect(),
            before: (0..18).map(|half| half * 240).collect(),
        }
    }

    #[test]
    fn work_runs_over_breaks_nights_and_closed_days() {
        let clock = clock();
        assert_eq!(clock.after(480, 240), 720, "a morning");
        assert_eq!(clock.after(480, 241), 781, "over the break");
        assert_eq!(
            clock.after(DAY + 960, 120),
            3 * DAY + 540,
            "over the closed Wednesday"
        );
        assert_eq!(clock.opens(730), 780);
        assert_eq!(
            clock.opens(4 * DAY + 1020),
            7 * DAY + 480,
            "Friday evening to Monday"
        );
        assert_eq!(clock.later(480, 2), 3 * DAY + 480);
    }

    #[test]
    fn hours_of_a_place() {
        let hours = std::array::from_fn(|day| {
            if day < 5 {
                vec![(480, 720), (780, 1020)]
            } else {
                Vec::new()
            }
        });
        let made = Clock::of(&hours, &[date(2027, 1, 13)].into(), date(2027, 1, 11), 14);
        assert_eq!((made.open, made.before), (clock().open, clock().before));
    }
}
