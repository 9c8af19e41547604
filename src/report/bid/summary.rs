//! From cost lines to the price.

use crate::bid::CostGroup;
use crate::plan::Plan;
use crate::report::Column;
use crate::report::Kind;
use crate::report::Table;
use crate::report::Value;
use crate::units::Money;
use crate::units::Percent;

/// The groups of cost, then the way from their sum to the price, each amount a formula over those above it.
pub(in crate::report) fn table(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("item"),
        Column::new("percent", Kind::Percent),
        Column::money("amount"),
    ];
    let groups = CostGroup::ALL.iter().map(|&group| {
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
    let groups = CostGroup::ALL.len();
    // Where groups differ, one percentage would say nothing: they stand in the table below.
    let uniform = Some(terms.contingency).filter(|_| terms.contingency_of.is_empty());
    let price = bid.subtotal + bid.contingency + bid.overhead + bid.markup;
    let sum = format!("SUM({{-{groups}:amount}}:{{-1:amount}})");
    let above = "{-4:amount}+{-3:amount}+{-2:amount}+{-1:amount}";
    [
        item("sum of the cost lines", None, sum, bid.subtotal),
        item(
            "contingency",
            uniform,
            "SUM(Contingency[contingency])".into(),
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

pub(in crate::report) fn lines(plan: &Plan) -> Table {
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

/// The contingency of each group that has lines.
pub(in crate::report) fn contingency(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("group"),
        Column::money("sum"),
        Column::new("percent", Kind::Percent),
        Column::money("contingency")
            .summed()
            .computed("ROUND([sum]*[percent]/100,2)"),
    ];
    let rows = plan.bid.contingencies.iter().map(|(group, amount)| {
        let lines = plan.bid.lines.iter().filter(|line| line.group == *group);
        let sum: Money = lines.map(|line| line.amount).sum();
        let formula = format!(
            "SUMIFS(BidLines[amount],BidLines[group],\"{}\")",
            group.name()
        );
        vec![
            Value::text(group.name()),
            Value::Formula(formula, sum.cents().amount()),
            Value::Decimal(plan.job.terms.contingency_on(*group).value()),
            Value::Decimal(amount.amount()),
        ]
    });
    Table::new("Contingency", columns).rows(rows)
}
