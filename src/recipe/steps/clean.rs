//! Surface cleaning before anything is stuck to the paint.

use super::StepRule;
use super::Subject;

/// The rule of the kind.
pub(super) const RULE: StepRule = StepRule {
    name: "clean",
    about: "Surface cleaning before anything is stuck to the paint.",
    lays: false,
    brushes: true,
    multiplied: false,
    loads_facing: false,
    subject: Subject::Panel,
    cautions: &[
        "work at height: scaffolds are put up, inspected and altered by competent people under local rules",
    ],
};
