//! Any other work.

use super::StepRule;
use super::Subject;

/// The rule of the kind.
pub(super) const RULE: StepRule = StepRule {
    name: "labour",
    about: "Any other work.",
    lays: false,
    brushes: false,
    multiplied: false,
    loads_facing: false,
    subject: Subject::Panel,
    cautions: &[],
};
