//! Crates for whoever builds and marks them: pieces, what is cut from which board, what is written on each.

use std::collections::BTreeMap;

use crate::plan::Plan;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::cells::length;
use super::cells::length_column;
use super::cells::paper;

/// The tables that are written beside the others.
pub(super) fn build(plan: &Plan) -> Report {
    Report {
        name: "crates".into(),
        title: format!("{}: crates", plan.job.title),
        paper: paper(plan),
        sheets: sheets(plan).into(),
    }
}

/// The sheets, for workbooks too; each long table has its own, so that the heading repeated on its pages is its own.
pub(super) fn sheets(plan: &Plan) -> [Sheet; 3] {
    [
        Sheet::new("crates", "Crates: what each is built from")
            .across()
            .note("Cradles are foam boards with a hole for the tube, cut to bear its lower third. Widths and lengths are finished sizes.")
            .table(pieces(plan)),
        Sheet::new("crate boards", "Crates: what is cut from which board or timber")
            .across()
            .heading("What the cut plans cost, and the least they could")
            .table(bounds(plan))
            .heading("What is cut from which board or timber")
            .table(cuts(plan)),
        Sheet::new("crate marks", "What is written on each crate")
            .note("Masses are estimates: weigh each crate and correct the mark before it is lifted.")
            .table(marks(plan)),
    ]
}

fn pieces(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("crate"),
        Column::text("piece"),
        Column::text("material"),
        length_column(plan, "width"),
        length_column(plan, "length"),
        Column::number("count", 0),
    ];
    let rows = plan.crating.crates.iter().flat_map(|packed| {
        packed.pieces.iter().map(|piece| {
            vec![
                Value::text(&packed.id),
                Value::text(&piece.part),
                Value::text(&piece.material),
                length(plan, piece.width),
                length(plan, piece.length),
                Value::Decimal(piece.count.into()),
            ]
        })
    });
    Table::new("CratePieces", columns).rows(rows)
}

fn cuts(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::number("unit", 0),
        Column::text("piece"),
        length_column(plan, "from the left"),
        length_column(plan, "from the start"),
        length_column(plan, "width"),
        length_column(plan, "length"),
    ];
    let rows = plan.crating.cuts.iter().flat_map(|unit| {
        unit.pieces.iter().map(|piece| {
            vec![
                Value::text(&unit.material),
                Value::Decimal(unit.stock.into()),
                Value::text(&piece.id),
                length(plan, piece.x),
                length(plan, piece.y),
                length(plan, piece.width),
                length(plan, piece.height),
            ]
        })
    });
    Table::new("CrateCuts", columns).rows(rows)
}

fn bounds(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::number("units", 0),
        Column::money("cost"),
        Column::money("least possible"),
    ];
    let rows = plan.crating.cut_bounds.iter().map(|bound| {
        vec![
            Value::text(&bound.material),
            Value::Decimal(bound.units.into()),
            Value::Decimal(bound.cost.amount()),
            Value::Decimal(bound.least.amount()),
        ]
    });
    Table::new("CrateCutBounds", columns).rows(rows)
}

/// The lines of each mark; the day of packing from the schedule comes last.
fn marks(plan: &Plan) -> Table {
    let packed_on: BTreeMap<usize, String> = plan
        .schedule
        .activities
        .iter()
        .filter_map(|activity| Some((activity.packing?, activity.finish.date().to_string())))
        .collect();
    let rows = plan
        .crating
        .crates
        .iter()
        .enumerate()
        .flat_map(|(at, packed)| {
            let day = packed_on.get(&at).map(|day| format!("packed on {day}"));
            let lines = packed.marks.iter().cloned().chain(day);
            lines.map(|line| vec![Value::text(&packed.id), Value::Text(line)])
        });
    Table::new(
        "CrateMarks",
        vec![Column::text("crate"), Column::text("line")],
    )
    .rows(rows)
}
