//! How a treatment is made: an ordered list of steps, read from data.

mod concentration;
mod read;
mod step;
pub mod steps;

pub use concentration::Basis;
pub use concentration::Concentration;
pub use read::built_in;
pub use read::read;
pub use step::Direction;
pub use step::Laying;
pub use step::Order;
pub use step::PlaceRole;
pub use step::Step;
pub use step::When;
pub use step::Work;

use std::collections::BTreeMap;

use crate::units::Volume;

/// A treatment: its solutions and its steps in order.
#[derive(Clone, Debug, PartialEq)]
pub struct Recipe {
    /// The id that panel rows use.
    pub id: String,
    /// The treatment's name.
    pub name: String,
    /// When to choose it, in a sentence.
    pub about: String,
    /// What is mixed for it.
    pub solutions: Vec<Solution>,
    /// Materials that may be bought instead of one, by its id.
    pub substitutes: BTreeMap<String, Vec<String>>,
    /// What is done, in order.
    pub steps: Vec<Step>,
}

impl Recipe {
    /// Finds a solution by its id.
    pub fn solution(&self, id: &str) -> Option<&Solution> {
        self.solutions.iter().find(|solution| solution.id == id)
    }
}

/// A resin in a solvent, as it is mixed.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// The id that steps use.
    pub id: String,
    /// What it is called on the mixing card.
    pub name: String,
    /// The material that is dissolved; none for a plain solvent.
    pub resin: Option<String>,
    /// How much of it, on which basis.
    pub concentration: Option<Concentration>,
    /// The solvents with their parts by volume.
    pub solvents: Vec<(String, f64)>,
    /// Minutes it may be used once mixed; none if it keeps.
    pub pot_life_minutes: Option<u32>,
    /// The largest batch that is mixed at once.
    pub largest_batch: Option<Volume>,
}
