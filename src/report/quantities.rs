//! What is laid and mixed: layers by panel, stock units by material, solutions by step.

use crate::plan::Plan;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::cells::length;
use super::cells::length_column;
use super::cells::paper;

/// The tables that `facelay quantities` prints.
pub(super) fn build(plan: &Plan) -> Report {
    let sheet = Sheet::new("quantities", "Quantities")
        .heading("Panels")
        .table(panels(plan))
        .heading("Layers, the one next to the paint first")
        .table(layers(plan))
        .heading("Sheets and rolls, by cut plan")
        .table(stock(plan))
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

fn stock(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::text("what"),
        Column::text("counted in"),
        Column::number("cut plan", 0),
        Column::number("least possible", 0),
    ];
    let rows = plan
        .takeoff
        .cut_bounds
        .iter()
        .map(|(material, counted, least)| {
            let unit = plan
                .job
                .catalog
                .materials
                .get(material)
                .map_or("", |material| material.unit().name());
            vec![
                Value::text(material),
                Value::text(plan.material_name(material)),
                Value::text(unit),
                Value::Decimal((*counted).into()),
                Value::Decimal((*least).into()),
            ]
        });
    Table::new("Stock", columns).rows(rows)
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
                part.volume
                    .map_or(Value::Empty, |volume| Value::Number(volume.to_ml())),
            ]
        });
        std::iter::once(whole).chain(parts).collect::<Vec<_>>()
    });
    Table::new("Solutions", columns).rows(rows)
}
