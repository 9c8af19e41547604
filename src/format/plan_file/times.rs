//! Solutions with their batches, and the schedule.
#![allow(
    clippy::struct_field_names,
    reason = "the names are the keys of the format"
)]

use std::collections::BTreeMap;

use jiff::civil::DateTime;
use serde::Serialize;
use serde::ser::SerializeMap;

use crate::exposure::AirCourse;
use crate::exposure::AirHour;
use crate::exposure::PlaceAir;
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
    schedules: u64,
    by_clock: bool,
    grid_minutes: i64,
    travel_days: u32,
    today: Option<String>,
    done: Vec<DoneRow<'a>>,
    bays: Vec<BayRow<'a>>,
    air: Vec<AirRow<'a>>,
}

#[derive(Serialize)]
struct DoneRow<'a> {
    panel: &'a str,
    step: &'a str,
    share: f64,
}

#[derive(Serialize)]
struct BayRow<'a> {
    bay: &'a str,
    tower: &'a str,
    panels: &'a [String],
}

#[derive(Serialize)]
struct AirRow<'a> {
    place: &'a str,
    room_m3: Option<f64>,
    fresh_m3_h: Option<f64>,
    needs_extraction: bool,
    hours: Vec<AirHourRow>,
}

#[derive(Serialize)]
struct AirHourRow {
    from: String,
    applied_g: f64,
    given_off_g: f64,
    health_air_m3: f64,
    fire_air_m3: f64,
    of_limit: Option<f64>,
    of_explosive: Option<f64>,
}

#[derive(Serialize)]
struct Place<'a> {
    place: &'a str,
    role: &'a str,
    hours: BTreeMap<&'static str, Vec<String>>,
    closed: Vec<String>,
    daylight: Option<String>,
    cool: Option<String>,
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
    moving_minutes: u32,
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
    /// First and last sheet in laying order, of a day section.
    #[serde(skip_serializing_if = "Option::is_none")]
    sheets: Option<(usize, usize)>,
    start: String,
    finish: String,
    work_minutes: u32,
    moving_minutes: u32,
    air_minutes: u32,
    bay: Option<&'a str>,
    stands_on: Option<&'a str>,
    people: Vec<&'a str>,
    equipment: Vec<Equipment<'a>>,
    same_day: bool,
    after: Vec<After<'a>>,
    stretches: Vec<[String; 2]>,
    float_minutes: i64,
    critical: bool,
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
                moving_minutes: row.moving_minutes,
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
        schedules: schedule.schedules,
        by_clock: schedule.by_clock,
        grid_minutes: crate::schedule::GRID,
        travel_days: job
            .places
            .iter()
            .map(|site| site.travel_days)
            .max()
            .unwrap_or(0),
        today: job.planning.today.map(|day| day.to_string()),
        done: schedule
            .done
            .iter()
            .map(|done| DoneRow {
                panel: plan.panel_id(done.panel),
                step: plan
                    .step_of(done.panel, done.step)
                    .map_or("", |step| &step.id),
                share: done.share,
            })
            .collect(),
        bays: job
            .planning
            .bays
            .iter()
            .map(|bay| BayRow {
                bay: &bay.name,
                tower: &bay.tower,
                panels: &bay.panels,
            })
            .collect(),
        air: air(plan),
    };
    map.serialize_entry("schedule", &document)
}

fn air(plan: &Plan) -> Vec<AirRow<'_>> {
    let row = |(site, (course, air)): (&'_ Site, (&AirCourse, &PlaceAir))| {
        let midnight = plan
            .job
            .first_day
            .to_datetime(jiff::civil::Time::midnight());
        let hour = |hour: &AirHour| AirHourRow {
            from: stamp(midnight.saturating_add(jiff::Span::new().minutes(hour.minute))),
            applied_g: rounded(hour.applied_g, 1e3),
            given_off_g: rounded(hour.given_off_g, 1e3),
            health_air_m3: rounded(hour.health_air_m3, 1e2),
            fire_air_m3: rounded(hour.fire_air_m3, 1e2),
            of_limit: hour.of_limit.map(|share| rounded(share, 1e4)),
            of_explosive: hour.of_explosive.map(|share| rounded(share, 1e6)),
        };
        (
            site.room_m3,
            course.hours.iter().map(hour).collect(),
            air.needs_extraction,
        )
    };
    let places = plan.job.places.iter();
    let known = plan.schedule.air.iter().zip(&plan.exposure.air);
    places
        .zip(known)
        .map(|(site, known)| {
            let (room_m3, hours, needs_extraction) = row((site, known));
            AirRow {
                place: &site.name,
                room_m3,
                fresh_m3_h: site.fresh_air_m3_h,
                needs_extraction,
                hours,
            }
        })
        .collect()
}

fn rounded(number: f64, scale: f64) -> f64 {
    (number * scale).round() / scale
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
        daylight: site
            .daylight
            .map(|(from, to)| format!("{}-{}", clock(from), clock(to))),
        cool: site
            .cool
            .map(|(from, to)| format!("{}-{}", clock(from), clock(to))),
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
        sheets: activity
            .sheets
            .as_ref()
            .map(|sheets| (sheets.start + 1, sheets.end)),
        start: stamp(activity.start),
        finish: stamp(activity.finish),
        work_minutes: activity.work_minutes,
        moving_minutes: activity.moving_minutes,
        air_minutes: activity.air_minutes,
        bay: activity
            .bay
            .and_then(|bay| plan.job.planning.bays.get(bay))
            .map(|bay| bay.name.as_str()),
        stands_on: activity
            .stands_on
            .and_then(|at| plan.schedule.activities.get(at))
            .map(|earlier| earlier.id.as_str()),
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
                    moving_minutes: 0,
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
        critical: activity.critical,
        waits_for: &activity.waits_for,
    }
}
