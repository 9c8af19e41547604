//! Vapour, fire and storage: estimates from the solvents that steps give off, and the limits they put on a day.
//!
//! *In*: job, survey, takeoff. *Out*: [`Exposure`]. *Rules*: additive exposure limits with a mixing factor, a
//! fraction of the lower explosive limit, drying by evaporation driving force. Every figure is an estimate: local
//! rules and a competent person decide.

mod air;
mod cartridge;
mod check;
mod dilution;
mod drying;
mod evaporation;
mod outcome;
#[cfg(test)]
mod published;
mod release;
mod room;
mod saturation;
mod storage;
mod vapour;

pub use dilution::FIRE_RESERVE;
pub use dilution::MIXING;
pub use drying::by_temperature;
pub use outcome::Drying;
pub use outcome::Exposure;
pub use outcome::PlaceAir;
pub use outcome::Vapour;
pub use release::AirCourse;
pub use release::AirHour;
pub use release::AirPoint;
pub use release::Film;
pub use release::course;

use crate::catalog::Material;
use crate::catalog::Solvent;
use crate::diag::Ledger;
use crate::diag::Problems;
use crate::job::Job;
use crate::recipe::PlaceRole;
use crate::recipe::Step;
use crate::survey::Survey;
use crate::takeoff::Takeoff;

/// Works out what evaporates where, the air it takes, and how long each step dries.
pub fn expose(
    job: &Job,
    survey: &Survey,
    takeoff: &Takeoff,
    ledger: &mut Ledger,
    problems: &mut Problems,
) -> Exposure {
    let vapours = vapour::given_off(job, survey, takeoff);
    let exposure = Exposure {
        air: air::of_places(job, &vapours),
        drying: drying::of_recipes(job, ledger),
        vapours,
    };
    air::record(job, &exposure, ledger);
    check::warn(job, survey, &exposure, problems);
    storage::warn(job, survey, takeoff, problems);
    evaporation::warn(job, survey, takeoff, problems);
    exposure
}

/// The place where a step is done, an index of the job's places: the studio's steps stay on site where there is no
/// studio.
fn place_of(job: &Job, role: PlaceRole) -> usize {
    job.places
        .iter()
        .position(|place| place.role == role)
        .unwrap_or(0)
}

/// The recipe's id and step behind a panel and step index.
fn step_of<'a>(
    job: &'a Job,
    survey: &Survey,
    panel: usize,
    step: usize,
) -> Option<(&'a str, &'a Step)> {
    let row = job.panels.get(survey.panels.get(panel)?.row)?;
    let recipe = job.recipe_of(row)?;
    Some((&recipe.id, recipe.steps.get(step)?))
}

/// The row of the solvent table that describes a material's vapour.
fn solvent_of<'a>(job: &'a Job, material: &Material) -> Option<&'a Solvent> {
    job.catalog.solvents.get(material.solvent.as_ref()?)
}
