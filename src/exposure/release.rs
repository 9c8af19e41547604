//! What brushed films give off in each hour, and how the room takes it up: the concentration over the day.

use std::collections::BTreeMap;

use crate::catalog::Solvent;
use crate::job::Job;
use crate::job::Site;
use crate::units::Mass;

use super::dilution::FIRE_RESERVE;
use super::dilution::MIXING;
use super::dilution::fire_air_m3;
use super::dilution::health_air_m3;
use super::dilution::vapour_m3;

/// Minutes of one step of the reckoning.
const STEP: i64 = 5;

/// Minutes of one point of a day's curve.
const POINT: i64 = 15;

/// What is left of a film when nothing more is counted: a thousandth.
const GONE: f64 = 1e-3;

/// A stretch of brushing: what is brushed on, evenly, and how fast it leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct Film {
    /// First minute, from any origin that is a midnight.
    pub from: i64,
    /// The minute after the last.
    pub to: i64,
    /// By row of the solvent table, grams and the hours in which nine tenths of a film have evaporated.
    pub solvents: Vec<(String, f64, f64)>,
}

/// One hour at one place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AirHour {
    /// Its first minute.
    pub minute: i64,
    /// Solvent brushed on in it, in grams.
    pub applied_g: f64,
    /// Solvent given off in it, by fresh and by drying films, in grams.
    pub given_off_g: f64,
    /// Fresh air in m³ that takes it up at the exposure limits, mixing factor included.
    pub health_air_m3: f64,
    /// Fresh air in m³ that takes it up at the fraction of the lower explosive limit.
    pub fire_air_m3: f64,
    /// The highest sum of concentrations over limits; 1 is the limit. None where room or air are not known.
    pub of_limit: Option<f64>,
    /// The highest concentration as a share of the lower explosive limit; 1 is the limit.
    pub of_explosive: Option<f64>,
}

/// One point of a day's curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirPoint {
    /// The minute.
    pub minute: i64,
    /// Sum of concentrations over limits.
    pub of_limit: f64,
    /// Share of the lower explosive limit.
    pub of_explosive: f64,
}

/// The hours of a place in which anything is given off, and the curve of its worst day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AirCourse {
    /// The hours, in order.
    pub hours: Vec<AirHour>,
    /// A point each quarter of an hour of the day with the highest concentration.
    pub worst: Vec<AirPoint>,
}

/// Works out the hours of a place and the concentration in its room.
///
/// # Formula
/// A film evaporates as `m · k · e^(-k·t)` with `k = ln 10 / t₉₀`; the room follows `V · dC/dt = G - Q/K · C`, solved exactly over steps
/// of five minutes in which G is constant. Concentrations of several solvents add up as shares of their limits.
///
/// # Sources
/// Single-exponential emission of coatings and the well-mixed room: indoor air handbooks, from memory; the room balance is checked in
/// `room.rs` against published examples. The time of a film is that of an open film (EPA equation D-1): real facings are slower, so the
/// peak is on the high side.
pub fn course(job: &Job, place: &Site, films: &[Film]) -> AirCourse {
    let mut given: BTreeMap<&str, BTreeMap<i64, f64>> = BTreeMap::new();
    let mut hours: BTreeMap<i64, AirHour> = BTreeMap::new();
    for film in films {
        for (id, grams, t90) in &film.solvents {
            let slots = given.entry(id).or_default();
            evaporate(film, *grams, *t90, |slot, applied, off| {
                *slots.entry(slot).or_default() += off;
                hour_of(&mut hours, slot).applied_g += applied;
            });
        }
    }
    for (id, slots) in &given {
        let Some(solvent) = job.catalog.solvents.get(*id) else {
            continue;
        };
        for (&slot, &grams) in slots {
            let hour = hour_of(&mut hours, slot);
            hour.given_off_g += grams;
            hour.health_air_m3 += health_air_m3(Mass::g(grams), solvent, MIXING);
            hour.fire_air_m3 += fire_air_m3(Mass::g(grams), solvent, FIRE_RESERVE);
        }
    }
    let mut course = AirCourse::default();
    if let Some((room, fresh)) = place.room_m3.zip(place.fresh_air_m3_h) {
        let levels = levels(&job.catalog.solvents, &given, room, fresh / MIXING);
        for (&slot, &(limit, explosive)) in &levels {
            let hour = hour_of(&mut hours, slot);
            hour.of_limit = Some(hour.of_limit.unwrap_or(0.0).max(limit));
            hour.of_explosive = Some(hour.of_explosive.unwrap_or(0.0).max(explosive));
        }
        course.worst = worst_day(&levels);
    }
    let matters =
        |hour: &AirHour| hour.given_off_g >= 0.5 || hour.of_limit.is_some_and(|of| of >= 0.01);
    course.hours = hours.into_values().filter(matters).collect();
    course
}

