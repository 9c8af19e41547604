//! Answers to one question: what one person does, what happens to one panel, vapour by day, what a change would bring.

use crate::plan::Plan;
use crate::plan::Trial;
use crate::plan::Trials;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::air;
use super::cells::hours;
use super::cells::paper;
use super::days;

/// One person's days; none if nobody has the name. The name of a row means all its people.
pub fn of_person(plan: &Plan, name: &str) -> Option<Report> {
    let workers = plan.schedule.workers.iter().enumerate();
    let meant: Vec<usize> = workers
        .filter(|(_, worker)| {
            let row = plan.job.people.get(worker.row);
            worker.name == name || row.is_some_and(|row| row.name == name)
        })
        .map(|(at, _)| at)
        .collect();
    if meant.is_empty() {
        return None;
    }
    let mut rows = Vec::new();
    for activity in &plan.schedule.activities {
        for &person in activity
            .people
            .iter()
            .filter(|person| meant.contains(person))
        {
            let others = activity.people.iter().filter(|&&other| other != person);
            let others: Vec<&str> = others
                .filter_map(|&at| plan.schedule.workers.get(at))
                .map(|w| w.name.as_str())
                .collect();
            for (from, to) in days::days_of(activity) {
                let row = vec![
                    Value::Day(from.date()),
                    Value::Text(days::clock(from)),
                    Value::Text(days::clock(to)),
                    plan.schedule
                        .workers
                        .get(person)
                        .map_or(Value::Empty, |worker| Value::text(&worker.name)),
                    Value::text(days::subject(plan, activity)),
                    Value::text(days::short_step(plan, activity)),
                    Value::text(others.join(", ")),
                    plan.job
                        .places
                        .get(activity.place)
                        .map_or(Value::Empty, |site| Value::text(&site.name)),
                ];
                rows.push(((from, person), row));
            }
        }
    }
    rows.sort_by_key(|(at, _)| *at);
    let columns = vec![
        Column::day("day"),
        Column::text("from"),
        Column::text("to"),
        Column::text("person"),
        Column::text("panel"),
        Column::text("step"),
        Column::text("together with"),
        Column::text("place"),
    ];
    let table = Table::new("Person", columns).rows(rows.into_iter().map(|(_, row)| row));
    let sheet = Sheet::new("person", name)
        .heading(format!("What {name} does"))
        .table(table);
    Some(report(plan, "person", sheet))
}

/// What happens to one panel or crate, and why then; none if there is no such thing.
pub fn of_panel(plan: &Plan, name: &str) -> Option<Report> {
    let crates = plan.crating.crates.iter().map(|packed| packed.id.as_str());
    let panels = plan.survey.panels.iter().map(|panel| panel.id.as_str());
    if !panels.chain(crates).any(|id| id == name) {
        return None;
    }
    let activities = plan
        .schedule
        .activities
        .iter()
        .filter(|activity| is_about(plan, activity, name));
    let rows = activities.map(|activity| {
        vec![
            Value::Time(activity.start),
            Value::Time(activity.finish),
            Value::text(days::short_step(plan, activity)),
            Value::Text(days::crew(plan, activity)),
            Value::text(activity.waits_for.split(';').next().unwrap_or("")),
            hours(activity.float_minutes),
        ]
    });
    let columns = vec![
        Column::time("from"),
        Column::time("to"),
        Column::text("step"),
        Column::text("people"),
        Column::text("why then"),
        Column::number("float (h)", 0),
    ];
    let table = Table::new("Panel", columns).rows(rows);
    let sheet = Sheet::new("panel", name)
        .heading(format!("What happens to {name}"))
        .table(table);
    Some(report(plan, "panel", sheet))
}

/// Whether an activity is about a panel, or about the crate that it is in.
fn is_about(plan: &Plan, activity: &crate::schedule::Activity, name: &str) -> bool {
    use crate::crating::Contents;
    if days::subject(plan, activity) == name {
        return true;
    }
    let packed = activity.packing.and_then(|at| plan.crating.crates.get(at));
    packed.is_some_and(|packed| match &packed.contents {
        Contents::Flats(flats) => flats.iter().any(|&panel| plan.panel_id(panel) == name),
        Contents::Drums(drums) => drums
            .iter()
            .filter_map(|&at| plan.rolling.drums.get(at))
            .flat_map(|drum| &drum.panels)
            .any(|rolled| plan.panel_id(rolled.panel) == name),
    })
}

/// Vapour and fire by day, with the caution first.
pub fn of_air(plan: &Plan) -> Report {
    report(
        plan,
        "air",
        air::tables(Sheet::new("air", "Vapour and fire, estimated"), plan),
    )
}

