//! Drafts to the timetable engine and back to activities.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::civil::DateTime;

use crate::diag::Problems;
use crate::solver::timetable::Calendar;
use crate::solver::timetable::DailyBudget;
use crate::solver::timetable::End;
use crate::solver::timetable::Explanation;
use crate::solver::timetable::Link;
use crate::solver::timetable::Person;
use crate::solver::timetable::Problem;
use crate::solver::timetable::Search;
use crate::solver::timetable::Task;
use crate::solver::timetable::Timetable;
use crate::solver::timetable::explain;
use crate::solver::timetable::solve as place_all;

use super::Activity;
use super::Follows;
use super::Given;
use super::Schedule;
use super::Worker;
use super::draft::Before;
use super::draft::Draft;
use super::pace;
use super::resources;
use super::standing;
use super::why;
use super::words;

/// Minutes in a day on the clock.
pub(super) const MINUTES_A_DAY: i64 = 24 * 60;

/// Schedules made at most, shared out over the tasks, so that a small job is searched well and a large one is planned at all.
const EFFORT: usize = 60_000;

/// The most schedules for a small job; beyond it hardly anything is gained.
const MOST_SCHEDULES: usize = 400;

/// Places every draft; None if no schedule is possible, which is said as errors.
pub(super) fn solve(
    given: &Given<'_>,
    drafts: &[Draft<'_>],
    calendars: Vec<Calendar>,
    heard: &mut dyn FnMut(u64, u64),
    problems: &mut Problems,
) -> Option<Schedule> {
    let workers = workers(given);
    if drafts.is_empty() {
        return Some(Schedule {
            workers,
            ..Schedule::default()
        });
    }
    let (problem, ids) = state(given, drafts, calendars, &workers);
    let effort = (EFFORT / drafts.len()).clamp(1, MOST_SCHEDULES);
    let search = Search {
        effort: u64::try_from(effort).unwrap_or(1),
        seed: 1,
    };
    let mut made = 0;
    let mut tell = || {
        made += 1;
        heard(made, search.effort);
        false
    };
    let timetable = match place_all(&problem, search, &mut tell) {
        Ok(timetable) => timetable,
        Err(infeasible) => {
            words::impossible(given, drafts, &ids, &infeasible, problems);
            return None;
        }
    };
    words::broken(given, drafts, &problem, &timetable, problems);
    let explained = explain(&problem, &timetable).unwrap_or_default();
    Some(read_back(
        given, drafts, workers, &problem, &timetable, &explained,
    ))
}

/// Single people, rows that count several expanded.
fn workers(given: &Given<'_>) -> Vec<Worker> {
    let rows = given.job.people.iter().enumerate();
    rows.flat_map(|(row, person)| {
        (1..=person.count).map(move |number| Worker {
            name: if person.count == 1 {
                person.name.clone()
            } else {
                format!("{} {number}", person.name)
            },
            row,
        })
    })
    .collect()
}

/// The ids that the engine's numbers stand for.
#[derive(Debug)]
pub(super) struct Ids {
    /// Skills by bit.
    pub(super) skills: Vec<String>,
}

fn state(
    given: &Given<'_>,
    drafts: &[Draft<'_>],
    calendars: Vec<Calendar>,
    workers: &[Worker],
) -> (Problem, Ids) {
    let skills: Vec<String> = drafts
        .iter()
        .filter_map(|draft| draft.step)
        .map(|(_, step)| step.skill.clone())
        .collect::<BTreeSet<_>>()
        .into_iter()
        .take(64)
        .collect();
    let mut problem = Problem {
        calendars,
        people: workers
            .iter()
            .map(|worker| person(given, worker, &skills))
            .collect(),
        resources: resources::all(given),
        travel_days: (given.job.places.len() > 1)
            .then(|| i64::from(super::chain::travel_days(given))),
        ..Problem::default()
    };
    let budgets = budgets(given, &mut problem);
    // Work after the wall is clear has no day to keep.
    let due = hand_over(given).map(|day| day.max(0));
    for draft in drafts {
        let task = task(given, draft, &problem, &skills, &budgets);
        let due = due.filter(|_| draft.clears_wall);
        problem.tasks.push(Task { due, ..task });
    }
    for (after, draft) in drafts.iter().enumerate() {
        // What is done is done, whatever came before it.
        let waits = draft.after.iter().filter(|_| draft.done.is_none());
        problem
            .links
            .extend(waits.map(|before| link(before, after)));
    }
    (problem, Ids { skills })
}

/// A link with its drying on the grid, so that what follows starts on it too.
fn link(before: &Before, after: usize) -> Link {
    let dry = i64::from(before.dry);
    let Some(within) = before.within.map(i64::from) else {
        return Link::new(before.draft, after).lag(pace::up(dry));
    };
    let lag = if pace::up(dry) <= within {
        pace::up(dry)
    } else {
        dry
    };
    Link::new(before.draft, after)
        .lag(lag)
        .within(within, End::Start)
}

/// The end of the hand-over day.
fn hand_over(given: &Given<'_>) -> Option<i64> {
    let day = given.job.hand_over?;
    Some((i64::from((day - given.job.first_day).get_days()) + 1) * MINUTES_A_DAY)
}

fn person(given: &Given<'_>, worker: &Worker, skills: &[String]) -> Person {
    let Some(row) = given.job.people.get(worker.row) else {
        return Person::default();
    };
    let bits = skills
        .iter()
        .enumerate()
        .filter(|(_, skill)| row.skills.contains(*skill))
        .map(|(bit, _)| 1_u64 << bit);
    let absences = row.away.iter().map(|day| {
        let midnight = i64::from((*day - given.job.first_day).get_days()) * MINUTES_A_DAY;
        (midnight, midnight + MINUTES_A_DAY)
    });
    let cents = row.cost.times(rust_decimal::Decimal::ONE_HUNDRED).amount();
    Person {
        skills: bits.fold(0, |all, bit| all | bit),
        absences: absences.collect(),
        rate: i64::try_from(cents.trunc()).unwrap_or(0),
    }
}

/// One budget of air a place that says how much fresh air it has, in m³ a day; the budget's number by place.
fn budgets(given: &Given<'_>, problem: &mut Problem) -> BTreeMap<usize, usize> {
    let mut by_place = BTreeMap::new();
    for air in &given.exposure.air {
        if let Some(day) = air.day_m3 {
            by_place.insert(air.place, problem.budgets.len());
            problem.budgets.push(DailyBudget { limit: whole(day) });
        }
    }
    by_place
}

fn task(
    given: &Given<'_>,
    draft: &Draft<'_>,
    problem: &Problem,
    skills: &[String],
    budgets: &BTreeMap<usize, usize>,
) -> Task {
    let moment = Task {
        calendar: draft.calendar(),
        site: draft.place,
        fixed_start: draft.done,
        ..Task::default()
    };
    let Some((_, step)) = draft.step.filter(|_| draft.done.is_none()) else {
        return moment;
    };
    let skill = skills
        .iter()
        .position(|skill| *skill == step.skill)
        .and_then(|bit| u8::try_from(bit).ok());
    let spends = budgets
        .get(&draft.place)
        .filter(|_| draft.air_m3 > 0.0)
        .map(|&budget| {
            // One step alone above a day's air is warned of by the exposure stage; here it takes the whole day.
            let limit = problem.budgets.get(budget).map_or(0, |budget| budget.limit);
            (budget, whole(draft.air_m3).min(limit))
        });
    let (equipment, holds) = resources::taken(given, draft, step);
    let size = |people: u32| usize::try_from(people).unwrap_or(1).max(1);
    Task {
        skill: skill.filter(|_| draft.work > 0),
        // What takes no time is still done in working hours.
        work: i64::from(draft.work).max(pace::GRID),
        durations: (draft.work > 0).then(|| pace::minutes(draft, step)),
        fewest: size(step.crew.0),
        most: size(step.crew.1),
        same_day: step.same_day,
        pausable: step.pausable,
        earliest: draft.earliest,
        latest_finish: draft.latest,
        fixed_start: draft.fixed,
        equipment,
        holds,
        spends: spends.into_iter().collect(),
        tag: draft
            .panel
            .or(draft.packing.map(|packing| packing + 1_000_000))
            .unwrap_or(0),
        ..moment
    }
}

/// Rounds up to a whole number.
#[allow(
    clippy::cast_possible_truncation,
    reason = "clamped to a range of i64 just before"
)]
pub(super) fn whole(amount: f64) -> i64 {
    if amount.is_finite() {
        amount.ceil().clamp(0.0, 1.0e15) as i64
    } else {
        0
    }
}

