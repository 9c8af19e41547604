//! Finds what makes a timetable impossible before anything is placed.

use super::calendar::Minute;
use super::model::Model;
use super::network::Network;
use super::outcome::Part;
use super::outcome::Reason;
use super::passing::Passing;
use super::problem::End;
use super::problem::Link;
use super::problem::Problem;
use super::problem::Task;

/// Minutes beyond this are refused, so that sums cannot overflow (about two million years).
const MOST_MINUTES: Minute = 1 << 40;

/// Work, units and rates beyond this are refused.
const MOST_UNITS: i64 = 1 << 31;

/// Checks indexes and numbers; with none wrong, the rest of the engine may trust them.
pub(super) fn numbers(problem: &Problem) -> Vec<Reason> {
    let mut reasons = Vec::new();
    for (index, task) in problem.tasks.iter().enumerate() {
        names(problem, index, task, &mut reasons);
        if !task_in_range(task) {
            reasons.push(Reason::OutOfRange {
                at: Part::Task(index),
            });
        }
    }
    for (index, link) in problem.links.iter().enumerate() {
        link_numbers(problem, index, *link, &mut reasons);
    }
    others(problem, &mut reasons);
    reasons
}

fn names(problem: &Problem, index: usize, task: &Task, reasons: &mut Vec<Reason>) {
    let by = Part::Task(index);
    let mut unknown = |what| reasons.push(Reason::Unknown { by, what });
    if task.calendar >= problem.calendars.len() {
        unknown(Part::Calendar(task.calendar));
    }
    let held = task.holds.iter().map(|hold| hold.resource);
    let resources = task
        .equipment
        .iter()
        .map(|&(resource, _)| resource)
        .chain(held);
    for resource in resources.filter(|&resource| resource >= problem.resources.len()) {
        unknown(Part::Resource(resource));
    }
    for &(budget, _) in task
        .spends
        .iter()
        .filter(|spend| spend.0 >= problem.budgets.len())
    {
        unknown(Part::Budget(budget));
    }
    for hold in task
        .holds
        .iter()
        .filter(|hold| hold.until >= problem.tasks.len())
    {
        unknown(Part::Task(hold.until));
    }
}

fn task_in_range(task: &Task) -> bool {
    let minutes = [
        task.earliest,
        task.latest_finish.unwrap_or(0),
        task.due.unwrap_or(0),
        task.fixed_start.unwrap_or(0),
    ];
    let held = task.holds.iter().map(|hold| hold.units);
    let units = task.equipment.iter().chain(&task.spends).map(|pair| pair.1);
    let crew_is_good = task.skill.is_none() || (task.fewest >= 1 && task.fewest <= task.most);
    let table_is_good = task.durations.as_ref().is_none_or(|table| {
        let sizes = task.most.checked_sub(task.fewest).map(|more| more + 1);
        sizes == Some(table.len()) && table.iter().all(|&minutes| units_in_range(minutes))
    });
    minutes.into_iter().all(minutes_in_range)
        && units_in_range(task.work)
        && held.chain(units).all(units_in_range)
        && crew_is_good
        && table_is_good
        && task.skill.is_none_or(|skill| skill < 64)
}

fn link_numbers(problem: &Problem, index: usize, link: Link, reasons: &mut Vec<Reason>) {
    let by = Part::Link(index);
    for task in [link.before, link.after] {
        if task >= problem.tasks.len() {
            let what = Part::Task(task);
            reasons.push(Reason::Unknown { by, what });
        }
    }
    let longest = link.within.map_or(0, |within| within.minutes);
    if !(minutes_in_range(link.lag) && minutes_in_range(longest)) {
        reasons.push(Reason::OutOfRange { at: by });
    }
}

fn others(problem: &Problem, reasons: &mut Vec<Reason>) {
    let mut check = |good: bool, at: Part| {
        if !good {
            reasons.push(Reason::OutOfRange { at });
        }
    };
    for (index, person) in problem.people.iter().enumerate() {
        check(
            units_in_range(person.rate) && spans_in_range(&person.absences),
            Part::Person(index),
        );
    }
    for (index, resource) in problem.resources.iter().enumerate() {
        let good = units_in_range(resource.capacity) && spans_in_range(&resource.absences);
        check(good, Part::Resource(index));
    }
    for (index, budget) in problem.budgets.iter().enumerate() {
        check(units_in_range(budget.limit), Part::Budget(index));
    }
    for (index, calendar) in problem.calendars.iter().enumerate() {
        check(calendar.horizon() <= MOST_MINUTES, Part::Calendar(index));
    }
    check(
        problem.hand_over.is_none_or(minutes_in_range),
        Part::HandOver,
    );
}

