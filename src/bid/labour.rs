//! Labour by row of the job's people: the time they are at work, at the rate that the terms name.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;

use crate::diag::Problems;
use crate::job::CostGroup;
use crate::job::Job;
use crate::job::LabourAt;
use crate::schedule::Activity;
use crate::schedule::Schedule;

use super::lines::Draft;
use super::outcome::LabourRow;

/// Hours of each row of people who work, in the order of the rows.
///
/// # Formula
/// hours = Σ minutes that each person is at work on an activity, ÷ 60, to two decimals; amount = hours × the row's charge (or cost, where the
/// terms say so), to the cent. Everyone of a crew is paid for the whole of an activity.
///
/// # Sources
/// The job's own rates; hours from the schedule.
pub(super) fn hours(job: &Job, schedule: &Schedule) -> Vec<LabourRow> {
    let mut minutes: BTreeMap<usize, i64> = BTreeMap::new();
    for activity in &schedule.activities {
        let span = minutes_at_work(activity);
        for worker in activity
            .people
            .iter()
            .filter_map(|person| schedule.workers.get(*person))
        {
            let sum = minutes.entry(worker.row).or_default();
            *sum = sum.saturating_add(span);
        }
    }
    let worked = minutes.into_iter().filter(|(_, minutes)| *minutes > 0);
    worked
        .filter_map(|(row, minutes)| {
            let person = job.people.get(row)?;
            let hours = (Decimal::from(minutes) / Decimal::from(60))
                .round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
            Some(LabourRow {
                row,
                hours: hours.normalize(),
                cost: person.cost.times(hours).cents(),
                charge: person.charge.times(hours).cents(),
            })
        })
        .collect()
}

/// Minutes that each person of an activity works at it.
pub(super) fn minutes_at_work(activity: &Activity) -> i64 {
    let whole = [(activity.start, activity.finish)];
    let stretches = if activity.stretches.is_empty() {
        &whole[..]
    } else {
        &activity.stretches
    };
    stretches
        .iter()
        .map(|(from, to)| to.duration_since(*from).as_mins().max(0))
        .sum()
}

/// A line a row of people.
pub(super) fn lines(job: &Job, rows: &[LabourRow], problems: &mut Problems) -> Vec<Draft> {
    rows.iter()
        .filter_map(|row| line(job, row, problems))
        .collect()
}

/// One row's line: at the charge rate or at cost, as the terms say; at cost where no charge is given.
fn line(job: &Job, row: &LabourRow, problems: &mut Problems) -> Option<Draft> {
    let person = job.people.get(row.row)?;
    let at_cost = job.terms.labour == LabourAt::Cost;
    let charged = !person.charge.amount().is_zero();
    if !charged && !at_cost {
        let text = format!(
            "`{}` has no charge rate: the bid counts what an hour costs, {}",
            person.name, person.cost
        );
        problems.warning(None, text, "write `charge` for the person in job.toml");
    }
    Some(Draft {
        group: CostGroup::Labour,
        text: person.name.clone(),
        quantity: row.hours,
        unit: "h".to_owned(),
        rate: if charged && !at_cost {
            person.charge
        } else {
            person.cost
        },
        inputs: vec![
            ("cost an hour".to_owned(), person.cost.to_string(), None),
            ("cost of these hours".to_owned(), row.cost.to_string(), None),
            ("charge an hour".to_owned(), person.charge.to_string(), None),
            (
                "charge for these hours".to_owned(),
                row.charge.to_string(),
                None,
            ),
        ],
    })
}
