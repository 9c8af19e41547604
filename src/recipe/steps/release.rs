//! Detaching the canvas from the wall, strip by strip.

use super::StepRule;
use super::Subject;

/// The rule of the kind.
pub(super) const RULE: StepRule = StepRule {
    name: "release",
    about: "Detaching the canvas from the wall, strip by strip.",
    lays: false,
    brushes: false,
    multiplied: true,
    loads_facing: true,
    subject: Subject::Panel,
    cautions: &[
        "lead may be present in paint, paste and dust: test first; where found, local lead rules and a competent person decide protection, air tests and waste",
        "work at height: scaffolds are put up, inspected and altered by competent people under local rules",
    ],
};
