//! How far off the figures may be, and what else may happen: the input of the odds.

use crate::catalog::choices;
use crate::units::Money;

choices! {
    /// What a spread is about.
    SpreadOf {
        /// Hours of releasing and of cleaning the reverse.
        Removal = "removal",
        /// All other hours.
        Labour = "labour",
        /// Quantities of materials.
        Materials = "materials",
        /// Prices of materials and freight.
        Prices = "prices",
        /// The job's own lines, except what others do for a lump sum.
        Own = "own-lines",
    }
}

/// What the odds are drawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct OddsTerms {
    /// How many times the job is drawn.
    pub draws: u32,
    /// Where the random numbers start: the same seed gives the same odds.
    pub seed: u64,
    /// Three-point estimates.
    pub spreads: Vec<Spread>,
    /// What may turn out to be so.
    pub conditions: Vec<Condition>,
}

impl Default for OddsTerms {
    fn default() -> Self {
        Self {
            draws: 10_000,
            seed: 1,
            spreads: Vec::new(),
            conditions: Vec::new(),
        }
    }
}

/// A three-point estimate as shares of what is planned.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// What it is called in the list of what drives the price.
    pub name: String,
    /// What it is about.
    pub of: SpreadOf,
    /// Least, most likely and most, as factors of what is planned.
    pub points: ThreePoints,
    /// How much of the spread all panels, materials or suppliers share, from 0 (each on its own) to 1 (all alike).
    pub shared: f64,
    /// Spreads with the same cause go up and down together.
    pub cause: String,
}

/// Least, most likely, most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThreePoints {
    /// The least.
    pub low: f64,
    /// The most likely.
    pub likely: f64,
    /// The most.
    pub high: f64,
}

/// Something that may turn out to be so, and what it does then.
#[derive(Clone, Debug, PartialEq)]
pub struct Condition {
    /// What it is called.
    pub name: String,
    /// How likely it is, from 0 to 1.
    pub chance: f64,
    /// What it costs.
    pub cost: Money,
    /// Factor on the hours of removal.
    pub removal: f64,
    /// Factor on all other hours.
    pub labour: f64,
    /// Factor on quantities of materials.
    pub materials: f64,
    /// Working days at the site that it takes away.
    pub days: Option<ThreePoints>,
}