fn hour_of(hours: &mut BTreeMap<i64, AirHour>, slot: i64) -> &mut AirHour {
    let minute = (slot * STEP).div_euclid(60) * 60;
    hours.entry(minute).or_insert(AirHour {
        minute,
        ..AirHour::default()
    })
}

/// Follows one solvent of a film step by step: what is brushed on and what leaves.
fn evaporate(film: &Film, grams: f64, t90: f64, mut told: impl FnMut(i64, f64, f64)) {
    let (first, end) = (
        film.from.div_euclid(STEP),
        (film.to - 1).div_euclid(STEP) + 1,
    );
    let count = f64::from(i32::try_from((end - first).max(1)).unwrap_or(i32::MAX));
    let dose = grams / count;
    let step = f64::from(i32::try_from(STEP).unwrap_or(5)) / 60.0;
    let k = std::f64::consts::LN_10 / t90.max(0.01);
    let stays = libm::exp(-k * step);
    let fresh_stays = (1.0 - stays) / (k * step);
    let mut pool = 0.0;
    let mut slot = first;
    while slot < end || pool > grams * GONE {
        let applied = if slot < end { dose } else { 0.0 };
        let after = pool * stays + applied * fresh_stays;
        told(slot, applied, pool + applied - after);
        pool = after;
        slot += 1;
    }
    // The last trace leaves at once, so that what goes on comes off to the gram.
    told(slot, 0.0, pool);
}

/// The sum of concentrations over limits, and over lower explosive limits, at the end of each step until the room is clear again.
fn levels(
    solvents: &BTreeMap<String, Solvent>,
    given: &BTreeMap<&str, BTreeMap<i64, f64>>,
    room: f64,
    air: f64,
) -> BTreeMap<i64, (f64, f64)> {
    let step = f64::from(i32::try_from(STEP).unwrap_or(5)) / 60.0;
    let mut levels: BTreeMap<i64, (f64, f64)> = BTreeMap::new();
    for (id, slots) in given {
        let Some(solvent) = solvents.get(*id) else {
            continue;
        };
        let stays = libm::exp(-air * step / room);
        let mut ppm = 0.0;
        let mut next = slots.keys().next().copied().unwrap_or(0);
        let last = slots.keys().next_back().copied().unwrap_or(0);
        while next <= last || share(solvent, ppm).0.max(share(solvent, ppm).1) > 0.005 {
            if let Some((&ahead, _)) = slots.range(next..).next()
                && share(solvent, ppm).0.max(share(solvent, ppm).1) < 1e-6
            {
                next = ahead;
            }
            let grams = slots.get(&next).copied().unwrap_or(0.0);
            let rate = vapour_m3(Mass::g(grams), solvent) / step;
            ppm = if air > 0.0 {
                let steady = rate / air * 1e6;
                steady + (ppm - steady) * stays
            } else {
                ppm + rate * step / room * 1e6
            };
            let (limit, explosive) = share(solvent, ppm);
            let level = levels.entry(next).or_default();
            *level = (level.0 + limit, level.1 + explosive);
            next += 1;
            if air <= 0.0 && next > last {
                break;
            }
        }
    }
    levels
}

