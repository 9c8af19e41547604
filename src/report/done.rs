//! What is done: one row a step of every panel and crate, for people to fill in; what they wrote comes back here.

use std::collections::BTreeMap;

use jiff::civil::DateTime;

use crate::job::Progress;
use crate::plan::Plan;
use crate::schedule::Planned;

use super::Column;
use super::Sheet;
use super::Table;
use super::Value;
use super::cells::hours;
use super::days;

/// The sheet that is written into day by day.
pub(super) fn sheet(plan: &Plan) -> Sheet {
    Sheet::new("what is done", "What is done: write it here")
        .across()
        .note(
            "Write into the boxed cells, save the workbook, and plan the rest: facelay plan JOB --out DIR --progress this-file, or put the \
             file into the job folder. XLSX and ODS are both read.",
        )
        .note(
            "done: yes, or a share such as 50 %. finished, at: from then on it dries. actual hours: of all people together. actual solution: \
             grams. Both give the rates of the next job (sheet what it took).",
        )
        .table(table(plan))
}

fn table(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("panel"),
        Column::text("step"),
        Column::text("what it is"),
        Column::time("planned finish"),
        Column::number("planned hours", 2).summed(),
        Column::number("planned solution (g)", 0).summed(),
        Column::text("done").asked("yes, no, or a share such as 50 %"),
        Column::day("finished").asked("the day, such as 2027-01-15"),
        Column::text("at").asked("the time of that day, such as 15:30"),
        Column::number("actual hours", 2).asked("person-hours, of all people together"),
        Column::number("actual solution", 0).asked("grams of solution that were used"),
        Column::text("notes").asked("anything else; it is not read"),
    ];
    let known = plan.job.planning.progress_by_step();
    let ends = ends(plan);
    let mut rows: Vec<_> = plan
        .schedule
        .planned
        .iter()
        .filter_map(|planned| {
            let step = plan
                .job
                .recipes
                .get(&planned.recipe)?
                .steps
                .get(planned.step)?;
            let written = known
                .get(&(planned.subject.as_str(), step.id.as_str()))
                .copied();
            let end = ends.get(&(planned.subject.as_str(), planned.step)).copied();
            let mut row = vec![
                Value::text(&planned.subject),
                Value::text(&step.id),
                Value::text(&step.name),
                end.map_or(Value::Empty, Value::Time),
                hours(planned.work_minutes.into()),
                solution(plan, planned),
            ];
            row.extend(inputs(written));
            Some((end, row))
        })
        .collect();
    // What has no end left is done, and comes first.
    rows.sort_by_key(|(end, _)| *end);
    Table::new("WhatIsDone", columns).rows(rows.into_iter().map(|(_, row)| row))
}

/// The planned end of what is left of each step, by panel or crate.
fn ends(plan: &Plan) -> BTreeMap<(&str, usize), DateTime> {
    let mut ends: BTreeMap<(&str, usize), DateTime> = BTreeMap::new();
    for activity in &plan.schedule.activities {
        let key = (days::subject(plan, activity), activity.step);
        let end = ends.entry(key).or_insert(activity.finish);
        *end = activity.finish.max(*end);
    }
    ends
}

/// Grams of solution of the whole step.
fn solution(plan: &Plan, planned: &Planned) -> Value {
    let mut needs = plan.takeoff.solutions.iter();
    let need = needs.find(|need| Some(need.panel) == planned.panel && need.step == planned.step);
    // Whole grams, so that the sum below them is the sum of what stands there.
    need.map_or(Value::Empty, |need| Value::Number(need.mass.to_g().round()))
}

/// What somebody wrote of a step, in the columns to fill in.
fn inputs(written: Option<&Progress>) -> Vec<Value> {
    let Some(row) = written else {
        return vec![Value::Empty; 6];
    };
    let done = if row.done >= 1.0 {
        "yes".to_owned()
    } else {
        format!("{} %", (row.done * 1000.0).round() / 10.0)
    };
    let clock = |minute: u16| format!("{:02}:{:02}", minute / 60, minute % 60);
    let number = |value: Option<f64>| value.map_or(Value::Empty, Value::Number);
    vec![
        Value::Text(done),
        row.finished.map_or(Value::Empty, Value::Day),
        row.minute
            .map_or(Value::Empty, |minute| Value::Text(clock(minute))),
        number(row.hours),
        number(row.solution),
        Value::Empty,
    ]
}
