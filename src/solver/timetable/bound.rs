//! A minute before which no timetable can finish.
//!
//! An end is refuted when some tasks, all of which would have to lie between two minutes, need more of
//! something than there is between them. The bound is the first end that is not refuted.
//!
//! # Sources
//!
//! Klein, R., Scholl, A. (1999). Computing lower bounds by destructive improvement. European Journal of
//! Operational Research 112(2), 322-346 (cited from memory).

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use super::calendar::Calendar;
use super::calendar::DAY;
use super::calendar::Minute;
use super::calendar::day_of;
use super::calendar::index;
use super::model::Model;
use super::model::skill_bits;
use super::rules::latest_for;

/// Returns the first end, up to one that is known to do, that is not refuted.
pub(super) fn finish(model: &Model, upper: Minute) -> Minute {
    let links = model.heads.iter().map(|head| head.1).max().unwrap_or(0);
    let loads = loads(model);
    let (mut low, mut high) = (links, upper.max(links));
    while low < high {
        let middle = i64::midpoint(low, high);
        if is_refuted(model, &loads, middle) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    low
}

/// Whether no timetable can finish by half of what the calendars know.
pub(super) fn is_horizon_short(model: &Model) -> bool {
    let links = model.heads.iter().map(|head| head.1).max().unwrap_or(0);
    let middle = model.horizon() / 2;
    links > middle || is_refuted(model, &loads(model), middle)
}

/// Something that is needed and its supply.
struct Load {
    supply: Supply,
    needs: Vec<Need>,
}

/// An amount that is taken between the start of one task and the finish of another, mostly the same.
struct Need {
    from: usize,
    to: usize,
    amount: i64,
}

enum Supply {
    /// Minutes of these people.
    People(Vec<usize>),
    /// So many units in each working minute.
    Hours(Box<Calendar>, i64),
    /// So many units in each minute of the clock.
    Clock(i64),
    /// So many units on each open day; the numbers of open days before each day.
    Days(Vec<i64>, i64),
}

impl Supply {
    fn between(&self, model: &Model, from: Minute, to: Minute) -> i64 {
        match self {
            Self::People(people) => people
                .iter()
                .map(|&person| hours(model, person, from, to))
                .sum(),
            Self::Hours(calendar, units) => calendar.work_between(from, to).saturating_mul(*units),
            Self::Clock(units) => (to - from).max(0).saturating_mul(*units),
            Self::Days(open, units) => {
                let before = |day: i64| open.get(index(day)).or(open.last()).copied().unwrap_or(0);
                let days = before(day_of(to - 1) + 1) - before(day_of(from));
                days.max(0).saturating_mul(*units)
            }
        }
    }
}

fn hours(model: &Model, person: usize, from: Minute, to: Minute) -> Minute {
    let anyone = &model.anyone;
    let absences = &model.problem.people[person].absences;
    let away = absences
        .iter()
        .map(|&(start, end)| anyone.work_between(start.max(from), end.min(to)));
    anyone.work_between(from, to) - away.sum::<Minute>()
}

fn is_refuted(model: &Model, loads: &[Load], end: Minute) -> bool {
    let latest = latest_for(model, end);
    let heads = &model.heads;
    (0..heads.len()).any(|task| latest[task].1 < heads[task].1)
        || loads.iter().any(|load| load.is_too_much(model, &latest))
}

impl Load {
    /// Whether between some two minutes more must be done than can be.
    fn is_too_much(&self, model: &Model, latest: &[(Minute, Minute)]) -> bool {
        let start = |need: &&Need| model.heads[need.from].0;
        let finish = |need: &&Need| latest[need.to].1;
        let mut by_finish: Vec<&Need> = self.needs.iter().collect();
        by_finish.sort_by_key(finish);
        let mut starts: Vec<Minute> = by_finish.iter().map(start).collect();
        starts.sort_unstable();
        starts.dedup();
        // Large jobs try fewer pairs of minutes, so that the work stays in proportion.
        let most = if self.needs.len() > 5000 { 6 } else { 40 };
        let step = starts.len().div_ceil(most).max(1);
        starts.iter().step_by(step).any(|&from| {
            let inside = by_finish.iter().filter(|need| start(need) >= from);
            self.runs_out(model, from, inside.map(|need| (finish(need), need.amount)))
        })
    }

    /// Whether amounts due, in the order of their ends, overtake the supply from a minute on.
    fn runs_out(
        &self,
        model: &Model,
        from: Minute,
        due: impl Iterator<Item = (Minute, i64)>,
    ) -> bool {
        let mut sum = 0_i64;
        let mut checked = from;
        let mut last = from;
        // Between two looks at the supply lie a few hours at least.
        for (end, amount) in due {
            if end > checked + 240 && last > checked {
                if sum > self.supply.between(model, from, last) {
                    return true;
                }
                checked = last;
            }
            sum = sum.saturating_add(amount);
            last = end;
        }
        sum > self.supply.between(model, from, last)
    }
}

fn loads(model: &Model) -> Vec<Load> {
    let mut loads = people(model);
    loads.extend(equipment(model));
    loads.extend(budgets(model));
    loads.retain(|load| !load.needs.is_empty());
    loads
}

/// Person-minutes of the tasks that only some people can do, for each skill and for all together.
fn people(model: &Model) -> Vec<Load> {
    let problem = &model.problem;
    let all = problem
        .tasks
        .iter()
        .fold(0, |bits, task| bits | skill_bits(task));
    let each = (0..64)
        .map(|skill| 1_u64 << skill)
        .filter(|bit| all & bit != 0 && *bit != all);
    let load = |bits: u64| {
        let tasks = 0..problem.tasks.len();
        let needing = tasks.filter(|&task| skill_bits(&problem.tasks[task]) & bits != 0);
        let able = 0..problem.people.len();
        Load {
            supply: Supply::People(
                able.filter(|&person| problem.people[person].skills & bits != 0)
                    .collect(),
            ),
            needs: needing
                .map(|task| need(task, least_person_minutes(model, task)))
                .collect(),
        }
    };
    each.chain([all]).map(load).collect()
}

fn least_person_minutes(model: &Model, task: usize) -> i64 {
    let crews = model.crews[task].iter();
    let spent = crews
        .map(|&(crew, minutes)| minutes.saturating_mul(i64::try_from(crew).unwrap_or(i64::MAX)));
    spent.min().unwrap_or(0)
}

/// Units × minutes of each resource: in working hours what tasks use, on the clock also what they hold.
fn equipment(model: &Model) -> Vec<Load> {
    let resources = model.problem.resources.iter().enumerate();
    let both = resources.flat_map(|(resource, stated)| {
        let mut used: BTreeMap<usize, i64> = BTreeMap::new();
        let mut held = Vec::new();
        for (task, stated) in model.problem.tasks.iter().enumerate() {
            for &(_, units) in stated.equipment.iter().filter(|pair| pair.0 == resource) {
                *used.entry(task).or_insert(0) += units.saturating_mul(model.shortest(task));
            }
            for (hold, least) in model.holds[task]
                .iter()
                .filter(|held| held.0.resource == resource)
            {
                let amount = least.saturating_mul(hold.units);
                held.push(Need {
                    from: task,
                    to: hold.until,
                    amount,
                });
            }
        }
        let needs = || used.iter().map(|(&task, &amount)| need(task, amount));
        let hours = union(model, used.keys().copied());
        let in_hours = Load {
            needs: needs().collect(),
            supply: Supply::Hours(Box::new(hours), stated.capacity),
        };
        let on_the_clock = Load {
            needs: needs().chain(held).collect(),
            supply: Supply::Clock(stated.capacity),
        };
        [in_hours, on_the_clock]
    });
    both.collect()
}

/// Units of each budget, against its limit on each day that the tasks' calendars are open.
fn budgets(model: &Model) -> Vec<Load> {
    let budgets = model.problem.budgets.iter().enumerate();
    let load = |(budget, stated): (usize, &super::problem::DailyBudget)| {
        let mut needs = Vec::new();
        for (task, spends) in model.spends.iter().enumerate() {
            // A task without work may spend on a closed day.
            for &(_, units) in spends
                .iter()
                .filter(|spend| spend.0 == budget && model.shortest(task) > 0)
            {
                needs.push(need(task, units));
            }
        }
        let hours = union(model, needs.iter().map(|need| need.from));
        Load {
            supply: Supply::Days(open_days(&hours), stated.limit),
            needs,
        }
    };
    budgets.map(load).collect()
}

fn need(task: usize, amount: i64) -> Need {
    Need {
        from: task,
        to: task,
        amount,
    }
}

/// Returns the number of open days before each day.
fn open_days(hours: &Calendar) -> Vec<i64> {
    let mut open = vec![0];
    let mut sum = 0;
    for day in 0..=day_of(hours.horizon()) {
        sum += i64::from(hours.work_between(day * DAY, (day + 1) * DAY) > 0);
        open.push(sum);
    }
    open
}

fn union(model: &Model, tasks: impl Iterator<Item = usize>) -> Calendar {
    let used: BTreeSet<usize> = tasks
        .map(|task| model.problem.tasks[task].calendar)
        .collect();
    let intervals = used
        .into_iter()
        .flat_map(|calendar| model.problem.calendars[calendar].intervals());
    Calendar::from_intervals(intervals.copied())
}
