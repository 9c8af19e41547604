//! Says why each task of a timetable starts when it does, and how much later it could be.

use std::collections::BTreeMap;

use super::Infeasible;
use super::calendar::DAY;
use super::calendar::Minute;
use super::calendar::day_of;
use super::hours;
use super::model::Model;
use super::outcome::Placed;
use super::outcome::Timetable;
use super::problem::Problem;

/// What determined a task's start, and its slack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Explanation {
    /// What it had to wait for.
    pub cause: Cause,
    /// Minutes on the clock it then waited for working time (a break, a night, a day long enough).
    pub calendar_wait: Minute,
    /// Working minutes by which it may finish later without moving the end or what is due, by links and calendars alone.
    pub slack: Minute,
    /// Minute by which it must finish not to move the end or what is due, by links and calendars alone.
    pub latest_finish: Minute,
    /// As `slack`, with people and equipment going from task to task in the same order.
    pub slack_in_order: Minute,
    /// Starting a minute later would move the end or what is due, with people and equipment in the same order.
    pub critical: bool,
}

/// What a task had to wait for. Numbers are indexes into the problem.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// It starts at its fixed start.
    Fixed,
    /// Its own earliest minute, or the origin.
    Earliest,
    /// A task before it, with the link's lag.
    Link {
        /// The link.
        link: usize,
    },
    /// A person who did another task until then.
    Person {
        /// The person.
        person: usize,
        /// The task they finished.
        after: usize,
    },
    /// Equipment that another task had until then.
    Resource {
        /// The resource.
        resource: usize,
        /// The task whose finish gave it back.
        after: usize,
    },
    /// The day's limit of a budget.
    Budget {
        /// The budget.
        budget: usize,
    },
    /// A later task that must follow soon, or must give back what this one takes, could not come before.
    Follower,
    /// None of these: the search found the whole better so, or an absence of equipment was in the way.
    Choice,
}

/// Explains each task of a timetable, in the order of the tasks.
///
/// A timetable made for another problem gives an empty list.
///
/// # Errors
///
/// [`Infeasible`] when the problem itself is impossible.
pub fn explain(problem: &Problem, timetable: &Timetable) -> Result<Vec<Explanation>, Infeasible> {
    let mut model = super::ready(problem)?;
    let exists = |placed: &Placed| {
        placed
            .people
            .iter()
            .all(|&person| person < problem.people.len())
    };
    if timetable.tasks.len() != problem.tasks.len() || !timetable.tasks.iter().all(exists) {
        return Ok(Vec::new());
    }
    if model.horizon() < timetable.finish {
        let reach = timetable.finish + DAY;
        model
            .extend(reach)
            .map_err(|ended| super::calendar_ends(problem, ended))?;
    }
    let turns = Turns::new(&model, &timetable.tasks);
    let links_alone = latest(&model, timetable, &vec![Vec::new(); timetable.tasks.len()]);
    let in_order = latest(&model, timetable, &turns.next);
    let explanation = |task: usize| {
        let placed = &timetable.tasks[task];
        let (cause, release) = cause(&model, timetable, &turns, task);
        let slack = |to: Minute| model.calendar(task).work_between(placed.finish, to);
        Explanation {
            cause,
            calendar_wait: placed.start - release,
            slack: slack(links_alone[task].1),
            latest_finish: links_alone[task].1,
            slack_in_order: slack(in_order[task].1),
            critical: in_order[task].0 <= placed.start,
        }
    };
    Ok((0..timetable.tasks.len()).map(explanation).collect())
}

