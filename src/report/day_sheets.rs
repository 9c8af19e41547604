//! A sheet a day to print and hang up: who does what when, what is drying, what to mix, what must be there, cautions.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::civil::Date;
use jiff::civil::DateTime;

use crate::plan::Plan;
use crate::schedule::Activity;
use crate::schedule::Batch;

use super::Block;
use super::DaySheet;
use super::Sheet;
use super::Stretch;
use super::air;
use super::cells::portion;
use super::days;

/// More day sheets than this make a workbook that nobody prints; `facelay days` shows the later days.
const MOST: usize = 60;

/// A sheet for each of the first days on which anybody works.
pub(super) fn sheets(plan: &Plan) -> Vec<Sheet> {
    let days = days(plan).into_iter();
    days.map(|sheet_of| {
        let day = sheet_of.day;
        let mut sheet = Sheet::new(
            day.strftime("%a %-d %b %y").to_string(),
            format!("{}: {}", day.strftime("%A %-d %B %Y"), plan.job.title),
        )
        .across();
        sheet.blocks.push(Block::DaySheet(sheet_of));
        sheet
    })
    .collect()
}

/// The first days on which anybody works.
pub(super) fn days(plan: &Plan) -> Vec<DaySheet> {
    let work = by_day(plan);
    let drying = days::drying(plan);
    let days = work.iter().take(MOST);
    days.map(|(day, tasks)| day_sheet(plan, *day, tasks, &drying))
        .collect()
}

/// An activity's part of one day.
type Part<'a> = (DateTime, DateTime, &'a Activity);

fn by_day(plan: &Plan) -> BTreeMap<Date, Vec<Part<'_>>> {
    let mut work: BTreeMap<Date, Vec<Part<'_>>> = BTreeMap::new();
    for activity in &plan.schedule.activities {
        for (from, to) in days::days_of(activity) {
            work.entry(from.date())
                .or_default()
                .push((from, to, activity));
        }
    }
    for parts in work.values_mut() {
        parts.sort_by_key(|(from, to, activity)| (*from, *to, activity.id.clone()));
    }
    work
}

