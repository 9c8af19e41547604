//! Who does what on which day, by day and person; bars by half day.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::civil::Date;
use jiff::civil::DateTime;

use crate::plan::Plan;
use crate::recipe::Step;
use crate::schedule::Activity;

use super::Bars;
use super::Block;
use super::Column;
use super::Mark;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::actuals;
use super::cells::paper;
use super::critical;

/// The tables that `facelay days` prints.
pub(super) fn build(plan: &Plan) -> Report {
    let mut sheet = Sheet::new("days", "Days")
        .heading("Day by day")
        .table(by_day(plan))
        .heading("Bars by half day");
    sheet.blocks.push(Block::Bars(bars(plan)));
    let sheet = sheet
        .note(bars_legend(plan))
        .heading("Drying when the day ends")
        .table(overnight(plan))
        .heading("What fixes the end")
        .table(critical::table(plan))
        .note(critical::float(plan))
        .note(ending(plan));
    let sheet = actuals::add(plan, sheet);
    Report {
        name: "days".into(),
        title: format!("{}: days", plan.job.title),
        paper: paper(plan),
        sheets: vec![sheet],
    }
}

/// Each stretch of work, by day: one row an activity and day.
pub(super) fn by_day(plan: &Plan) -> Table {
    let columns = vec![
        Column::day("day"),
        Column::text("from"),
        Column::text("to"),
        Column::text("panel or crate"),
        Column::text("step"),
        Column::text("people"),
        Column::text("place").only_wide(),
        Column::text("activity").only_wide(),
    ];
    let mut rows: Vec<(DateTime, &Activity, DateTime, Vec<Value>)> = Vec::new();
    for activity in &plan.schedule.activities {
        for (from, to) in days_of(activity) {
            rows.push((from, activity, to, day_row(plan, activity, from, to)));
        }
    }
    rows.sort_by(|a, b| (a.0, a.2, &a.1.id).cmp(&(b.0, b.2, &b.1.id)));
    Table::new("Days", columns).rows(rows.into_iter().map(|(_, _, _, row)| row))
}

fn day_row(plan: &Plan, activity: &Activity, from: DateTime, to: DateTime) -> Vec<Value> {
    vec![
        Value::Day(from.date()),
        Value::Text(clock(from)),
        Value::Text(clock(to)),
        Value::text(subject(plan, activity)),
        Value::text(short_step(plan, activity)),
        Value::Text(crew(plan, activity)),
        plan.job
            .places
            .get(activity.place)
            .map_or(Value::Empty, |site| Value::text(&site.name)),
        Value::text(&activity.id),
    ]
}

/// The first and last minute that an activity is worked at on each of its days.
pub(super) fn days_of(activity: &Activity) -> Vec<(DateTime, DateTime)> {
    let mut days: Vec<(DateTime, DateTime)> = Vec::new();
    for &(from, to) in &activity.stretches {
        match days.last_mut() {
            Some((first, last)) if first.date() == from.date() => *last = to,
            Some(_) | None => days.push((from, to)),
        }
    }
    days
}

/// The panel or crate that an activity is about.
pub(super) fn subject<'a>(plan: &'a Plan, activity: &Activity) -> &'a str {
    match (
        activity.panel,
        activity.packing.and_then(|at| plan.crating.crates.get(at)),
    ) {
        (_, Some(packed)) => &packed.id,
        (Some(panel), None) => plan.panel_id(panel),
        (None, None) => "",
    }
}

/// The step of the recipe that an activity does.
pub(super) fn step_of<'a>(plan: &'a Plan, activity: &Activity) -> Option<&'a Step> {
    plan.job
        .recipes
        .get(&activity.recipe)?
        .steps
        .get(activity.step)
}

/// What an activity does in words: the step's name, and which sheets where a layer is parted into days.
pub(super) fn task(plan: &Plan, activity: &Activity) -> String {
    let name = step_of(plan, activity).map_or("", |step| step.name.as_str());
    match &activity.sheets {
        Some(sheets) if sheets.len() == 1 => format!("{name}, sheet {}", sheets.end),
        Some(sheets) => format!("{name}, sheets {} to {}", sheets.start + 1, sheets.end),
        None => name.to_owned(),
    }
}

/// The step's name up to its first comma, which is enough to know it by on a day sheet.
pub(super) fn short_step<'a>(plan: &'a Plan, activity: &Activity) -> &'a str {
    let name = step_of(plan, activity).map_or("", |step| step.name.as_str());
    name.split(',').next().unwrap_or(name)
}

