//! What fixes the end: the activities that wait for one another back from the last one, in words.

use jiff::civil::DateTime;

use crate::plan::Plan;
use crate::schedule::Activity;

use super::Column;
use super::Table;
use super::Value;
use super::days;

/// The chain that ends with the last activity of the wall, where there is a hand-over, else of the job.
pub(super) fn table(plan: &Plan) -> Table {
    let columns = vec![
        Column::time("starts"),
        Column::text("panel or crate"),
        Column::text("step"),
        Column::text("why then"),
    ];
    let rows = chain(plan).into_iter().map(|activity| {
        vec![
            Value::Time(activity.start),
            Value::text(days::subject(plan, activity)),
            Value::text(days::short_step(plan, activity)),
            Value::text(activity.waits_for.split(';').next().unwrap_or("")),
        ]
    });
    Table::new("FixesTheEnd", columns).rows(rows)
}

/// The activities of the chain, earliest first.
fn chain(plan: &Plan) -> Vec<&Activity> {
    let activities = &plan.schedule.activities;
    let end = match plan
        .schedule
        .wall_clear
        .filter(|_| plan.job.hand_over.is_some())
    {
        Some(clear) => Some(clear),
        None => plan.schedule.finish,
    };
    let ends_then = |activity: &&Activity| Some(activity.finish) == end;
    let mut at = activities.iter().position(|activity| ends_then(&activity));
    let mut chain: Vec<&Activity> = Vec::new();
    while let Some(activity) = at.and_then(|at| activities.get(at)) {
        let earlier =
            |later: &&Activity| (activity.start, activity.finish) <= (later.start, later.finish);
        if chain.len() > activities.len() || !chain.last().is_none_or(earlier) {
            break;
        }
        chain.push(activity);
        at = activity.waited_for;
    }
    chain.reverse();
    chain
}

/// The float of the activities, in a sentence.
pub(super) fn float(plan: &Plan) -> String {
    let activities = &plan.schedule.activities;
    let critical = activities
        .iter()
        .filter(|activity| activity.critical)
        .count();
    let loose = activities
        .iter()
        .filter(|activity| activity.float_minutes >= 24 * 60)
        .count();
    let latest: Option<DateTime> = plan.schedule.finish;
    match latest {
        None => "There is nothing to do.".to_owned(),
        Some(_) => format!(
            "Of {}, {critical} cannot start later, with people and equipment in this order, without moving the end or the hand-over; {loose} \
             could end a day or more later if hands and equipment were free.",
            crate::diag::count(activities.len(), "activity"),
        ),
    }
}
