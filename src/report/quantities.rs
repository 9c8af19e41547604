//! What is laid and mixed: layers by panel, stock units by material, solutions by step.

use crate::plan::Plan;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::cells::length;
use super::cells::length_column;
use super::cells::length_down;
use super::cells::measured;
use super::cells::paper;

/// The tables that `facelay quantities` prints.
pub(super) fn build(plan: &Plan) -> Report {
    let sheet = Sheet::new("quantities", "Quantities")
        .heading("Panels")
        .table(panels(plan))
        .heading("Layers, the one next to the paint first")
        .table(layers(plan))
        .heading("Sheets and rolls by cut plan; least: no plan can buy fewer")
        .table(stock(plan))
        .heading("Offcuts on the shelf afterwards")
        .table(offcuts(plan))
        .heading("Solutions, waste included")
        .table(solutions(plan));
    Report {
        name: "quantities".into(),
        title: format!("{}: quantities", plan.job.title),
        paper: paper(plan),
        sheets: vec![sheet],
    }
}

fn panels(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("panel"),
        length_column(plan, "width"),
        length_column(plan, "height"),
        Column::number("openings", 0),
        Column::number("area (m2)", 3).summed(),
        Column::text("recipe"),
    ];
    let rows = plan.survey.panels.iter().map(|panel| {
        vec![
            Value::text(&panel.id),
            length(plan, panel.width),
            length(plan, panel.height),
            Value::count(panel.openings.len()),
            Value::Number(panel.area.to_m2()),
            plan.job
                .panels
                .get(panel.row)
                .map_or(Value::Empty, |row| Value::text(&row.recipe)),
        ]
    });
    Table::new("Panels", columns).rows(rows)
}

fn layers(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("panel"),
        Column::number("layer", 0),
        Column::text("step"),
        Column::text("material"),
        Column::text("sheets run"),
        Column::number("pieces", 0).summed(),
        Column::number("laid (m2)", 2).summed(),
    ];
    let rows = plan.takeoff.layers.iter().map(|layer| {
        vec![
            Value::text(plan.panel_id(layer.panel)),
            Value::Decimal(layer.layer.into()),
            plan.step_of(layer.panel, layer.step)
                .map_or(Value::Empty, |step| Value::text(&step.id)),
            Value::text(&layer.material),
            Value::text(layer.way.name()),
            Value::count(layer.pieces.len()),
            Value::Number(layer.laid.to_m2()),
        ]
    });
    Table::new("Layers", columns).rows(rows)
}

/// What is cut, where it comes from, and how few could be bought at the least.
fn stock(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::text("what").only_wide(),
        Column::text("unit"),
        Column::number("offcuts", 0),
        Column::number("shelf", 0),
        Column::number("to buy", 0),
        Column::number("least", 0),
        Column::number("used (%)", 0),
    ];
    let rows = plan.takeoff.cut_totals.iter().map(|total| {
        let material = plan.job.catalog.materials.get(&total.material);
        let unit = material.map_or("", |material| material.unit().name());
        vec![
            Value::text(&total.material),
            Value::text(plan.material_name(&total.material)),
            Value::text(unit),
            Value::Decimal(total.offcuts.into()),
            Value::Decimal(total.shelf.into()),
            Value::Decimal(total.bought.into()),
            Value::Decimal(total.least_bought.into()),
            Value::Number(used_percent(plan, &total.material)),
        ]
    });
    Table::new("Stock", columns).rows(rows)
}

/// How much of the area of a material's stock units is laid, in percent; of the rest, what is large enough is among the offcuts.
fn used_percent(plan: &Plan, material: &str) -> f64 {
    let catalog = &plan.job.catalog;
    let units = plan.takeoff.cuts.iter();
    let units = units.filter(|unit| catalog.main_size(&unit.material) == material);
    let (mut stock, mut laid) = (0.0, 0.0);
    for unit in units {
        stock += (unit.width * unit.length).to_m2();
        let pieces = unit.pieces.iter();
        laid += pieces
            .map(|piece| (piece.width * piece.height).to_m2())
            .sum::<f64>();
    }
    if stock > 0.0 {
        laid / stock * 100.0
    } else {
        0.0
    }
}

/// Part sheets, roll ends, rests of boards and timber; as a file they stand with the rest of the shelf in `stock-after.csv`.
fn offcuts(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::number("quantity", 0),
        Column::text("unit"),
        Column::text("width"),
        Column::text("length"),
        Column::text("notes").only_wide(),
    ];
    let rows = plan.offcuts().map(|offcut| {
        let material = plan.job.catalog.materials.get(&offcut.material);
        vec![
            Value::text(&offcut.material),
            Value::Decimal(offcut.count.into()),
            Value::text(material.map_or("", |material| material.unit().name())),
            length_down(plan, offcut.width),
            length_down(plan, offcut.length),
            Value::Text(format!("after {}", plan.job.title)),
        ]
    });
    Table::new("Offcuts", columns).rows(rows).shown_only()
}

fn solutions(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("recipe"),
        Column::text("step"),
        Column::text("part"),
        Column::number("mass (g)", 0),
        Column::number("volume (ml)", 0),
    ];
    let rows = plan.solutions_by_step().into_iter().flat_map(|total| {
        let whole = vec![
            Value::text(total.recipe),
            Value::text(total.step),
            Value::text(format!("solution {}", total.solution)),
            Value::Number(total.mass.to_g()),
            Value::Empty,
        ];
        let parts = total.parts.iter().map(|part| {
            vec![
                Value::Empty,
                Value::Empty,
                Value::text(&part.material),
                Value::Number(part.mass.to_g()),
                measured(plan, part).map_or(Value::Empty, |volume| Value::Number(volume.to_ml())),
            ]
        });
        std::iter::once(whole).chain(parts).collect::<Vec<_>>()
    });
    Table::new("Solutions", columns).rows(rows)
}