/// The people of an activity, several of one row together: `lead conservator, conservator 2+5`.
pub(super) fn crew(plan: &Plan, activity: &Activity) -> String {
    let mut rows: BTreeMap<usize, Vec<&str>> = BTreeMap::new();
    let workers = activity
        .people
        .iter()
        .filter_map(|&at| plan.schedule.workers.get(at));
    for worker in workers {
        rows.entry(worker.row).or_default().push(&worker.name);
    }
    let told = rows.into_iter().map(|(row, names)| {
        let role = plan
            .job
            .people
            .get(row)
            .map_or("", |person| person.name.as_str());
        let numbers: Vec<&str> = names
            .iter()
            .filter_map(|name| name.strip_prefix(role))
            .map(str::trim)
            .collect();
        format!("{role} {}", numbers.join("+")).trim().to_owned()
    });
    told.collect::<Vec<_>>().join(", ")
}

/// A time of day, `HH:MM`.
pub(super) fn clock(time: DateTime) -> String {
    time.strftime("%H:%M").to_string()
}

/// One row a panel or crate, two cells a working day.
pub(super) fn bars(plan: &Plan) -> Bars {
    let signs = signs(plan);
    let days: Vec<Date> = working_days(plan);
    let index: BTreeMap<Date, usize> = days
        .iter()
        .enumerate()
        .map(|(at, day)| (*day, at))
        .collect();
    let mut rows: Vec<(String, Vec<Mark>)> = Vec::new();
    let mut known: BTreeMap<&str, usize> = BTreeMap::new();
    for activity in &plan.schedule.activities {
        let name = subject(plan, activity);
        let row = *known.entry(name).or_insert_with(|| {
            rows.push((name.to_owned(), vec![Mark::Idle; days.len() * 2]));
            rows.len() - 1
        });
        let sign = step_of(plan, activity)
            .and_then(|step| signs.get(step.name.as_str()))
            .copied()
            .unwrap_or('#');
        let halves = activity
            .stretches
            .iter()
            .flat_map(|&(from, to)| halves(&index, from, to));
        if let Some((_, marks)) = rows.get_mut(row) {
            for half in halves {
                if let Some(mark) = marks.get_mut(half) {
                    *mark = Mark::Work(sign.to_string());
                }
            }
            mark_drying(marks, activity, plan, &index);
        }
    }
    Bars {
        subject: "panel or crate".into(),
        days,
        rows,
    }
}

/// Marks the half days in which the panel only dries: from the activity's end to the start of what follows it.
fn mark_drying(
    marks: &mut [Mark],
    activity: &Activity,
    plan: &Plan,
    index: &BTreeMap<Date, usize>,
) {
    for follows in activity
        .after
        .iter()
        .filter(|follows| follows.dry_minutes > 0)
    {
        let before = plan.schedule.activities.get(follows.activity);
        let Some(before) = before.filter(|before| before.place == activity.place) else {
            continue;
        };
        for half in halves(index, before.finish, activity.start) {
            if let Some(mark @ Mark::Idle) = marks.get_mut(half) {
                *mark = Mark::Drying;
            }
        }
    }
}

/// The half days, as columns of the bars, that a span touches; noon divides a day.
fn halves(index: &BTreeMap<Date, usize>, from: DateTime, to: DateTime) -> std::ops::Range<usize> {
    let column = |time: DateTime| {
        let (day, at) = index.range(..=time.date()).next_back()?;
        Some(at * 2 + usize::from(*day < time.date() || time.hour() >= 12))
    };
    let last = to
        .checked_sub(jiff::Span::new().minutes(1))
        .unwrap_or(to)
        .max(from);
    match (column(from), column(last)) {
        (Some(first), Some(last)) => first..last + 1,
        (None, Some(last)) => 0..last + 1,
        (_, None) => 0..0,
    }
}

/// The days on which anybody works, from first to last; more than a year of them no longer reads as bars.
fn working_days(plan: &Plan) -> Vec<Date> {
    let days = plan
        .schedule
        .activities
        .iter()
        .flat_map(|activity| &activity.stretches)
        .map(|(from, _)| from.date());
    days.collect::<BTreeSet<_>>()
        .into_iter()
        .take(MOST_BAR_DAYS)
        .collect()
}

/// The most days that bars show.
const MOST_BAR_DAYS: usize = 250;