fn minutes_in_range(minutes: Minute) -> bool {
    (0..=MOST_MINUTES).contains(&minutes)
}

fn units_in_range(units: i64) -> bool {
    (0..=MOST_UNITS).contains(&units)
}

fn spans_in_range(spans: &[(Minute, Minute)]) -> bool {
    spans
        .iter()
        .all(|span| span.0.abs() <= MOST_MINUTES && span.1.abs() <= MOST_MINUTES)
}

/// Checks each task on its own: crews, days long enough, equipment, limits.
pub(super) fn tasks(model: &Model) -> Vec<Reason> {
    let mut reasons = Vec::new();
    for task in 0..model.problem.tasks.len() {
        crew(model, task, &mut reasons);
        for &(resource, needed) in &model.needs[task] {
            let capacity = model.problem.resources[resource].capacity;
            if needed > capacity {
                reasons.push(Reason::TooLittle {
                    task,
                    resource,
                    needed,
                    capacity,
                });
            }
        }
    }
    reasons
}

fn crew(model: &Model, task: usize, reasons: &mut Vec<Reason>) {
    if !model.crews[task].is_empty() {
        return;
    }
    let stated = &model.problem.tasks[task];
    if let Some(skill) = stated.skill {
        let have = model.skilled[usize::from(skill)].len();
        let needed = stated.fewest;
        if have < needed {
            reasons.push(Reason::TooFewPeople {
                task,
                skill,
                needed,
                have,
            });
            return;
        }
    }
    let have = stated
        .skill
        .map_or(0, |skill| model.skilled[usize::from(skill)].len());
    let minutes = stated.least(have).0;
    let calendar = stated.calendar;
    let (run, day) = model.longest[calendar];
    let longest = if stated.pausable {
        day
    } else {
        run.min(if stated.same_day { day } else { run })
    };
    if day == 0 {
        reasons.push(Reason::CalendarEnds { task, calendar });
    } else if minutes > longest && (stated.same_day || !stated.pausable) {
        reasons.push(Reason::TooLong {
            task,
            minutes,
            longest,
        });
    } else if let Some(&(budget, _)) = model.spends[task]
        .iter()
        .find(|&&(budget, units)| units > model.problem.budgets[budget].limit)
    {
        reasons.push(Reason::TooMuchADay { task, budget });
    } else {
        reasons.push(Reason::TooLong {
            task,
            minutes,
            longest,
        });
    }
}

/// Checks longest times against the work and lags that pass in them, and holds against links.
pub(super) fn ties(model: &Model) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let network = &model.network;
    let mut passing = Passing::new(model);
    for arc in network.arcs.iter().filter(|arc| arc.reach.is_some()) {
        let Some(reach) = arc.reach else {
            continue;
        };
        let Some(passed) = passing.between(model, arc.before, arc.after) else {
            continue;
        };
        let passed = match reach.to {
            End::Start => passed,
            End::Finish => passed + model.shortest(arc.after),
        };
        if passed > reach.minutes {
            reasons.push(Reason::Contradiction {
                tasks: vec![arc.before, arc.after],
            });
        }
    }
    for (until, held) in network.held.iter().enumerate() {
        for held in held {
            if held.owner != until && passing.between(model, held.owner, until).is_none() {
                reasons.push(Reason::HoldWithoutLink {
                    task: held.owner,
                    until,
                });
            }
        }
    }
    reasons
}

/// Checks hard windows against the earliest that each task can be done.
pub(super) fn windows(model: &Model) -> Vec<Reason> {
    let mut reasons = Vec::new();
    for (task, stated) in model.problem.tasks.iter().enumerate() {
        let (start, earliest_finish) = model.heads[task];
        if let Some(latest_finish) = stated.latest_finish
            && earliest_finish > latest_finish
        {
            reasons.push(Reason::Window {
                task,
                earliest_finish,
                latest_finish,
            });
        }
        if let Some(fixed) = stated.fixed_start
            && start > fixed
        {
            let minutes = model.shortest(task);
            reasons.push(Reason::Window {
                task,
                earliest_finish,
                latest_finish: fixed + minutes,
            });
        }
    }
    reasons
}

/// Builds the graph, or names a circle.
pub(super) fn network(problem: &Problem) -> Result<Network, Reason> {
    let arcs = super::network::arcs(problem);
    Network::new(problem, arcs).map_err(|tasks| Reason::Circle { tasks })
}
