//! Packing a drum in its crate.

use super::StepRule;
use super::Subject;

/// The rule of the kind.
pub(super) const RULE: StepRule = StepRule {
    name: "crate",
    about: "Packing a drum in its crate.",
    lays: false,
    brushes: false,
    multiplied: false,
    loads_facing: false,
    subject: Subject::Crate,
    cautions: &[
        "heavy and suspended loads: plan the lift, keep people clear, and let a competent person choose and check the gear",
    ],
};
