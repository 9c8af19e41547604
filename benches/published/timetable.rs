//! Small timetables in JSON, for a judge in another language: one line of JSON each, finish, bound and places or why none.
//!
//! `{"effort", "week": [[[from, to]…] × 7], "closed": [day…], "people": [{"skills"}…], "resources": [capacity…],
//! "tasks": [{"skill", "work", "fewest", "most", "same_day", "pausable", "earliest", "equipment": [[resource, units]…],
//! "holds": [[resource, units, until]…]}…], "links": [{"before", "after", "lag", "within", "to_finish"}…]}`; minutes throughout.

use std::path::Path;
use std::process::ExitCode;

use facelay::solver::timetable::Calendar;
use facelay::solver::timetable::End;
use facelay::solver::timetable::Hold;
use facelay::solver::timetable::Link;
use facelay::solver::timetable::Person;
use facelay::solver::timetable::Problem;
use facelay::solver::timetable::Resource;
use facelay::solver::timetable::Search;
use facelay::solver::timetable::Task;
use facelay::solver::timetable::solve;
use serde::Deserialize;

use crate::published::common::text;

#[derive(Debug, Deserialize)]
struct Stated {
    effort: u64,
    week: [Vec<(u16, u16)>; 7],
    closed: Vec<i64>,
    people: Vec<StatedPerson>,
    resources: Vec<i64>,
    tasks: Vec<StatedTask>,
    links: Vec<StatedLink>,
}

#[derive(Debug, Deserialize)]
struct StatedPerson {
    skills: u64,
}

#[derive(Debug, Deserialize)]
struct StatedTask {
    skill: Option<u8>,
    work: i64,
    fewest: usize,
    most: usize,
    same_day: bool,
    pausable: bool,
    earliest: i64,
    equipment: Vec<(usize, i64)>,
    holds: Vec<(usize, i64, usize)>,
}

#[derive(Debug, Deserialize)]
struct StatedLink {
    before: usize,
    after: usize,
    lag: i64,
    within: Option<i64>,
    to_finish: bool,
}

/// Plans every file named.
pub(crate) fn run(paths: &[String]) -> ExitCode {
    let mut code = ExitCode::SUCCESS;
    for path in paths {
        match plan(Path::new(path)) {
            Ok(line) => println!("{line}"),
            Err(message) => {
                eprintln!("{path}: {message}");
                code = ExitCode::FAILURE;
            }
        }
    }
    code
}

fn plan(path: &Path) -> Result<serde_json::Value, String> {
    let stated: Stated = serde_json::from_str(&text(path)?).map_err(|error| error.to_string())?;
    let search = Search {
        effort: stated.effort,
        seed: 1,
    };
    let timetable = match solve(&problem(stated), search, &mut || false) {
        Ok(timetable) => timetable,
        Err(none) => return Ok(serde_json::json!({ "none": format!("{:?}", none.reasons) })),
    };
    let tasks = timetable.tasks.iter();
    let tasks: Vec<_> = tasks
        .map(|task| (task.start, task.finish, &task.people))
        .collect();
    Ok(serde_json::json!({
        "finish": timetable.finish,
        "bound": timetable.lower_bound_finish,
        "broken": timetable.broken.len(),
        "tasks": tasks,
    }))
}

fn problem(stated: Stated) -> Problem {
    let closed = stated.closed.into_iter().collect();
    let people = stated.people.iter();
    let resources = stated.resources.iter();
    Problem {
        calendars: vec![Calendar::weekly(stated.week, 0, &closed, 60)],
        people: people
            .map(|person| Person {
                skills: person.skills,
                ..Person::default()
            })
            .collect(),
        resources: resources
            .map(|&capacity| Resource {
                capacity,
                ..Resource::default()
            })
            .collect(),
        tasks: stated.tasks.into_iter().map(task).collect(),
        links: stated.links.iter().map(link).collect(),
        ..Problem::default()
    }
}

fn task(stated: StatedTask) -> Task {
    let holds = stated.holds.iter();
    Task {
        skill: stated.skill,
        work: stated.work,
        fewest: stated.fewest,
        most: stated.most,
        same_day: stated.same_day,
        pausable: stated.pausable,
        earliest: stated.earliest,
        holds: holds
            .map(|&(resource, units, until)| Hold {
                resource,
                units,
                until,
            })
            .collect(),
        equipment: stated.equipment,
        ..Task::default()
    }
}

fn link(stated: &StatedLink) -> Link {
    let made = Link::new(stated.before, stated.after).lag(stated.lag);
    let end = if stated.to_finish {
        End::Finish
    } else {
        End::Start
    };
    match stated.within {
        Some(minutes) => made.within(minutes, end),
        None => made,
    }
}
