//! Solutions with their batches, and the schedule.
#![allow(
    clippy::struct_field_names,
    reason = "the names are the keys of the format"
)]

use std::collections::BTreeMap;

use jiff::civil::DateTime;
use serde::Serialize;
use serde::ser::SerializeMap;

use crate::job::Site;
use crate::plan::Plan;
use crate::schedule::Activity;
use crate::takeoff::Part;

#[derive(Serialize)]
struct Solution<'a> {
    step: &'a str,
    recipe: &'a str,
    solution: &'a str,
    parts: Vec<PartRow>,
    mass_g: f64,
    batches: Vec<Batch>,
}

#[derive(Serialize)]
struct PartRow {
    material: String,
    mass_g: f64,
    volume_ml: Option<f64>,
}

#[derive(Serialize)]
struct Batch {
    day: String,
    mixed: String,
    mass_g: f64,
    parts: Vec<PartRow>,
}

#[derive(Serialize)]
struct Schedule<'a> {
    places: Vec<Place<'a>>,
    people: Vec<Person<'a>>,
    equipment: Vec<Equipment<'a>>,
    activities: Vec<ActivityRow<'a>>,
    finish: Option<String>,
    wall_clear: Option<String>,
    late_minutes: i64,
    lower_bound_finish: Option<String>,
    gap_percent: f64,
}

#[derive(Serialize)]
struct Place<'a> {
    place: &'a str,
    role: &'a str,
    hours: BTreeMap<&'static str, Vec<String>>,
    closed: Vec<String>,
}

#[derive(Serialize)]
struct Person<'a> {
    name: &'a str,
    skills: Vec<&'a str>,
    away: Vec<String>,
}

#[derive(Serialize)]
struct Equipment<'a> {
    name: &'a str,
    count: u32,
}

#[derive(Serialize)]
struct ActivityRow<'a> {
    id: &'a str,
    panel: Option<&'a str>,
    #[serde(rename = "crate")]
    packing: Option<&'a str>,
    recipe: &'a str,
    step: &'a str,
    place: &'a str,
    start: String,
    finish: String,
    work_minutes: u32,
    people: Vec<&'a str>,
    equipment: Vec<Equipment<'a>>,
    same_day: bool,
    after: Vec<After<'a>>,
    stretches: Vec<[String; 2]>,
    float_minutes: i64,
    waits_for: &'a str,
}

#[derive(Serialize)]
struct After<'a> {
    id: &'a str,
    dry_minutes: u32,
    within_minutes: Option<u32>,
}

pub(super) fn write<M: SerializeMap>(map: &mut M, plan: &Plan) -> Result<(), M::Error> {
    map.serialize_entry("solutions", &solutions(plan))?;
    let schedule = &plan.schedule;
    let job = &plan.job;
    let document = Schedule {
        places: job.places.iter().map(place).collect(),
        people: schedule
            .workers
            .iter()
            .map(|worker| person(plan, worker))
            .collect(),
        equipment: job
            .equipment
            .iter()
            .map(|row| Equipment {
                name: &row.name,
                count: row.count,
            })
            .collect(),
        activities: schedule
            .activities
            .iter()
            .map(|activity| activity_row(plan, activity))
            .collect(),
        finish: schedule.finish.map(stamp),
        wall_clear: schedule.wall_clear.map(stamp),
        late_minutes: schedule.late_minutes,
        lower_bound_finish: schedule.lower_bound_finish.map(stamp),
        gap_percent: schedule.gap_percent,
    };
    map.serialize_entry("schedule", &document)
}

fn stamp(time: DateTime) -> String {
    time.strftime("%Y-%m-%dT%H:%M").to_string()
}

/// One entry a recipe's step, all panels together, with its batches.
fn solutions(plan: &Plan) -> Vec<Solution<'_>> {
    plan.solutions_by_step()
        .into_iter()
        .map(|total| Solution {
            step: total.step,
            recipe: total.recipe,
            solution: total.solution,
            parts: total.parts.iter().map(part).collect(),
            mass_g: total.mass.to_g(),
            batches: plan
                .schedule
                .batches
                .iter()
                .filter(|batch| batch.recipe == total.recipe && batch.step == total.step)
                .map(|batch| Batch {
                    day: batch.day.to_string(),
                    mixed: stamp(batch.mixed),
                    mass_g: batch.mass.to_g(),
                    parts: batch.parts.iter().map(part).collect(),
                })
                .collect(),
        })
        .collect()
}

fn part(part: &Part) -> PartRow {
    PartRow {
        material: part.material.clone(),
        mass_g: part.mass.to_g(),
        volume_ml: part.volume.map(crate::units::Volume::to_ml),
    }
}

/// The days of the week as keys, Monday first.
const DAYS: [&str; 7] = [
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
];

fn place(site: &Site) -> Place<'_> {
    let clock = |minute: u16| format!("{:02}:{:02}", minute / 60, minute % 60);
    let hours = DAYS.iter().copied().zip(&site.hours).map(|(day, hours)| {
        (
            day,
            hours
                .iter()
                .map(|&(from, to)| format!("{}-{}", clock(from), clock(to)))
                .collect(),
        )
    });
    Place {
        place: &site.name,
        role: site.role.name(),
        hours: hours.collect(),
        closed: site.closed.iter().map(ToString::to_string).collect(),
    }
}

fn person<'a>(plan: &'a Plan, worker: &'a crate::schedule::Worker) -> Person<'a> {
    let row = plan.job.people.get(worker.row);
    Person {
        name: &worker.name,
        skills: row.map_or_else(Vec::new, |row| {
            row.skills.iter().map(String::as_str).collect()
        }),
        away: row.map_or_else(Vec::new, |row| {
            row.away.iter().map(ToString::to_string).collect()
        }),
    }
}

fn activity_row<'a>(plan: &'a Plan, activity: &'a Activity) -> ActivityRow<'a> {
    let step = plan
        .job
        .recipes
        .get(&activity.recipe)
        .and_then(|recipe| recipe.steps.get(activity.step));
    let follows = |follows: &crate::schedule::Follows| {
        let before = plan.schedule.activities.get(follows.activity)?;
        Some(After {
            id: &before.id,
            dry_minutes: follows.dry_minutes,
            within_minutes: follows.within_minutes,
        })
    };
    ActivityRow {
        id: &activity.id,
        panel: activity.panel.map(|panel| plan.panel_id(panel)),
        packing: activity
            .packing
            .and_then(|at| plan.crating.crates.get(at))
            .map(|packed| packed.id.as_str()),
        recipe: &activity.recipe,
        step: step.map_or("", |step| &step.id),
        place: plan
            .job
            .places
            .get(activity.place)
            .map_or("", |site| &site.name),
        start: stamp(activity.start),
        finish: stamp(activity.finish),
        work_minutes: activity.work_minutes,
        people: activity
            .people
            .iter()
            .filter_map(|&at| plan.schedule.workers.get(at))
            .map(|worker| worker.name.as_str())
            .collect(),
        equipment: step.map_or_else(Vec::new, |step| {
            step.equipment
                .iter()
                .map(|(name, count)| Equipment {
                    name,
                    count: *count,
                })
                .collect()
        }),
        same_day: step.is_some_and(|step| step.same_day),
        after: activity.after.iter().filter_map(follows).collect(),
        stretches: activity
            .stretches
            .iter()
            .map(|&(from, to)| [stamp(from), stamp(to)])
            .collect(),
        float_minutes: activity.float_minutes,
        waits_for: &activity.waits_for,
    }
}
