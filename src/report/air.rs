//! Vapour and fire by day: what is given off, the air it takes, how near the limits it comes, what stands there.

use std::collections::BTreeMap;

use jiff::civil::Date;
use jiff::civil::DateTime;
use rust_decimal::prelude::ToPrimitive;

use crate::catalog::MaterialKind;
use crate::exposure::AirHour;
use crate::exposure::FIRE_RESERVE;
use crate::exposure::MIXING;
use crate::plan::Plan;
use crate::units::Unit;

use super::Chart;
use super::ChartKind;
use super::Column;
use super::Sheet;
use super::Table;
use super::Value;

/// Stands beside every figure of vapour and fire.
pub(super) const CAUTION: &str = "CAUTION: every figure here is an estimate from masses and published constants. It does not say that the \
     air may be breathed or that nothing can catch fire. Measure the air, keep sources of ignition away, and let a competent person decide \
     under local rules before anyone starts.";

/// The sheets of the workbook: the tables, and the course of each place's worst day with its chart.
pub(super) fn sheets(plan: &Plan) -> Vec<Sheet> {
    let mut sheets = vec![tables(
        Sheet::new("air", "Vapour and fire, estimated").across(),
        plan,
    )];
    for (number, (place, table)) in worst_days(plan).into_iter().enumerate() {
        let chart = Chart {
            title: "Share of the limits over the day (estimated; measure it)".into(),
            kind: ChartKind::Lines,
            table: table.name.clone(),
            along: ("hour".into(), "hour of the day".into()),
            series: vec![OF_LIMIT.into(), OF_EXPLOSIVE.into()],
            side: "% of the limit".into(),
        };
        let title = format!("Vapour at {place} on its worst day, estimated");
        let sheet = Sheet::new(format!("air curve {}", number + 1), title).note(CAUTION);
        sheets.push(sheet.chart(chart).table(table));
    }
    sheets
}

/// The tables that `facelay days JOB --air` prints.
pub(super) fn tables(sheet: Sheet, plan: &Plan) -> Sheet {
    let mut sheet = sheet.note(CAUTION);
    for place in 0..plan.job.places.len() {
        let table = by_day(plan, place);
        if let Some(site) = plan
            .job
            .places
            .get(place)
            .filter(|_| !table.rows.is_empty())
        {
            sheet = sheet
                .heading(format!("By day at {}", site.name))
                .table(table);
        }
    }
    sheet
        .note(format!(
            "Air needed: fresh air in the worst hour to stay at the exposure limits (mixing factor {MIXING}, shares of limits added up) and at \
             1/{FIRE_RESERVE} of the lower explosive limit, whichever is more. Highest share: from a balance of the room from 5 to 5 minutes, \
             with films drying as fast as open ones, which is on the high side."
        ))
        .heading("The most to brush on with the fresh air there is")
        .table(most(plan))
        .note("Where a limit lies under 100 ppm the schedule keeps the fire limit only: health is looked after by local extraction and \
               respirators there, as a competent person decides.")
        .heading("Flammable liquid standing there in the evening")
        .table(standing(plan))
        .note("From stock, orders and batches; what is only wiped on is not taken off, so it is on the high side.")
}

const OF_LIMIT: &str = "% of health limits";
const OF_EXPLOSIVE: &str = "% of lower fire limit";

/// One row a day on which anything is given off at a place.
fn by_day(plan: &Plan, place: usize) -> Table {
    let columns = vec![
        Column::day("day"),
        Column::number("given off (g)", 0),
        Column::text("worst hour"),
        Column::number("in it (g)", 0),
        Column::number("air needed (m3/h)", 0),
        Column::number("air there (m3/h)", 0),
        Column::number(OF_LIMIT, 0),
        Column::number(OF_EXPLOSIVE, 1),
        Column::text("what is kept").only_wide(),
    ];
    let mut days: BTreeMap<Date, Vec<&AirHour>> = BTreeMap::new();
    for hour in plan
        .schedule
        .air
        .get(place)
        .into_iter()
        .flat_map(|course| &course.hours)
    {
        days.entry(at(plan, hour.minute).date())
            .or_default()
            .push(hour);
    }
    let rows = days
        .into_iter()
        .filter_map(|(day, hours)| day_row(plan, place, day, &hours));
    Table::new(format!("AirOfDays{}", place + 1), columns).rows(rows)
}

