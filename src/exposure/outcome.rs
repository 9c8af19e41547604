//! What exposure hands on.

use crate::units::Mass;
use crate::units::Volume;

/// Vapour given off, air needed and drying times.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Exposure {
    /// Vapour of each step on each panel that gives any off.
    pub vapours: Vec<Vapour>,
    /// The air of each place, in the order of the job's places.
    pub air: Vec<PlaceAir>,
    /// Drying and curing of each step of each recipe.
    pub drying: Vec<Drying>,
}

/// Vapour of one step on one panel.
#[derive(Clone, Debug, PartialEq)]
pub struct Vapour {
    /// The panel, an index of the survey.
    pub panel: usize,
    /// The step, an index of the panel's recipe.
    pub step: usize,
    /// The place, an index of the job's places.
    pub place: usize,
    /// Solvent given off, by row of the solvent table.
    pub solvents: Vec<(String, Mass)>,
    /// For each of them, the hours in which nine tenths of an open film have evaporated.
    pub film_hours: Vec<f64>,
    /// Air in m³ that takes all of it up at the exposure limits, additive, mixing factor included.
    pub health_air_m3: f64,
    /// Air in m³ that takes all of it up at the fraction of the lower explosive limit.
    pub fire_air_m3: f64,
}

/// The air of a place.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceAir {
    /// The place, an index of the job's places.
    pub place: usize,
    /// Fresh air there is in an hour, in m³; none if the job does not say.
    pub fresh_m3_h: Option<f64>,
    /// Air that may be used up in one working day, in m³; none if the job does not say.
    pub day_m3: Option<f64>,
    /// The least exposure limit among the solvents used there, in ppm.
    pub least_limit_ppm: Option<f64>,
    /// Whether general ventilation is normally not enough (a limit under about 100 ppm).
    pub needs_extraction: bool,
    /// The most flammable liquid that may be there at once.
    pub flammable_limit: Option<Volume>,
}

/// Drying of one step of one recipe at its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Drying {
    /// The recipe's id.
    pub recipe: String,
    /// The step, an index of the recipe.
    pub step: usize,
    /// Minutes before the next step.
    pub dry_minutes: u32,
    /// Minutes before the facing may be loaded or rolled.
    pub cures_minutes: u32,
    /// The factor by which the hours at 20 °C and 50 % were scaled.
    pub factor: f64,
}
