//! Places tasks on working calendars with people, equipment, lags and limits.
//!
//! Minutes are integers from an origin: minute 0 is midnight at the start of day 0, and day `d` is
//! `[1440 d, 1440 (d + 1))`. [`solve`] takes a [`Problem`] and returns a [`Timetable`] or all the
//! reasons why there is none; [`explain`] says what determined each start.
//!
//! # Method
//!
//! Serial schedule generation: tasks are placed one by one in an order that keeps the links, each where
//! it finishes earliest among what stands already, over all crew sizes. Tasks tied by a longest time or
//! a hold are placed together; where a tie fails, the earlier task is lifted off and put off. Several
//! orders are tried. From their schedules others are bred, pressed to their end with time running
//! backwards and then to their start; last, the best is changed at random. All is seeded and counted in
//! schedules, those with time running backwards as well.
//!
//! # Sources
//!
//! Kolisch, R. (1996). Serial and parallel resource-constrained project scheduling methods revisited.
//! European Journal of Operational Research 90(2), 320-333 (schedule generation, priority rules).
//! Neumann, K., Schwindt, C., Zimmermann, J. (2003). Project Scheduling with Time Windows and Scarce
//! Resources. Springer (longest times, unscheduling). Both cited from memory.

mod bound;
mod breed;
mod calendar;
mod check;
mod daily;
mod explain;
mod free;
mod generate;
mod hours;
mod improve;
mod level;
mod mirror;
mod model;
mod network;
mod outcome;
mod passing;
mod place;
mod problem;
mod rules;
mod score;
#[cfg(test)]
mod tests;
mod whereabouts;

pub use calendar::Calendar;
pub use calendar::DAY;
pub use calendar::Minute;
pub use calendar::Span;
pub use explain::Cause;
pub use explain::Explanation;
pub use explain::explain;
pub use outcome::Broken;
pub use outcome::Infeasible;
pub use outcome::Part;
pub use outcome::Placed;
pub use outcome::Reason;
pub use outcome::Timetable;
pub use problem::DailyBudget;
pub use problem::End;
pub use problem::Hold;
pub use problem::Link;
pub use problem::Person;
pub use problem::Problem;
pub use problem::Resource;
pub use problem::Task;
pub use problem::Within;

use calendar::FARTHEST_DAY;
use model::Exhausted;
use model::Model;

/// How long to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Search {
    /// Schedules to generate at most; at least one is always generated.
    pub effort: u64,
    /// Seed of the random choices: the same problem, effort and seed give the same timetable.
    pub seed: u64,
}

/// Places all tasks; `stop` is asked before each schedule after the first and ends the search early.
///
/// The best timetable breaks fewest rules, then is least late after the hand-over and what is due, then finishes
/// soonest, then costs least, then changes tags least.
///
/// # Errors
///
/// [`Infeasible`] when no timetable can exist, with all reasons found.
///
/// # Examples
///
/// ```
/// use facelay::solver::timetable::{Calendar, Link, Person, Problem, Search, Task, solve};
///
/// // Two coats of one hour; the second may follow when the first has dried for twelve hours.
/// let week = std::array::from_fn(|_| vec![(480, 720), (780, 1020)]);
/// let coat = Task { skill: Some(0), work: 60, ..Task::default() };
/// let problem = Problem {
///     calendars: vec![Calendar::weekly(week, 0, &Default::default(), 30)],
///     people: vec![Person { skills: 1, ..Person::default() }],
///     tasks: vec![coat.clone(), coat],
///     links: vec![Link::new(0, 1).lag(720)],
///     ..Problem::default()
/// };
/// let timetable = solve(&problem, Search { effort: 10, seed: 1 }, &mut || false).unwrap();
/// // 08:00 to 09:00 on the first day, dry at 21:00, so 08:00 on the next.
/// assert_eq!((timetable.tasks[1].start, timetable.finish), (1440 + 480, 1440 + 540));
/// ```
pub fn solve(
    problem: &Problem,
    search: Search,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Timetable, Infeasible> {
    let mut model = ready(problem)?;
    let best =
        improve::search(&mut model, search, stop).map_err(|ended| calendar_ends(problem, ended))?;
    Ok(timetable(&model, &best))
}

/// Says why no timetable can exist, where that is seen without placing anything; `None` proves nothing.
pub fn impossible(problem: &Problem) -> Option<Infeasible> {
    ready(problem).err()
}

/// Says whether a timetable that breaks no rule and comes late for nothing is found within the effort; `false` proves nothing.
pub fn is_possible(problem: &Problem, search: Search) -> bool {
    ready(problem).is_ok_and(|mut model| improve::finds_sound(&mut model, search))
}

/// Checks a problem and makes it ready.
fn ready(problem: &Problem) -> Result<Model, Infeasible> {
    let reasons = check::numbers(problem);
    if !reasons.is_empty() {
        return Err(Infeasible { reasons });
    }
    let network = check::network(problem).map_err(|reason| Infeasible {
        reasons: vec![reason],
    })?;
    let mut model = Model::new(problem.clone(), network);
    let mut reasons = check::tasks(&model);
    if model.crews.iter().all(|crews| !crews.is_empty()) {
        reasons.extend(check::ties(&model));
    }
    if !reasons.is_empty() {
        return Err(Infeasible { reasons });
    }
    let reach = model.horizon();
    model
        .extend(reach)
        .map_err(|ended| calendar_ends(problem, ended))?;
    // A long job would otherwise be begun again for each extension.
    while bound::is_horizon_short(&model) && model.horizon() < FARTHEST_DAY * DAY {
        let reach = 2 * model.horizon();
        model
            .extend(reach)
            .map_err(|ended| calendar_ends(problem, ended))?;
        if model.horizon() < reach.min(FARTHEST_DAY * DAY) {
            break;
        }
    }
    let reasons = check::windows(&model);
    if reasons.is_empty() {
        Ok(model)
    } else {
        Err(Infeasible { reasons })
    }
}

fn calendar_ends(problem: &Problem, ended: Exhausted) -> Infeasible {
    let task = ended.task;
    let calendar = problem.tasks.get(task).map_or(0, |task| task.calendar);
    Infeasible {
        reasons: vec![Reason::CalendarEnds { task, calendar }],
    }
}

fn timetable(model: &Model, best: &improve::Best) -> Timetable {
    let placed = |task: usize| {
        let slot = &best.state.slots[task];
        let mut people = slot.crew.clone();
        people.sort_unstable();
        Placed {
            start: slot.start,
            finish: slot.finish,
            people,
            segments: hours::segments(model, task, &slot.crew, slot.start, slot.minutes),
        }
    };
    Timetable {
        tasks: (0..best.state.slots.len()).map(placed).collect(),
        finish: best.score.finish,
        late_by: best.score.late_by,
        lower_bound_finish: bound::finish(model, best.score.finish),
        cost: best.score.cost,
        tag_changes: best.score.changes,
        broken: score::broken(model, &best.state),
        schedules: best.schedules,
    }
}
