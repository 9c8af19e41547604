//! What is given off at each place hour by hour, now that it is known when each film is brushed on.

use std::collections::BTreeMap;

use crate::exposure::AirCourse;
use crate::exposure::Film;
use crate::exposure::Vapour;
use crate::exposure::course;

use super::Given;
use super::Schedule;

/// The course of the air at every place, in the order of the job's places.
pub(super) fn courses(given: &Given<'_>, schedule: &Schedule) -> Vec<AirCourse> {
    let vapours: BTreeMap<(usize, usize), &Vapour> = given
        .exposure
        .vapours
        .iter()
        .map(|vapour| ((vapour.panel, vapour.step), vapour))
        .collect();
    let mut work: BTreeMap<(usize, usize), f64> = BTreeMap::new();
    let brushed = schedule.activities.iter().filter_map(|activity| {
        let key = (activity.panel?, activity.step);
        Some((activity, key, *vapours.get(&key)?))
    });
    let brushed: Vec<_> = brushed.collect();
    for (activity, key, _) in &brushed {
        *work.entry(*key).or_default() += f64::from(activity.work_minutes.max(1));
    }
    let mut films: Vec<Vec<Film>> = vec![Vec::new(); given.job.places.len()];
    for (activity, key, vapour) in brushed {
        let whole = work.get(&key).copied().unwrap_or(1.0);
        let share = f64::from(activity.work_minutes.max(1)) / whole * schedule.left(key.0, key.1);
        let spans: Vec<(i64, i64)> = activity
            .stretches
            .iter()
            .map(|&(from, to)| (minute(given, from), minute(given, to)))
            .collect();
        let minutes: i64 = spans.iter().map(|(from, to)| to - from).sum();
        for (from, to) in spans {
            let part = share * ratio(to - from, minutes);
            let solvents = vapour.solvents.iter().zip(&vapour.film_hours);
            let film = Film {
                from,
                to,
                solvents: solvents
                    .map(|((id, mass), hours)| (id.clone(), mass.to_g() * part, *hours))
                    .collect(),
            };
            if let Some(here) = films.get_mut(activity.place) {
                here.push(film);
            }
        }
    }
    let places = given.job.places.iter().zip(&films);
    places
        .map(|(site, films)| course(given.job, site, films))
        .collect()
}

/// Minutes from the midnight of the first day.
fn minute(given: &Given<'_>, time: jiff::civil::DateTime) -> i64 {
    let origin = given
        .job
        .first_day
        .to_datetime(jiff::civil::Time::midnight());
    time.duration_since(origin).as_mins()
}

fn ratio(part: i64, whole: i64) -> f64 {
    let number = |minutes: i64| f64::from(i32::try_from(minutes.max(0)).unwrap_or(i32::MAX));
    number(part) / number(whole).max(1.0)
}
