//! Where each person is on each day: at one site, with days of travel before another.

use super::calendar::DAY;
use super::calendar::Minute;
use super::calendar::Span;
use super::calendar::day_of;
use super::calendar::index;

/// The days on which one person is bound to a site.
#[derive(Debug, Clone, Default)]
pub(super) struct Whereabouts {
    /// By day, the site and how many tasks bind them to it; none where nothing does.
    days: Vec<(usize, u32)>,
}

impl Whereabouts {
    /// Forgets everything.
    pub(super) fn clear(&mut self) {
        self.days.clear();
    }

    /// Binds the person to a site on every day that a task touches.
    pub(super) fn bind(&mut self, site: usize, (start, finish): Span) {
        let days = days(start, finish);
        if self.days.len() <= *days.end() {
            self.days.resize(days.end() + 1, (0, 0));
        }
        for bound in &mut self.days[days] {
            if bound.1 == 0 {
                bound.0 = site;
            }
            bound.1 += 1;
        }
    }

    /// Takes back what was bound.
    pub(super) fn release(&mut self, (start, finish): Span) {
        for bound in &mut self.days[days(start, finish)] {
            bound.1 -= 1;
        }
    }

    /// Cuts a free window to the part in which the person can be at a site, from `t` on.
    ///
    /// Without such a part, the second answer is the minute from which to ask again.
    pub(super) fn window(
        &self,
        site: usize,
        travel: i64,
        t: Minute,
        until: Minute,
    ) -> Result<Span, Minute> {
        let first = day_of(t) - travel;
        // Days further on take nothing off the window.
        let last = first.max(day_of(until) + travel);
        let known = index(first).min(self.days.len())..(index(last) + 1).min(self.days.len());
        let elsewhere = |&(bound, tasks): &(usize, u32)| tasks > 0 && bound != site;
        match (first.max(0)..)
            .zip(&self.days[known])
            .find(|(_, bound)| elsewhere(bound))
        {
            Some((day, _)) if day <= day_of(t) + travel => Err((day + travel + 1) * DAY),
            Some((day, _)) => Ok((t, until.min((day - travel) * DAY))),
            None => Ok((t, until)),
        }
    }
}

fn days(start: Minute, finish: Minute) -> std::ops::RangeInclusive<usize> {
    index(day_of(start))..=index(day_of((finish - 1).max(start)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_elsewhere_and_the_days_of_travel_are_taken() {
        let mut person = Whereabouts::default();
        person.bind(0, (10 * DAY + 480, 10 * DAY + 600));
        let far = 100 * DAY;
        let at = |person: &Whereabouts, site, travel, day: i64| {
            person.window(site, travel, day * DAY + 60, far)
        };
        assert_eq!(at(&person, 0, 0, 10), Ok((10 * DAY + 60, far)));
        assert_eq!(at(&person, 1, 0, 10), Err(11 * DAY));
        assert_eq!(at(&person, 1, 0, 9), Ok((9 * DAY + 60, 10 * DAY)));
        assert_eq!(at(&person, 1, 1, 9), Err(12 * DAY));
        assert_eq!(at(&person, 1, 1, 8), Ok((8 * DAY + 60, 9 * DAY)));
        assert_eq!(at(&person, 1, 1, 11), Err(12 * DAY));
        assert_eq!(at(&person, 1, 1, 12), Ok((12 * DAY + 60, far)));
        person.release((10 * DAY + 480, 10 * DAY + 600));
        assert_eq!(at(&person, 1, 0, 10), Ok((10 * DAY + 60, far)));
    }
}
