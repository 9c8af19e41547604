//! Tests of the whole engine: worked cases, published networks, random jobs against a checker written apart.

mod cases;
mod checker;
mod published;
mod random;
mod size;

use super::*;

/// Monday to Friday, 08:00 to 12:00 and 13:00 to 17:00; day 0 is a Monday.
fn office() -> Calendar {
    let mut week = [const { Vec::new() }; 7];
    for day in &mut week[..5] {
        *day = vec![(480, 720), (780, 1020)];
    }
    Calendar::weekly(week, 0, &std::collections::BTreeSet::new(), 60)
}

/// Returns the minute of a time on a day.
const fn at(day: i64, hour: i64, minute: i64) -> Minute {
    day * DAY + hour * 60 + minute
}

fn worker() -> Person {
    Person {
        skills: 1,
        ..Person::default()
    }
}

/// A task for one to `most` people of skill 0.
fn work(minutes: Minute, most: usize) -> Task {
    Task {
        skill: Some(0),
        work: minutes,
        most,
        ..Task::default()
    }
}

#[track_caller]
fn plan(problem: &Problem, effort: u64) -> Timetable {
    let timetable = solve(problem, Search { effort, seed: 1 }, &mut || false).unwrap();
    let faults = checker::faults(problem, &timetable);
    assert!(faults.is_empty(), "{faults:#?}\n{timetable:#?}");
    timetable
}

#[track_caller]
fn reasons(problem: &Problem) -> Vec<Reason> {
    solve(problem, Search { effort: 1, seed: 1 }, &mut || false)
        .unwrap_err()
        .reasons
}
