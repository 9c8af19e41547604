//! The labour schedule: days by person, activities, bars, drying, hours, mixing cards.

use std::collections::BTreeMap;

use jiff::civil::Date;
use jiff::civil::DateTime;
use rust_decimal::Decimal;

use crate::plan::Plan;
use crate::schedule::Activity;

use super::Block;
use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::about;
use super::actuals;
use super::air;
use super::cells::hours;
use super::cells::measured;
use super::cells::names;
use super::cells::paper;
use super::critical;
use super::day_sheets;
use super::days;
use super::done;
use super::drying;

/// The workbook for whoever runs the facing days.
pub(super) fn build(plan: &Plan) -> Report {
    let mut bars = Sheet::new("bars", "Bars by half day")
        .across()
        .note(days::bars_legend(plan));
    bars.blocks.push(Block::Bars(days::bars(plan)));
    let mut sheets = vec![about::sheet(
        plan,
        "Labour schedule: who does what on which panel, what is drying, what to mix.",
        &[
            &days::ending(plan),
            "A sheet a day: print it in the evening and hang it up. The sheets behind them hold the same as lists.",
            "Drying runs through nights and weekends.",
            "Sheet what is done: write into its boxed cells what is finished, and what it really took. Save the workbook and plan again with \
             --progress this-file, or put it into the job folder: the rest is planned from today on.",
        ],
    )];
    sheets.extend(day_sheets::sheets(plan));
    sheets.push(done::sheet(plan));
    sheets.extend(actuals::sheet(plan));
    sheets.extend([
        Sheet::new("days", "Who does what").across().table(by_person(plan)),
        bars,
        Sheet::new("activities", "Every activity")
            .across()
            .note("Hours: of all people of the activity together. Float: how much later it could end, if hands and equipment were free.")
            .table(activities(plan)),
        Sheet::new("what fixes the end", "What fixes the end")
            .across()
            .note(days::ending(plan))
            .note(critical::float(plan))
            .table(critical::table(plan)),
        drying::overnight(plan),
        drying::by_temperature_sheet(plan),
        Sheet::new("mixing", "Mixing cards")
            .across()
            .note("Weigh solids, measure liquids at 20 °C. Mix in fresh air, keep flames and sparks away, wear what the safety sheets of the materials ask for.")
            .table(mixing(plan)),
    ]);
    sheets.extend(air::sheets(plan));
    sheets.extend([
        Sheet::new("hours", "Hours by person and week").table(by_week(plan)),
        Sheet::new("assumptions", "What was assumed")
            .across()
            .table(assumptions(plan)),
        about::derivations(plan, &["drying/", "air/", "schedule/"]),
        about::cautions(plan),
    ]);
    about::list_sheets(&mut sheets);
    Report {
        name: "labour-schedule".into(),
        title: format!("{}: labour schedule", plan.job.title),
        paper: paper(plan),
        sheets,
    }
}

fn by_person(plan: &Plan) -> Table {
    let columns = vec![
        Column::day("day"),
        Column::text("person"),
        Column::text("from"),
        Column::text("to"),
        Column::text("panel or crate"),
        Column::text("step"),
        Column::text("place"),
    ];
    let mut rows: Vec<((Date, usize, DateTime), &Activity, DateTime)> = Vec::new();
    for activity in &plan.schedule.activities {
        for (from, to) in days::days_of(activity) {
            rows.extend(
                activity
                    .people
                    .iter()
                    .map(|&person| ((from.date(), person, from), activity, to)),
            );
        }
    }
    rows.sort_by(|a, b| (a.0, &a.1.id).cmp(&(b.0, &b.1.id)));
    let rows = rows.into_iter().map(|((day, person, from), activity, to)| {
        vec![
            Value::Day(day),
            plan.schedule
                .workers
                .get(person)
                .map_or(Value::Empty, |worker| Value::text(&worker.name)),
            Value::Text(days::clock(from)),
            Value::Text(days::clock(to)),
            Value::text(days::subject(plan, activity)),
            Value::Text(days::task(plan, activity)),
            plan.job
                .places
                .get(activity.place)
                .map_or(Value::Empty, |site| Value::text(&site.name)),
        ]
    });
    Table::new("Days", columns).rows(rows)
}

/// Places stand on the sheet of days: here the words that say why need the room.
fn activities(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("activity"),
        Column::text("panel or crate"),
        Column::text("step"),
        Column::time("start"),
        Column::time("finish"),
        Column::number("hours", 2).summed(),
        Column::text("people"),
        Column::text("equipment"),
        Column::number("float (h)", 1),
        Column::text("why it starts then"),
    ];
    let rows = plan.schedule.activities.iter().map(|activity| {
        let step = days::step_of(plan, activity);
        let people = activity
            .people
            .iter()
            .filter_map(|&at| plan.schedule.workers.get(at));
        let equipment = step.map_or_else(String::new, |step| {
            step.equipment
                .iter()
                .map(|(name, count)| format!("{count} {name}"))
                .collect::<Vec<_>>()
                .join(", ")
        });
        vec![
            Value::text(&activity.id),
            Value::text(days::subject(plan, activity)),
            Value::Text(days::task(plan, activity)),
            Value::Time(activity.start),
            Value::Time(activity.finish),
            hours(activity.work_minutes.into()),
            names(people.map(|worker| worker.name.as_str())),
            Value::Text(equipment),
            hours(activity.float_minutes),
            Value::text(&activity.waits_for),
        ]
    });
    Table::new("Activities", columns).rows(rows)
}