fn day_row(plan: &Plan, place: usize, day: Date, hours: &[&AirHour]) -> Option<Vec<Value>> {
    let site = plan.job.places.get(place)?;
    let air = plan.exposure.air.iter().find(|air| air.place == place)?;
    let worst = hours
        .iter()
        .max_by(|a, b| a.given_off_g.total_cmp(&b.given_off_g))?;
    let given: f64 = hours.iter().map(|hour| hour.given_off_g).sum();
    if given < 1.0 {
        return None;
    }
    let needed = worst.health_air_m3.max(worst.fire_air_m3);
    let peak = |of: fn(&AirHour) -> Option<f64>| {
        let all = hours.iter().filter_map(|hour| of(hour));
        all.max_by(f64::total_cmp)
            .map_or(Value::Empty, |share| Value::Number(share * 100.0))
    };
    let counts = if air.needs_extraction {
        "a limit under 100 ppm: extraction and respirators for health; fresh air for fire"
    } else {
        "fresh air for health and fire"
    };
    Some(vec![
        Value::Day(day),
        Value::Number(given),
        Value::text(at(plan, worst.minute).strftime("%H:%M").to_string()),
        Value::Number(worst.given_off_g),
        Value::Number(needed),
        site.fresh_air_m3_h.map_or(Value::Empty, Value::Number),
        peak(|hour| hour.of_limit),
        peak(|hour| hour.of_explosive),
        Value::text(counts),
    ])
}

/// What is highest on a day at a place, in a sentence for the day sheet.
pub(super) fn sentence(plan: &Plan, place: usize, day: Date) -> Option<String> {
    let course = plan.schedule.air.get(place)?;
    let site = plan.job.places.get(place)?;
    let hours = course
        .hours
        .iter()
        .filter(|hour| at(plan, hour.minute).date() == day);
    let hours: Vec<&AirHour> = hours.collect();
    let given: f64 = hours.iter().map(|hour| hour.given_off_g).sum();
    let worst = hours.iter().max_by(|a, b| {
        let share = |hour: &AirHour| hour.of_limit.unwrap_or(hour.given_off_g);
        share(a).total_cmp(&share(b))
    })?;
    if given < 1.0 {
        return None;
    }
    let level = worst.of_limit.zip(worst.of_explosive).map_or_else(String::new, |(limit, explosive)| {
        format!(
            "; by estimate up to {:.0} % of the exposure limits and {:.1} % of the lower explosive limit about {}",
            limit * 100.0,
            explosive * 100.0,
            at(plan, worst.minute).strftime("%H:%M")
        )
    });
    Some(format!(
        "{}: about {given:.0} g of solvent given off{level}. Measure; a competent person decides under local rules.",
        site.name
    ))
}

/// That a day's vapour at a place passes the exposure limits by estimate, for the day sheet.
pub(super) fn over(plan: &Plan, place: usize, day: Date) -> Option<String> {
    let course = plan.schedule.air.get(place)?;
    let site = plan.job.places.get(place)?;
    let limit = |hour: &AirHour| hour.of_limit.unwrap_or(0.0);
    let today = course
        .hours
        .iter()
        .filter(|hour| at(plan, hour.minute).date() == day);
    let over: Vec<&AirHour> = today.filter(|hour| limit(hour) > 1.0).collect();
    let worst = over.iter().max_by(|a, b| limit(a).total_cmp(&limit(b)))?;
    let (first, last) = over.first().zip(over.last())?;
    Some(format!(
        "{}: MORE VAPOUR THAN THE EXPOSURE LIMITS ALLOW, by estimate, from about {} to {}, {:.0} % about {}: nobody works there unprotected; \
         local extraction and respirators as a competent person has decided; measure the air before and while you work",
        site.name,
        at(plan, first.minute).strftime("%H:%M"),
        at(plan, last.minute + 60).strftime("%H:%M"),
        limit(worst) * 100.0,
        at(plan, worst.minute).strftime("%H:%M"),
    ))
}

/// How much of each solution the fresh air of an hour and of the shortest day takes up.
fn most(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("recipe and step"),
        Column::number("an hour (g)", 0),
        Column::number("a day (g)", 0),
        Column::number("an hour (m2)", 1),
        Column::number("a day (m2)", 1),
        Column::text("kept for").only_wide(),
        Column::text("place").only_wide(),
    ];
    let mut seen: BTreeMap<(&str, usize), Vec<Value>> = BTreeMap::new();
    let masses: BTreeMap<(usize, usize), f64> = plan
        .takeoff
        .solutions
        .iter()
        .map(|need| ((need.panel, need.step), need.mass.to_g()))
        .collect();
    for vapour in &plan.exposure.vapours {
        let Some((recipe, step)) = plan
            .row_of(vapour.panel)
            .zip(plan.step_of(vapour.panel, vapour.step))
        else {
            continue;
        };
        let Some(air) = plan
            .exposure
            .air
            .iter()
            .find(|air| air.place == vapour.place)
        else {
            continue;
        };
        let grams = masses
            .get(&(vapour.panel, vapour.step))
            .copied()
            .unwrap_or(0.0);
        let (needs, kept) = if air.needs_extraction {
            (
                vapour.fire_air_m3,
                "fire only; health by extraction and respirators",
            )
        } else {
            (
                vapour.health_air_m3.max(vapour.fire_air_m3),
                "health and fire",
            )
        };
        if grams <= 0.0 || needs <= 0.0 {
            continue;
        }
        let of = |air: Option<f64>| air.map(|air| air * grams / needs);
        let number = |value: Option<f64>| value.map_or(Value::Empty, Value::Number);
        let area = |grams: Option<f64>| {
            grams
                .zip(step.spread)
                .map(|(grams, spread)| grams / spread.max(1.0))
        };
        let (hour, day) = (of(air.fresh_m3_h), of(air.day_m3));
        let row = || {
            vec![
                Value::Text(format!("{}: {}", recipe.recipe, step.id)),
                number(hour),
                number(day),
                number(area(hour)),
                number(area(day)),
                Value::text(kept),
                plan.job
                    .places
                    .get(vapour.place)
                    .map_or(Value::Empty, |site| Value::text(&site.name)),
            ]
        };
        seen.entry((recipe.recipe.as_str(), vapour.step))
            .or_insert_with(row);
    }
    Table::new("MostToBrushOn", columns).rows(seen.into_values())
}

