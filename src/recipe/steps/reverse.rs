//! Taking old adhesive and plaster off the reverse.

use super::StepRule;
use super::Subject;

/// The rule of the kind.
pub(super) const RULE: StepRule = StepRule {
    name: "reverse",
    about: "Taking old adhesive and plaster off the reverse.",
    lays: false,
    brushes: true,
    multiplied: true,
    loads_facing: false,
    subject: Subject::Panel,
    cautions: &[
        "lead may be present in paint, paste and dust: test first; where found, local lead rules and a competent person decide protection, air tests and waste",
    ],
};