fn mixing(plan: &Plan) -> Table {
    let columns = vec![
        Column::day("day"),
        Column::text("at"),
        Column::text("solution"),
        Column::text("for the step"),
        Column::text("part"),
        Column::number("grams", 1),
        Column::number("millilitres", 0),
        Column::text("mixed by").to_fill_in(),
    ];
    let rows = plan.schedule.batches.iter().flat_map(|batch| {
        let recipe = plan.job.recipes.get(&batch.recipe);
        let solution = recipe
            .and_then(|recipe| recipe.solution(&batch.solution))
            .map_or(batch.solution.as_str(), |s| &s.name);
        let step = recipe
            .and_then(|recipe| recipe.steps.iter().find(|step| step.id == batch.step))
            .map_or(batch.step.as_str(), |s| &s.name);
        batch.parts.iter().map(move |part| {
            vec![
                Value::Day(batch.day),
                Value::Text(days::clock(batch.mixed)),
                Value::text(solution),
                Value::text(step),
                Value::text(plan.material_name(&part.material)),
                Value::Number(part.mass.to_g()),
                measured(plan, part).map_or(Value::Empty, |volume| Value::Number(volume.to_ml())),
                Value::Empty,
            ]
        })
    });
    Table::new("Mixing", columns).rows(rows)
}

fn by_week(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("person"),
        Column::day("week from"),
        Column::number("hours", 2).summed(),
        Column::money("cost an hour"),
        Column::money("cost")
            .summed()
            .computed("ROUND([hours]*[cost an hour],2)"),
    ];
    let mut minutes: BTreeMap<(usize, Date), i64> = BTreeMap::new();
    for activity in &plan.schedule.activities {
        for &(from, to) in &activity.stretches {
            let worked = i64::from((to - from).get_hours()) * 60 + (to - from).get_minutes();
            for &person in &activity.people {
                *minutes.entry((person, monday(from.date()))).or_default() += worked;
            }
        }
    }
    let rows = minutes.into_iter().filter_map(|((person, week), minutes)| {
        let worker = plan.schedule.workers.get(person)?;
        let rate = plan.job.people.get(worker.row)?.cost.amount();
        let spent = (Decimal::from(minutes) / Decimal::from(60)).round_dp(2);
        let cost = crate::units::Money::new(spent * rate).cents().amount();
        Some(vec![
            Value::text(&worker.name),
            Value::Day(week),
            Value::Decimal(spent),
            Value::Decimal(rate),
            Value::Decimal(cost),
        ])
    });
    Table::new("Hours", columns).rows(rows)
}

/// What the schedule takes for granted, and where to change it.
pub(super) fn assumptions(plan: &Plan) -> Table {
    let job = &plan.job;
    let mut rows: Vec<(String, String, &str)> = vec![
        (
            "Work is planned in steps of".into(),
            format!("{} minutes", crate::schedule::GRID),
            "fixed",
        ),
        (
            "Nobody works at two places on one day; days on the road between".into(),
            job.places
                .iter()
                .map(|site| site.travel_days)
                .max()
                .unwrap_or(0)
                .to_string(),
            "`travel_days` of a place",
        ),
        (
            "Things that move between places move overnight".into(),
            "at least 12 hours".into(),
            "fixed",
        ),
        (
            "Materials lie ready before they are used".into(),
            format!("{} working days", job.terms.days_in_hand),
            "`days_in_hand`",
        ),
        (
            "A crew does a whole share of work for each of its people".into(),
            "unless the step says otherwise".into(),
            "`speed` of a recipe's step",
        ),
        (
            "Fresh air: mixing factor".into(),
            crate::exposure::MIXING.to_string(),
            "assumed; a competent person decides",
        ),
    ];
    for site in &job.places {
        let climate = format!(
            "{:.1} °C, {} % humidity, drying factor {}",
            site.temperature.to_celsius(),
            site.humidity,
            site.drying_factor
        );
        rows.push((
            format!("{}: climate for drying", site.name),
            climate,
            "`temperature`, `humidity`, `drying_factor`",
        ));
    }
    for row in job.equipment.iter().filter(|row| row.moving_minutes > 0) {
        rows.push((
            format!("Moving a {}", row.name),
            format!("{} minutes", row.moving_minutes),
            "`moving` of the equipment",
        ));
    }
    if let Some(today) = job.planning.today {
        rows.push((
            "The rest is planned from".into(),
            today.to_string(),
            "`today` or `--today`",
        ));
    }
    let columns = vec![
        Column::text("what"),
        Column::text("value"),
        Column::text("where to change it"),
    ];
    let cells = |(what, value, place): (String, String, &str)| {
        vec![Value::Text(what), Value::Text(value), Value::text(place)]
    };
    Table::new("Assumptions", columns).rows(rows.into_iter().map(cells))
}

/// The Monday of a day's week.
fn monday(day: Date) -> Date {
    day.saturating_sub(jiff::Span::new().days(i64::from(day.weekday().to_monday_zero_offset())))
}
