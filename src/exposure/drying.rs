//! How long each step dries at its place.

use crate::catalog::Solvent;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::job::Job;
use crate::job::Site;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::units::Temperature;
use crate::units::bound;

use super::outcome::Drying;
use super::place_of;
use super::saturation::Climate;
use super::saturation::REFERENCE;
use super::saturation::driving_force;
use super::solvent_of;

/// Works out drying and curing of every step of every recipe, and writes down how.
pub(super) fn of_recipes(job: &Job, ledger: &mut Ledger) -> Vec<Drying> {
    let mut all = Vec::new();
    for recipe in job.recipes.values() {
        for (index, step) in recipe.steps.iter().enumerate() {
            let Some(place) = job.places.get(place_of(job, step.place)) else {
                continue;
            };
            let solvents = solvents_of(job, recipe, step);
            let drying = dry(recipe, index, step, &solvents, place);
            if step.drying_minutes > 0 || step.cures_minutes > 0 {
                record(recipe, step, &solvents, place, &drying, ledger);
            }
            all.push(drying);
        }
    }
    all
}

/// Returns the hours that a step dries at its place's humidity at each of some temperatures in °C; nothing for a step that need not dry.
pub fn by_temperature(job: &Job, recipe: &Recipe, step: &Step, celsius: &[f64]) -> Vec<f64> {
    let Some(place) = job.places.get(place_of(job, step.place)) else {
        return Vec::new();
    };
    if step.drying_minutes == 0 {
        return Vec::new();
    }
    let solvents = solvents_of(job, recipe, step);
    let hours = |celsius: &f64| {
        let climate = Climate {
            temperature: Temperature::celsius(*celsius),
            humidity: place.humidity,
        };
        f64::from(step.drying_minutes) / 60.0
            * slowing(&solvents, climate)
            * place.drying_factor.max(0.0)
    };
    celsius.iter().map(hours).collect()
}

fn dry(recipe: &Recipe, index: usize, step: &Step, solvents: &[&Solvent], place: &Site) -> Drying {
    let factor = slowing(solvents, Climate::of(place)) * place.drying_factor.max(0.0);
    Drying {
        recipe: recipe.id.clone(),
        step: index,
        dry_minutes: whole_minutes(f64::from(step.drying_minutes) * factor),
        cures_minutes: whole_minutes(f64::from(step.cures_minutes) * factor),
        factor,
    }
}

/// The solvents that leave a step: its solution's, or those of the liquids it uses.
fn solvents_of<'a>(job: &'a Job, recipe: &Recipe, step: &Step) -> Vec<&'a Solvent> {
    let solution = step.solution.as_ref().and_then(|id| recipe.solution(id));
    let mixed = solution
        .into_iter()
        .flat_map(|mix| mix.solvents.iter().map(|(id, _)| id).chain(&mix.resin));
    let used = step
        .uses
        .iter()
        .map(|used| &used.material)
        .filter(|_| solution.is_none());
    let materials = mixed
        .chain(used)
        .filter_map(|id| job.catalog.materials.get(id));
    materials
        .filter_map(|material| solvent_of(job, material))
        .collect()
}

/// Returns how many times longer drying takes than at 20 °C and 50 % humidity; 1 where no solvent is known.
///
/// A recipe's drying is a practical time at 20 °C and 50 %, absorption and slow last traces included: only the ratio
/// of climates is applied to it. A place's drying factor, 1 unless the job says otherwise, stands for what the ratio
/// cannot know: a cold wall behind the canvas, a draught, a plaster that does not drink.
///
/// # Formula
/// `min Pᵢ(20 °C, 50 %) / min Pᵢ(T, RH)`: P driving pressure (saturation; for water times `1 - RH`), the least over
/// the solvents because the slowest leaves last. Each P rises with warmth and dryness, so a warmer or drier room
/// never dries slower.
///
/// # Limits
/// A room above 99 % humidity counts as 99 %: nothing dries in a fog, but the figure stays a number.
///
/// # Sources
/// Evaporation proportional to vapour pressure: US EPA, *Risk Management Program Guidance for Offsite Consequence
/// Analysis* (EPA 550-B-99-009), equation D-1. That drying times scale alike is our assumption.
fn slowing(solvents: &[&Solvent], climate: Climate) -> f64 {
    let slowest = |climate| {
        solvents
            .iter()
            .map(|solvent| driving_force(solvent, climate))
            .fold(f64::INFINITY, f64::min)
    };
    let (reference, here) = (slowest(REFERENCE), slowest(climate));
    if reference.is_finite() && here > 0.0 {
        reference / here
    } else {
        1.0
    }
}

