//! The engine's answer as activities with dates, people and reasons.

use crate::solver::timetable::Explanation;
use crate::solver::timetable::Placed;
use crate::solver::timetable::Problem;
use crate::solver::timetable::Timetable;

use super::Activity;
use super::Follows;
use super::Given;
use super::Schedule;
use super::Worker;
use super::draft::Before;
use super::draft::Draft;
use super::engine::hand_over;
use super::engine::local;
use super::standing;
use super::why;

/// Activities in order of their starts, with what explains them.
pub(super) fn read_back(
    given: &Given<'_>,
    drafts: &[Draft<'_>],
    workers: Vec<Worker>,
    problem: &Problem,
    timetable: &Timetable,
    explained: &[Explanation],
) -> Schedule {
    let mut order: Vec<usize> = (0..drafts.len())
        .filter(|&at| {
            drafts
                .get(at)
                .is_some_and(|draft| draft.step.is_some() && draft.done.is_none())
        })
        .collect();
    order.sort_by_key(|&at| {
        (
            timetable
                .tasks
                .get(at)
                .map(|placed| (placed.start, placed.finish)),
            at,
        )
    });
    let mut place_in_order = vec![None; drafts.len()];
    for (place, &at) in order.iter().enumerate() {
        if let Some(known) = place_in_order.get_mut(at) {
            *known = Some(place);
        }
    }
    let activities: Vec<Activity> = order
        .iter()
        .filter_map(|&at| {
            let mut activity = activity(given, drafts.get(at)?, timetable.tasks.get(at)?)?;
            activity.after = follows(drafts, timetable, &place_in_order, at);
            activity.float_minutes = explained
                .get(at)
                .map_or(0, |why| {
                    why.latest_finish - timetable.tasks.get(at).map_or(0, |t| t.finish)
                })
                .max(0);
            if let Some(cause) = explained.get(at) {
                activity.critical = cause.critical;
                activity.waits_for =
                    why::why(given, drafts, (problem, timetable), &workers, cause, at);
                activity.waited_for = why::waited_for(problem, cause)
                    .and_then(|task| place_in_order.get(task).copied().flatten());
            }
            activity.bay = drafts.get(at).and_then(|draft| standing::bay(given, draft));
            activity.stands_on = drafts
                .get(at)
                .and_then(|draft| place_in_order.get(draft.stands_on?).copied().flatten());
            Some(activity)
        })
        .collect();
    finished(given, drafts, workers, timetable, activities)
}

fn activity(given: &Given<'_>, draft: &Draft<'_>, placed: &Placed) -> Option<Activity> {
    let (step, _) = draft.step?;
    Some(Activity {
        id: draft.id.clone(),
        panel: draft.panel,
        packing: draft.packing,
        recipe: draft.recipe.to_owned(),
        step,
        place: draft.place,
        sheets: draft.sheets.clone(),
        start: local(given, placed.start),
        finish: local(given, placed.finish),
        work_minutes: draft.work,
        moving_minutes: draft.moving,
        air_minutes: draft.air_minutes,
        bay: None,
        stands_on: None,
        people: placed.people.clone(),
        stretches: placed
            .segments
            .iter()
            .map(|&(from, to)| (local(given, from), local(given, to)))
            .collect(),
        after: Vec::new(),
        clears_wall: draft.clears_wall,
        float_minutes: 0,
        critical: false,
        waits_for: String::new(),
        waited_for: None,
    })
}

/// The links of a draft; a barrier stands for the draft that it waited for longest.
fn follows(
    drafts: &[Draft<'_>],
    timetable: &Timetable,
    places: &[Option<usize>],
    at: usize,
) -> Vec<Follows> {
    let Some(draft) = drafts.get(at) else {
        return Vec::new();
    };
    let mut found: Vec<Follows> = Vec::new();
    for before in &draft.after {
        let longest = |draft: &Draft<'_>| {
            let end = |before: &&Before| {
                timetable
                    .tasks
                    .get(before.draft)
                    .map_or(0, |placed| placed.finish + i64::from(before.dry))
            };
            draft.after.iter().max_by_key(end).copied()
        };
        let link = match drafts.get(before.draft) {
            Some(barrier) if barrier.step.is_none() => longest(barrier),
            Some(_) | None => Some(*before),
        };
        let follows = link.and_then(|link| {
            let activity = places.get(link.draft).copied().flatten()?;
            Some(Follows {
                activity,
                dry_minutes: link.dry,
                within_minutes: link.within,
            })
        });
        found.extend(follows);
    }
    found
}

fn finished(
    given: &Given<'_>,
    drafts: &[Draft<'_>],
    workers: Vec<Worker>,
    timetable: &Timetable,
    activities: Vec<Activity>,
) -> Schedule {
    let clear = drafts
        .iter()
        .zip(&timetable.tasks)
        .filter(|(draft, _)| draft.clears_wall)
        .map(|(_, placed)| placed.finish)
        .max();
    let late = hand_over(given)
        .zip(clear)
        .map_or(0, |(due, clear)| (clear - due).max(0));
    let to_do = drafts.iter().zip(&timetable.tasks);
    let first = to_do
        .filter(|(draft, _)| draft.done.is_none())
        .map(|(_, placed)| placed.start)
        .min()
        .unwrap_or(0);
    let span = |end: i64| f64::from(i32::try_from(end - first).unwrap_or(i32::MAX));
    let bound = timetable.lower_bound_finish.min(timetable.finish);
    let gap = if span(bound) > 0.0 {
        (span(timetable.finish) / span(bound) - 1.0) * 100.0
    } else {
        0.0
    };
    Schedule {
        planned: Vec::new(),
        workers,
        activities,
        finish: Some(local(given, timetable.finish)),
        wall_clear: clear.map(|minute| local(given, minute)),
        lower_bound_finish: Some(local(given, bound)),
        gap_percent: (gap * 10.0).round() / 10.0,
        late_minutes: late,
        schedules: timetable.schedules,
        by_clock: false,
        air: Vec::new(),
        done: Vec::new(),
        batches: Vec::new(),
        rolling_days: 0,
        needs: Vec::new(),
    }
}
