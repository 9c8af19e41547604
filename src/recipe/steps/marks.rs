//! Registration marks on wall and canvas, so that the painting returns to the same place.

use super::StepRule;
use super::Subject;

/// The rule of the kind.
pub(super) const RULE: StepRule = StepRule {
    name: "marks",
    about: "Registration marks on wall and canvas, so that the painting returns to the same place.",
    lays: false,
    brushes: false,
    multiplied: false,
    loads_facing: false,
    subject: Subject::Panel,
    cautions: &[
        "work at height: scaffolds are put up, inspected and altered by competent people under local rules",
    ],
};
