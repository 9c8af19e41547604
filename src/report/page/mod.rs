//! The page that everybody opens first, as data: the answer, then panels, drums, days, orders, price, odds, cautions, and how each
//! figure came about; one file a section.

mod answer;
mod care;
mod charts;
mod days;
mod drums;
mod how;
mod localised;
mod orders;
mod panels;
mod parts;
mod price;
mod taken;

use std::collections::BTreeSet;

use crate::plan::Plan;
use crate::units::Locale;

use super::Paper;

pub use how::How;
pub use how::Opening;
pub use parts::Drawing;
pub use parts::Fact;
pub use parts::Fold;
pub use parts::Listing;
pub use parts::Part;
pub use parts::Share;
pub use parts::Switch;

use how::Placer;

/// One page for a browser or a printer.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// What the job is called.
    pub title: String,
    /// The paper it is printed on.
    pub paper: Paper,
    /// How its numbers and days are written.
    pub locale: Locale,
    /// What stands under the title: what this is and from what it was made.
    pub lines: Vec<String>,
    /// The sections, the answer first.
    pub sections: Vec<Section>,
    /// The derivations that stand on the page, by their numbers.
    pub anchors: BTreeSet<usize>,
}

/// A section with its heading.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// The name that addresses point at: letters only.
    pub id: &'static str,
    /// What it is called in the list of contents.
    pub short: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// What stands in it, from top to bottom.
    pub parts: Vec<Part>,
}

/// Lays out the page of a plan.
pub fn page(plan: &Plan) -> Page {
    let mut placer = Placer::new(plan);
    let mut sections = vec![
        answer::section(plan, &mut placer),
        orders::section(plan, &mut placer),
        days::section(plan, &mut placer),
        panels::section(plan, &mut placer),
        drums::section(plan, &mut placer),
        price::section(plan, &mut placer),
    ];
    sections.extend(price::chances(plan));
    sections.extend([care::section(plan), taken::section(plan)]);
    sections.extend(how::section(plan, &mut placer));
    Page {
        title: plan.job.title.clone(),
        paper: plan.job.paper,
        locale: plan.job.locale,
        lines: vec![
            concat!(
                "Planned with facelay ",
                env!("CARGO_PKG_VERSION"),
                ". A figure with a triangle opens and says how it came about."
            )
            .to_owned(),
        ],
        sections,
        anchors: placer.placed(),
    }
    .localised()
}
