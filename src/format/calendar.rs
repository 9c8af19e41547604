//! The schedule as a calendar (RFC 5545): an event an activity and day, a category a person.

use icalendar::Calendar;
use icalendar::Component;
use icalendar::Event;
use icalendar::EventLike;
use icalendar::Property;
use jiff::civil::DateTime;

use crate::input::sha256;
use crate::plan::Plan;
use crate::schedule::Activity;

/// Writes every activity's days. Times are local without a zone: the hours of the place, wherever it is.
///
/// Names of events and their stamp come from the job alone, so that a second import replaces the first.
pub fn write_calendar(plan: &Plan) -> Vec<u8> {
    let mut calendar = Calendar::new();
    calendar.name(&plan.job.title);
    let job = name(&plan.job.title);
    for activity in &plan.schedule.activities {
        for (number, day) in days_of(activity).into_iter().enumerate() {
            calendar.push(event(plan, activity, (number, day), &job));
        }
    }
    calendar.to_string().into_bytes()
}

/// First and last minute of each day on which an activity is worked at.
fn days_of(activity: &Activity) -> Vec<(DateTime, DateTime)> {
    let mut days: Vec<(DateTime, DateTime)> = Vec::new();
    for &(from, to) in &activity.stretches {
        match days.last_mut() {
            Some((first, last)) if first.date() == from.date() => *last = to,
            Some(_) | None => days.push((from, to)),
        }
    }
    days
}

fn event(
    plan: &Plan,
    activity: &Activity,
    (number, (from, to)): (usize, (DateTime, DateTime)),
    job: &str,
) -> Event {
    let step = plan
        .job
        .recipes
        .get(&activity.recipe)
        .and_then(|recipe| recipe.steps.get(activity.step));
    let step = step.map_or("", |step| step.name.as_str());
    let packed = activity
        .packing
        .and_then(|at| plan.crating.crates.get(at))
        .map(|packed| packed.id.as_str());
    let subject = packed
        .or(activity.panel.map(|panel| plan.panel_id(panel)))
        .unwrap_or("");
    let people: Vec<&str> = activity
        .people
        .iter()
        .filter_map(|&at| plan.schedule.workers.get(at))
        .map(|worker| worker.name.as_str())
        .collect();
    let place = plan
        .job
        .places
        .get(activity.place)
        .map_or("", |site| site.name.as_str());
    let ordered = plan.job.order_day.strftime("%Y%m%dT000000Z").to_string();
    let mut event = Event::new();
    event
        .uid(&format!("{}-{number}@{job}.facelay", name(&activity.id)))
        .add_property("DTSTAMP", ordered)
        .add_property("DTSTART", stamp(from))
        .add_property("DTEND", stamp(to))
        .summary(&format!("{subject}: {step}"))
        .location(place)
        .description(&format!(
            "{} ({}). Why then: {}",
            people.join(", "),
            activity.id,
            activity.waits_for
        ));
    for person in people {
        event.append_multi_property(Property::new("CATEGORIES", person));
    }
    event.done()
}

fn stamp(time: DateTime) -> String {
    time.strftime("%Y%m%dT%H%M%S").to_string()
}

/// The first digits of a text's SHA-256, to name it by.
fn name(text: &str) -> String {
    sha256(text.as_bytes()).chars().take(16).collect()
}
