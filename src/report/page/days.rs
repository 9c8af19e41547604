//! Days: bars by half day, what fixes the end, who does what, what dries overnight, what the air takes up.

use std::collections::BTreeSet;

use crate::plan::Plan;
use crate::report::Sheet;
use crate::report::air;
use crate::report::critical;
use crate::report::days;

use super::Fold;
use super::Part;
use super::Section;
use super::how::Opening;
use super::how::Placer;
use super::parts::of_sheet;

/// The most half days drawn in bars.
const MOST_MARKS: usize = 20_000;

/// Derivations of work and drying in this section: those of a large job would leave none for the other figures of the page.
const MOST_TIMES: usize = 300;

/// The section.
pub(super) fn section(plan: &Plan, placer: &mut Placer<'_>) -> Section {
    let mut parts = vec![Part::Note(days::ending(plan))];
    if !plan.schedule.activities.is_empty() {
        parts.extend(bars(plan));
        parts.push(Part::Heading("What fixes the end".to_owned()));
        parts.push(Part::Note(critical::float(plan)));
        parts.push(Part::fold(
            "Activities that wait for one another up to the end",
            vec![Part::table("What fixes the end", critical::table(plan))],
        ));
        parts.push(Part::Heading("Day by day".to_owned()));
        parts.push(Part::fold(
            "Who does what on which day",
            vec![Part::table("Day by day", days::by_day(plan))],
        ));
        parts.push(Part::fold(
            "What is drying when the day ends",
            vec![Part::table(
                "Drying when the day ends",
                days::overnight(plan),
            )],
        ));
        parts.extend(work(plan, placer));
    }
    if !plan.exposure.air.is_empty() {
        parts.push(Part::Heading("Vapour and fire, estimated".to_owned()));
        let sheet = air::tables(Sheet::new("air", "Vapour and fire, estimated"), plan);
        let mut inner = of_sheet(sheet);
        if let Some(first @ Part::Note(_)) = inner.first().cloned() {
            inner.remove(0);
            parts.push(first);
        }
        parts.push(Part::fold("By day, and how much may be brushed on", inner));
    }
    Section {
        id: "days",
        short: "Days",
        title: "Days",
        parts,
    }
}

fn bars(plan: &Plan) -> Vec<Part> {
    let mut bars = days::bars(plan);
    let most = (MOST_MARKS / (2 * bars.days.len()).max(1)).max(10);
    let left = bars.rows.len().saturating_sub(most);
    bars.rows.truncate(most);
    let mut parts = vec![
        Part::Bars(bars),
        Part::fold(
            "What the letters mean",
            vec![Part::Note(days::bars_legend(plan))],
        ),
    ];
    if left > 0 {
        parts.push(Part::Note(format!(
            "{left} more panels and crates are left out of the bars; `labour-schedule.xlsx` has them all."
        )));
    }
    parts
}

/// How the minutes of each kind of work and its drying came about.
fn work(plan: &Plan, placer: &mut Placer<'_>) -> Option<Part> {
    let mut ids = BTreeSet::new();
    for activity in &plan.schedule.activities {
        let Some(step) = days::step_of(plan, activity) else {
            continue;
        };
        ids.insert(format!("drying/{}/{}", activity.recipe, step.id));
        if let Some(panel) = activity.panel {
            ids.insert(format!("work/{}/{}", plan.panel_id(panel), step.id));
        }
    }
    let hows: Vec<Part> = ids
        .iter()
        .filter_map(|id| match placer.open(id)? {
            Opening::Here(how) => Some(Part::How(how)),
            Opening::There(_) => None,
        })
        .take(MOST_TIMES)
        .collect();
    (!hows.is_empty()).then(|| {
        Part::Fold(Fold {
            title: "How the times of work and drying came about".to_owned(),
            parts: hows,
        })
    })
}