/// Returns what a task waited for and the minute from which it could have started.
fn cause(model: &Model, timetable: &Timetable, turns: &Turns, task: usize) -> (Cause, Minute) {
    let placed = &timetable.tasks[task];
    let stated = &model.problem.tasks[task];
    if stated.fixed_start == Some(placed.start) {
        return (Cause::Fixed, placed.start);
    }
    let mut waits = vec![(stated.earliest.max(0), Cause::Earliest)];
    for &link in &model.network.into[task] {
        let arc = model.network.arcs[link];
        waits.push((
            timetable.tasks[arc.before].finish + arc.lag,
            Cause::Link { link },
        ));
    }
    let linked = explained_by(model, placed, task, &waits);
    // What had to follow soon may have waited itself, and put off the task before it.
    let tied = match linked {
        Some((Cause::Link { link }, _)) if model.network.arcs[link].reach.is_some() => {
            Some(model.network.arcs[link].before)
        }
        Some(_) => None,
        None => Some(task),
    };
    let shared = tied.and_then(|not| {
        let waits = shared_waits(model, placed, turns, task, not);
        explained_by(model, placed, task, &waits)
    });
    shared.or(linked).unwrap_or_else(|| {
        let ties_back = model.network.out[task]
            .iter()
            .any(|&arc| model.network.arcs[arc].reach.is_some());
        let cause = match model.spends[task].first() {
            Some(&(budget, _)) => Cause::Budget { budget },
            None if ties_back || !stated.holds.is_empty() => Cause::Follower,
            None => Cause::Choice,
        };
        (cause, placed.start)
    })
}

/// Returns when people and equipment came to a task from tasks other than it and `not`.
fn shared_waits(
    model: &Model,
    placed: &Placed,
    turns: &Turns,
    task: usize,
    not: usize,
) -> Vec<(Minute, Cause)> {
    let mut waits = Vec::new();
    let others = |turn: &(Minute, usize)| turn.1 != not;
    for &(resource, units) in &model.needs[task] {
        let capacity = model.problem.resources[resource].capacity;
        let turn = before(&turns.resources[resource], placed.start, task).filter(others);
        // Equipment of which enough was free before has kept nobody waiting.
        let turn = turn.filter(|turn| turns.taken(resource, turn.0 - 1) + units > capacity);
        waits.extend(turn.map(|(end, after)| (end, Cause::Resource { resource, after })));
    }
    for &person in &placed.people {
        let turn = before(&turns.people[person], placed.start, task).filter(others);
        waits.extend(turn.map(|(end, after)| (end, Cause::Person { person, after })));
        // From another site nobody comes before the next day, nor on the days of travel.
        if let Some(travel) = model.problem.travel_days {
            let away = turns.away(model, person, placed.start, (task, not));
            waits.extend(away.map(|(end, after)| {
                let there = (day_of(end - 1) + travel + 1) * DAY;
                (there, Cause::Person { person, after })
            }));
        }
    }
    waits
}

/// Returns the last of some waits, if the task starts at its first opportunity after it.
fn explained_by(
    model: &Model,
    placed: &Placed,
    task: usize,
    waits: &[(Minute, Cause)],
) -> Option<(Cause, Minute)> {
    let &(release, cause) = waits.iter().rev().max_by_key(|wait| wait.0)?;
    let (start, _) = hours::fit(model, task, &placed.people, release, worked(placed))?;
    (start == placed.start).then_some((cause, release))
}

/// Returns the last turn of another task that ends by `start`.
fn before(turns: &[(Minute, usize)], start: Minute, task: usize) -> Option<(Minute, usize)> {
    let until = turns.partition_point(|turn| turn.0 <= start);
    turns[..until]
        .iter()
        .rev()
        .find(|turn| turn.1 != task)
        .copied()
}

/// Who had what until when, and which task came next.
struct Turns {
    /// For each person and each resource, `(end, task)` in the order of the ends.
    people: Vec<Vec<(Minute, usize)>>,
    /// For each turn of each person, how many turns there are up to the last before it at another site; 0 if there is none.
    elsewhere: Vec<Vec<usize>>,
    resources: Vec<Vec<(Minute, usize)>>,
    /// For each resource, `(minute, units taken from then on)` in order.
    taken: Vec<Vec<(Minute, i64)>>,
    /// For each task, the tasks that take over its people or its equipment.
    next: Vec<Vec<usize>>,
}

