//! Every material over the whole job: need, shelf, packs, left over; shared by purchase list and commands.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::catalog::Hazard;
use crate::catalog::Material;
use crate::plan::Plan;
use crate::purchase::Bought;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::units::Percent;

use super::Column;
use super::Table;
use super::Value;
use super::leftovers;
use super::orders;

/// One row a material that is bought or taken from the shelf; `live` where every order has a sheet that costs are taken
/// from.
pub(super) fn table(plan: &Plan, live: bool) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::text("what").only_wide(),
        Column::number("need", 1),
        Column::text("unit"),
        Column::text("of that waste").only_wide(),
        Column::number("from the shelf", 1),
        Column::number("bought", 1),
        Column::text("packs").only_wide(),
        Column::number("left over", 1),
        Column::text("first used for").only_wide(),
        Column::day("need by"),
        Column::day("order by").only_wide(),
        Column::day("arrives").only_wide(),
        Column::money("cost").summed(),
    ];
    let waste = waste(plan);
    let by_odds = plan.job.buying.odds.is_some();
    let any_ordered = !plan.purchase.of_ordered.is_empty();
    let mut columns = columns;
    // What only some jobs have stands last, so that the others stay narrow.
    if by_odds {
        columns.push(Column::number("of the need, by odds", 1).only_wide());
    }
    if any_ordered {
        columns.push(Column::number("on its way", 1).only_wide());
    }
    let rows = plan.purchase.bought.iter().map(|bought| {
        let mut row = vec![
            Value::text(&bought.material),
            Value::text(plan.material_name(&bought.material)),
            Value::Decimal(bought.need.amount),
            Value::text(bought.need.unit.name()),
            Value::text(
                waste
                    .get(bought.material.as_str())
                    .map_or("", String::as_str),
            ),
            Value::Decimal(bought.stock.amount),
            Value::Decimal(bought.bought.amount),
            Value::text(&bought.packs),
            Value::Decimal(bought.left.amount),
            Value::text(&bought.first_use),
            Value::Day(bought.need_by),
            bought.order_by.map_or(Value::Empty, Value::Day),
            bought.arrives.map_or(Value::Empty, Value::Day),
            cost(plan, bought, live),
        ];
        if by_odds {
            row.push(Value::Decimal(bought.safety));
        }
        if any_ordered {
            row.push(Value::Decimal(bought.ordered.amount));
        }
        row
    });
    Table::new("Materials", columns).rows(rows)
}

/// What a material costs: in a workbook the sum of its lines in the order sheets.
fn cost(plan: &Plan, bought: &Bought, live: bool) -> Value {
    let amount = bought.cost.cents().amount();
    let mut parts = Vec::new();
    let mut is_plain = live;
    for (at, order) in plan.purchase.orders.iter().enumerate() {
        let serves = order
            .lines
            .iter()
            .any(|line| line.serves == bought.material);
        // A substitute stands under its own name, which other needs may share.
        is_plain &= order
            .lines
            .iter()
            .all(|line| (line.serves == bought.material) == (line.material == bought.material));
        if serves {
            let lines = orders::lines_name(at + 1);
            parts.push(format!(
                "SUMIF({lines}[material],{{0:material}},{lines}[amount])"
            ));
        }
    }
    if is_plain && !parts.is_empty() && parts.len() <= MOST_PARTS {
        Value::Formula(parts.join("+"), amount)
    } else {
        Value::Decimal(amount)
    }
}

/// A longer formula is read by nobody, and not by every spreadsheet program.
const MOST_PARTS: usize = 40;

/// The waste factors of the steps that use each material, in words.
fn waste(plan: &Plan) -> BTreeMap<&str, String> {
    let mut factors: BTreeMap<&str, BTreeSet<Percent>> = BTreeMap::new();
    for recipe in plan.job.recipes.values() {
        for step in &recipe.steps {
            for material in used_by(recipe, step) {
                factors.entry(material).or_default().insert(step.waste);
            }
        }
    }
    factors
        .into_iter()
        .map(|(material, factors)| {
            let words: Vec<String> = factors
                .iter()
                .filter(|factor| !factor.value().is_zero())
                .map(|factor| format!("{} %", factor.value().normalize()))
                .collect();
            (material, words.join(", "))
        })
        .collect()
}

/// The materials that a step's waste factor is reckoned on.
fn used_by<'a>(recipe: &'a Recipe, step: &'a Step) -> Vec<&'a str> {
    let solution = step.solution.as_deref().and_then(|id| recipe.solution(id));
    let parts = solution.into_iter().flat_map(|solution| {
        let solvents = solution.solvents.iter().map(|(id, _)| id.as_str());
        solution.resin.as_deref().into_iter().chain(solvents)
    });
    step.material.as_deref().into_iter().chain(parts).collect()
}

/// Why each material is bought where it is.
pub(super) fn reasons(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::text("what"),
        Column::money("cost"),
        Column::text("chosen, and the next best"),
    ];
    let rows = plan.purchase.bought.iter().map(|bought| {
        vec![
            Value::text(&bought.material),
            Value::text(plan.material_name(&bought.material)),
            Value::Decimal(bought.cost.cents().amount()),
            Value::text(&bought.chosen),
        ]
    });
    Table::new("Reasons", columns).rows(rows)
}

/// What can harm or goes off, with how to keep it.
pub(super) fn hazards(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::text("what"),
        Column::text("hazard"),
        Column::number("bought", 1),
        Column::text("unit"),
        Column::text("keeps"),
        Column::text("storage"),
    ];
    let known = plan.purchase.bought.iter().filter_map(|bought| {
        let material = plan.job.catalog.materials.get(&bought.material)?;
        (material.hazard != Hazard::None || material.keeps_days.is_some())
            .then_some((bought, material))
    });
    let rows = known.map(|(bought, material)| {
        vec![
            Value::text(&bought.material),
            Value::text(&material.name),
            hazard(material),
            Value::Decimal(bought.bought.amount),
            Value::text(bought.bought.unit.name()),
            leftovers::keeps(plan, &bought.material),
            Value::text(storage(material)),
        ]
    });
    Table::new("Hazards", columns).rows(rows)
}

/// A hazard's name; nothing where there is none, so that hazards stand out.
fn hazard(material: &Material) -> Value {
    match material.hazard {
        Hazard::None => Value::Empty,
        Hazard::Flammable | Hazard::FlammableToxic | Hazard::Toxic => {
            Value::text(material.hazard.name())
        }
    }
}

/// How such things are kept (common practice).
const fn storage(material: &Material) -> &'static str {
    match material.hazard {
        Hazard::Flammable | Hazard::FlammableToxic => {
            "closed, cool and aired, away from sparks, in a cabinet for flammable liquid; rags in a closed metal bin"
        }
        Hazard::Toxic => "closed and labelled, under lock, apart from food",
        Hazard::None => "write the day of opening on it",
    }
}
