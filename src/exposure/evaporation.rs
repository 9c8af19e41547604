//! How fast a free film evaporates: a recipe that dries faster than that is to be doubted.

use std::collections::BTreeSet;

use crate::catalog::Solvent;
use crate::diag::Problems;
use crate::job::Job;
use crate::survey::Survey;
use crate::takeoff::Takeoff;

use super::saturation::Climate;
use super::saturation::REFERENCE;
use super::saturation::driving_force;
use super::saturation::pressure;
use super::solvent_of;
use super::step_of;

/// Gas constant in J/(mol·K).
const GAS: f64 = 8.314_462_6;

/// Air moving along a wall indoors, in m/s.
const INDOOR_AIR: f64 = 0.25;

/// Warns of steps whose drying in the recipe is shorter than the free evaporation of their slowest part.
pub(super) fn warn(job: &Job, survey: &Survey, takeoff: &Takeoff, problems: &mut Problems) {
    let mut seen = BTreeSet::new();
    for need in &takeoff.solutions {
        let Some((recipe, step)) = step_of(job, survey, need.panel, need.step) else {
            continue;
        };
        if !seen.insert((recipe, need.step)) {
            continue;
        }
        let total: f64 = need.parts.iter().map(|part| part.mass.to_g()).sum();
        let free = need.parts.iter().filter_map(|part| {
            let solvent = solvent_of(job, job.catalog.materials.get(&part.material)?)?;
            let load = step.spread? * part.mass.to_g() / total;
            Some((load / flux(solvent, REFERENCE) * 60.0, solvent))
        });
        let Some((minutes, slowest)) = free.max_by(|a, b| a.0.total_cmp(&b.0)) else {
            continue;
        };
        if f64::from(step.drying_minutes) < minutes {
            let text = format!(
                "step `{}` of recipe `{recipe}` dries {} min, but its {} alone takes about {minutes:.0} min to evaporate from an open film",
                step.name, step.drying_minutes, slowest.name
            );
            problems.warning(
                None,
                text,
                "try the step on a test patch and write the time it takes as its `drying`",
            );
        }
    }
}

/// Returns the hours that an open film of so many g/m² takes to evaporate; never less than three minutes.
pub(super) fn film_hours(solvent: &Solvent, load: f64, climate: Climate) -> f64 {
    let flux = flux(solvent, climate);
    if flux > 0.0 {
        (load / flux).clamp(0.05, 240.0)
    } else {
        240.0
    }
}

/// Returns what evaporates from an open film in still indoor air, in g/m² an hour.
fn flux(solvent: &Solvent, climate: Climate) -> f64 {
    if driving_force(solvent, climate) < pressure(solvent, climate.temperature) {
        water_flux(solvent, climate)
    } else {
        solvent_flux(solvent, climate, INDOOR_AIR)
    }
}

/// Returns what evaporates of a solvent, in g/m² an hour, with air moving at `u` m/s.
///
/// # Formula
/// `k · M · P / (R · T)`, `k = 0.0067 · (18 / M)^(1/3) · u^0.78` m/s.
///
/// # Sources
/// US EPA, *Risk Management Program Guidance for Offsite Consequence Analysis* (EPA 550-B-99-009), equation D-1,
/// after Mackay & Matsugu 1973; the equation's form and 0.67 cm/s read at the JRC's RAPID-N, the other numbers from
/// memory.
fn solvent_flux(solvent: &Solvent, climate: Climate, u: f64) -> f64 {
    let k = 0.0067 * libm::cbrt(18.0 / solvent.molar_mass) * libm::pow(u, 0.78);
    let kilograms = k * solvent.molar_mass / 1_000.0 * pressure(solvent, climate.temperature)
        / (GAS * climate.temperature.to_kelvin());
    kilograms * 3600.0 * 1_000.0
}

