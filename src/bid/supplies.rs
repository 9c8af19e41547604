//! Materials as bought, in the group that uses them, and the freight and surcharges of their orders.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::crating::Crating;
use crate::job::Job;
use crate::job::MaterialsAt;
use crate::purchase::Order;
use crate::purchase::OrderLine;
use crate::purchase::Purchase;
use crate::purchase::derivation_id;
use crate::rolling::Rolling;
use crate::takeoff::Need;

use super::lines::Draft;
use crate::job::CostGroup;

/// A line an order line: packs times the price of one, or the share of them that the job uses up. What comes from the shelf costs nothing here.
pub(super) fn materials(
    job: &Job,
    rolling: &Rolling,
    crating: &Crating,
    purchase: &Purchase,
) -> Vec<Draft> {
    let groups = groups(job, (rolling, crating), purchase);
    let mut drafts: Vec<Draft> = purchase
        .orders
        .iter()
        .flat_map(|order| order.lines.iter().map(move |line| (order, line)))
        .filter(|(_, line)| !line.unit_price.amount().is_zero())
        .map(|(order, line)| material(job, &groups, purchase, order, line))
        .collect();
    drafts.sort_by(|a, b| a.text.cmp(&b.text));
    drafts
}

fn material(
    job: &Job,
    groups: &BTreeMap<&str, CostGroup>,
    purchase: &Purchase,
    order: &Order,
    line: &OrderLine,
) -> Draft {
    let material = job.catalog.materials.get(&line.material);
    let name = material.map_or(line.material.as_str(), |material| material.name.as_str());
    let mut inputs = vec![(
        "needed in all".to_owned(),
        needed(purchase, &line.serves),
        Some(format!("need/{}", line.serves)),
    )];
    let packs = Decimal::from(line.packs);
    let quantity = match job.terms.materials {
        MaterialsAt::Bought => packs,
        MaterialsAt::Used => {
            let share = used_share(purchase, &line.serves);
            let text = format!("{} of what is bought", share.normalize());
            inputs.push(("share used up".to_owned(), text, None));
            packs.saturating_mul(share).round_dp(4).normalize()
        }
    };
    Draft {
        group: groups
            .get(line.serves.as_str())
            .copied()
            .unwrap_or(CostGroup::Materials),
        text: format!("{name}, {}", supplier_name(job, &order.supplier)),
        quantity,
        unit: format!(
            "pack of {} {}",
            line.pack.amount.normalize(),
            line.pack.unit.name()
        ),
        rate: line.unit_price,
        inputs,
    }
}

/// How much of what is bought the job uses up, from 0 to 1, to six digits: (bought − left over) / bought.
fn used_share(purchase: &Purchase, material: &str) -> Decimal {
    let found = purchase
        .bought
        .iter()
        .find(|bought| bought.material == material);
    let share = found.and_then(|found| {
        let used = found.bought.amount.saturating_sub(found.left.amount);
        used.checked_div(found.bought.amount)
    });
    share
        .unwrap_or(Decimal::ONE)
        .clamp(Decimal::ZERO, Decimal::ONE)
        .round_dp(6)
}

fn needed(purchase: &Purchase, material: &str) -> String {
    let found = purchase
        .bought
        .iter()
        .find(|bought| bought.material == material);
    found.map_or_else(String::new, |bought| {
        format!("{}, {} from the shelf", bought.need, bought.stock)
    })
}

fn supplier_name<'a>(job: &'a Job, id: &'a str) -> &'a str {
    job.catalog
        .suppliers
        .get(id)
        .map_or(id, |supplier| supplier.name.as_str())
}

/// Where a material belongs: with drums or crates where they take most of it; stands, counted by the days of the schedule, with drums.
fn groups<'a>(
    job: &Job,
    (rolling, crating): (&'a Rolling, &'a Crating),
    purchase: &'a Purchase,
) -> BTreeMap<&'a str, CostGroup> {
    let (drums, crates) = (sums(&rolling.needs), sums(&crating.needs));
    let kit = &job.catalog.drum_kit;
    let stands = [kit.stand.as_deref(), kit.stand_hire.as_deref()];
    let group = |material: &'a str, need: Decimal| {
        if stands.contains(&Some(material)) {
            return CostGroup::Drums;
        }
        let half = need.to_f64().unwrap_or(0.0) / 2.0;
        let of = |sums: &BTreeMap<&str, f64>| sums.get(material).copied().unwrap_or(0.0);
        let (drums, crates) = (of(&drums), of(&crates));
        if drums + crates <= half {
            CostGroup::Materials
        } else if drums >= crates {
            CostGroup::Drums
        } else {
            CostGroup::Crates
        }
    };
    purchase
        .bought
        .iter()
        .map(|bought| {
            (
                bought.material.as_str(),
                group(&bought.material, bought.need.amount),
            )
        })
        .collect()
}

fn sums(needs: &[Need]) -> BTreeMap<&str, f64> {
    let mut sums = BTreeMap::new();
    for need in needs {
        *sums.entry(need.material.as_str()).or_default() += need.amount;
    }
    sums
}

/// Freight and hazard surcharges, a line an order that has any.
///
/// # Formula
/// freight = fixed sum + rate × kilograms, nothing from the sum on at which it is free; a surcharge once for an order with hazardous goods.
///
/// # Sources
/// The suppliers' terms in `catalogs/suppliers.csv`.
pub(super) fn freight(job: &Job, purchase: &Purchase) -> Vec<Draft> {
    let mut drafts = Vec::new();
    for (index, order) in purchase.orders.iter().enumerate() {
        let name = supplier_name(job, &order.supplier);
        for (what, amount) in [
            ("freight", order.freight),
            ("hazard surcharge", order.surcharge),
        ] {
            if !amount.amount().is_zero() {
                drafts.push(Draft {
                    group: CostGroup::Freight,
                    text: format!("{name}, order of {}, {what}", order.order_by),
                    quantity: Decimal::ONE,
                    unit: "order".to_owned(),
                    rate: amount,
                    inputs: vec![(
                        "order".to_owned(),
                        order.total.to_string(),
                        Some(derivation_id(&purchase.orders, index)),
                    )],
                });
            }
        }
    }
    drafts
}
