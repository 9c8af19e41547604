//! The working hours of a place: all of them, those in daylight, the cool ones.

use crate::job::Site;
use crate::recipe::When;
use crate::solver::timetable::Calendar;

use super::Given;

/// How far calendars reach at first; the engine extends them as it needs.
const HORIZON_DAYS: i64 = 400;

/// Calendars of every place, one for each of [`When`], in that order.
pub(super) fn calendars(given: &Given<'_>) -> Vec<Calendar> {
    let places = given.job.places.iter();
    places.flat_map(|site| of_place(given, site)).collect()
}

/// Calendars of one place.
pub(super) fn of_place(given: &Given<'_>, site: &Site) -> Vec<Calendar> {
    let first = given.job.first_day;
    let weekday = usize::try_from(first.weekday().to_monday_zero_offset()).unwrap_or(0);
    let closed = site
        .closed
        .iter()
        .map(|day| i64::from((*day - first).get_days()))
        .collect();
    let calendar = |when: &When| Calendar::weekly(of(site, *when), weekday, &closed, HORIZON_DAYS);
    When::ALL.iter().map(calendar).collect()
}

/// The hours of each weekday in which a step may be done, Monday first.
pub(super) fn of(site: &Site, when: When) -> [Vec<(u16, u16)>; 7] {
    let span = match when {
        When::Any => None,
        When::Daylight => site.daylight,
        When::Cool => site.cool,
    };
    let Some((from, to)) = span else {
        return site.hours.clone();
    };
    let cut = |hours: &Vec<(u16, u16)>| {
        let both = hours.iter().map(|&(a, b)| (a.max(from), b.min(to)));
        both.filter(|(a, b)| a < b).collect()
    };
    site.hours.each_ref().map(cut)
}
