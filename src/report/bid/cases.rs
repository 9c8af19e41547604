//! The cases side by side, and the price over removal factors.

use jiff::civil::DateTime;

use crate::plan::Comparison;
use crate::plan::Outcome;
use crate::plan::Plan;
use crate::plan::Side;
use crate::report::Chart;
use crate::report::ChartKind;
use crate::report::Column;
use crate::report::Sheet;
use crate::report::Table;
use crate::report::Value;
use crate::units::Money;

/// The name of the job as it stands, where cases have names.
const AS_IT_STANDS: &str = "as it stands";

/// The sheet, if the cases were planned.
pub(in crate::report) fn sheet(plan: &Plan) -> Option<Sheet> {
    let comparison = plan.cases.as_ref()?;
    let mut sheet = Sheet::new("cases", "Cases side by side").across();
    sheet = if comparison.sides.len() > 1 {
        sheet
            .note("Each case is the whole job planned again with what it names otherwise. Prices with tax.")
            .table(sides(comparison))
            .heading("By group of cost, and what differs most")
            .table(groups(comparison))
    } else {
        sheet.note("The job names no cases: add `[[case]]` tables to job.toml, such as the adhesive as hoped and as feared.")
    };
    for side in comparison
        .sides
        .iter()
        .filter(|side| !side.problems.is_empty())
    {
        let shown: Vec<&str> = side.problems.iter().take(5).map(String::as_str).collect();
        let cannot = if side.outcome.is_none() {
            "cannot be planned"
        } else {
            "has warnings of its own"
        };
        let more = side.problems.len().saturating_sub(shown.len());
        let rest = if more > 0 {
            format!("; and {more} more")
        } else {
            String::new()
        };
        sheet = sheet.note(format!(
            "Case {} {cannot}: {}{rest}.",
            side.name,
            shown.join("; ")
        ));
    }
    Some(curve(comparison, sheet))
}

fn name(side: &Side) -> &str {
    if side.name.is_empty() {
        AS_IT_STANDS
    } else {
        &side.name
    }
}

fn sides(comparison: &Comparison) -> Table {
    let columns = vec![
        Column::text("case"),
        Column::text("what it means").only_wide(),
        Column::money("price"),
        Column::money("difference"),
        Column::text("mostly"),
        Column::money("by").only_wide(),
        Column::number("hours", 0),
        Column::day("wall clear"),
        Column::day("last day").only_wide(),
        Column::number("days late", 0),
        Column::number("drums", 0).only_wide(),
        Column::number("crates", 0).only_wide(),
        Column::number("flat", 0).only_wide(),
    ];
    let rows = comparison.sides.iter().map(|side| {
        let Some(outcome) = &side.outcome else {
            let mut row = vec![Value::text(name(side)), Value::text(&side.text)];
            row.resize(columns.len(), Value::Empty);
            return row;
        };
        let (difference, most) = comparison.difference(side).unwrap_or_default();
        vec![
            Value::text(name(side)),
            Value::text(&side.text),
            Value::Decimal(outcome.total.cents().amount()),
            Value::Decimal(difference.cents().amount()),
            most.map_or(Value::Empty, |(group, _)| Value::text(group.name())),
            most.map_or(Value::Empty, |(_, by)| Value::Decimal(by.cents().amount())),
            Value::Decimal(outcome.hours),
            day(outcome.wall_clear),
            day(outcome.finish),
            Value::Number(late(outcome)),
            Value::count(outcome.counts.0),
            Value::count(outcome.counts.1),
            Value::count(outcome.counts.2),
        ]
    });
    let rows: Vec<_> = rows.collect();
    Table::new("Cases", columns).rows(rows)
}

fn day(moment: Option<DateTime>) -> Value {
    moment.map_or(Value::Empty, |moment| Value::Day(moment.date()))
}

/// Days by which the hand-over is missed, begun ones whole.
fn late(outcome: &Outcome) -> f64 {
    let minutes = i32::try_from(outcome.late_minutes).unwrap_or(i32::MAX);
    (f64::from(minutes) / 1440.0).ceil()
}

/// A row a group of cost, a column a case.
fn groups(comparison: &Comparison) -> Table {
    let planned: Vec<(&Side, &Outcome)> = comparison
        .sides
        .iter()
        .filter_map(|side| Some((side, side.outcome.as_ref()?)))
        .collect();
    let mut columns = vec![Column::text("group")];
    columns.extend(
        planned
            .iter()
            .map(|(side, _)| Column::money(name(side)).summed()),
    );
    let all = planned
        .first()
        .map_or(&[][..], |(_, outcome)| &outcome.groups);
    let rows = all.iter().enumerate().filter_map(|(at, (group, _))| {
        let amounts: Vec<Money> = planned
            .iter()
            .map(|(_, outcome)| {
                outcome
                    .groups
                    .get(at)
                    .map_or(Money::ZERO, |(_, amount)| *amount)
            })
            .collect();
        if amounts.iter().all(|amount| *amount == Money::ZERO) {
            return None;
        }
        let mut row = vec![Value::text(group.name())];
        row.extend(
            amounts
                .iter()
                .map(|amount| Value::Decimal(amount.cents().amount())),
        );
        Some(row)
    });
    Table::new("CaseGroups", columns).rows(rows)
}

/// Table and chart of the price over the removal factor.
fn curve(comparison: &Comparison, sheet: Sheet) -> Sheet {
    if comparison.curve.is_empty() {
        return sheet.note(
            "The job is too large to be planned again for every removal factor: plan a wall of it.",
        );
    }
    let columns = vec![
        Column::number("removal factor", 0),
        Column::number("hours", 0),
        Column::money("price"),
        Column::day("wall clear"),
        Column::number("days late", 0),
    ];
    let rows = comparison.curve.iter().map(|step| {
        let factor = Value::Decimal(step.factor.into());
        let Some(outcome) = &step.outcome else {
            return vec![
                factor,
                Value::Empty,
                Value::Empty,
                Value::Empty,
                Value::Empty,
            ];
        };
        vec![
            factor,
            Value::Decimal(outcome.hours),
            Value::Decimal(outcome.total.cents().amount()),
            day(outcome.wall_clear),
            Value::Number(late(outcome)),
        ]
    });
    sheet
        .heading("Price over the removal factor")
        .note("Common practice: a brittle painting in lead white takes ten, twenty or thirty times the hours of an easy removal. Here every panel has the factor, measured release rates set aside; treatment, drums and crates stay as they are, days and orders are worked out anew.")
        .table(Table::new("RemovalCurve", columns).rows(rows))
        .chart(Chart {
            title: "Price with tax over the removal factor".to_owned(),
            kind: ChartKind::Lines,
            table: "RemovalCurve".to_owned(),
            along: ("removal factor".to_owned(), "removal factor".to_owned()),
            series: vec!["price".to_owned()],
            side: "price with tax".to_owned(),
        })
}
