//! Working hours as sorted intervals of minutes, with fast counting forwards and backwards.

use std::collections::BTreeSet;

/// A minute counted from the origin: 0 is midnight at the start of day 0.
pub type Minute = i64;

/// A half-open stretch of minutes `[start, end)`.
pub type Span = (Minute, Minute);

/// Minutes in a calendar day.
pub const DAY: Minute = 1440;

/// The farthest a calendar is ever extended, in days (about 400 years).
pub(super) const FARTHEST_DAY: i64 = 146_000;

/// Sorted disjoint working intervals from minute 0 up to a horizon.
///
/// A weekly calendar remembers its pattern, so that a long job can extend it. A calendar made of
/// explicit intervals ends where they end.
///
/// # Examples
///
/// ```
/// use facelay::solver::timetable::Calendar;
///
/// let eight_to_five = vec![(480, 720), (780, 1020)];
/// let mut week = [const { Vec::new() }; 7];
/// for day in &mut week[..5] {
///     *day = eight_to_five.clone();
/// }
/// let calendar = Calendar::weekly(week, 0, &Default::default(), 28);
/// // Four hours of work from Friday 15:00 end on Monday at 10:00.
/// assert_eq!(calendar.advance(4 * 1440 + 900, 240), Some(7 * 1440 + 600));
/// ```
#[derive(Debug, Clone)]
pub struct Calendar {
    intervals: Vec<Span>,
    /// Working minutes before each interval.
    before: Vec<Minute>,
    /// For each day, the first interval that ends after the day's midnight.
    by_day: Vec<usize>,
    horizon: Minute,
    pattern: Option<Pattern>,
}

#[derive(Debug, Clone)]
struct Pattern {
    week: [Vec<(u16, u16)>; 7],
    weekday_of_day0: usize,
    closed: BTreeSet<i64>,
}

impl Calendar {
    /// Makes a calendar that repeats a week of `(start, end)` minutes of the day, except on closed days.
    ///
    /// `week[0]` holds the hours of the same weekday that `weekday_of_day0 = 0` names. Ends above 1440
    /// are cut at midnight; overlapping stretches are joined. `horizon_days` is only a first guess:
    /// [`solve`](super::solve) extends the calendar where a job needs more.
    pub fn weekly(
        week: [Vec<(u16, u16)>; 7],
        weekday_of_day0: usize,
        closed: &BTreeSet<i64>,
        horizon_days: i64,
    ) -> Self {
        let pattern = Pattern {
            week,
            weekday_of_day0: weekday_of_day0 % 7,
            closed: closed.clone(),
        };
        let days = horizon_days.clamp(7, FARTHEST_DAY);
        let intervals = pattern.intervals(days);
        Self::build(intervals, days * DAY, Some(pattern))
    }

    /// Makes a calendar on which every minute is working time.
    pub fn always(horizon_days: i64) -> Self {
        let week = std::array::from_fn(|_| vec![(0, 1440)]);
        Self::weekly(week, 0, &BTreeSet::new(), horizon_days)
    }

    /// Makes a calendar of explicit intervals; there is no working time after the last.
    ///
    /// Intervals may come in any order and may overlap; minutes before 0 are dropped.
    pub fn from_intervals(intervals: impl IntoIterator<Item = Span>) -> Self {
        let intervals = join(intervals);
        let horizon = intervals.last().map_or(0, |&(_, end)| end);
        Self::build(intervals, horizon, None)
    }

    /// Returns the working intervals up to the horizon.
    pub fn intervals(&self) -> &[Span] {
        &self.intervals
    }

    /// Returns the minute up to which the working time is known.
    pub fn horizon(&self) -> Minute {
        self.horizon
    }

    /// Returns the same calendar known at least up to `minute`, if it repeats.
    #[must_use]
    pub fn reaching(&self, minute: Minute) -> Self {
        match &self.pattern {
            Some(pattern) if minute > self.horizon => {
                let days = (minute / DAY + 1).clamp(7, FARTHEST_DAY);
                let intervals = pattern.intervals(days);
                Self::build(intervals, days * DAY, Some(pattern.clone()))
            }
            Some(_) | None => self.clone(),
        }
    }

    /// Returns the calendar of time running backwards from midnight before `day`: its minute 0 is the last before then.
    ///
    /// `None` where the calendar does not repeat, since it would have no time before its first day.
    pub(super) fn mirrored(&self, day: i64) -> Option<Self> {
        let pattern = self.pattern.as_ref()?;
        let last = (index(day) + pattern.weekday_of_day0 + 6) % 7;
        let backwards = |weekday: usize| {
            let hours = pattern.week[(last + 7 - weekday) % 7].iter();
            hours
                .map(|&(start, end)| (1440 - end.min(1440), 1440 - start.min(1440)))
                .collect()
        };
        let closed = pattern.closed.iter().filter(|&&closed| closed < day);
        let closed = closed.map(|closed| day - 1 - closed).collect();
        let days = self.horizon / DAY;
        Some(Self::weekly(
            std::array::from_fn(backwards),
            0,
            &closed,
            days,
        ))
    }

