//! Concentrations on a stated basis.

use crate::catalog::choices;

choices! {
    /// What a concentration is counted on.
    Basis {
        /// Grams of resin in 100 g of solution.
        MassInMass = "w/w",
        /// Grams of resin made up to 100 ml of solution.
        MassInSolution = "w/v",
        /// Grams of resin added to 100 ml of solvent.
        MassToSolvent = "g/100 ml solvent",
        /// Millilitres of resin in 100 ml of both together.
        VolumeInVolume = "v/v",
    }
}

/// How much resin a solution holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Concentration {
    /// The number written before the basis.
    pub value: f64,
    /// What it is counted on.
    pub basis: Basis,
}