fn day_sheet(
    plan: &Plan,
    day: Date,
    parts: &[Part<'_>],
    drying: &[(DateTime, DateTime, &Activity)],
) -> DaySheet {
    let minute = |time: DateTime| minute_of(day, time);
    let first = parts
        .iter()
        .map(|(from, _, _)| minute(*from))
        .min()
        .unwrap_or(480);
    let last = parts
        .iter()
        .map(|(_, to, _)| minute(*to))
        .max()
        .unwrap_or(1020);
    let mut rows = Vec::new();
    for (at, worker) in plan.schedule.workers.iter().enumerate() {
        let own = parts
            .iter()
            .filter(|(_, _, activity)| activity.people.contains(&at));
        let stretches: Vec<Stretch> = own
            .flat_map(|(_, _, activity)| {
                let today = activity
                    .stretches
                    .iter()
                    .filter(|(from, _)| from.date() == day);
                today.map(|&(from, to)| Stretch {
                    from: minute(from),
                    to: minute(to),
                    subject: days::subject(plan, activity).to_owned(),
                    step: days::short_step(plan, activity).to_owned(),
                })
            })
            .collect();
        if !stretches.is_empty() {
            rows.push((worker.name.clone(), stretches));
        }
    }
    let lists = parts
        .iter()
        .map(|(from, to, activity)| told(plan, *from, *to, activity))
        .collect();
    let sections = [
        ("In words, with a box to tick", lists),
        ("Towers to move first", moves(plan, parts)),
        ("Drying: hands off until", drying_lines(plan, day, drying)),
        (
            "To mix (weigh solids, measure liquids at 20 °C; fresh air, no flames, gloves)",
            mixing(plan, day),
        ),
        ("Must lie ready today", arrivals(plan, day)),
        ("Vapour, estimated", vapour(plan, day)),
        ("Cautions of the day", cautions(plan, day, parts)),
    ];
    DaySheet {
        day,
        hours: (first / 60 * 60, last.div_ceil(60) * 60),
        rows,
        sections: sections
            .into_iter()
            .filter(|(_, lines): &(_, Vec<String>)| !lines.is_empty())
            .map(|(heading, lines)| (heading.to_owned(), lines))
            .collect(),
    }
}

fn minute_of(day: Date, time: DateTime) -> u16 {
    if time.date() > day {
        return 24 * 60;
    }
    u16::try_from(time.hour()).unwrap_or(0) * 60 + u16::try_from(time.minute()).unwrap_or(0)
}

/// One stretch in words; a step over several days says when it ends.
fn told(plan: &Plan, from: DateTime, to: DateTime, activity: &Activity) -> String {
    let name = days::task(plan, activity);
    let goes_on = if activity.finish > to {
        format!(" (goes on until {})", activity.finish.strftime("%a %H:%M"))
    } else {
        String::new()
    };
    format!(
        "[   ] {}-{}  {}: {name}{goes_on} - {}",
        days::clock(from),
        days::clock(to),
        days::subject(plan, activity),
        days::crew(plan, activity)
    )
}

fn moves(plan: &Plan, parts: &[Part<'_>]) -> Vec<String> {
    let begin = parts
        .iter()
        .filter(|(from, _, activity)| activity.moving_minutes > 0 && activity.start == *from);
    begin
        .map(|(from, _, activity)| {
            let towers = days::step_of(plan, activity).into_iter().flat_map(|step| &step.equipment);
            let names: Vec<String> = towers
                .filter(|(name, _)| plan.job.equipment.iter().any(|row| row.name == *name && row.moving_minutes > 0))
                .map(|(name, count)| format!("{count} {name}"))
                .collect();
            let bay = activity.bay.and_then(|bay| plan.job.planning.bays.get(bay));
            let bay = bay.map_or_else(String::new, |bay| format!(", bay {}", bay.name));
            format!(
                "{}: {} to {}{bay}, {} min; checked by a competent person before anyone steps on it",
                days::clock(*from),
                names.join(", "),
                days::subject(plan, activity),
                activity.moving_minutes
            )
        })
        .collect()
}

fn drying_lines(plan: &Plan, day: Date, drying: &[(DateTime, DateTime, &Activity)]) -> Vec<String> {
    let mut today: Vec<_> = drying
        .iter()
        .filter(|(from, until, _)| from.date() <= day && until.date() >= day)
        .collect();
    today.sort_by_key(|(_, until, activity)| (*until, activity.id.clone()));
    let line = |(from, until, activity): &&(DateTime, DateTime, &Activity)| {
        let since = if from.date() == day {
            format!(" (from {})", days::clock(*from))
        } else {
            String::new()
        };
        format!(
            "{}: {} until {}{since}",
            days::subject(plan, activity),
            days::short_step(plan, activity),
            until.strftime("%a %-d %b %H:%M")
        )
    };
    today.iter().map(line).collect()
}

fn mixing(plan: &Plan, day: Date) -> Vec<String> {
    let batches = plan
        .schedule
        .batches
        .iter()
        .filter(|batch| batch.day == day);
    batches.map(|batch| card(plan, batch)).collect()
}

/// A batch as a line: when, what, how much of each.
fn card(plan: &Plan, batch: &Batch) -> String {
    let recipe = plan.job.recipes.get(&batch.recipe);
    let solution = recipe.and_then(|recipe| recipe.solution(&batch.solution));
    let name = solution.map_or(batch.solution.as_str(), |solution| &solution.name);
    let step = recipe.and_then(|recipe| recipe.steps.iter().find(|step| step.id == batch.step));
    let step = step.map_or(batch.step.as_str(), |step| &step.name);
    let parts = batch.parts.iter().map(|part| portion(plan, part));
    let keeps = solution
        .and_then(|solution| solution.pot_life_minutes)
        .map_or_else(String::new, |minutes| {
            let until = batch
                .mixed
                .saturating_add(jiff::Span::new().minutes(i64::from(minutes)));
            format!("; use by {}", until.strftime("%a %H:%M"))
        });
    format!(
        "{} {name}: {} for {step}{keeps}",
        days::clock(batch.mixed),
        parts.collect::<Vec<_>>().join(" + "),
    )
}

fn arrivals(plan: &Plan, day: Date) -> Vec<String> {
    let mut lines = Vec::new();
    for order in &plan.purchase.orders {
        let supplier = plan.job.catalog.suppliers.get(&order.supplier);
        let supplier = supplier.map_or(order.supplier.as_str(), |known| &known.name);
        let due = order.lines.iter().filter(|line| line.need_by == day);
        let told: Vec<String> = due
            .map(|line| {
                let unit = line.pack.unit.name();
                format!(
                    "{} × {} {unit} {}",
                    line.packs,
                    line.pack.amount.normalize(),
                    plan.material_name(&line.material)
                )
            })
            .collect();
        if !told.is_empty() {
            lines.push(format!("from {supplier}: {}", told.join("; ")));
        }
    }
    lines
}

fn vapour(plan: &Plan, day: Date) -> Vec<String> {
    (0..plan.job.places.len())
        .filter_map(|place| air::sentence(plan, place, day))
        .collect()
}

/// The cautions of the kinds of step that are done, and of the panels that are touched.
fn cautions(plan: &Plan, day: Date, parts: &[Part<'_>]) -> Vec<String> {
    let places = 0..plan.job.places.len();
    let mut lines: Vec<String> = places
        .filter_map(|place| air::over(plan, place, day))
        .collect();
    let touched: BTreeSet<&str> = parts
        .iter()
        .map(|(_, _, activity)| days::subject(plan, activity))
        .collect();
    for (name, is) in [("lead", true), ("mould", false)] {
        let panels: Vec<&str> = (0..plan.survey.panels.len())
            .filter(|&panel| {
                plan.row_of(panel)
                    .is_some_and(|row| if is { row.lead } else { row.mould })
            })
            .map(|panel| plan.panel_id(panel))
            .filter(|id| touched.contains(id))
            .collect();
        if !panels.is_empty() {
            lines.push(format!(
                "{}: {name} known or suspected; protection, tests and waste as a competent person has decided",
                panels.join(", ")
            ));
        }
    }
    let places: BTreeSet<usize> = parts
        .iter()
        .map(|(_, _, activity)| activity.place)
        .collect();
    for air in plan
        .exposure
        .air
        .iter()
        .filter(|air| air.needs_extraction && places.contains(&air.place))
    {
        let site = plan
            .job
            .places
            .get(air.place)
            .map_or("", |site| site.name.as_str());
        lines.push(format!("{site}: local extraction on and respirators worn where solvent is used; measure the air"));
    }
    let steps = parts
        .iter()
        .filter_map(|(_, _, activity)| days::step_of(plan, activity));
    let known: BTreeSet<&str> = steps
        .flat_map(|step| step.kind.rule().cautions.iter().copied())
        .collect();
    lines.extend(known.into_iter().map(str::to_owned));
    lines
}
