//! The order in which paintings of one drum are rolled, where the job says in which turn they are needed at the other end.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::recipe::steps::StepKind;

use super::Given;
use super::draft::Before;
use super::draft::Draft;

/// Lets each painting of a drum wait for the one that is rolled before it, where any of them has a turn at its destination.
///
/// Without turns the days decide, and the last off the wall is rolled last.
pub(super) fn keep(given: &Given<'_>, drafts: &mut [Draft<'_>]) {
    let rolls: BTreeMap<usize, usize> = drafts
        .iter()
        .enumerate()
        .filter(|(_, draft)| {
            draft
                .step
                .is_some_and(|(_, step)| step.kind == StepKind::Roll)
        })
        .filter_map(|(at, draft)| Some((draft.panel?, at)))
        .collect();
    for drum in &given.rolling.drums {
        let panels = || drum.panels.iter().map(|rolled| rolled.panel);
        if !panels().any(|panel| has_turn(given, panel)) {
            continue;
        }
        let order: Vec<usize> = panels()
            .filter_map(|panel| rolls.get(&panel).copied())
            .collect();
        for pair in order.windows(2) {
            let [first, then] = pair else { continue };
            // A step that does the work counted once a job comes before all others, whatever their turn.
            if !waits_for(drafts, *first, *then)
                && let Some(draft) = drafts.get_mut(*then)
            {
                draft.after.push(Before::directly(*first));
            }
        }
    }
}

fn has_turn(given: &Given<'_>, panel: usize) -> bool {
    let row = given.survey.panels.get(panel).map(|panel| panel.row);
    row.and_then(|row| given.job.panels.get(row))
        .is_some_and(|row| row.return_order.is_some())
}

/// Whether a draft waits for another, directly or through others.
fn waits_for(drafts: &[Draft<'_>], draft: usize, other: usize) -> bool {
    let mut seen = BTreeSet::from([draft]);
    let mut open = vec![draft];
    while let Some(at) = open.pop() {
        if at == other {
            return true;
        }
        for before in drafts.get(at).into_iter().flat_map(|draft| &draft.after) {
            if seen.insert(before.draft) {
                open.push(before.draft);
            }
        }
    }
    false
}
