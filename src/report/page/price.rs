//! The price: groups of cost, the way to the price, every line; then how far it may be off.

use rust_decimal::prelude::ToPrimitive;

use crate::bid::CostGroup;
use crate::plan::Plan;
use crate::report::bid;
use crate::units::Money;

use super::Listing;
use super::Part;
use super::Section;
use super::charts;
use super::how::Placer;
use super::parts;
use super::parts::Share;
use super::parts::folded;
use super::parts::of_sheet;

/// The price and how it comes about.
pub(super) fn section(plan: &Plan, placer: &mut Placer<'_>) -> Section {
    let ids = plan.bid.lines.iter();
    let ids = ids.map(|line| format!("bid/{}", line.id));
    let lines = Listing::new(
        format!("Cost lines, in {}", plan.job.currency),
        bid::lines(plan),
    );
    // The groups stand in the bars above.
    let mut summary = bid::summary(plan);
    summary
        .rows
        .drain(..CostGroup::ALL.len().min(summary.rows.len()));
    Section {
        id: "price",
        short: "Price",
        title: "Price",
        parts: vec![
            Part::Shares(
                format!("Cost by group, in {}", plan.job.currency),
                groups(plan),
            ),
            Part::table(
                format!("From cost to price, in {}", plan.job.currency),
                summary,
            ),
            Part::fold(
                "Contingency by group",
                vec![Part::table("Contingency by group", bid::contingency(plan))],
            ),
            Part::fold(
                format!("Every cost line ({})", plan.bid.lines.len()),
                vec![Part::Table(lines.opening(2, ids, placer))],
            ),
            Part::fold("Hours at cost and as charged", of_sheet(bid::labour(plan))),
        ],
    }
}

fn groups(plan: &Plan) -> Vec<Share> {
    let sums: Vec<(&str, Money)> = CostGroup::ALL
        .iter()
        .map(|&group| {
            let lines = plan.bid.lines.iter().filter(|line| line.group == group);
            (group.name(), lines.map(|line| line.amount).sum())
        })
        .filter(|(_, sum)| *sum != Money::ZERO)
        .collect();
    let all = plan.bid.subtotal.amount().to_f64().unwrap_or(0.0).max(0.01);
    sums.into_iter()
        .map(|(name, sum)| Share {
            name: name.to_owned(),
            amount: parts::money(sum),
            part: (sum.amount().to_f64().unwrap_or(0.0) / all).clamp(0.0, 1.0),
        })
        .collect()
}

/// Odds and cases; none where neither was drawn.
pub(super) fn chances(plan: &Plan) -> Option<Section> {
    let mut parts = Vec::new();
    if let Some(odds) = &plan.odds {
        parts.extend(charts::odds(plan, odds).map(Part::Drawing));
    }
    let odds = bid::odds_sheet(plan).map(of_sheet).unwrap_or_default();
    parts.extend(folded(odds, &["Drawn costs", "What is drawn"]));
    if let Some(cases) = bid::cases_sheet(plan) {
        parts.push(Part::Heading("Cases side by side".to_owned()));
        parts.extend(of_sheet(cases));
    }
    (!parts.is_empty()).then_some(Section {
        id: "odds",
        short: "Odds",
        title: "How far it may be off",
        parts,
    })
}
