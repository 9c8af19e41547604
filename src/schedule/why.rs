//! Why an activity starts when it does, in words.

use crate::recipe::Step;
use crate::solver::timetable::Cause;
use crate::solver::timetable::Explanation;
use crate::solver::timetable::Problem;
use crate::solver::timetable::Timetable;

use super::Given;
use super::Worker;
use super::draft::Draft;
use super::engine::local;
use super::resources;

/// The engine's problem and its answer.
pub(super) type Answer<'a> = (&'a Problem, &'a Timetable);

/// Says why a draft starts when it does.
pub(super) fn why(
    given: &Given<'_>,
    drafts: &[Draft<'_>],
    answer: Answer<'_>,
    workers: &[Worker],
    why: &Explanation,
    at: usize,
) -> String {
    let draft = drafts.get(at);
    let cause = match why.cause {
        Cause::Fixed => "its day is fixed".to_owned(),
        Cause::Earliest if draft.is_some_and(|draft| draft.held_from > draft.earliest) => {
            "it is held to start no earlier".to_owned()
        }
        Cause::Earliest => match draft.map_or(0, |draft| draft.earliest) {
            0 => "the first day".to_owned(),
            _ if given
                .job
                .planning
                .today
                .is_some_and(|today| ready_today(given, draft, today)) =>
            {
                "what is left begins today".to_owned()
            }
            _ => "its materials lie ready from then on".to_owned(),
        },
        Cause::Link { link } => linked(given, drafts, answer, link, at),
        Cause::Person { person, after } => {
            let name = workers
                .get(person)
                .map_or("", |worker| worker.name.as_str());
            let place = |task: usize| drafts.get(task).map(|draft| draft.place);
            let from = told(given, drafts, after, at);
            if place(after) == place(at) {
                format!(
                    "waits for {name}, on {from} until {}",
                    end(given, answer, after)
                )
            } else {
                let site = place(after).and_then(|place| given.job.places.get(place));
                let site = site.map_or("", |site| site.name.as_str());
                format!(
                    "waits for {name}, at {site} on {from} until {}",
                    end(given, answer, after)
                )
            }
        }
        Cause::Resource { resource, after } => format!(
            "waits for the {} of {} until {}",
            resources::name(given, resource),
            told(given, drafts, after, at),
            end(given, answer, after)
        ),
        Cause::Budget { .. } => "the fresh air of the days before is used up".to_owned(),
        Cause::Follower => "what must follow it soon could not come earlier".to_owned(),
        Cause::Choice => "the whole job is better so".to_owned(),
    };
    let waits = if why.calendar_wait > 0 && !matches!(why.cause, Cause::Earliest) {
        ", then for working hours"
    } else {
        ""
    };
    let critical = if why.critical {
        "; later would move the end or the hand-over"
    } else {
        ""
    };
    format!("{cause}{waits}{critical}")
}

/// The draft that a draft waited for: what it follows, or what had its people or equipment.
pub(super) fn waited_for(problem: &Problem, why: &Explanation) -> Option<usize> {
    match why.cause {
        Cause::Link { link } => problem.links.get(link).map(|link| link.before),
        Cause::Person { after, .. } | Cause::Resource { after, .. } => Some(after),
        Cause::Fixed | Cause::Earliest | Cause::Budget { .. } | Cause::Follower | Cause::Choice => {
            None
        }
    }
}

fn ready_today(given: &Given<'_>, draft: Option<&Draft<'_>>, today: jiff::civil::Date) -> bool {
    let minutes =
        i64::from((today - given.job.first_day).get_days()) * super::engine::MINUTES_A_DAY;
    draft.is_some_and(|draft| draft.earliest == minutes)
}

/// What a link waits for: drying, curing, the road, or only the end of the work before.
fn linked(
    given: &Given<'_>,
    drafts: &[Draft<'_>],
    answer: Answer<'_>,
    link: usize,
    at: usize,
) -> String {
    let Some(link) = answer.0.links.get(link) else {
        return String::new();
    };
    let before = told(given, drafts, link.before, at);
    let place = |task: usize| drafts.get(task).map(|draft| draft.place);
    let finish = answer
        .1
        .tasks
        .get(link.before)
        .map_or(0, |placed| placed.finish);
    let ready = stamp(given, finish + link.lag);
    if drafts
        .get(link.before)
        .is_some_and(|draft| draft.step.is_none())
    {
        format!("waits for {before} until {ready}")
    } else if link.lag == 0 {
        format!("follows {before}, done {ready}")
    } else if place(link.before) == place(at) {
        format!("waits until {before} is dry or cured, {ready}")
    } else {
        format!("waits for {before} and the way to the other place, {ready}")
    }
}

/// An activity in words: `N3 (Facing of linen)`, or the step alone where it is about the same panel as what is asked.
fn told(given: &Given<'_>, drafts: &[Draft<'_>], task: usize, asked: usize) -> String {
    let Some(draft) = drafts.get(task) else {
        return String::new();
    };
    let Some((_, step)) = draft.step else {
        return "the step before on all panels".to_owned();
    };
    let subject = draft
        .packing
        .and_then(|at| given.crating.crates.get(at))
        .map(|packed| packed.id.as_str());
    let panel = draft.panel.and_then(|panel| given.survey.panels.get(panel));
    let subject = subject
        .or(panel.map(|panel| panel.id.as_str()))
        .unwrap_or("");
    let same = drafts
        .get(asked)
        .is_some_and(|other| other.panel.is_some() && other.panel == draft.panel);
    if same {
        format!("`{}`", short(step))
    } else {
        format!("{subject} (`{}`)", short(step))
    }
}

/// A step's name up to its first comma, which is enough to know it by.
fn short(step: &Step) -> &str {
    step.name.split(',').next().unwrap_or(&step.name)
}

fn end(given: &Given<'_>, answer: Answer<'_>, task: usize) -> String {
    stamp(
        given,
        answer.1.tasks.get(task).map_or(0, |placed| placed.finish),
    )
}

fn stamp(given: &Given<'_>, minute: i64) -> String {
    local(given, minute).strftime("%a %-d %b %H:%M").to_string()
}
