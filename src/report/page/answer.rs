//! The answer: what to order and by when, which days, which drums, what it costs, what could go wrong.

use jiff::civil::Date;

use crate::bid::LEVELS;
use crate::diag::Level;
use crate::diag::count;
use crate::plan::Plan;
use crate::report::orders::supplier;
use crate::units::Money;

use super::Fact;
use super::Part;
use super::Section;
use super::how::Placer;
use super::parts;

/// More lines than this in one answer push the next off the screen; its section has them all.
const MOST_LINES: usize = 8;
/// Warnings, and warnings with cautions, shown with the answer; all of them stand in their section.
const MOST_WARNINGS: usize = 5;
const MOST_CAUTIONS: usize = 10;

/// The first section.
pub(super) fn section(plan: &Plan, placer: &mut Placer<'_>) -> Section {
    let mut parts = Vec::new();
    parts.extend(alarms(plan));
    parts.push(Part::Facts(vec![
        orders(plan),
        days(plan, placer),
        price(plan, placer),
        drums(plan, placer),
        care(plan),
    ]));
    Section {
        id: "answer",
        short: "Answer",
        title: "The answer",
        parts,
    }
}

/// A day as every file of a plan writes it.
pub(super) fn day(day: Date) -> String {
    day.strftime("%a %Y-%m-%d").to_string()
}

/// What breaks a promise of the job.
fn alarms(plan: &Plan) -> Vec<Part> {
    let broken = plan
        .problems
        .iter()
        .filter(|problem| problem.level == Level::Error);
    let words = broken.map(|problem| Part::Alarm(problem.text.clone()));
    words.take(MOST_LINES).collect()
}

/// Lines cut to what the answer has room for.
fn cut(mut lines: Vec<String>, rest: &str) -> Vec<String> {
    let more = lines.len().saturating_sub(MOST_LINES);
    if more > 1 {
        lines.truncate(MOST_LINES);
        lines.push(format!("and {more} more {rest}"));
    }
    lines
}

fn orders(plan: &Plan) -> Fact {
    let purchase = &plan.purchase;
    let Some(first) = purchase.orders.iter().map(|order| order.order_by).min() else {
        return Fact::new("Order", "nothing to buy").section("orders");
    };
    let lines = purchase.orders.iter().map(|order| {
        format!(
            "by {}: {}, {}, {}",
            day(order.order_by),
            supplier(plan, order),
            count(order.lines.len(), "line"),
            parts::money(order.total)
        )
    });
    let value = format!(
        "{}, the first by {}",
        count(purchase.orders.len(), "order"),
        day(first)
    );
    let total = format!(
        "{} {} in all, before tax",
        parts::money(purchase.total),
        plan.job.currency
    );
    Fact::new("Order", value)
        .more(cut(lines.collect(), "orders"))
        .more([total])
        .section("orders")
}

fn days(plan: &Plan, placer: &mut Placer<'_>) -> Fact {
    let starts = plan.schedule.activities.iter().map(|one| one.start);
    let Some((first, last)) = starts.min().zip(plan.schedule.finish) else {
        return Fact::new("Work", "nothing to do").section("days");
    };
    let value = format!("{} to {}", day(first.date()), day(last.date()));
    let mut fact = Fact::new("Work", value)
        .how(placer.open("schedule/finish"))
        .section("days");
    let Some(clear) = plan.schedule.wall_clear else {
        return fact;
    };
    let at = format!("{}, {}", day(clear.date()), clear.strftime("%H:%M"));
    fact.more.push(format!("wall clear {at}"));
    if let Some(hand_over) = plan.job.hand_over {
        fact.alarm = plan.schedule.late_minutes > 0;
        let spare = (hand_over - clear.date()).get_days();
        fact.more.push(if fact.alarm {
            format!("THE HAND-OVER ON {} IS MISSED", day(hand_over))
        } else {
            let spare = count(usize::try_from(spare).unwrap_or(0), "day");
            format!("hand-over {}: {spare} to spare", day(hand_over))
        });
    }
    fact
}

fn price(plan: &Plan, placer: &mut Placer<'_>) -> Fact {
    let bid = &plan.bid;
    let currency = &plan.job.currency;
    let mut more = Vec::new();
    let mut value = format!("{} {currency}", parts::money(bid.total));
    if bid.tax != Money::ZERO {
        value += " with tax";
        let before = parts::money(bid.total - bid.tax);
        more.push(format!("{before} {currency} before tax"));
    }
    if let Some(odds) = &plan.odds {
        let levels = LEVELS.iter().zip(&odds.price);
        let levels = levels.filter(|(level, _)| matches!(level, 10 | 50 | 90));
        more.extend(levels.map(|(level, price)| {
            let price = parts::money(*price);
            format!("odds: {level} of 100 draws come to {price} or less")
        }));
        more.push(format!(
            "the price as asked, its contingency used up, is enough in {:.0} of 100 draws",
            odds.enough * 100.0
        ));
    }
    Fact::new("Price", value)
        .more(more)
        .how(placer.open("bid/total"))
        .section("price")
}

fn drums(plan: &Plan, placer: &mut Placer<'_>) -> Fact {
    let drums = &plan.rolling.drums;
    let mut lines: Vec<String> = drums
        .iter()
        .map(|drum| {
            let panels: Vec<&str> = drum
                .panels
                .iter()
                .map(|rolled| plan.panel_id(rolled.panel))
                .collect();
            format!(
                "{}: {} on {}",
                drum.id,
                panels.join(", "),
                plan.material_name(&drum.tube)
            )
        })
        .collect();
    let flats = plan.rolling.flats.iter();
    lines.extend(flats.map(|flat| format!("flat: {}", plan.panel_id(flat.panel))));
    let value = format!(
        "{} in {}",
        count(drums.len(), "drum"),
        count(plan.crating.crates.len(), "crate")
    );
    Fact::new("Drums", value)
        .more(cut(lines, "in their section"))
        .how(placer.open("drums/choice"))
        .section("drums")
}

fn care(plan: &Plan) -> Fact {
    let warnings = plan.problems.iter();
    let warnings: Vec<String> = warnings
        .filter(|problem| problem.level == Level::Warning)
        .map(|problem| problem.text.clone())
        .collect();
    let mut value = count(plan.cautions.len(), "caution");
    if !warnings.is_empty() {
        value = format!("{value} and {}", count(warnings.len(), "warning"));
    }
    let all = warnings.len() + plan.cautions.len();
    let cautions = plan.cautions.iter();
    let cautions = cautions.map(|caution| format!("{}: {}", caution.about, caution.text));
    let lines = warnings.into_iter().take(MOST_WARNINGS).chain(cautions);
    let mut fact = Fact::new("What could go wrong", value)
        .more(lines.take(MOST_CAUTIONS))
        .section("care");
    fact.wide = true;
    let more = all.saturating_sub(fact.more.len());
    if more > 0 {
        fact.more.push(format!("and {more} more"));
    }
    fact
}
