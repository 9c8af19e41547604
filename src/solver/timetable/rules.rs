//! Orders in which to place tasks, each from one idea of what is urgent.

use super::calendar::DAY;
use super::calendar::Minute;
use super::calendar::day_of;
use super::model::Model;

/// An idea of what is urgent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rule {
    /// Soonest latest finish first.
    LatestFinish,
    /// Soonest latest start first.
    LatestStart,
    /// One tag after another, in the order of their most urgent tasks.
    ByTag,
    /// Most work and lags still to follow first.
    LongestTail,
    /// Most tasks that follow directly first.
    MostFollowers,
    /// Soonest earliest start first.
    EarliestStart,
}

/// All rules, the best general one first.
pub(super) const ALL: [Rule; 6] = [
    Rule::LatestFinish,
    Rule::ByTag,
    Rule::LatestStart,
    Rule::LongestTail,
    Rule::MostFollowers,
    Rule::EarliestStart,
];

impl Rule {
    /// Returns a key for each task; smaller keys are placed first where links allow.
    pub(super) fn keys(self, model: &Model) -> Vec<i64> {
        let tasks = 0..model.problem.tasks.len();
        match self {
            Self::LatestFinish => latest_for_heads(model)
                .into_iter()
                .map(|(_, finish)| finish)
                .collect(),
            Self::LatestStart => latest_for_heads(model)
                .into_iter()
                .map(|(start, _)| start)
                .collect(),
            Self::ByTag => by_tag(model),
            Self::LongestTail => tails(model).into_iter().map(|tail| -tail).collect(),
            Self::MostFollowers => {
                let followers = |task: usize| model.network.out[task].len();
                tasks
                    .map(|task| -i64::try_from(followers(task)).unwrap_or(i64::MAX))
                    .collect()
            }
            Self::EarliestStart => model.heads.iter().map(|head| head.0).collect(),
        }
    }
}

/// Returns the latest start and finish of each task for the earliest end there can be, due minutes kept.
fn latest_for_heads(model: &Model) -> Vec<(Minute, Minute)> {
    let end = model.heads.iter().map(|head| head.1).max().unwrap_or(0);
    latest(model, end, |task| {
        let stated = &model.problem.tasks[task];
        let wanted = stated.latest_finish.into_iter().chain(stated.due);
        wanted.fold(end, Minute::min)
    })
}

/// Returns the latest start and finish of each task, by links and calendars, for all to finish by `end`.
pub(super) fn latest_for(model: &Model, end: Minute) -> Vec<(Minute, Minute)> {
    latest(model, end, |task| {
        let stated = model.problem.tasks[task].latest_finish;
        stated.unwrap_or(end).min(end)
    })
}

fn latest(model: &Model, end: Minute, by: impl Fn(usize) -> Minute) -> Vec<(Minute, Minute)> {
    let mut latest = vec![(end, end); model.heads.len()];
    for &task in model.network.order.iter().rev() {
        let out = model.network.out[task]
            .iter()
            .map(|&arc| model.network.arcs[arc]);
        let finish = out.fold(by(task), |finish, arc| {
            finish.min(latest[arc.after].0 - arc.lag)
        });
        latest[task] = latest_of(model, task, finish);
    }
    latest
}

/// Returns a task's latest start and finish, its shortest work ending by `finish`.
fn latest_of(model: &Model, task: usize, finish: Minute) -> (Minute, Minute) {
    let stated = &model.problem.tasks[task];
    let minutes = model.shortest(task);
    let calendar = model.calendar(task);
    let mut by = finish;
    // A few steps back find most days or intervals that are long enough; stopping early is only less sharp.
    for _ in 0..4 {
        let Some(start) = calendar.back(by, minutes) else {
            return (by - minutes, by);
        };
        let end = calendar.advance(start, minutes).unwrap_or(by);
        if stated.same_day && minutes > 0 && day_of(start) != day_of(end - 1) {
            by = (day_of(start) + 1) * DAY;
        } else if !stated.pausable && end - start != minutes {
            by = calendar.run_end(start);
        } else {
            return (start, end);
        }
    }
    (by - minutes, by)
}

/// Returns the minutes of work and lags that follow each task at least, its own work included.
pub(super) fn tails(model: &Model) -> Vec<Minute> {
    let mut tails = vec![0; model.heads.len()];
    for &task in model.network.order.iter().rev() {
        let out = model.network.out[task]
            .iter()
            .map(|&arc| model.network.arcs[arc]);
        let follows = out.map(|arc| arc.lag + tails[arc.after]).max().unwrap_or(0);
        tails[task] = follows + model.shortest(task);
    }
    tails
}

fn by_tag(model: &Model) -> Vec<i64> {
    let latest = latest_for_heads(model);
    let mut first = std::collections::BTreeMap::new();
    for (task, stated) in model.problem.tasks.iter().enumerate() {
        let soonest = first.entry(stated.tag).or_insert(latest[task].0);
        *soonest = latest[task].0.min(*soonest);
    }
    let mut tags: Vec<_> = first
        .into_iter()
        .map(|(tag, soonest)| (soonest, tag))
        .collect();
    tags.sort_unstable();
    let places: std::collections::BTreeMap<_, _> = tags
        .into_iter()
        .enumerate()
        .map(|(place, (_, tag))| (tag, place))
        .collect();
    let mut order: Vec<usize> = (0..latest.len()).collect();
    order.sort_by_key(|&task| {
        (
            places.get(&model.problem.tasks[task].tag),
            latest[task].1,
            task,
        )
    });
    ranks(&order)
}

/// Turns an order into keys.
pub(super) fn ranks(order: &[usize]) -> Vec<i64> {
    let mut keys = vec![0; order.len()];
    for (key, &task) in (0..).zip(order) {
        keys[task] = key;
    }
    keys
}
