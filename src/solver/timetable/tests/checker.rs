//! Checks a timetable against its problem from first principles: lists of intervals and sums, nothing of the engine.

use std::collections::BTreeMap;

use crate::solver::timetable::*;

/// Lists everything that is wrong with a timetable; what it declares as broken must be broken, and nothing else.
pub(super) fn faults(problem: &Problem, timetable: &Timetable) -> Vec<String> {
    let mut faults = Vec::new();
    for (index, task) in problem.tasks.iter().enumerate() {
        one_task(problem, task, &timetable.tasks[index], &mut |text| {
            faults.push(format!("task {index}: {text}"))
        });
    }
    people_twice(problem, timetable, &mut faults);
    if let Some(travel) = problem.travel_days {
        two_sites(problem, timetable, travel, &mut faults);
    }
    let declared_holds: Vec<_> = timetable
        .broken
        .iter()
        .filter_map(|broken| match *broken {
            Broken::HeldTooOften { resource, .. } => Some(resource),
            _ => None,
        })
        .collect();
    for resource in 0..problem.resources.len() {
        if !declared_holds.contains(&resource) {
            resource_taken(problem, timetable, resource, &mut faults);
        }
    }
    budgets(problem, timetable, &mut faults);
    let mut found = ties(problem, timetable);
    let mut declared: Vec<_> = timetable.broken.clone();
    declared.retain(|broken| !matches!(broken, Broken::HeldTooOften { .. }));
    let key = |broken: &Broken| format!("{broken:?}");
    found.sort_by_key(key);
    declared.sort_by_key(key);
    if found != declared {
        faults.push(format!("broken: found {found:?}, declared {declared:?}"));
    }
    sums(problem, timetable, &mut faults);
    faults
}

/// Nobody is at two sites on one day, nor on the days of travel between.
fn two_sites(problem: &Problem, timetable: &Timetable, travel: i64, faults: &mut Vec<String>) {
    let tasks = || problem.tasks.iter().zip(&timetable.tasks);
    for (one, here) in tasks() {
        for (_, there) in tasks().filter(|(two, _)| two.site != one.site) {
            let both = here
                .people
                .iter()
                .any(|person| there.people.contains(person));
            let gap = there.start.div_euclid(DAY) - (here.finish - 1).div_euclid(DAY);
            if both && there.start >= here.start && gap <= travel {
                faults.push(format!(
                    "somebody goes from one site to another in {gap} days"
                ));
            }
        }
    }
}

fn one_task(problem: &Problem, task: &Task, placed: &Placed, fault: &mut dyn FnMut(String)) {
    let worked: i64 = placed.segments.iter().map(|(a, b)| b - a).sum();
    let crew = placed.people.len();
    let needed = task.skill.is_some() && (task.work > 0 || task.durations.is_some());
    if needed && !(task.fewest..=task.most).contains(&crew) && worked > 0 {
        fault(format!("{crew} people"));
    }
    let people = i64::try_from(crew).unwrap();
    let expected = match (&task.skill, &task.durations) {
        (None, _) => task.work,
        (Some(_), Some(table)) if crew > 0 => table[crew - task.fewest],
        (Some(_), None) if crew > 0 => (task.work + people - 1) / people,
        (Some(_), _) => 0,
    };
    if worked != expected {
        fault(format!("worked {worked} instead of {expected}"));
    }
    if placed.people.windows(2).any(|two| two[0] >= two[1]) {
        fault("people not ascending".into());
    }
    if let Some(skill) = task.skill
        && placed
            .people
            .iter()
            .any(|&person| problem.people[person].skills >> skill & 1 == 0)
    {
        fault("without the skill".into());
    }
    if placed.start < task.earliest {
        fault("before its earliest".into());
    }
    if task.fixed_start.is_some_and(|fixed| placed.start < fixed) {
        fault("before its fixed start".into());
    }
    if let (Some(first), Some(last)) = (placed.segments.first(), placed.segments.last()) {
        if first.0 != placed.start || last.1 != placed.finish {
            fault("segments do not span it".into());
        }
        if task.same_day && first.0 / DAY != (last.1 - 1) / DAY {
            fault("crosses a night".into());
        }
        if !task.pausable && placed.segments.len() != 1 {
            fault("pauses".into());
        }
    } else if placed.start != placed.finish {
        fault("spans time without work".into());
    }
    whole_of_working_time(problem, task, placed, fault);
}

/// The segments must be exactly the working time between start and finish: nothing outside, nothing left idle.
fn whole_of_working_time(
    problem: &Problem,
    task: &Task,
    placed: &Placed,
    fault: &mut dyn FnMut(String),
) {
    let calendar = problem.calendars[task.calendar].reaching(placed.finish + DAY);
    let mut open: Vec<Span> = Vec::new();
    for &(a, b) in calendar.intervals() {
        if a.max(placed.start) < b.min(placed.finish) {
            open.push((a.max(placed.start), b.min(placed.finish)));
        }
    }
    for &person in &placed.people {
        for &(away, back) in &problem.people[person].absences {
            open = open
                .into_iter()
                .flat_map(|(a, b)| [(a, b.min(away)), (a.max(back), b)])
                .filter(|(a, b)| a < b)
                .collect();
        }
    }
    if open != placed.segments {
        fault(format!("works {:?} in {open:?}", placed.segments));
    }
}