/// From when to when a resource is taken, by which task, and which task gives it back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Stay {
    start: Minute,
    end: Minute,
    taker: usize,
    giver: usize,
    units: i64,
}

impl Turns {
    fn new(model: &Model, tasks: &[Placed]) -> Self {
        let mut next = vec![Vec::new(); tasks.len()];
        let mut people = vec![Vec::new(); model.problem.people.len()];
        let mut stays = vec![Vec::new(); model.problem.resources.len()];
        for (task, placed) in tasks.iter().enumerate() {
            for &person in &placed.people {
                people[person].push((placed.start, placed.finish, task));
            }
            let stated = &model.problem.tasks[task];
            let own = stated
                .equipment
                .iter()
                .map(|&(resource, units)| (resource, units, task));
            let held = stated
                .holds
                .iter()
                .map(|hold| (hold.resource, hold.units, hold.until));
            for (resource, units, giver) in own.chain(held) {
                let (start, end) = (placed.start, tasks[giver].finish);
                stays[resource].push(Stay {
                    start,
                    end,
                    taker: task,
                    giver,
                    units,
                });
            }
        }
        for turns in &mut people {
            turns.sort_unstable();
            for two in turns.windows(2) {
                next[two[0].2].push(two[1].2);
            }
        }
        for stays in &mut stays {
            stays.sort_unstable();
            hand_over(stays, &mut next);
        }
        let by_end = |mut turns: Vec<(Minute, usize)>| {
            turns.sort_unstable();
            turns
        };
        let ends = |turns: Vec<(Minute, Minute, usize)>| {
            by_end(
                turns
                    .into_iter()
                    .map(|(_, end, task)| (end, task))
                    .collect(),
            )
        };
        let given = |stays: Vec<Stay>| {
            by_end(
                stays
                    .into_iter()
                    .map(|stay| (stay.end, stay.giver))
                    .collect(),
            )
        };
        let people: Vec<Vec<(Minute, usize)>> = people.into_iter().map(ends).collect();
        Self {
            taken: stays.iter().map(|stays| units_taken(stays)).collect(),
            elsewhere: people
                .iter()
                .map(|turns| last_elsewhere(model, turns))
                .collect(),
            people,
            resources: stays.into_iter().map(given).collect(),
            next,
        }
    }

    /// Returns the person's last turn that ends by `start`, is not that of `not`, and is at another site than `task`.
    fn away(
        &self,
        model: &Model,
        person: usize,
        start: Minute,
        (task, not): (usize, usize),
    ) -> Option<(Minute, usize)> {
        let site = |task: usize| model.problem.tasks[task].site;
        let turns = &self.people[person];
        let mut count = turns.partition_point(|turn| turn.0 <= start);
        // Years at one site are passed over at once.
        while let Some(at) = count.checked_sub(1) {
            let turn = turns[at];
            if site(turn.1) == site(task) {
                count = self.elsewhere[person][at];
            } else if turn.1 == not {
                count = at;
            } else {
                return Some(turn);
            }
        }
        None
    }

    /// Returns the units of a resource that are taken in a minute.
    fn taken(&self, resource: usize, minute: Minute) -> i64 {
        let taken = &self.taken[resource];
        let at = taken.partition_point(|change| change.0 <= minute);
        at.checked_sub(1).map_or(0, |at| taken[at].1)
    }
}

/// Returns for each turn how many turns there are up to the last before it at another site.
fn last_elsewhere(model: &Model, turns: &[(Minute, usize)]) -> Vec<usize> {
    let site = |at: usize| model.problem.tasks[turns[at].1].site;
    let mut counts: Vec<usize> = Vec::with_capacity(turns.len());
    for at in 0..turns.len() {
        let before = at.checked_sub(1);
        counts.push(before.map_or(0, |before| {
            if site(before) == site(at) {
                counts[before]
            } else {
                at
            }
        }));
    }
    counts
}

