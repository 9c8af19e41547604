//! Cautions and warnings, all of them.

use crate::plan::Plan;
use crate::report::about;

use super::Section;
use super::parts::of_sheet;

/// The section.
pub(super) fn section(plan: &Plan) -> Section {
    Section {
        id: "care",
        short: "Cautions",
        title: "What could go wrong",
        parts: of_sheet(about::cautions(plan)),
    }
}