fn people_twice(problem: &Problem, timetable: &Timetable, faults: &mut Vec<String>) {
    for person in 0..problem.people.len() {
        let turns = timetable
            .tasks
            .iter()
            .filter(|placed| placed.people.contains(&person));
        let mut turns: Vec<Span> = turns.map(|placed| (placed.start, placed.finish)).collect();
        turns.sort_unstable();
        for two in turns.windows(2).filter(|two| two[0].1 > two[1].0) {
            faults.push(format!("person {person} twice: {two:?}"));
        }
    }
}

/// Sweeps over the starts and ends of all that take a resource.
fn resource_taken(
    problem: &Problem,
    timetable: &Timetable,
    resource: usize,
    faults: &mut Vec<String>,
) {
    let stated = &problem.resources[resource];
    let mut steps: Vec<(Minute, i64)> = Vec::new();
    let mut stay = |start: Minute, end: Minute, units: i64| {
        if end > start && units > 0 {
            steps.extend([(start, units), (end, -units)]);
            if stated
                .absences
                .iter()
                .any(|&(a, b)| a.max(0) < end && b > start)
            {
                faults.push(format!(
                    "resource {resource} used in its absence, {start} to {end}"
                ));
            }
        }
    };
    for (index, task) in problem.tasks.iter().enumerate() {
        let placed = &timetable.tasks[index];
        for &(_, units) in task.equipment.iter().filter(|pair| pair.0 == resource) {
            stay(placed.start, placed.finish, units);
        }
        for hold in task.holds.iter().filter(|hold| hold.resource == resource) {
            stay(placed.start, timetable.tasks[hold.until].finish, hold.units);
        }
    }
    steps.sort_unstable();
    let mut taken = 0;
    for (minute, units) in steps {
        taken += units;
        if taken > stated.capacity {
            faults.push(format!(
                "resource {resource}: {taken} of {} at {minute}",
                stated.capacity
            ));
        }
    }
}

fn budgets(problem: &Problem, timetable: &Timetable, faults: &mut Vec<String>) {
    let mut spent: BTreeMap<(usize, i64), i64> = BTreeMap::new();
    for (task, placed) in problem.tasks.iter().zip(&timetable.tasks) {
        let mut minutes: BTreeMap<i64, i64> = BTreeMap::new();
        for &(a, b) in &placed.segments {
            for day in a / DAY..=(b - 1) / DAY {
                *minutes.entry(day).or_default() += b.min((day + 1) * DAY) - a.max(day * DAY);
            }
        }
        let whole: i64 = minutes.values().sum();
        if whole == 0 {
            minutes.insert(placed.start / DAY, 0);
        }
        let mut units: BTreeMap<usize, i64> = BTreeMap::new();
        for &(budget, amount) in &task.spends {
            *units.entry(budget).or_default() += amount;
        }
        for (budget, amount) in units {
            for (&day, &part) in &minutes {
                let used = if whole == 0 {
                    amount
                } else {
                    (amount * part + whole - 1) / whole
                };
                *spent.entry((budget, day)).or_default() += used;
            }
        }
    }
    for ((budget, day), units) in spent {
        if units > problem.budgets[budget].limit {
            faults.push(format!("budget {budget} on day {day}: {units}"));
        }
    }
}

fn ties(problem: &Problem, timetable: &Timetable) -> Vec<Broken> {
    let mut broken = Vec::new();
    for (link, stated) in problem.links.iter().enumerate() {
        let finish = timetable.tasks[stated.before].finish;
        let after = &timetable.tasks[stated.after];
        if after.start < finish + stated.lag {
            let minutes = finish + stated.lag - after.start;
            broken.push(Broken::TooSoon { link, minutes });
        }
        if let Some(within) = stated.within {
            let reached = if within.to == End::Start {
                after.start
            } else {
                after.finish
            };
            if reached > finish + within.minutes {
                let minutes = reached - finish - within.minutes;
                broken.push(Broken::TooLate { link, minutes });
            }
        }
    }
    for (task, stated) in problem.tasks.iter().enumerate() {
        let placed = &timetable.tasks[task];
        if let Some(latest) = stated
            .latest_finish
            .filter(|&latest| placed.finish > latest)
        {
            broken.push(Broken::PastWindow {
                task,
                minutes: placed.finish - latest,
            });
        }
        if let Some(fixed) = stated.fixed_start.filter(|&fixed| placed.start > fixed) {
            broken.push(Broken::PastFixedStart {
                task,
                minutes: placed.start - fixed,
            });
        }
    }
    broken
}

fn sums(problem: &Problem, timetable: &Timetable, faults: &mut Vec<String>) {
    let finish = timetable
        .tasks
        .iter()
        .map(|placed| placed.finish)
        .max()
        .unwrap_or(0);
    let mut late = problem.hand_over.map_or(0, |due| (finish - due).max(0));
    for (task, placed) in problem.tasks.iter().zip(&timetable.tasks) {
        late = late.max(task.due.map_or(0, |due| placed.finish - due));
    }
    let cost: i64 = timetable
        .tasks
        .iter()
        .map(|placed| {
            let minutes: i64 = placed.segments.iter().map(|(a, b)| b - a).sum();
            placed
                .people
                .iter()
                .map(|&person| problem.people[person].rate * minutes)
                .sum::<i64>()
        })
        .sum();
    if (timetable.finish, timetable.late_by, timetable.cost) != (finish, late, cost) {
        faults.push(format!("sums: {finish} {late} {cost}"));
    }
    if timetable.broken.is_empty() && timetable.lower_bound_finish > finish {
        faults.push(format!(
            "lower bound {} over {finish}",
            timetable.lower_bound_finish
        ));
    }
}
