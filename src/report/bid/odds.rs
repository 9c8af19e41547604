//! How cost and days may turn out, and what drives them.

use std::fmt::Write;

use rust_decimal::Decimal;

use crate::bid::LEVELS;
use crate::bid::Odds;
use crate::plan::Plan;
use crate::report::Chart;
use crate::report::ChartKind;
use crate::report::Column;
use crate::report::Kind;
use crate::report::Sheet;
use crate::report::Table;
use crate::report::Value;

/// The sheet, if the odds were drawn.
pub(in crate::report) fn sheet(plan: &Plan) -> Option<Sheet> {
    let odds = plan.odds.as_ref()?;
    let sheet = tables(
        plan,
        odds,
        Sheet::new("odds", "Odds of cost and days").across(),
    )
    .heading("Drawn costs")
    .table(classes(odds))
    .chart(chart(
        "How often a cost is drawn",
        ChartKind::Columns,
        "draws",
        "draws",
    ))
    .chart(chart(
        "Share of draws at or below a cost",
        ChartKind::Lines,
        "at or below",
        "percent of draws",
    ))
    .heading("What is drawn")
    .table(spreads(plan))
    .table(conditions(plan));
    Some(sheet)
}

fn chart(title: &str, kind: ChartKind, series: &str, side: &str) -> Chart {
    Chart {
        title: title.to_owned(),
        kind,
        table: "OddsClasses".to_owned(),
        along: ("up to".to_owned(), "sum of the cost lines".to_owned()),
        series: vec![series.to_owned()],
        side: side.to_owned(),
    }
}

/// Levels and drivers, below the words that say what they mean.
pub(super) fn tables(plan: &Plan, odds: &Odds, sheet: Sheet) -> Sheet {
    let mut sheet = sheet
        .heading("Odds")
        .note(words(plan, odds))
        .table(levels(odds));
    if odds.drivers.is_empty() {
        return sheet;
    }
    sheet = sheet
        .heading("What drives the cost")
        .note("Swing: mean cost where it is worst (its highest tenth, or where the condition holds) less where it is best.")
        .table(drivers(odds));
    sheet
}

fn words(plan: &Plan, odds: &Odds) -> String {
    let percent = |share: f64| format!("{:.0} %", share * 100.0);
    let mut text = format!(
        "The job drawn {} times (seed {}), with hours, quantities, prices and conditions as they may turn out; dates are never earlier than planned. Cost lines with their contingency, {}, are enough in {} of the draws; the mean cost is {}.",
        odds.draws,
        odds.seed,
        (plan.bid.subtotal + plan.bid.contingency).cents(),
        percent(odds.enough),
        odds.mean
    );
    let asked = plan.job.odds.draws;
    if odds.draws < asked {
        let _ = write!(
            text,
            " The job asks for {asked} draws; it is so large that fewer have to do."
        );
    }
    if let Some(in_time) = odds.in_time {
        let _ = write!(
            text,
            " The wall is clear by the hand-over in {}.",
            percent(in_time)
        );
    }
    if odds.too_long > 0.0 {
        let _ = write!(
            text,
            " In {} a longest time between two steps would be exceeded: keep people in hand for those days.",
            percent(odds.too_long)
        );
    }
    text + " An estimate from estimates: no better than the three points that it is drawn from."
}

fn levels(odds: &Odds) -> Table {
    let columns = vec![
        Column::new("level", Kind::Percent),
        Column::money("cost lines"),
        Column::money("from").only_wide(),
        Column::money("to").only_wide(),
        Column::money("price with tax"),
        Column::time("last activity"),
        Column::time("earliest").only_wide(),
        Column::time("latest").only_wide(),
    ];
    let rows = LEVELS.iter().enumerate().filter_map(|(at, level)| {
        let (cost, finish) = odds.cost.get(at).zip(odds.finish.get(at))?;
        Some(vec![
            Value::Decimal((*level).into()),
            Value::Decimal(cost.value.amount()),
            Value::Decimal(cost.from.amount()),
            Value::Decimal(cost.to.amount()),
            Value::Decimal(odds.price.get(at)?.amount()),
            Value::Time(finish.value),
            Value::Time(finish.from),
            Value::Time(finish.to),
        ])
    });
    Table::new("OddsLevels", columns).rows(rows)
}

fn drivers(odds: &Odds) -> Table {
    let columns = vec![
        Column::text("driver"),
        Column::new("share", Kind::Percent),
        Column::money("swing"),
        Column::number("rank correlation", 2),
    ];
    let rows = odds.drivers.iter().map(|driver| {
        vec![
            Value::text(&driver.name),
            Value::Decimal(percent(driver.share)),
            Value::Decimal(driver.swing.amount()),
            Value::Number(driver.correlation),
        ]
    });
    Table::new("OddsDrivers", columns).rows(rows)
}

/// A share as a percentage to the tenth.
fn percent(share: f64) -> Decimal {
    Decimal::try_from(share * 100.0)
        .unwrap_or_default()
        .round_dp(1)
}

fn classes(odds: &Odds) -> Table {
    let columns = vec![
        Column::money("above"),
        Column::money("up to"),
        Column::number("draws", 0),
        Column::new("at or below", Kind::Percent),
    ];
    let rows = odds.classes.iter().map(|class| {
        vec![
            Value::Decimal(class.from.amount()),
            Value::Decimal(class.to.amount()),
            Value::Decimal(class.count.into()),
            Value::Decimal(percent(class.up_to)),
        ]
    });
    Table::new("OddsClasses", columns).rows(rows)
}

fn spreads(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("three-point estimate"),
        Column::text("of"),
        Column::new("low", Kind::Percent),
        Column::new("likely", Kind::Percent),
        Column::new("high", Kind::Percent),
        Column::new("shared", Kind::Percent),
        Column::text("cause"),
    ];
    let rows = plan.job.odds.spreads.iter().map(|spread| {
        vec![
            Value::text(&spread.name),
            Value::text(spread.of.name()),
            Value::Decimal(percent(spread.points.low)),
            Value::Decimal(percent(spread.points.likely)),
            Value::Decimal(percent(spread.points.high)),
            Value::Decimal(percent(spread.shared)),
            Value::text(&spread.cause),
        ]
    });
    Table::new("OddsSpreads", columns).rows(rows)
}

fn conditions(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("condition"),
        Column::new("chance", Kind::Percent),
        Column::money("cost"),
        Column::new("removal hours", Kind::Percent),
        Column::new("other hours", Kind::Percent),
        Column::new("materials", Kind::Percent),
        Column::text("days lost"),
    ];
    let rows = plan.job.odds.conditions.iter().map(|condition| {
        let more = |factor: f64| Value::Decimal(percent(factor - 1.0));
        let days = condition.days.map_or_else(String::new, |days| {
            if days.low < days.high {
                format!("{} / {} / {}", days.low, days.likely, days.high)
            } else {
                days.likely.to_string()
            }
        });
        vec![
            Value::text(&condition.name),
            Value::Decimal(percent(condition.chance)),
            Value::Decimal(condition.cost.amount()),
            more(condition.removal),
            more(condition.labour),
            more(condition.materials),
            Value::text(days),
        ]
    });
    Table::new("OddsConditions", columns).rows(rows)
}
