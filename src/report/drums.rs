//! Drums, how each painting bends, crates, and whether each gets out.

use crate::plan::Plan;
use crate::rolling::Governs;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::cells::length;
use super::cells::length_column;
use super::cells::names;
use super::cells::paper;

/// The tables that `facelay drums` prints.
pub(super) fn build(plan: &Plan) -> Report {
    let sheet = Sheet::new("drums", "Drums and crates")
        .heading("Drums")
        .table(drums(plan))
        .heading("How each painting bends")
        .table(bending(plan))
        .note("The diameter is an aid to the conservator's judgement: a test on the real paint comes first.")
        .heading("Panels that stay flat")
        .table(flats(plan))
        .heading("Crates")
        .table(crates(plan))
        .heading("Ways out")
        .table(ways_out(plan))
        .note("Masses and carriers are estimates: weigh before lifting; a competent person plans every lift.");
    Report {
        name: "drums".into(),
        title: format!("{}: drums and crates", plan.job.title),
        paper: paper(plan),
        sheets: vec![sheet],
    }
}

fn drums(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("drum"),
        Column::text("tube"),
        length_column(plan, "diameter"),
        length_column(plan, "face"),
        Column::text("panels"),
        Column::number("turns", 2),
        length_column(plan, "over the roll"),
        Column::number("mass (kg)", 1),
        length_column(plan, "sag").only_wide(),
    ];
    let rows = plan.rolling.drums.iter().map(|drum| {
        vec![
            Value::text(&drum.id),
            Value::text(&drum.tube),
            length(plan, drum.diameter),
            length(plan, drum.face),
            names(drum.panels.iter().map(|rolled| plan.panel_id(rolled.panel))),
            Value::Number(drum.turns),
            length(plan, drum.outside_diameter),
            Value::Number(drum.mass.to_kg()),
            length(plan, drum.deflection),
        ]
    });
    Table::new("Drums", columns).rows(rows)
}

fn bending(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("panel"),
        length_column(plan, "least diameter"),
        Column::text("decided by"),
        Column::number("strain limit", 4),
        Column::number("reserve", 1),
        length_column(plan, "floor"),
        Column::number("mass (kg/m2)", 2),
    ];
    let rows = plan
        .survey
        .panels
        .iter()
        .zip(&plan.rolling.bending)
        .filter_map(|(panel, bending)| {
            let bending = bending.as_ref()?;
            Some(vec![
                Value::text(&panel.id),
                length(plan, bending.least_diameter),
                Value::text(match bending.governs {
                    Governs::Strain => "strain in the paint",
                    Governs::Floor => "floor of common practice",
                }),
                Value::Number(bending.limit),
                Value::Number(bending.reserve),
                length(plan, bending.floor),
                Value::Number(bending.grams_per_m2 / 1000.0),
            ])
        });
    Table::new("Bending", columns).rows(rows)
}

fn flats(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("panel"),
        Column::text("why"),
        Column::text("what would let it be rolled"),
    ];
    let rows = plan.rolling.flats.iter().map(|flat| {
        vec![
            Value::text(plan.panel_id(flat.panel)),
            Value::text(&flat.why),
            Value::Text(flat.instead.join("; ")),
        ]
    });
    Table::new("Flats", columns).rows(rows)
}

fn crates(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("crate"),
        Column::text("holds"),
        length_column(plan, "length"),
        length_column(plan, "width"),
        length_column(plan, "height"),
        Column::number("gross (kg)", 0),
        Column::number("charged (kg)", 0).only_wide(),
        Column::text("carried by"),
    ];
    let rows = plan.crating.crates.iter().map(|packed| {
        let (drums, flats) = plan.contents_of(packed);
        let [long, wide, high] = packed.outside;
        vec![
            Value::text(&packed.id),
            names(drums.into_iter().chain(flats)),
            length(plan, long),
            length(plan, wide),
            length(plan, high),
            Value::Number(packed.gross.to_kg()),
            Value::Number(packed.charged.to_kg()),
            packed.carriers.map_or_else(
                || Value::text("lifting gear"),
                |people| Value::Text(format!("{people} people")),
            ),
        ]
    });
    Table::new("Crates", columns).rows(rows)
}

fn ways_out(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("crate"),
        Column::text("way out"),
        Column::text("place").only_wide(),
        Column::text("passes"),
        length_column(plan, "spare"),
        Column::text("tightest"),
    ];
    let rows = plan.crating.crates.iter().flat_map(|packed| {
        packed.ways_out.iter().map(|passage| {
            vec![
                Value::text(&packed.id),
                Value::text(&passage.way),
                Value::text(&passage.place),
                Value::text(if passage.fits { "yes" } else { "NO" }),
                length(plan, passage.spare),
                Value::text(&passage.tightest),
            ]
        })
    });
    Table::new("WaysOut", columns).rows(rows)
}
