//! The air of each place: what a working day has, and what is asked of it.

use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::job::Job;
use crate::job::Site;

use super::dilution::FIRE_RESERVE;
use super::dilution::MIXING;
use super::outcome::Exposure;
use super::outcome::PlaceAir;
use super::outcome::Vapour;

/// Exposure limit in ppm under which general ventilation is normally not enough.
///
/// # Sources
/// Common practice in ventilation training texts; also where the worker leans over the source.
const GENERAL_VENTILATION_PPM: f64 = 100.0;

/// Describes the air of every place of the job.
pub(super) fn of_places(job: &Job, vapours: &[Vapour]) -> Vec<PlaceAir> {
    let describe = |(index, place): (usize, &Site)| {
        let least = least_limit(job, vapours, index);
        PlaceAir {
            place: index,
            fresh_m3_h: place.fresh_air_m3_h,
            day_m3: place
                .fresh_air_m3_h
                .map(|fresh| fresh * shortest_day_hours(place)),
            least_limit_ppm: least,
            needs_extraction: least.is_some_and(|limit| limit < GENERAL_VENTILATION_PPM),
            flammable_limit: place.flammable_limit,
        }
    };
    job.places.iter().enumerate().map(describe).collect()
}

fn least_limit(job: &Job, vapours: &[Vapour], place: usize) -> Option<f64> {
    let here = vapours.iter().filter(|vapour| vapour.place == place);
    let limits = here
        .flat_map(|vapour| &vapour.solvents)
        .filter_map(|(id, _)| job.catalog.solvents.get(id)?.limit_ppm);
    limits.min_by(f64::total_cmp)
}

/// Hours of the place's shortest working day: what may evaporate on a day must be within the limits on a short one too.
pub(super) fn shortest_day_hours(place: &Site) -> f64 {
    let minutes = |day: &Vec<(u16, u16)>| {
        day.iter()
            .map(|(from, to)| u32::from(to.saturating_sub(*from)))
            .sum::<u32>()
    };
    let shortest = place
        .hours
        .iter()
        .map(minutes)
        .filter(|minutes| *minutes > 0)
        .min();
    f64::from(shortest.unwrap_or(0)) / 60.0
}

/// Writes down where each place's air comes from.
pub(super) fn record(job: &Job, exposure: &Exposure, ledger: &mut Ledger) {
    for air in &exposure.air {
        let Some(place) = job.places.get(air.place) else {
            continue;
        };
        let here = || {
            exposure
                .vapours
                .iter()
                .filter(|vapour| vapour.place == air.place)
        };
        // The sum of nothing would be shown as -0.
        let sum = |of: fn(&Vapour) -> f64| here().map(of).fold(0.0, |sum, air| sum + air);
        let most = |of: fn(&Vapour) -> f64| here().map(of).fold(0.0, f64::max);
        let result = air.day_m3.map_or_else(
            || "not stated".to_owned(),
            |day| format!("{day:.0} m³ a day"),
        );
        let formula = "fresh air an hour × hours of the shortest working day; \
                       air a solvent takes = mixing factor × vapour × 10⁶ ÷ limit in ppm, summed over solvents";
        ledger.record(
            Derivation::new(
                format!("air/{}", place.name),
                format!("air for vapour at {}", place.name),
                result,
                formula,
            )
            .input(
                "fresh air",
                place.fresh_air_m3_h.map_or_else(|| "not stated".to_owned(), |fresh| format!("{fresh} m³/h")),
            )
            .input("hours of the shortest working day", shortest_day_hours(place))
            .input("mixing factor", format!("{MIXING} (assumed)"))
            .input("air for the exposure limits, whole job", format!("{:.0} m³", sum(|vapour| vapour.health_air_m3)))
            .input(
                "air for the exposure limits, most on one panel and step",
                format!("{:.0} m³", most(|vapour| vapour.health_air_m3)),
            )
            .input(
                format!("air to stay at 1/{FIRE_RESERVE} of the lower explosive limit, most on one panel and step"),
                format!("{:.0} m³", most(|vapour| vapour.fire_air_m3)),
            )
            .input(
                "least exposure limit",
                air.least_limit_ppm.map_or_else(|| "none".to_owned(), |limit| format!("{limit} ppm")),
            )
            .source(
                "dilution at steady state, additive rule (ACGIH, Industrial Ventilation, from memory); \
                     an estimate: local rules and a competent person decide",
            ),
        );
    }
}
