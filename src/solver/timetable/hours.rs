//! When a crew can work: in the hours of a task's calendar and when nobody is away.

use super::calendar::DAY;
use super::calendar::Minute;
use super::calendar::Span;
use super::calendar::day_of;
use super::calendar::split_by_day;
use super::free::FOREVER;
use super::model::Model;
use super::problem::Person;

/// Finds the first start from `t` on at which the crew has the working time, whatever else they do.
pub(super) fn fit(
    model: &Model,
    task: usize,
    crew: &[usize],
    t: Minute,
    minutes: Minute,
) -> Option<Span> {
    if minutes == 0 {
        return Some((t, t));
    }
    let calendar = model.calendar(task);
    let stated = &model.problem.tasks[task];
    let people = &model.problem.people;
    let mut t = t;
    loop {
        let start = calendar.next_work(t)?;
        if let Some((from, until)) = next_absence(people, crew, start)
            && from <= start
        {
            t = until;
            continue;
        }
        let finish = finish_from(model, task, crew, start, minutes)?;
        if stated.same_day && day_of(start) != day_of(finish - 1) {
            t = (day_of(start) + 1) * DAY;
        } else if !stated.pausable && finish - start != minutes {
            t = run_end(model, task, crew, start);
        } else {
            return Some((start, finish));
        }
    }
}

/// Returns when a crew has worked `minutes` from `start`, pausing over breaks and absences.
fn finish_from(
    model: &Model,
    task: usize,
    crew: &[usize],
    start: Minute,
    minutes: Minute,
) -> Option<Minute> {
    let calendar = model.calendar(task);
    let (mut at, mut left) = (start, minutes);
    loop {
        let finish = calendar.advance(at, left)?;
        match next_absence(&model.problem.people, crew, at) {
            Some((from, until)) if from < finish => {
                left -= calendar.work_between(at, from);
                at = until;
            }
            Some(_) | None => return Some(finish),
        }
    }
}

/// Returns the end of the stretch in which a crew can work without a pause from `start`.
pub(super) fn run_end(model: &Model, task: usize, crew: &[usize], start: Minute) -> Minute {
    let away = next_absence(&model.problem.people, crew, start);
    let end = model.calendar(task).run_end(start);
    away.map_or(end, |(from, _)| end.min(from))
}

/// Returns the stretches in which a crew works `minutes` from `start`.
pub(super) fn segments(
    model: &Model,
    task: usize,
    crew: &[usize],
    start: Minute,
    minutes: Minute,
) -> Vec<Span> {
    let calendar = model.calendar(task);
    let (mut at, mut left) = (start, minutes);
    let mut segments: Vec<Span> = Vec::new();
    while left > 0 {
        let Some(from) = calendar.next_work(at) else {
            break;
        };
        let absence = next_absence(&model.problem.people, crew, from);
        if let Some((away, until)) = absence
            && away <= from
        {
            at = until;
            continue;
        }
        let away = absence.map_or(FOREVER, |(away, _)| away);
        let to = calendar.run_end(from).min(away).min(from + left);
        segments.push((from, to));
        left -= to - from;
        at = to;
    }
    segments
}

/// Returns the first absence of anyone in the crew that ends after `t`.
fn next_absence(people: &[Person], crew: &[usize], t: Minute) -> Option<Span> {
    let next = crew.iter().filter_map(|&person| {
        let absences = &people[person].absences;
        absences
            .get(absences.partition_point(|&(_, end)| end <= t))
            .copied()
    });
    next.min()
}

/// Returns the working minutes of a task on each of its days; a task without work has one day of none.
pub(super) fn days(
    model: &Model,
    task: usize,
    crew: &[usize],
    start: Minute,
    minutes: Minute,
) -> Vec<(i64, Minute)> {
    if minutes == 0 {
        return vec![(day_of(start), 0)];
    }
    let mut days: Vec<(i64, Minute)> = Vec::new();
    for (from, to) in segments(model, task, crew, start, minutes) {
        for (day, worked) in split_by_day(from, to) {
            match days.last_mut() {
                Some(last) if last.0 == day => last.1 += worked,
                Some(_) | None => days.push((day, worked)),
            }
        }
    }
    days
}