    /// Whether the calendar repeats and so can be extended.
    pub fn repeats(&self) -> bool {
        self.pattern.is_some()
    }

    /// Returns the first working minute at or after `t`.
    pub fn next_work(&self, t: Minute) -> Option<Minute> {
        let &(start, _) = self.intervals.get(self.index_at(t))?;
        Some(start.max(t))
    }

    /// Returns the end of the working interval that contains `t`, or `t` itself outside of any.
    pub fn run_end(&self, t: Minute) -> Minute {
        match self.intervals.get(self.index_at(t)) {
            Some(&(start, end)) if start <= t => end,
            Some(_) | None => t,
        }
    }

    /// Returns the working minutes before `t`.
    pub fn worked_before(&self, t: Minute) -> Minute {
        let index = self.index_at(t);
        match self.intervals.get(index) {
            Some(&(start, _)) => self.before[index] + (t - start).max(0),
            None => self.total(),
        }
    }

    /// Returns the working minutes in `[from, to)`.
    pub fn work_between(&self, from: Minute, to: Minute) -> Minute {
        if to <= from {
            return 0;
        }
        self.worked_before(to) - self.worked_before(from)
    }

    /// Returns the first minute by which `work` minutes are worked from `t`; `None` beyond the horizon.
    ///
    /// With no work to do the answer is `t`, working time or not.
    pub fn advance(&self, t: Minute, work: Minute) -> Option<Minute> {
        if work <= 0 {
            return Some(t);
        }
        let mut index = self.index_at(t);
        let &(start, end) = self.intervals.get(index)?;
        let from = start.max(t);
        if from + work <= end {
            return Some(from + work);
        }
        // Most work ends within a few intervals; only long work searches the sums.
        let target = self.before[index] + (from - start) + work;
        for _ in 0..4 {
            index += 1;
            let &(start, end) = self.intervals.get(index)?;
            let finish = start + target - self.before[index];
            if finish <= end {
                return Some(finish);
            }
        }
        self.at_worked(target)
    }

    /// Returns the last minute from which `work` minutes are worked before `finish`; `None` before minute 0.
    pub fn back(&self, finish: Minute, work: Minute) -> Option<Minute> {
        if work <= 0 {
            return Some(finish);
        }
        let target = self.worked_before(finish) - work;
        if target < 0 {
            return None;
        }
        let index = self.before.partition_point(|&sum| sum <= target) - 1;
        Some(self.intervals[index].0 + target - self.before[index])
    }

    /// Returns the longest single interval and the most working minutes of one calendar day.
    pub(super) fn longest(&self) -> (Minute, Minute) {
        let run = self
            .intervals
            .iter()
            .map(|&(a, b)| b - a)
            .max()
            .unwrap_or(0);
        let mut by_day = std::collections::BTreeMap::new();
        for &(start, end) in &self.intervals {
            // A run of many days fills its inner days wholly.
            if end - start >= 2 * DAY {
                return (run, DAY);
            }
            for (day, minutes) in split_by_day(start, end) {
                *by_day.entry(day).or_insert(0) += minutes;
            }
        }
        (run, by_day.into_values().max().unwrap_or(0))
    }

    fn total(&self) -> Minute {
        match (self.before.last(), self.intervals.last()) {
            (Some(sum), Some((start, end))) => sum + end - start,
            _ => 0,
        }
    }

    fn at_worked(&self, target: Minute) -> Option<Minute> {
        let index = self.before.partition_point(|&sum| sum < target) - 1;
        let (start, end) = self.intervals[index];
        let finish = start + target - self.before[index];
        (finish <= end).then_some(finish)
    }

    /// Returns the index of the first interval that ends after `t`.
    fn index_at(&self, t: Minute) -> usize {
        let day = index(t.max(0) / DAY);
        let Some(&first) = self.by_day.get(day) else {
            return self.intervals.len();
        };
        let mut at = first;
        while self.intervals.get(at).is_some_and(|&(_, end)| end <= t) {
            at += 1;
        }
        at
    }

    fn build(intervals: Vec<Span>, horizon: Minute, pattern: Option<Pattern>) -> Self {
        let mut sum = 0;
        let before = intervals
            .iter()
            .map(|&(start, end)| {
                let now = sum;
                sum += end - start;
                now
            })
            .collect();
        let mut by_day = Vec::new();
        let mut at = 0;
        for day in 0..=horizon.max(0) / DAY {
            while intervals.get(at).is_some_and(|&(_, end)| end <= day * DAY) {
                at += 1;
            }
            by_day.push(at);
        }
        Self {
            intervals,
            before,
            by_day,
            horizon,
            pattern,
        }
    }
}