/// A concentration as shares of the exposure limit and of the lower explosive limit.
fn share(solvent: &Solvent, ppm: f64) -> (f64, f64) {
    let of = |limit: Option<f64>| {
        limit
            .filter(|limit| *limit > 0.0)
            .map_or(0.0, |limit| ppm / limit)
    };
    let explosive = solvent.lower_explosive_percent.map(|percent| percent * 1e4);
    (of(solvent.limit_ppm), of(explosive))
}

fn worst_day(levels: &BTreeMap<i64, (f64, f64)>) -> Vec<AirPoint> {
    let worst = levels
        .iter()
        .max_by(|a, b| a.1.0.total_cmp(&b.1.0).then(b.0.cmp(a.0)));
    let Some((&slot, _)) = worst else {
        return Vec::new();
    };
    let day = (slot * STEP).div_euclid(1440) * 1440;
    let point = |at: i64| {
        let minute = day + at * POINT;
        let (of_limit, of_explosive) = levels
            .get(&(minute.div_euclid(STEP) - 1))
            .copied()
            .unwrap_or_default();
        AirPoint {
            minute,
            of_limit,
            of_explosive,
        }
    };
    (0..=1440 / POINT).map(point).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exposure::published::solvent;

    fn followed(grams: f64, t90: f64, minutes: i64) -> (f64, f64, f64) {
        let film = Film {
            from: 480,
            to: 480 + minutes,
            solvents: Vec::new(),
        };
        let (mut applied, mut off, mut within) = (0.0, 0.0, 0.0);
        evaporate(&film, grams, t90, |slot, on, gone| {
            applied += on;
            off += gone;
            within += if slot * STEP < film.to { gone } else { 0.0 };
        });
        (applied, off, within)
    }

    #[test]
    fn what_goes_on_comes_off() {
        let (applied, off, within) = followed(300.0, 0.3, 60);
        assert!((applied - 300.0).abs() < 1e-9 && (off - 300.0).abs() < 1e-9);
        // Brushed over an hour, k = ln 10 / 0.3 an hour: 1 - (1 - e^-k) / k of it has left when the hour ends.
        let k = std::f64::consts::LN_10 / 0.3;
        assert!((within / 300.0 - (1.0 - (1.0 - libm::exp(-k)) / k)).abs() < 1e-9);
    }

    #[test]
    fn nine_tenths_of_a_film_leave_in_its_time() {
        let (_, _, within) = followed(1000.0, 2.0, 5);
        assert!(within < 60.0);
        let film = Film {
            from: 0,
            to: 5,
            solvents: Vec::new(),
        };
        let mut after_two_hours = 0.0;
        evaporate(&film, 1000.0, 2.0, |slot, _, gone| {
            if slot < 24 {
                after_two_hours += gone;
            }
        });
        assert!(
            (after_two_hours / 1000.0 - 0.9).abs() < 0.01,
            "{after_two_hours}"
        );
    }

    /// trade.md 7, V-12, computed there: 0.3 kg/h of toluene in 300 m³ with 300 m³/h reach 261.1 ppm in the end and 248.1 ppm after
    /// three hours; a film that leaves in a minute is as good as vapour.
    #[test]
    fn the_room_fills_as_published() {
        let toluene = Solvent {
            limit_ppm: Some(100.0),
            ..solvent("toluene")
        };
        let solvents = BTreeMap::from([("toluene".to_owned(), toluene)]);
        let given = BTreeMap::from([("toluene", (0..36).map(|slot| (slot, 25.0)).collect())]);
        let levels = levels(&solvents, &given, 300.0, 300.0);
        assert!((levels[&35].0 - 2.480_78).abs() < 1e-3, "{}", levels[&35].0);
        let cleared = levels
            .iter()
            .find(|(slot, level)| **slot > 35 && level.0 < 0.2)
            .unwrap();
        // V-12 again: 2.518 hours to 20 ppm.
        assert!((*cleared.0 - 35 - 31).abs() <= 1, "{}", cleared.0);
    }
}
