//! Taking the painting up on its drum.

use super::StepRule;
use super::Subject;

/// The rule of the kind.
pub(super) const RULE: StepRule = StepRule {
    name: "roll",
    about: "Taking the painting up on its drum.",
    lays: false,
    brushes: false,
    multiplied: false,
    loads_facing: true,
    subject: Subject::Panel,
    cautions: &[
        "heavy and suspended loads: plan the lift, keep people clear, and let a competent person choose and check the gear",
        "work at height: scaffolds are put up, inspected and altered by competent people under local rules",
    ],
};