/// A minute from the origin as local time.
pub(super) fn local(given: &Given<'_>, minute: i64) -> DateTime {
    let midnight = given
        .job
        .first_day
        .to_datetime(jiff::civil::Time::midnight());
    midnight.saturating_add(jiff::Span::new().minutes(minute))
}

fn read_back(
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
            activity.stands_on = stands_on(drafts, at)
                .and_then(|first| place_in_order.get(first).copied().flatten());
            Some(activity)
        })
        .collect();
    finished(given, drafts, workers, timetable, activities)
}

fn activity(
    given: &Given<'_>,
    draft: &Draft<'_>,
    placed: &crate::solver::timetable::Placed,
) -> Option<Activity> {
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

/// The draft that brought in the tower on which another stands, found back along its panel.
fn stands_on(drafts: &[Draft<'_>], at: usize) -> Option<usize> {
    drafts.get(at).filter(|draft| draft.stands)?;
    let mut at = at;
    while let Some(draft) = drafts.get(at).filter(|draft| draft.stands) {
        let earlier = draft.after.iter().map(|before| before.draft);
        let mut same = earlier.filter(|&earlier| {
            drafts.get(earlier).is_some_and(|known| {
                known.panel == draft.panel && (known.stands || known.stands_until.is_some())
            })
        });
        at = same.next()?;
    }
    drafts.get(at)?.stands_until.map(|_| at)
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
        air: Vec::new(),
        done: Vec::new(),
        batches: Vec::new(),
        rolling_days: 0,
        needs: Vec::new(),
    }
}
