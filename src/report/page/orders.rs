//! Orders: when each has to be sent, what stands on it, and what of each material is needed, there and left over.

use crate::plan::Plan;
use crate::report::Table;
use crate::report::Value;
use crate::report::materials;
use crate::report::orders;

use super::Listing;
use super::Part;
use super::Section;
use super::answer::day;
use super::charts;
use super::how::Placer;
use super::parts::only;

/// Orders whose lines stand on the page; the purchase list has a sheet for every one.
const MOST_ORDERS: usize = 40;

/// The section.
pub(super) fn section(plan: &Plan, placer: &mut Placer<'_>) -> Section {
    let mut parts = Vec::new();
    if plan.purchase.orders.is_empty() {
        parts.push(Part::Note("Nothing has to be bought.".to_owned()));
    } else {
        parts.extend(charts::deliveries(plan).map(Part::Drawing));
        let sums = Listing::new(
            format!("Orders, the most urgent first, in {}", plan.job.currency),
            orders::overview(plan, false),
        );
        let ids = (0..plan.purchase.orders.len())
            .map(|at| crate::purchase::derivation_id(&plan.purchase.orders, at));
        parts.push(Part::Table(sums.opening(0, ids, placer)));
        parts.push(Part::Note(format!(
            "Arrives: the day it is there if it is sent on {}. The sum is {}.",
            day(plan.job.order_day),
            plan.purchase.sure()
        )));
        parts.extend(each(plan));
    }
    if !plan.purchase.bought.is_empty() {
        let many = crate::diag::count(plan.purchase.bought.len(), "material");
        let title = format!("{many}: needed, on the shelf, bought, left over");
        parts.push(Part::fold(title, vec![Part::Table(all(plan, placer))]));
    }
    Section {
        id: "orders",
        short: "Orders",
        title: "Orders",
        parts,
    }
}

/// The lines of each order.
fn each(plan: &Plan) -> Vec<Part> {
    let all = orders::lines(plan);
    let mut parts: Vec<Part> = Vec::new();
    for (at, order) in plan.purchase.orders.iter().enumerate().take(MOST_ORDERS) {
        let number = Value::count(at + 1);
        let own = all.rows.iter().filter(|row| row.first() == Some(&number));
        let lines = Table::new(all.name.clone(), all.columns.clone()).rows(own.cloned());
        let name = orders::supplier(plan, order);
        let lines = only(
            lines,
            &[
                "what",
                "packs",
                "pack of",
                "price of a pack",
                "amount",
                "need by",
                "delivery",
                "instead of",
            ],
        );
        let title = format!("{}. {name}: send by {}", at + 1, day(order.order_by));
        parts.push(Part::fold(
            title,
            vec![Part::table(format!("Order {} to {name}", at + 1), lines)],
        ));
    }
    let left = plan.purchase.orders.len().saturating_sub(MOST_ORDERS);
    if left > 0 {
        parts.push(Part::Note(format!(
            "The lines of {left} more orders stand in the purchase list."
        )));
    }
    parts
}

/// Every material, each row opening to how its need came about.
fn all(plan: &Plan, placer: &mut Placer<'_>) -> Listing {
    let table = materials::table(plan, false);
    let bought = plan.purchase.bought.iter();
    let ids = bought.map(|bought| format!("need/{}", bought.material));
    let shown = [
        "what",
        "need",
        "unit",
        "from the shelf",
        "on its way",
        "bought",
        "packs",
        "left over",
        "need by",
        "order by",
        "cost",
    ];
    Listing::new(
        "What is needed, there, bought and left over",
        only(table, &shown),
    )
    .opening(0, ids, placer)
}
