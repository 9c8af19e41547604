//! The bid: summary, cost lines, labour, cases, odds, assumptions, cautions; its formulas are live.

mod cases;
mod odds;
mod summary;

use crate::plan::Plan;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::about;
use super::cells::paper;
use super::days;

pub(super) use cases::sheet as cases_sheet;
pub(super) use odds::sheet as odds_sheet;
pub(super) use summary::contingency;
pub(super) use summary::lines;
pub(super) use summary::table as summary;

/// The workbook for whoever prices the work.
pub(super) fn build(plan: &Plan) -> Report {
    let mut sheets = vec![
        about::sheet(
            plan,
            "Bid: what the work costs and how the price comes about.",
            &[
                "Sheet summary: the groups of cost and the price. Sheet lines: every cost line. Sheet labour: hours at cost and as charged.",
                "Sheet cases: the same job with things otherwise. Sheet odds: how far cost and days may be off, and what drives them.",
                "The formulas are live: change a quantity, a rate or a percentage and the price follows.",
            ],
        ),
        Sheet::new("summary", format!("{}: summary", plan.job.title))
            .note(format!("All amounts in {}.", plan.job.currency))
            .table(summary::table(plan))
            .note(days::ending(plan))
            .heading("Contingency by group")
            .table(contingency(plan)),
        Sheet::new("lines", "Cost lines")
            .across()
            .table(lines(plan)),
        labour(plan),
    ];
    sheets.extend(cases::sheet(plan));
    sheets.extend(odds::sheet(plan));
    sheets.push(assumptions(plan));
    sheets.push(about::derivations(
        plan,
        &["bid/", "waste/", "drum/", "crate/", "bending/", "material/"],
    ));
    sheets.push(about::cautions(plan));
    about::list_sheets(&mut sheets);
    Report {
        name: "bid".into(),
        title: format!("{}: bid", plan.job.title),
        paper: paper(plan),
        sheets,
    }
}

/// The tables that `facelay bid` prints.
pub(super) fn build_tables(plan: &Plan) -> Report {
    let mut sheet = Sheet::new("bid", "Bid")
        .heading(format!("Summary, in {}", plan.job.currency))
        .table(summary::table(plan))
        .heading("Cost lines")
        .table(lines(plan));
    if let Some(drawn) = &plan.odds {
        sheet = odds::tables(plan, drawn, sheet);
    }
    Report {
        name: "price".into(),
        title: format!("{}: bid", plan.job.title),
        paper: paper(plan),
        sheets: vec![sheet],
    }
}

/// The tables that `facelay compare` prints.
pub(super) fn build_comparison(plan: &Plan) -> Report {
    Report {
        name: "compare".into(),
        title: format!("{}: cases", plan.job.title),
        paper: paper(plan),
        sheets: cases::sheet(plan).into_iter().collect(),
    }
}

/// Hours of each row of people, at what they cost and at what they are charged.
pub(super) fn labour(plan: &Plan) -> Sheet {
    let columns = vec![
        Column::text("who"),
        Column::text("skills"),
        Column::number("hours", 2).summed(),
        Column::money("cost an hour"),
        Column::money("cost")
            .summed()
            .computed("ROUND([hours]*[cost an hour],2)"),
        Column::money("charge an hour"),
        Column::money("charge")
            .summed()
            .computed("ROUND([hours]*[charge an hour],2)"),
    ];
    let rows = plan.bid.labour.iter().filter_map(|row| {
        let person = plan.job.people.get(row.row)?;
        let skills: Vec<&str> = person.skills.iter().map(String::as_str).collect();
        Some(vec![
            Value::text(&person.name),
            Value::text(skills.join(", ")),
            Value::Decimal(row.hours),
            Value::Decimal(person.cost.amount()),
            Value::Decimal(row.cost.amount()),
            Value::Decimal(person.charge.amount()),
            Value::Decimal(row.charge.amount()),
        ])
    });
    Sheet::new("labour", "Hours at cost and as charged")
        .note("Hours at work as the schedule has them, drying and waiting left out. The sheet lines counts them at the rate that the job's terms name.")
        .table(Table::new("BidLabour", columns).rows(rows))
}

/// What the price takes for granted, panel by panel.
pub(super) fn assumptions(plan: &Plan) -> Sheet {
    let columns = vec![
        Column::text("panel"),
        Column::text("paint"),
        Column::text("give"),
        Column::text("adhesive"),
        Column::number("removal factor", 1),
        Column::text("recipe"),
        Column::text("notes"),
    ];
    let rows = plan.survey.panels.iter().filter_map(|panel| {
        let row = plan.job.panels.get(panel.row)?;
        let factor = plan
            .job
            .catalog
            .multipliers
            .iter()
            .find(|multiplier| multiplier.paint == row.paint && multiplier.adhesive == row.adhesive)
            .map_or(1.0, |multiplier| multiplier.factor);
        Some(vec![
            Value::text(&panel.id),
            Value::text(row.paint.name()),
            Value::text(row.give.name()),
            Value::text(row.adhesive.name()),
            Value::Number(factor),
            Value::text(&row.recipe),
            Value::text(&row.notes),
        ])
    });
    Sheet::new("assumptions", "What the price assumes")
        .across()
        .note("Removal takes the factor times the person-hours of the easiest case (common practice: a brittle painting in lead white takes ten to thirty times an easy one). A test patch with a measured release rate replaces it for the release itself.")
        .note("Not included unless a line says so: scaffold design, air tests, lead and mould surveys, hoisting plans, insurance, disposal fees.")
        .note(waste(plan))
        .table(Table::new("Assumptions", columns).rows(rows))
}

/// What leaves as contaminated waste, and whether a line pays for it.
fn waste(plan: &Plan) -> String {
    let grams: f64 = plan.bid.waste.iter().map(|waste| waste.mass.to_g()).sum();
    let parts: Vec<String> = plan
        .bid
        .waste
        .iter()
        .map(|waste| format!("{:.1} kg {}", waste.mass.to_g() / 1000.0, waste.text))
        .collect();
    if parts.is_empty() {
        return "Contaminated waste: none is reckoned with.".to_owned();
    }
    let paid = if plan.job.terms.disposal.is_some() {
        "a cost line pays for its disposal"
    } else {
        "its disposal is NOT in the price: write `[terms.disposal]` in job.toml"
    };
    format!(
        "Contaminated waste, about {:.1} kg ({}); {paid}. Local rules say what of it is hazardous waste.",
        grams / 1000.0,
        parts.join(", ")
    )
}