/// Rounds up to whole minutes; a millionth of a minute over counts as none.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the bound on drying just before"
)]
fn whole_minutes(minutes: f64) -> u32 {
    (minutes - 1e-6).ceil().clamp(0.0, bound::DRYING.most) as u32
}

fn record(
    recipe: &Recipe,
    step: &Step,
    solvents: &[&Solvent],
    place: &Site,
    drying: &Drying,
    ledger: &mut Ledger,
) {
    let names: Vec<&str> = solvents
        .iter()
        .map(|solvent| solvent.name.as_str())
        .collect();
    let id = format!("drying/{}/{}", recipe.id, step.id);
    let result = format!(
        "{} min before the next step, {} min until cured",
        drying.dry_minutes, drying.cures_minutes
    );
    let formula = "minutes at 20 °C and 50 % × least driving pressure there ÷ least driving pressure here × drying factor of the place";
    let climate = Climate::of(place);
    ledger.record(
        Derivation::new(id, format!("drying of {} at {}", step.name, place.name), result, formula)
            .input("minutes at 20 °C and 50 %", format!("{} min, cured {} min", step.drying_minutes, step.cures_minutes))
            .input("solvents", if names.is_empty() { "none known".to_owned() } else { names.join(", ") })
            .input("temperature", format!("{} °C", place.temperature.to_celsius()))
            .input("humidity", format!("{} %", place.humidity))
            .input("ratio of driving pressures", format!("{:.3}", slowing(solvents, climate)))
            .input("drying factor of the place", place.drying_factor)
            .rounded("up to whole minutes")
            .source("evaporation proportional to vapour pressure (US EPA 550-B-99-009, equation D-1); an estimate: try it on a test patch"),
    );
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::exposure::published::solvent;

    fn climate(celsius: f64, humidity: f64) -> Climate {
        Climate {
            temperature: Temperature::celsius(celsius),
            humidity,
        }
    }

    /// Ratios of the pressures in trade.md 6, P-3 and P-5.
    #[test]
    fn a_cold_room_slows_toluene_and_a_damp_one_water() {
        let (toluene, water) = (solvent("toluene"), solvent("water"));
        assert!((slowing(&[&toluene], climate(10.0, 90.0)) - 2.9066 / 1.6517).abs() < 1e-3);
        assert!((slowing(&[&water], climate(20.0, 75.0)) - 2.0).abs() < 1e-9);
        assert!((slowing(&[&water], climate(10.0, 50.0)) - 2.3447 / 1.2280).abs() < 1e-3);
        assert_eq!(slowing(&[], climate(5.0, 95.0)), 1.0);
    }

    #[test]
    fn the_slowest_solvent_decides() {
        let (acetone, spirit) = (solvent("acetone"), solvent("decane"));
        let mixture = slowing(&[&acetone, &spirit], climate(12.0, 50.0));
        assert_eq!(mixture, slowing(&[&spirit], climate(12.0, 50.0)));
        let (alcohol, water) = (solvent("ethanol"), solvent("water"));
        assert_eq!(
            slowing(&[&alcohol, &water], climate(20.0, 90.0)),
            slowing(&[&water], climate(20.0, 90.0))
        );
    }

    #[test]
    fn minutes_are_rounded_up_once() {
        assert_eq!(whole_minutes(480.0), 480);
        assert_eq!(whole_minutes(480.000_000_1), 480);
        assert_eq!(whole_minutes(480.01), 481);
        assert_eq!(whole_minutes(0.0), 0);
        assert_eq!(whole_minutes(f64::INFINITY), 525_600);
        assert_eq!(whole_minutes(f64::NAN), 0);
    }

    proptest! {
        #[test]
        fn warmer_or_drier_never_dries_slower(
            cold in 1.0_f64..45.0, warmer in 0.0_f64..20.0, damp in 0.0_f64..99.0, drier in 0.0_f64..60.0,
            minutes in 1_u32..20_000, pick in prop::sample::subsequence(vec!["acetone", "toluene", "water", "decane"], 1..4)
        ) {
            let solvents: Vec<_> = pick.into_iter().map(solvent).collect();
            let solvents: Vec<_> = solvents.iter().collect();
            let at = |celsius, humidity| whole_minutes(f64::from(minutes) * slowing(&solvents, climate(celsius, humidity)));
            let before = at(cold, damp);
            prop_assert!(at((cold + warmer).min(45.0), damp) <= before);
            prop_assert!(at(cold, (damp - drier).max(0.0)) <= before);
        }
    }
}
