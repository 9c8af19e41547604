//! A minute before which no timetable can finish.

use super::calendar::Calendar;
use super::calendar::DAY;
use super::calendar::Minute;
use super::calendar::day_of;
use super::model::Model;
use super::model::skill_bits;
use super::rules::tails;

/// Returns the best of the bounds: links alone, people, equipment, daily budgets.
pub(super) fn finish(model: &Model) -> Minute {
    let links = model.heads.iter().map(|head| head.1).max().unwrap_or(0);
    let tails = tails(model);
    links
        .max(people(model, &tails))
        .max(equipment(model, &tails))
        .max(budgets(model, &tails))
}

/// Some tasks that share something: the sum of what they need, and where they lie.
struct Load {
    tasks: Vec<usize>,
}

impl Load {
    /// Walks through the latest heads, each time keeping the tasks that cannot start before.
    ///
    /// `end(first, amount)` says by when the sum of `amounts` can be done from `first` on.
    fn bound(
        mut self,
        model: &Model,
        tails: &[Minute],
        amount: impl Fn(usize) -> i64,
        end: impl Fn(Minute, i64) -> Minute,
    ) -> Minute {
        self.tasks
            .sort_by_key(|&task| std::cmp::Reverse(model.heads[task].0));
        // What follows the last of these tasks follows the end of all of them.
        let after = |task: usize| tails[task] - model.shortest(task);
        let (mut sum, mut tail, mut best) = (0_i64, Minute::MAX, 0);
        // A few dozen heads are enough; each costs a search in the calendar.
        let step = (self.tasks.len() / 48).max(1);
        for (index, &task) in self.tasks.iter().enumerate() {
            sum = sum.saturating_add(amount(task));
            tail = tail.min(after(task));
            let is_last = index + 1 == self.tasks.len();
            if is_last || (index + 1) % step == 0 {
                best = best.max(end(model.heads[task].0, sum) + tail);
            }
        }
        best
    }
}

/// Person-minutes of the tasks that only some people can do, against those people's hours.
fn people(model: &Model, tails: &[Minute]) -> Minute {
    let problem = &model.problem;
    let all = problem
        .tasks
        .iter()
        .fold(0, |bits, task| bits | skill_bits(task));
    let sets = (0..64).map(|skill| 1_u64 << skill).chain([all]);
    let sets = sets.filter(|bits| bits & all != 0);
    let bound = |bits: u64| {
        let tasks = 0..problem.tasks.len();
        let load = Load {
            tasks: tasks
                .filter(|&task| skill_bits(&problem.tasks[task]) & bits != 0)
                .collect(),
        };
        let able: Vec<usize> = (0..problem.people.len())
            .filter(|&person| problem.people[person].skills & bits != 0)
            .collect();
        let least = |task: usize| {
            let crews = model.crews[task].iter();
            crews
                .map(|&(crew, minutes)| minutes.saturating_mul(count(crew)))
                .min()
                .unwrap_or(0)
        };
        load.bound(model, tails, least, |first, sum| {
            when_worked(model, &able, first, sum)
        })
    };
    sets.map(bound).max().unwrap_or(0)
}

/// Returns the first minute by which people together have had `sum` working minutes from `first` on.
fn when_worked(model: &Model, people: &[usize], first: Minute, sum: i64) -> Minute {
    let capacity = |to: Minute| -> i64 {
        people
            .iter()
            .map(|&person| hours(model, person, first, to))
            .sum()
    };
    first_with(first, model.horizon(), sum, capacity)
}

fn hours(model: &Model, person: usize, from: Minute, to: Minute) -> Minute {
    let anyone = &model.anyone;
    let absences = &model.problem.people[person].absences;
    let away = absences
        .iter()
        .map(|&(start, end)| anyone.work_between(start.max(from), end.min(to)));
    anyone.work_between(from, to) - away.sum::<Minute>()
}

/// Finds the first minute in a range at which a growing capacity reaches a sum.
fn first_with(first: Minute, last: Minute, sum: i64, capacity: impl Fn(Minute) -> i64) -> Minute {
    let (mut low, mut high) = (first, last.max(first));
    while low < high {
        let middle = i64::midpoint(low, high);
        if capacity(middle) >= sum {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    low
}

/// Working minutes × units of each resource, against its capacity in the hours of the tasks that need it.
fn equipment(model: &Model, tails: &[Minute]) -> Minute {
    let mut users = vec![Vec::new(); model.problem.resources.len()];
    for (task, stated) in model.problem.tasks.iter().enumerate() {
        for &(resource, units) in &stated.equipment {
            users[resource].push((task, units));
        }
    }
    let bound = |(resource, users): (usize, Vec<(usize, i64)>)| {
        let capacity = model.problem.resources[resource].capacity;
        let hours = union(model, users.iter().map(|user| user.0));
        let mut units = std::collections::BTreeMap::new();
        for (task, amount) in users {
            *units.entry(task).or_insert(0) += amount;
        }
        let load = Load {
            tasks: units.keys().copied().collect(),
        };
        let amount = |task: usize| {
            model
                .shortest(task)
                .saturating_mul(units.get(&task).copied().unwrap_or(0))
        };
        load.bound(model, tails, amount, |first, sum| {
            let had = |to: Minute| hours.work_between(first, to).saturating_mul(capacity);
            first_with(first, model.horizon(), sum, had)
        })
    };
    users.into_iter().enumerate().map(bound).max().unwrap_or(0)
}

/// Units of each budget against its limit on each day that the tasks' calendars are open.
fn budgets(model: &Model, tails: &[Minute]) -> Minute {
    let mut users = vec![Vec::new(); model.problem.budgets.len()];
    for (task, spends) in model.spends.iter().enumerate() {
        for &(budget, units) in spends {
            users[budget].push((task, units));
        }
    }
    let bound = |(budget, users): (usize, Vec<(usize, i64)>)| {
        let limit = model.problem.budgets[budget].limit;
        let hours = union(model, users.iter().map(|user| user.0));
        let units: std::collections::BTreeMap<usize, i64> = users.into_iter().collect();
        let load = Load {
            tasks: units.keys().copied().collect(),
        };
        let amount = |task: usize| units.get(&task).copied().unwrap_or(0);
        load.bound(model, tails, amount, |first, sum| {
            when_spent(&hours, first, sum, limit, model.horizon())
        })
    };
    users.into_iter().enumerate().map(bound).max().unwrap_or(0)
}

/// Returns the first working minute of the day on which the last of `sum` units can be spent.
fn when_spent(hours: &Calendar, first: Minute, sum: i64, limit: i64, horizon: Minute) -> Minute {
    let mut left = sum;
    let mut at = first;
    while let Some(work) = hours.next_work(at) {
        left -= limit;
        if left <= 0 || work >= horizon || limit <= 0 {
            return work;
        }
        at = (day_of(work) + 1) * DAY;
    }
    first
}

fn union(model: &Model, tasks: impl Iterator<Item = usize>) -> Calendar {
    let used: std::collections::BTreeSet<usize> = tasks
        .map(|task| model.problem.tasks[task].calendar)
        .collect();
    let intervals = used
        .into_iter()
        .flat_map(|calendar| model.problem.calendars[calendar].intervals());
    Calendar::from_intervals(intervals.copied())
}

fn count(people: usize) -> i64 {
    i64::try_from(people).unwrap_or(i64::MAX)
}
