//! Flammable liquid against the most that a place may hold at once.

use std::collections::BTreeMap;

use crate::catalog::MaterialKind;
use crate::diag::Level;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::job::Job;
use crate::survey::Survey;
use crate::takeoff::Takeoff;
use crate::units::Volume;

use super::place_of;
use super::step_of;

/// Warns where the job's flammable liquid is more than its place may hold at once.
pub(super) fn warn(job: &Job, survey: &Survey, takeoff: &Takeoff, problems: &mut Problems) {
    for (index, volume) in flammable(job, survey, takeoff) {
        let Some(place) = job.places.get(index) else { continue };
        let Some(limit) = place.flammable_limit.filter(|limit| volume > *limit) else { continue };
        let text = format!(
            "the job takes about {:.1} l of flammable liquid at `{}`, where at most {:.1} l may stand at once: deliveries must be staged",
            volume.to_ml() / 1_000.0,
            place.name,
            limit.to_ml() / 1_000.0
        );
        let help = vec![
            "have it delivered in the stages of the purchase list and take empty and unused cans away".to_owned(),
            "keep it in a ventilated fire-rated cabinet, away from sparks, and ask the fire officer: local rules decide".to_owned(),
        ];
        problems.push(Problem { level: Level::Warning, place: None, text, help });
    }
}

/// The flammable liquid that each place takes over the whole job.
fn flammable(job: &Job, survey: &Survey, takeoff: &Takeoff) -> BTreeMap<usize, Volume> {
    let mixed = takeoff.solutions.iter().flat_map(|need| {
        need.parts.iter().filter_map(|part| Some((need.panel, need.step, &part.material, part.volume?)))
    });
    let used = takeoff
        .needs
        .iter()
        .filter_map(|need| Some((need.panel?, need.step?, &need.material, Volume::ml(need.amount))));
    let mut sums: BTreeMap<usize, Volume> = BTreeMap::new();
    for (panel, step, material, volume) in mixed.chain(used) {
        let Some(material) = job.catalog.materials.get(material) else { continue };
        let Some((_, step)) = step_of(job, survey, panel, step) else { continue };
        if material.kind == MaterialKind::Liquid && material.hazard.is_flammable() {
            *sums.entry(place_of(job, step.place)).or_default() += volume;
        }
    }
    sums
}
