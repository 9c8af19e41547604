//! Drafts to the timetable engine and back to activities.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::civil::DateTime;

use crate::diag::Problems;
use crate::job::Effort;
use crate::solver::timetable::Calendar;
use crate::solver::timetable::DailyBudget;
use crate::solver::timetable::End;
use crate::solver::timetable::Link;
use crate::solver::timetable::Person;
use crate::solver::timetable::Problem;
use crate::solver::timetable::Search;
use crate::solver::timetable::Task;
use crate::solver::timetable::explain;
use crate::solver::timetable::solve as place_all;

use super::Given;
use super::Schedule;
use super::Watch;
use super::Worker;
use super::conflict::Case;
use super::draft::Before;
use super::draft::Draft;
use super::pace;
use super::read_back::read_back;
use super::resources;
use super::words;

/// Minutes in a day on the clock.
pub(super) const MINUTES_A_DAY: i64 = 24 * 60;

/// Schedules made at most, shared out over the tasks, so that a small job is searched well and a large one is planned at all.
const EFFORT: usize = 60_000;

/// The same for jobs of under two thousand tasks: each schedule of them takes less time, too, and so they are searched better.
const EFFORT_BY_SQUARE: usize = 120_000_000;

/// The most schedules for a small job, so that a change on the page is answered within a second.
const MOST_SCHEDULES: usize = 1000;

/// A schedule, and what keeps it from meeting the hand-over, in lines of help.
#[derive(Debug, Default)]
pub(super) struct Solved {
    pub(super) schedule: Schedule,
    pub(super) in_the_way: Vec<String>,
}

/// Places every draft; None if no schedule is possible, which is said as errors.
pub(super) fn solve(
    given: &Given<'_>,
    drafts: &[Draft<'_>],
    calendars: Vec<Calendar>,
    watch: &mut Watch<'_>,
    problems: &mut Problems,
) -> Option<Solved> {
    let workers = workers(given);
    if drafts.is_empty() {
        return Some(Solved {
            schedule: Schedule {
                workers,
                ..Schedule::default()
            },
            in_the_way: Vec::new(),
        });
    }
    let (problem, ids) = state(given, drafts, calendars, &workers);
    let case = Case {
        given,
        drafts,
        problem: &problem,
        ids: &ids,
    };
    let search = Search {
        effort: effort(given, drafts.len(), watch.by_clock),
        seed: 1,
    };
    let mut made = 0;
    let mut tell = || {
        made += 1;
        (watch.heard)(made, search.effort)
    };
    let timetable = match place_all(&problem, search, &mut tell) {
        Ok(timetable) => timetable,
        Err(infeasible) => {
            words::impossible(&case, &infeasible, problems);
            return None;
        }
    };
    words::broken(&case, &timetable, problems);
    let explained = explain(&problem, &timetable).unwrap_or_default();
    let schedule = read_back(given, drafts, workers, &problem, &timetable, &explained);
    let late = timetable.late_by > 0 && timetable.broken.is_empty();
    Some(Solved {
        schedule: Schedule {
            by_clock: watch.by_clock,
            ..schedule
        },
        in_the_way: if late {
            case.behind_hand_over()
        } else {
            Vec::new()
        },
    })
}

/// Schedules to try; where a clock ends the search and nobody has named a number, as many as it allows.
fn effort(given: &Given<'_>, drafts: usize, by_clock: bool) -> u64 {
    let tasks = drafts.max(1);
    let by_square = EFFORT_BY_SQUARE / tasks.saturating_mul(tasks);
    let usual = (EFFORT / tasks).max(by_square).clamp(1, MOST_SCHEDULES);
    let asked = given.job.planning.effort;
    if by_clock && asked == Effort::Usual {
        u64::MAX
    } else {
        asked.of(u64::try_from(usual).unwrap_or(1))
    }
}

/// Single people, rows that count several expanded.
pub(super) fn workers(given: &Given<'_>) -> Vec<Worker> {
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
    problem.links = waits(drafts)
        .map(|(after, before)| link(before, after))
        .collect();
    (problem, Ids { skills })
}

/// What each draft waits for, in the order of the engine's links.
pub(super) fn waits<'b>(drafts: &'b [Draft<'_>]) -> impl Iterator<Item = (usize, &'b Before)> {
    // What is done is done, whatever came before it.
    let open = drafts
        .iter()
        .enumerate()
        .filter(|(_, draft)| draft.done.is_none());
    open.flat_map(|(after, draft)| draft.after.iter().map(move |before| (after, before)))
}

/// A link with its drying on the grid, so that what follows starts on it too.
pub(super) fn link(before: &Before, after: usize) -> Link {
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
pub(super) fn hand_over(given: &Given<'_>) -> Option<i64> {
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
        earliest: draft.earliest.max(draft.held_from),
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