/// Changes side by side: what each brings and costs, and the cheapest that meets the hand-over.
pub fn of_trials(plan: &Plan, trials: &Trials) -> Report {
    let columns = vec![
        Column::text("change"),
        Column::time("wall clear"),
        Column::time("finish"),
        Column::text("hand-over"),
        Column::money("price before tax"),
        Column::money("more than now"),
        Column::money("labour").only_wide(),
    ];
    let now = trials.single.first().map(|trial| trial.price);
    let row = |trial: &Trial| {
        let time = |time: Option<jiff::civil::DateTime>| time.map_or(Value::Empty, Value::Time);
        let met = match (plan.job.hand_over, trial.late_minutes) {
            _ if !trial.possible => "cannot be planned".to_owned(),
            (None, _) => "no date".to_owned(),
            (Some(_), late) if late <= 0 => "met".to_owned(),
            (Some(_), late) => format!(
                "missed by {}",
                crate::diag::count(usize::try_from(late / 1440 + 1).unwrap_or(0), "day")
            ),
        };
        let money = |money: crate::units::Money| Value::Decimal(money.cents().amount());
        vec![
            Value::text(&trial.change),
            time(trial.wall_clear),
            time(trial.finish),
            Value::Text(met),
            if trial.possible {
                money(trial.price)
            } else {
                Value::Empty
            },
            now.filter(|_| trial.possible)
                .map_or(Value::Empty, |now| money(trial.price - now)),
            if trial.possible {
                money(trial.labour)
            } else {
                Value::Empty
            },
        ]
    };
    let table = Table::new("WhatIf", columns.clone()).rows(trials.single.iter().map(row));
    let mut sheet = Sheet::new("what-if", "What if")
        .heading("Each change by itself, planned anew")
        .table(table);
    let shown = worth_showing(trials);
    if !shown.is_empty() {
        let table = Table::new("WhatIfTogether", columns).rows(shown.into_iter().map(row));
        sheet = sheet
            .heading("Changes together, since none by itself meets the hand-over")
            .table(table)
            .note(format!(
                "{} of the changes that help most were tried, the same one also twice or three times; shown are those that come nearest, \
                 the cheapest of those that meet the hand-over first.",
                crate::diag::count(trials.together.len(), "combination")
            ));
    }
    let sheet = sheet
        .note(cheapest(plan, trials))
        .note("People, longer hours and Saturdays are priced at the rates of the job; what overtime or a new hand really costs is for you to add.");
    report(plan, "what-if", sheet)
}

/// More combinations than this are not compared at a glance.
const MOST_TOGETHER: usize = 6;

/// The combinations that meet the hand-over, the cheapest first, then those that come nearest.
fn worth_showing(trials: &Trials) -> Vec<&Trial> {
    let possible = trials.together.iter().filter(|trial| trial.possible);
    let mut shown: Vec<&Trial> = possible.collect();
    shown.sort_by_key(|trial| (trial.late_minutes.max(0), trial.price.cents().amount()));
    shown.truncate(MOST_TOGETHER);
    shown
}

/// The cheapest change that meets the hand-over, or the one that comes nearest.
fn cheapest(plan: &Plan, trials: &Trials) -> String {
    let now = trials.single.first();
    let all = || trials.single.iter().chain(&trials.together);
    let Some(day) = plan.job.hand_over else {
        let possible = all().filter(|trial| trial.possible && trial.finish.is_some());
        let soonest = possible.min_by_key(|trial| (trial.finish, trial.price.cents().amount()));
        return soonest.map_or_else(
            || "None of these can be planned.".to_owned(),
            |trial| {
                format!(
                    "The job has no hand-over; the soonest finish comes with: {}.",
                    trial.change
                )
            },
        );
    };
    if now.is_some_and(|now| now.possible && now.late_minutes <= 0) {
        return format!("The hand-over on {day} is met as it is.");
    }
    let meets = all().filter(|trial| trial.possible && trial.late_minutes <= 0);
    if let Some(trial) = meets.min_by_key(|trial| trial.price.cents().amount()) {
        return format!(
            "The cheapest of these changes that meets the hand-over on {day}: {}, {} before tax.",
            trial.change,
            trial.price.cents()
        );
    }
    let nearest = all()
        .filter(|trial| trial.possible)
        .min_by_key(|trial| trial.late_minutes);
    nearest.map_or_else(
        || "None of these can be planned.".to_owned(),
        |trial| {
            format!(
                "None of these meets the hand-over on {day}; nearest comes: {}.",
                trial.change
            )
        },
    )
}

fn report(plan: &Plan, name: &str, sheet: Sheet) -> Report {
    Report {
        name: name.to_owned(),
        title: format!("{}: {name}", plan.job.title),
        paper: paper(plan),
        sheets: vec![sheet],
    }
}
