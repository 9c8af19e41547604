//! The bid: summary, cost lines, labour, assumptions, cautions; its formulas are live.

use crate::bid::Group;
use crate::plan::Plan;
use crate::units::Money;
use crate::units::Percent;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::about;
use super::cells::paper;
use super::days;

/// The workbook for whoever prices the work.
pub(super) fn build(plan: &Plan) -> Report {
    let sheets = vec![
        about::sheet(
            plan,
            "Bid: what the work costs and how the price comes about.",
            &[
                "Sheet summary: the groups of cost and the price. Sheet lines: every cost line.",
                "The formulas are live: change a quantity, a rate or a percentage and the price follows.",
            ],
        ),
        Sheet::new("summary", format!("{}: summary", plan.job.title))
            .note(format!("All amounts in {}.", plan.job.currency))
            .table(summary(plan))
            .note(days::ending(plan)),
        Sheet::new("lines", "Cost lines")
            .across()
            .table(lines(plan)),
        assumptions(plan),
        about::derivations(plan, &["bid/", "drum/", "crate/", "bending/", "material/"]),
        about::cautions(plan),
    ];
    Report {
        name: "bid".into(),
        title: format!("{}: bid", plan.job.title),
        paper: paper(plan),
        sheets,
    }
}

/// The tables that `facelay bid` prints.
pub(super) fn build_tables(plan: &Plan) -> Report {
    let sheet = Sheet::new("bid", "Bid")
        .heading(format!("Summary, in {}", plan.job.currency))
        .table(summary(plan))
        .heading("Cost lines")
        .table(lines(plan));
    Report {
        name: "price".into(),
        title: format!("{}: bid", plan.job.title),
        paper: paper(plan),
        sheets: vec![sheet],
    }
}

/// The groups of cost, then the way from their sum to the price, each amount a formula over those above it.
fn summary(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("item"),
        Column::new("percent", super::Kind::Percent),
        Column::money("amount"),
    ];
    let groups = Group::ALL.iter().map(|&group| {
        let lines = plan.bid.lines.iter().filter(|line| line.group == group);
        let amount: Money = lines.map(|line| line.amount).sum();
        let formula = format!(
            "SUMIFS(BidLines[amount],BidLines[group],\"{}\")",
            group.name()
        );
        item(group.name(), None, formula, amount)
    });
    Table::new("Summary", columns)
        .rows(groups)
        .rows(from_cost_to_price(plan))
}

fn item(text: &str, percent: Option<Percent>, formula: String, amount: Money) -> Vec<Value> {
    let percent = percent.map_or(Value::Empty, |percent| Value::Decimal(percent.value()));
    vec![
        Value::text(text),
        percent,
        Value::Formula(formula, amount.cents().amount()),
    ]
}

fn from_cost_to_price(plan: &Plan) -> [Vec<Value>; 7] {
    let (bid, terms) = (&plan.bid, &plan.job.terms);
    let share = |rows: &str| format!("ROUND(({rows})*{{0:percent}}/100,2)");
    let groups = Group::ALL.len();
    let price = bid.subtotal + bid.contingency + bid.overhead + bid.markup;
    let sum = format!("SUM({{-{groups}:amount}}:{{-1:amount}})");
    let above = "{-4:amount}+{-3:amount}+{-2:amount}+{-1:amount}";
    [
        item("sum of the cost lines", None, sum, bid.subtotal),
        item(
            "contingency",
            Some(terms.contingency),
            share("{-1:amount}"),
            bid.contingency,
        ),
        item(
            "overhead",
            Some(terms.overhead),
            share("{-2:amount}+{-1:amount}"),
            bid.overhead,
        ),
        item(
            "markup",
            Some(terms.markup),
            share("{-3:amount}+{-2:amount}+{-1:amount}"),
            bid.markup,
        ),
        item("price before tax", None, above.into(), price),
        item("tax", Some(terms.tax), share("{-1:amount}"), bid.tax),
        item(
            "price with tax",
            None,
            "{-2:amount}+{-1:amount}".into(),
            bid.total,
        ),
    ]
}

fn lines(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("line"),
        Column::text("group"),
        Column::text("what"),
        Column::number("quantity", 2),
        Column::text("unit"),
        Column::money("rate"),
        Column::money("amount")
            .summed()
            .computed("ROUND([quantity]*[rate],2)"),
    ];
    let rows = plan.bid.lines.iter().map(|line| {
        vec![
            Value::text(&line.id),
            Value::text(line.group.name()),
            Value::text(&line.text),
            Value::Decimal(line.quantity),
            Value::text(&line.unit),
            Value::Decimal(line.rate.amount()),
            Value::Decimal(line.amount.cents().amount()),
        ]
    });
    Table::new("BidLines", columns).rows(rows)
}

fn assumptions(plan: &Plan) -> Sheet {
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
        .table(Table::new("Assumptions", columns).rows(rows))
}