impl Pattern {
    fn intervals(&self, days: i64) -> Vec<Span> {
        let open = (0..days).filter(|day| !self.closed.contains(day));
        join(open.flat_map(|day| {
            let weekday = (index(day) + self.weekday_of_day0) % 7;
            self.week[weekday].iter().map(move |&(start, end)| {
                let (start, end) = (i64::from(start), i64::from(end).min(DAY));
                (day * DAY + start, day * DAY + end)
            })
        }))
    }
}

/// Returns the day a minute lies in.
pub(super) fn day_of(t: Minute) -> i64 {
    t.div_euclid(DAY)
}

/// Splits a stretch at midnights into `(day, minutes)`.
pub(super) fn split_by_day(start: Minute, end: Minute) -> impl Iterator<Item = (i64, Minute)> {
    let first = day_of(start);
    let last = if end > start {
        day_of(end - 1)
    } else {
        first - 1
    };
    (first..=last).map(move |day| {
        let from = start.max(day * DAY);
        let to = end.min((day + 1) * DAY);
        (day, to - from)
    })
}

/// Turns a count known not to be negative into an index.
pub(super) fn index(n: i64) -> usize {
    usize::try_from(n).unwrap_or(0)
}

/// Sorts stretches, drops what lies before minute 0 and joins what overlaps or touches.
pub(super) fn join(spans: impl IntoIterator<Item = Span>) -> Vec<Span> {
    let mut spans: Vec<Span> = spans
        .into_iter()
        .map(|(start, end)| (start.max(0), end))
        .filter(|(start, end)| start < end)
        .collect();
    if !spans.is_sorted() {
        spans.sort_unstable();
    }
    let mut joined: Vec<Span> = Vec::with_capacity(spans.len());
    for (start, end) in spans {
        match joined.last_mut() {
            Some(last) if start <= last.1 => last.1 = last.1.max(end),
            Some(_) | None => joined.push((start, end)),
        }
    }
    joined
}

#[cfg(test)]
mod tests {
    use super::*;

    fn office() -> Calendar {
        let mut week = [const { Vec::new() }; 7];
        for day in &mut week[..5] {
            *day = vec![(480, 720), (780, 1020)];
        }
        Calendar::weekly(week, 0, &BTreeSet::from([2]), 21)
    }

    /// Checks every minute of three weeks against a plain list of working minutes.
    #[test]
    fn counting_agrees_with_a_list_of_minutes() {
        let calendar = office();
        let minutes: Vec<Minute> = (0..21 * DAY)
            .filter(|&t| {
                let (day, time) = (t / DAY, t % DAY);
                day % 7 < 5
                    && day != 2
                    && ((480..720).contains(&time) || (780..1020).contains(&time))
            })
            .collect();
        for t in (0..12 * DAY).step_by(7) {
            let done = minutes.partition_point(|&m| m < t);
            assert_eq!(calendar.worked_before(t), i64::try_from(done).unwrap());
            assert_eq!(calendar.next_work(t), minutes.get(done).copied());
            for work in [1_usize, 59, 240, 481, 2000] {
                let finish = minutes[done + work - 1] + 1;
                let amount = i64::try_from(work).unwrap();
                assert_eq!(calendar.advance(t, amount), Some(finish), "{t} {work}");
                let latest = done.checked_sub(work).map(|at| minutes[at]);
                assert_eq!(calendar.back(t, amount), latest, "{t} {work}");
            }
        }
    }

    #[test]
    fn closed_days_and_weekends_are_skipped() {
        let calendar = office();
        // Tuesday 16:00, two hours; Wednesday is closed.
        assert_eq!(calendar.advance(DAY + 960, 120), Some(3 * DAY + 540));
        assert_eq!(calendar.longest(), (240, 480));
    }

    #[test]
    fn a_mirrored_calendar_works_in_the_same_minutes() {
        let calendar = office();
        let mirrored = calendar.mirrored(17).unwrap();
        let works = |calendar: &Calendar, t| calendar.next_work(t) == Some(t);
        for t in 0..17 * DAY {
            assert_eq!(
                works(&mirrored, t),
                works(&calendar, 17 * DAY - 1 - t),
                "{t}"
            );
        }
        // The week goes on before the first day, which was a Monday.
        assert_eq!(mirrored.next_work(17 * DAY), Some(19 * DAY + 1440 - 1020));
        assert!(Calendar::from_intervals([(100, 200)]).mirrored(3).is_none());
    }

    #[test]
    fn a_weekly_calendar_extends_and_an_explicit_one_ends() {
        let calendar = office();
        assert_eq!(calendar.next_work(25 * DAY), None);
        assert_eq!(
            calendar.reaching(30 * DAY).next_work(25 * DAY),
            Some(25 * DAY + 480)
        );
        let once = Calendar::from_intervals([(100, 200)]);
        assert_eq!(once.reaching(30 * DAY).next_work(200), None);
    }

    #[test]
    fn unsorted_and_overlapping_stretches_are_joined() {
        assert_eq!(
            join([(50, 60), (-5, 10), (55, 70), (70, 80), (9, 9)]),
            [(0, 10), (50, 80)]
        );
    }
}