/// A letter for each step's name, in the order of the recipes.
fn signs(plan: &Plan) -> BTreeMap<&str, char> {
    let letters = ('a'..='z').chain('A'..='Z').chain('0'..='9');
    let mut signs = BTreeMap::new();
    let steps = plan.job.recipes.values().flat_map(|recipe| &recipe.steps);
    let mut fresh = letters;
    for step in steps {
        if !signs.contains_key(step.name.as_str()) {
            signs.insert(step.name.as_str(), fresh.next().unwrap_or('#'));
        }
    }
    signs
}

/// What the letters of the bars mean, and what else the bars show.
pub(super) fn bars_legend(plan: &Plan) -> String {
    format!(
        "{}. ~ drying. Two cells a working day, before and after noon; at most the first 250 days.",
        letters(plan)
    )
}

/// The letter of each step.
pub(super) fn letters(plan: &Plan) -> String {
    let mut signs: Vec<(char, &str)> = signs(plan)
        .into_iter()
        .map(|(name, sign)| (sign, name))
        .collect();
    signs.sort_by_key(|(sign, _)| (sign.is_ascii_uppercase(), *sign));
    signs
        .iter()
        .map(|(sign, name)| format!("{sign} {name}"))
        .collect::<Vec<_>>()
        .join("; ")
}

/// Every activity that has to dry: when it ends, when it is dry, by end.
pub(super) fn drying(plan: &Plan) -> Vec<(DateTime, DateTime, &Activity)> {
    let minutes: BTreeMap<(&str, usize), u32> = plan
        .exposure
        .drying
        .iter()
        .map(|row| ((row.recipe.as_str(), row.step), row.dry_minutes))
        .collect();
    let dries = |activity: &Activity| {
        let key = (activity.recipe.as_str(), activity.step);
        minutes.get(&key).copied().filter(|minutes| *minutes > 0)
    };
    let mut all: Vec<_> = plan
        .schedule
        .activities
        .iter()
        .filter_map(|activity| {
            let dry = jiff::Span::new().minutes(i64::from(dries(activity)?));
            Some((
                activity.finish,
                activity.finish.saturating_add(dry),
                activity,
            ))
        })
        .collect();
    all.sort_by_key(|(finish, until, activity)| (*finish, *until, activity.id.as_str()));
    all
}

/// What is drying when people go home.
pub(super) fn overnight(plan: &Plan) -> Table {
    let columns = vec![
        Column::day("evening of"),
        Column::text("panel or crate"),
        Column::text("step"),
        Column::time("dry at"),
        Column::text("place").only_wide(),
    ];
    let over_night = drying(plan)
        .into_iter()
        .filter(|(finish, until, _)| until.date() > finish.date());
    let rows = over_night.map(|(finish, until, activity)| {
        vec![
            Value::Day(finish.date()),
            Value::text(subject(plan, activity)),
            Value::text(short_step(plan, activity)),
            Value::Time(until),
            plan.job
                .places
                .get(activity.place)
                .map_or(Value::Empty, |site| Value::text(&site.name)),
        ]
    });
    Table::new("Overnight", columns).rows(rows)
}

/// First and last day, the hand-over and the gap, in a sentence.
pub(super) fn ending(plan: &Plan) -> String {
    let schedule = &plan.schedule;
    let Some(finish) = schedule.finish else {
        return "There is nothing to do.".into();
    };
    let bound = schedule
        .lower_bound_finish
        .map_or_else(String::new, |bound| {
            format!(
                " No plan can finish before {} (gap {:.1} %).",
                bound.strftime("%a %Y-%m-%d %H:%M"),
                schedule.gap_percent
            )
        });
    let hand_over = match (plan.job.hand_over, schedule.wall_clear) {
        (Some(day), Some(clear)) if schedule.late_minutes <= 0 => {
            format!(
                " The wall is clear on {}, in time for {day}.",
                clear.strftime("%a %Y-%m-%d %H:%M")
            )
        }
        (Some(day), Some(clear)) => {
            format!(
                " THE HAND-OVER ON {day} IS MISSED: the wall is clear only on {}.",
                clear.strftime("%a %Y-%m-%d %H:%M")
            )
        }
        (None, Some(clear)) => format!(
            " The wall is clear on {}.",
            clear.strftime("%a %Y-%m-%d %H:%M")
        ),
        (_, None) => String::new(),
    };
    let clock = if schedule.by_clock {
        format!(
            " It is the best of {} tried in the time given: another run may find another.",
            crate::diag::count(
                usize::try_from(schedule.schedules).unwrap_or(usize::MAX),
                "schedule"
            )
        )
    } else {
        String::new()
    };
    format!(
        "Everything is done on {}.{hand_over}{bound}{clock}",
        finish.strftime("%a %Y-%m-%d %H:%M")
    )
}