/// Returns what evaporates of water, in g/m² an hour.
///
/// # Formula
/// `(25 + 19 v) · (xₛ - x)` kg/m²h: v air in m/s, x humidity ratios at saturation and in the room.
///
/// # Sources
/// Free-surface evaporation as taught for pools; worked example read at askvity.
fn water_flux(water: &Solvent, climate: Climate) -> f64 {
    let ratio = |pressure: f64| 0.622 * pressure / (101_325.0 - pressure);
    let saturated = pressure(water, climate.temperature);
    let dryness = ratio(saturated) - ratio(saturated - driving_force(water, climate));
    (25.0 + 19.0 * INDOOR_AIR) * dryness * 1_000.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exposure::published::solvent;
    use crate::units::Temperature;

    fn climate(celsius: f64, humidity: f64) -> Climate {
        Climate {
            temperature: Temperature::celsius(celsius),
            humidity,
        }
    }

    /// trade.md 8.1, E-1 to E-8, computed there with Wagner pressures where ours are Antoine's: within the tables'
    /// own spread of 1 to 3 % (7 % for 2-propanol in the cold, 8 % for n-butyl acetate, 13 % for decane in the cold,
    /// whose Antoine constants are stretched below their range).
    #[test]
    fn fluxes_of_open_films() {
        fn case(id: &str, grams: [f64; 3], tolerance: f64) {
            for (celsius, expected) in [10.0, 20.0, 30.0].into_iter().zip(grams) {
                let found = solvent_flux(&solvent(id), climate(celsius, 50.0), 0.25);
                assert!(
                    (found / expected - 1.0).abs() < tolerance,
                    "{id} at {celsius}: {found}, not {expected}"
                );
            }
        }
        case("acetone", [2120.9, 3264.4, 4852.7], 0.01);
        case("ethanol", [368.2, 662.9, 1142.6], 0.01);
        case("2-propanol", [299.1, 567.7, 1023.2], 0.07);
        case("toluene", [309.2, 523.4, 848.9], 0.01);
        case("m-xylene", [90.3, 163.5, 282.2], 0.03);
        case("o-xylene", [70.6, 129.6, 226.5], 0.03);
        case("p-xylene", [95.4, 172.3, 296.5], 0.03);
        case("ethyl-acetate", [1047.0, 1714.5, 2695.3], 0.01);
        case("n-butyl-acetate", [136.1, 245.0, 422.0], 0.08);
        case("nonane", [48.4, 93.3, 170.0], 0.03);
        case("decane", [15.4, 31.5, 60.5], 0.13);
        case("heptane", [539.0, 895.7, 1427.0], 0.01);
    }

    /// trade.md 8.1, E-4 and E-9: toluene in moving air, and 1.5^0.78 (memory of the EPA guidance's example, checked
    /// there).
    #[test]
    fn moving_air_carries_more_away() {
        for (u, expected) in [(0.1, 256.0), (0.5, 899.0), (1.0, 1543.0)] {
            let found = solvent_flux(&solvent("toluene"), REFERENCE, u);
            assert!((found / expected - 1.0).abs() < 0.01, "{u}: {found}");
        }
        let ratio = solvent_flux(&solvent("toluene"), REFERENCE, 1.5)
            / solvent_flux(&solvent("toluene"), REFERENCE, 1.0);
        assert!((ratio - 1.371_99).abs() < 1e-5);
    }

    /// trade.md 8.2, W-1 to W-3, computed there with `CoolProp` humidity ratios: within 1 %.
    #[test]
    fn water_films_in_damp_and_cold_rooms() {
        fn case(celsius: f64, humidity: f64, kilograms: f64) {
            let found = flux(&solvent("water"), climate(celsius, humidity)) / 1_000.0;
            assert!(
                (found / kilograms - 1.0).abs() < 0.01,
                "{celsius} °C, {humidity} %: {found}, not {kilograms}"
            );
        }
        case(20.0, 40.0, 0.2659);
        case(20.0, 50.0, 0.2221);
        case(20.0, 70.0, 0.1339);
        case(10.0, 50.0, 0.1147);
        case(30.0, 50.0, 0.4153);
        let hours = 200.0 / flux(&solvent("water"), REFERENCE);
        assert!((hours / 0.901 - 1.0).abs() < 0.01, "{hours}");
    }

    /// trade.md 8.3, D-3: minutes for 150 g/m² at 20 °C.
    #[test]
    fn first_stage_of_a_facing() {
        for (id, minutes, tolerance) in [
            ("acetone", 2.8, 0.02),
            ("ethanol", 13.6, 0.01),
            ("toluene", 17.2, 0.01),
            ("nonane", 97.0, 0.03),
        ] {
            let found = 150.0 / flux(&solvent(id), REFERENCE) * 60.0;
            assert!((found / minutes - 1.0).abs() < tolerance, "{id}: {found}");
        }
    }
}
