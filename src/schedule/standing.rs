//! Towers: which steps one standing serves, when it has to be moved, and which panels one bay reaches.

use std::collections::BTreeMap;

use crate::recipe::Order;

use super::Given;
use super::draft::Before;
use super::draft::Draft;

/// Notes for every draft whether its tower is moved in, and which later draft still stands on it.
///
/// A step that follows another on the same panel without drying between stays on the tower; the tower is kept for it. So do the same steps
/// on the next panel of a bay: the tower stands until the last panel of the bay has had them, and is moved in once. Before every other
/// step it is moved, which takes the equipment's moving time at the start of the step.
pub(super) fn set_up<'a>(given: &Given<'a>, drafts: &mut [Draft<'a>]) {
    let runs = runs(given, drafts);
    for run in together(given, drafts, runs) {
        let Some((first, rest)) = run.split_first() else {
            continue;
        };
        let minutes = drafts
            .get(*first)
            .and_then(|draft| tower(given, draft))
            .and_then(|(tower, _)| given.job.equipment.get(tower))
            .map_or(0, |row| row.moving_minutes);
        if let Some(draft) = drafts.get_mut(*first) {
            draft.moving = minutes;
            draft.stands_until = rest.last().copied();
        }
        for &later in rest {
            if let Some(draft) = drafts.get_mut(later) {
                draft.stands_on = Some(*first);
            }
        }
    }
}

/// Drafts that stand on one tower, one after the other.
type Run = Vec<usize>;

/// The steps of each panel that follow one another without drying between, by their first.
fn runs(given: &Given<'_>, drafts: &[Draft<'_>]) -> Vec<Run> {
    let mut run_of: Vec<Option<usize>> = vec![None; drafts.len()];
    let mut runs: Vec<Run> = Vec::new();
    for (at, draft) in drafts.iter().enumerate() {
        let Some(tower) = tower(given, draft) else {
            continue;
        };
        let goes_on = |before: &&Before| {
            before.dry == 0
                && drafts.get(before.draft).is_some_and(|earlier| {
                    earlier.panel.is_some()
                        && earlier.panel == draft.panel
                        && earlier.place == draft.place
                        && self::tower(given, earlier) == Some(tower)
                })
        };
        // What waits for other panels would keep the tower from them.
        let own = draft
            .after
            .iter()
            .filter(|_| !waits_for_all(drafts, draft, at));
        let mut earlier = own.filter(goes_on);
        let run = earlier.next().and_then(|before| {
            // Of two steps that may follow one, only the first stays; the tower is kept for one after the other.
            let run = run_of.get(before.draft).copied().flatten()?;
            let last = runs.get(run).and_then(|run| run.last());
            (last == Some(&before.draft)).then_some(run)
        });
        let run = run.unwrap_or_else(|| {
            runs.push(Vec::new());
            runs.len() - 1
        });
        if let Some(run) = runs.get_mut(run) {
            run.push(at);
        }
        if let Some(known) = run_of.get_mut(at) {
            *known = Some(run);
        }
    }
    runs
}

/// Whether a draft is the first part of a step that waits for the step above on all panels.
fn waits_for_all(drafts: &[Draft<'_>], draft: &Draft<'_>, at: usize) -> bool {
    let orders = draft
        .step
        .is_some_and(|(step, known)| step > 0 && known.order == Order::All);
    let goes_on = draft.after.iter().any(|before| {
        before.draft < at
            && drafts.get(before.draft).is_some_and(|earlier| {
                earlier.panel == draft.panel
                    && earlier.step.map(|(step, _)| step) == draft.step.map(|(step, _)| step)
            })
    });
    orders && !goes_on
}

/// What tells apart the runs that one standing may serve: bay, place, recipe, first and last step.
type Key<'a> = (usize, usize, &'a str, Option<usize>, Option<usize>);

/// Joins the runs of the panels of a bay that do the same steps, panel after panel; each then follows the one before it. A run with a day
/// of its own stays by itself.
fn together<'a>(given: &Given<'a>, drafts: &mut [Draft<'a>], runs: Vec<Run>) -> Vec<Run> {
    let mut joined: Vec<Run> = Vec::new();
    let mut last_of: BTreeMap<Key<'a>, usize> = BTreeMap::new();
    for run in runs {
        let ends = run.first().copied().zip(run.last().copied());
        let key = ends.and_then(|ends| key(given, drafts, &run, ends));
        let known = key.and_then(|key| last_of.get(&key).copied());
        let Some(standing) = known.and_then(|at| joined.get_mut(at)) else {
            last_of.extend(key.map(|key| (key, joined.len())));
            joined.push(run);
            continue;
        };
        if let Some((&before, &first)) = standing.last().zip(run.first())
            && let Some(draft) = drafts.get_mut(first)
        {
            draft.after.push(Before::directly(before));
        }
        standing.extend(run);
    }
    joined
}

fn key<'a>(
    given: &Given<'a>,
    drafts: &[Draft<'a>],
    run: &[usize],
    (first, last): (usize, usize),
) -> Option<Key<'a>> {
    let is_free = |at: &usize| {
        drafts.get(*at).is_some_and(|draft| {
            draft.fixed.is_none() && draft.latest.is_none() && draft.held_from == 0 && !draft.begun
        })
    };
    if !run.iter().all(is_free) {
        return None;
    }
    let (first, last) = (drafts.get(first)?, drafts.get(last)?);
    let bay = bay(given, first)?;
    let step = |draft: &Draft<'_>| draft.step.map(|(step, _)| step);
    Some((bay, first.place, first.recipe, step(first), step(last)))
}

/// The equipment of a draft that takes time to move, with how many.
pub(super) fn tower(given: &Given<'_>, draft: &Draft<'_>) -> Option<(usize, u32)> {
    let (_, step) = draft.step.filter(|_| draft.done.is_none())?;
    step.equipment.iter().find_map(|(name, count)| {
        let at = given
            .job
            .equipment
            .iter()
            .position(|row| row.name == *name)?;
        let row = given.job.equipment.get(at)?;
        (row.moving_minutes > 0).then_some((at, *count))
    })
}

/// The bay that a draft stands in: that of its panel, where the step holds the bay's tower.
pub(super) fn bay(given: &Given<'_>, draft: &Draft<'_>) -> Option<usize> {
    let (_, step) = draft.step.filter(|_| draft.done.is_none())?;
    let row = given.survey.panels.get(draft.panel?)?.row;
    let at = given
        .job
        .planning
        .bay_of(&given.job.panels.get(row)?.panel)?;
    let bay = given.job.planning.bays.get(at)?;
    step.equipment
        .iter()
        .any(|(name, _)| *name == bay.tower)
        .then_some(at)
}
