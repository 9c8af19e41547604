//! Every material over the whole job: need, shelf, packs, left over; shared by purchase list and commands.

use crate::catalog::Hazard;
use crate::catalog::Material;
use crate::plan::Plan;

use super::Column;
use super::Table;
use super::Value;

/// One row a material that is bought or taken from the shelf.
pub(super) fn table(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::text("what").only_wide(),
        Column::number("need", 1),
        Column::text("unit"),
        Column::number("from the shelf", 1),
        Column::number("bought", 1),
        Column::number("left over", 1),
        Column::day("need by"),
        Column::money("cost").summed(),
        Column::text("why this pack and supplier").only_wide(),
        Column::text("keeps").only_wide(),
        Column::text("hazard").only_wide(),
    ];
    let rows = plan.purchase.bought.iter().map(|bought| {
        let material = plan.job.catalog.materials.get(&bought.material);
        vec![
            Value::text(&bought.material),
            Value::text(plan.material_name(&bought.material)),
            Value::Decimal(bought.need.amount),
            Value::text(bought.need.unit.name()),
            Value::Decimal(bought.stock.amount),
            Value::Decimal(bought.bought.amount),
            Value::Decimal(bought.left.amount),
            Value::Day(bought.need_by),
            Value::Decimal(bought.cost.cents().amount()),
            Value::text(&bought.chosen),
            material
                .and_then(|material| material.keeps_days)
                .map_or(Value::Empty, |days| Value::Text(format!("{days} days"))),
            material.map_or(Value::Empty, hazard),
        ]
    });
    Table::new("Materials", columns).rows(rows)
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
