//! Labour by row of the job's people: the time they are at work, at the rate the client is charged.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;

use crate::diag::Problems;
use crate::job::Job;
use crate::schedule::Activity;
use crate::schedule::Schedule;

use super::lines::Draft;
use super::outcome::Group;

/// A line a row of people who work, in the order of the rows.
pub(super) fn of(job: &Job, schedule: &Schedule, problems: &mut Problems) -> Vec<Draft> {
    let mut minutes: BTreeMap<usize, i64> = BTreeMap::new();
    for activity in &schedule.activities {
        let span = minutes_at_work(activity);
        for worker in activity.people.iter().filter_map(|person| schedule.workers.get(*person)) {
            let sum = minutes.entry(worker.row).or_default();
            *sum = sum.saturating_add(span);
        }
    }
    let rows = minutes.into_iter().filter(|(_, minutes)| *minutes > 0);
    rows.filter_map(|(row, minutes)| line(job, row, minutes, problems)).collect()
}

/// Minutes that each person of an activity works at it.
fn minutes_at_work(activity: &Activity) -> i64 {
    let whole = [(activity.start, activity.finish)];
    let stretches = if activity.stretches.is_empty() { &whole[..] } else { &activity.stretches };
    stretches.iter().map(|(from, to)| to.duration_since(*from).as_mins().max(0)).sum()
}

/// One row's line: hours to the hundredth at the charge rate, or at cost where no charge is given.
fn line(job: &Job, row: usize, minutes: i64, problems: &mut Problems) -> Option<Draft> {
    let person = job.people.get(row)?;
    let hours =
        (Decimal::from(minutes) / Decimal::from(60)).round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
    let charged = !person.charge.amount().is_zero();
    if !charged {
        let text = format!("`{}` has no charge rate: the bid counts what an hour costs, {}", person.name, person.cost);
        problems.warning(None, text, "write `charge` for the person in job.toml");
    }
    let cost = person.cost.times(hours).cents();
    Some(Draft {
        group: Group::Labour,
        text: person.name.clone(),
        quantity: hours.normalize(),
        unit: "h".to_owned(),
        rate: if charged { person.charge } else { person.cost },
        inputs: vec![
            ("minutes at work".to_owned(), minutes.to_string(), None),
            ("cost an hour".to_owned(), person.cost.to_string(), None),
            ("cost of these hours".to_owned(), cost.to_string(), None),
        ],
    })
}
