//! What people compare before and after a change: price, finish, orders, drums.

use std::collections::BTreeMap;

use jiff::civil::DateTime;

use crate::bid::CostGroup;
use crate::diag::count;
use crate::plan::Plan;
use crate::units::Money;

/// One thing compared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Line {
    /// What it is.
    pub(super) label: &'static str,
    /// What it comes to, in words.
    pub(super) text: String,
    /// The same as an amount, where it is one.
    pub(super) amount: Option<Money>,
}

/// A plan in a few lines; every plan has the same lines in the same order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Summary {
    pub(super) lines: Vec<Line>,
}

impl Summary {
    /// Sums a plan up.
    pub(super) fn of(plan: &Plan) -> Self {
        let currency = &plan.job.currency;
        let money = |label, amount: Money| Line {
            label,
            text: format!("{} {currency}", amount.cents()),
            amount: Some(amount),
        };
        let words = |label, text| Line {
            label,
            text,
            amount: None,
        };
        let labour = plan.bid.lines.iter();
        let labour = labour.filter(|line| line.group == CostGroup::Labour);
        Self {
            lines: vec![
                money("Price with tax", plan.bid.total),
                money("Price before tax", plan.bid.total - plan.bid.tax),
                money("Labour", labour.map(|line| line.amount).sum()),
                words("Wall clear", wall_clear(plan)),
                words("Last day", moment(plan.schedule.finish)),
                money("Orders, sum", plan.purchase.total),
                words("Orders", orders(plan)),
                words("Drums", drums(plan)),
                words("Crates", plan.crating.crates.len().to_string()),
            ],
        }
    }
}

fn moment(at: Option<DateTime>) -> String {
    at.map_or_else(
        || "nothing to do".to_owned(),
        |at| at.strftime("%a %Y-%m-%d %H:%M").to_string(),
    )
}

fn wall_clear(plan: &Plan) -> String {
    let clear = moment(plan.schedule.wall_clear);
    match plan.job.hand_over {
        Some(day) if plan.schedule.late_minutes > 0 => {
            format!("{clear}: the hand-over on {day} is missed")
        }
        Some(_) | None => clear,
    }
}

fn orders(plan: &Plan) -> String {
    let orders = &plan.purchase.orders;
    let first = orders.iter().map(|order| order.order_by).min();
    match first {
        Some(first) => format!(
            "{}, the first by {}",
            count(orders.len(), "order"),
            first.strftime("%a %Y-%m-%d")
        ),
        None => "none".to_owned(),
    }
}

/// How many drums of which tube, and what stays flat.
fn drums(plan: &Plan) -> String {
    let mut tubes: BTreeMap<&str, usize> = BTreeMap::new();
    for drum in &plan.rolling.drums {
        *tubes.entry(&drum.tube).or_default() += 1;
    }
    let tubes: Vec<String> = tubes
        .iter()
        .map(|(tube, number)| format!("{number} × {tube}"))
        .collect();
    let mut text = match plan.rolling.drums.len() {
        0 => "none".to_owned(),
        number => format!("{number}: {}", tubes.join(", ")),
    };
    if !plan.rolling.flats.is_empty() {
        text.push_str("; ");
        text.push_str(&count(plan.rolling.flats.len(), "panel"));
        text.push_str(" flat");
    }
    text
}
