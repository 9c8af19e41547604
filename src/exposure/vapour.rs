//! What each step on each panel gives off.

use std::collections::BTreeMap;

use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::catalog::Solvent;
use crate::job::Job;
use crate::survey::Survey;
use crate::takeoff::Takeoff;
use crate::units::Mass;

use super::dilution::FIRE_RESERVE;
use super::dilution::MIXING;
use super::dilution::fire_air_m3;
use super::dilution::health_air_m3;
use super::evaporation::film_hours;
use super::outcome::Vapour;
use super::place_of;
use super::saturation::Climate;
use super::solvent_of;
use super::step_of;

/// Solvent masses by panel and step, then by row of the solvent table.
type Masses = BTreeMap<(usize, usize), BTreeMap<String, Mass>>;

/// Gathers the solvents of solutions and of liquids used by a step; all of it evaporates, during application and drying.
///
/// Solvent left in the film, in rags closed in a bin or drawn off by extraction is not taken off: the figure is on
/// the high side.
pub(super) fn given_off(job: &Job, survey: &Survey, takeoff: &Takeoff) -> Vec<Vapour> {
    let mut masses = Masses::new();
    for need in &takeoff.solutions {
        for part in &need.parts {
            add(
                job,
                &mut masses,
                (need.panel, need.step),
                &part.material,
                |_| part.mass,
            );
        }
    }
    for need in &takeoff.needs {
        if let (Some(panel), Some(step)) = (need.panel, need.step) {
            add(
                job,
                &mut masses,
                (panel, step),
                &need.material,
                |material| Mass::g(need.amount * material.density.unwrap_or(1.0)),
            );
        }
    }
    masses
        .into_iter()
        .filter_map(|(at, solvents)| vapour(job, survey, at, solvents))
        .collect()
}

fn add(
    job: &Job,
    masses: &mut Masses,
    at: (usize, usize),
    material: &str,
    mass: impl Fn(&Material) -> Mass,
) {
    let Some(material) = job.catalog.materials.get(material) else {
        return;
    };
    let Some(solvent) = solvent_of(job, material) else {
        return;
    };
    if material.kind == MaterialKind::Liquid && gives_vapour(solvent) {
        *masses
            .entry(at)
            .or_default()
            .entry(solvent.id.clone())
            .or_default() += mass(material);
    }
}

/// Says whether a solvent's vapour can harm: it has an exposure limit or burns. Water has and does neither.
const fn gives_vapour(solvent: &Solvent) -> bool {
    solvent.limit_ppm.is_some() || solvent.lower_explosive_percent.is_some()
}

/// Hours in which a liquid that is wiped on without a known spread has gone (our assumption).
const WIPED: f64 = 0.25;

fn vapour(
    job: &Job,
    survey: &Survey,
    at: (usize, usize),
    masses: BTreeMap<String, Mass>,
) -> Option<Vapour> {
    let (panel, step) = at;
    let (_, rule) = step_of(job, survey, panel, step)?;
    let sum = |air: fn(Mass, &Solvent, f64) -> f64, factor: f64| {
        masses
            .iter()
            .filter_map(|(id, mass)| Some(air(*mass, job.catalog.solvents.get(id)?, factor)))
            .sum()
    };
    let place = job.places.get(place_of(job, rule.place));
    let total: f64 = masses.values().map(|mass| mass.to_g()).sum();
    let film_hours = masses.iter().map(|(id, mass)| {
        let solvent = job.catalog.solvents.get(id)?;
        let load = rule.spread? * mass.to_g() / total.max(f64::MIN_POSITIVE);
        Some(film_hours(solvent, load, Climate::of(place?)))
    });
    Some(Vapour {
        film_hours: film_hours.map(|hours| hours.unwrap_or(WIPED)).collect(),
        panel,
        step,
        place: place_of(job, rule.place),
        health_air_m3: sum(health_air_m3, MIXING),
        fire_air_m3: sum(fire_air_m3, FIRE_RESERVE),
        solvents: masses.into_iter().collect(),
    })
}
