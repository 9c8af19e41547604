//! Cautions and warnings, all of them.

use crate::plan::Plan;
use crate::report::about;

use super::Part;
use super::Section;
use super::parts::of_sheet;

/// The section.
pub(super) fn section(plan: &Plan) -> Section {
    let mut parts = vec![Part::Note(
        "Every figure of vapour, load and strain is an estimate. Nothing here says that anything is safe: local rules and competent people decide."
            .to_owned(),
    )];
    parts.extend(of_sheet(about::cautions(plan)));
    Section {
        id: "care",
        title: "What could go wrong",
        parts,
    }
}