/// Flammable liquid standing at the site each evening on which that changes.
fn standing(plan: &Plan) -> Table {
    let columns = vec![
        Column::day("evening of"),
        Column::number("standing (l)", 1),
        Column::number("allowed (l)", 1),
        Column::text("what is over").only_wide(),
    ];
    let flammable = |id: &str| {
        let material = plan.job.catalog.materials.get(id);
        material.is_some_and(|material| {
            material.kind == MaterialKind::Liquid && material.hazard.is_flammable()
        })
    };
    let mut changes: BTreeMap<Date, f64> = BTreeMap::new();
    for (id, stock) in plan
        .job
        .stock
        .iter()
        .filter(|(id, stock)| flammable(id) && stock.unit == Unit::Ml)
    {
        let _ = id;
        *changes.entry(plan.job.first_day).or_default() += stock.amount.to_f64().unwrap_or(0.0);
    }
    for order in &plan.purchase.orders {
        for line in order.lines.iter().filter(|line| flammable(&line.material)) {
            let amount = line.pack.amount.to_f64().unwrap_or(0.0) * f64::from(line.packs);
            *changes.entry(order.arrives).or_default() += amount;
        }
    }
    for batch in &plan.schedule.batches {
        for part in batch.parts.iter().filter(|part| flammable(&part.material)) {
            let used = part.volume.map_or(0.0, crate::units::Volume::to_ml);
            *changes.entry(batch.day).or_default() -= used;
        }
    }
    let limit = plan
        .exposure
        .air
        .first()
        .and_then(|air| air.flammable_limit);
    let mut level = 0.0_f64;
    let rows = changes
        .into_iter()
        .filter(|(_, change)| change.abs() >= 0.5)
        .map(|(day, change)| {
            level = (level + change).max(0.0);
            let over = limit.is_some_and(|limit| level > limit.to_ml() + 0.5);
            vec![
                Value::Day(day),
                Value::Number(level / 1e3),
                limit.map_or(Value::Empty, |limit| Value::Number(limit.to_ml() / 1e3)),
                Value::text(if over { "over the limit" } else { "" }),
            ]
        });
    let rows: Vec<Vec<Value>> = rows.collect();
    Table::new("FlammableStanding", columns).rows(rows)
}

/// The course of each place's worst day, by name of the place.
fn worst_days(plan: &Plan) -> Vec<(String, Table)> {
    let courses = plan.schedule.air.iter().zip(&plan.job.places).enumerate();
    let shown = courses.filter(|(_, (course, _))| !course.worst.is_empty());
    shown
        .map(|(number, (course, site))| {
            let columns = vec![
                Column::number("hour", 2),
                Column::number(OF_LIMIT, 2),
                Column::number(OF_EXPLOSIVE, 3),
            ];
            let day = course.worst.first().map_or(0, |point| point.minute);
            let rows = course.worst.iter().step_by(2).map(|point| {
                vec![
                    Value::Number(hour_of(point.minute - day)),
                    Value::Number(point.of_limit * 100.0),
                    Value::Number(point.of_explosive * 100.0),
                ]
            });
            let told = course.worst.first().map_or_else(String::new, |point| {
                at(plan, point.minute)
                    .strftime(" (%a %-d %b %Y)")
                    .to_string()
            });
            (
                format!("{}{told}", site.name),
                Table::new(format!("WorstDay{}", number + 1), columns).rows(rows),
            )
        })
        .collect()
}

/// Hours of minutes of one day.
fn hour_of(minutes: i64) -> f64 {
    f64::from(i32::try_from(minutes).unwrap_or(0)) / 60.0
}

fn at(plan: &Plan, minute: i64) -> DateTime {
    let origin = plan
        .job
        .first_day
        .to_datetime(jiff::civil::Time::midnight());
    origin.saturating_add(jiff::Span::new().minutes(minute))
}
