//! Taking the facing off with solvent or water.

use super::StepRule;
use super::Subject;

/// The rule of the kind.
pub(super) const RULE: StepRule = StepRule {
    name: "remove-facing",
    about: "Taking the facing off with solvent or water.",
    lays: false,
    brushes: true,
    multiplied: false,
    loads_facing: false,
    subject: Subject::Panel,
    cautions: &[
        "solvent vapour: this is an estimate only; measure, ventilate, keep flames and sparks away, and follow local rules and a competent person",
    ],
};
