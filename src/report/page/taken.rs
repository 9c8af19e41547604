//! What was taken for granted, and from which files all this was made.

use crate::plan::Plan;
use crate::report::about;
use crate::report::bid;
use crate::report::labour_schedule;

use super::Part;
use super::Section;
use super::parts::of_sheet;

/// The section.
pub(super) fn section(plan: &Plan) -> Section {
    let mut parts = vec![Part::Heading("What the price assumes".to_owned())];
    parts.extend(of_sheet(bid::assumptions(plan)));
    parts.push(Part::Heading("What the days assume".to_owned()));
    parts.push(Part::table(
        "What the days assume, and where to change it",
        labour_schedule::assumptions(plan),
    ));
    parts.push(Part::Heading("From which files".to_owned()));
    parts.push(Part::table("The job and its files", about::facts(plan)));
    Section {
        id: "taken",
        short: "Assumptions",
        title: "What was assumed",
        parts,
    }
}