fn units_taken(stays: &[Stay]) -> Vec<(Minute, i64)> {
    let ends = |stay: &Stay| [(stay.start, stay.units), (stay.end, -stay.units)];
    let mut changes: Vec<(Minute, i64)> = stays.iter().flat_map(ends).collect();
    changes.sort_unstable();
    let mut sum = 0;
    for change in &mut changes {
        sum += change.1;
        change.1 = sum;
    }
    changes
}

/// Lets each stay take its units from those given back longest ago, and notes who follows whom.
fn hand_over(stays: &[Stay], next: &mut [Vec<usize>]) {
    let mut given: BTreeMap<(Minute, usize, usize), i64> = BTreeMap::new();
    for (index, stay) in stays.iter().enumerate() {
        let mut wanted = stay.units;
        while wanted > 0
            && let Some(mut oldest) = given.first_entry()
            && oldest.key().0 <= stay.start
        {
            let taken = wanted.min(*oldest.get());
            wanted -= taken;
            next[oldest.key().1].push(stay.taker);
            *oldest.get_mut() -= taken;
            if *oldest.get() == 0 {
                oldest.remove();
            }
        }
        given.insert((stay.end, stay.giver, index), stay.units);
    }
}

/// Returns the latest start and finish of each task that leave the end, and what is due, where they are.
fn latest(model: &Model, timetable: &Timetable, next: &[Vec<usize>]) -> Vec<(Minute, Minute)> {
    let tasks = &timetable.tasks;
    let mut order: Vec<(Minute, usize)> = Vec::with_capacity(tasks.len());
    order.extend(
        model
            .network
            .order
            .iter()
            .map(|&task| (tasks[task].start, task)),
    );
    // Stable: tasks that start together stay in the order of their links.
    order.sort_by_key(|entry| entry.0);
    let mut latest: Vec<(Minute, Minute)> = vec![(timetable.finish, timetable.finish); tasks.len()];
    for &(_, task) in order.iter().rev() {
        let stated = &model.problem.tasks[task];
        let due = stated.due.map(|due| due + timetable.late_by);
        let wanted = stated.latest_finish.into_iter().chain(due);
        let mut finish = wanted.fold(timetable.finish, Minute::min);
        for &arc in &model.network.out[task] {
            let arc = model.network.arcs[arc];
            finish = finish.min(latest[arc.after].0 - arc.lag);
        }
        for &follower in &next[task] {
            finish = finish.min(free_for(model, task, follower, latest[follower].0));
        }
        let placed = &tasks[task];
        finish = finish.max(placed.finish);
        let start = latest_start(model, task, placed, finish);
        latest[task] = if stated.fixed_start.is_some() {
            (placed.start, placed.finish)
        } else {
            (start, finish)
        };
    }
    latest
}

/// Returns the minute by which a task must give its people to one that starts at `start`: the evening before where that is at another site.
fn free_for(model: &Model, task: usize, follower: usize, start: Minute) -> Minute {
    let tasks = &model.problem.tasks;
    match model.problem.travel_days {
        Some(travel) if tasks[task].site != tasks[follower].site => (day_of(start) - travel) * DAY,
        Some(_) | None => start,
    }
}

/// Returns the last start from which a task, as placed, ends by `finish`; never before its own start.
fn latest_start(model: &Model, task: usize, placed: &Placed, finish: Minute) -> Minute {
    let minutes = worked(placed);
    let mut start = placed.start;
    let mut past = model.calendar(task).back(finish, minutes).unwrap_or(start) + 1;
    // A later start never means an earlier finish, so halving finds the last.
    while start + 1 < past {
        let middle = i64::midpoint(start, past);
        match hours::fit(model, task, &placed.people, middle, minutes) {
            Some((fitted, end)) if end <= finish => start = fitted,
            Some(_) | None => past = middle,
        }
    }
    start
}

fn worked(placed: &Placed) -> Minute {
    placed.segments.iter().map(|&(from, to)| to - from).sum()
}
