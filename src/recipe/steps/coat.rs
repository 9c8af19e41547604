//! A coat of solution without a sheet.

use super::StepRule;
use super::Subject;

/// The rule of the kind.
pub(super) const RULE: StepRule = StepRule {
    name: "coat",
    about: "A coat of solution without a sheet.",
    lays: false,
    brushes: true,
    multiplied: false,
    loads_facing: false,
    subject: Subject::Panel,
    cautions: &[
        "solvent vapour: this is an estimate only; measure, ventilate, keep flames and sparks away, and follow local rules and a competent person",
        "work at height: scaffolds are put up, inspected and altered by competent people under local rules",
    ],
};
