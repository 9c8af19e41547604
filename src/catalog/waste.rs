//! What leaves a job as contaminated waste.

use super::condition::choices;

choices! {
    /// What makes a used material contaminated waste.
    WasteWhen {
        /// Lead on any panel of the job.
        Lead = "lead",
        /// The solvent or resin that it was used with.
        Solvent = "solvent",
    }
}

/// A material that is thrown away as contaminated waste.
#[derive(Clone, Debug, PartialEq)]
pub struct WasteClass {
    /// Grams that a used one weighs, for one of the material's unit.
    pub grams: f64,
    /// What makes it contaminated.
    pub when: WasteWhen,
    /// Where the value comes from.
    pub source: String,
}
