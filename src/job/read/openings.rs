//! The table of openings, each within the bounding box of its panel.

use std::collections::BTreeMap;

use crate::diag::Problems;
use crate::input::Row;
use crate::units::Length;
use crate::units::bound;
use crate::units::show_length;

use super::bounds;
use super::panels::Panel;
use super::panels::near_panel;
use super::tables::Tables;
use crate::job::Opening;
use crate::job::OpeningShape;

const COLUMNS: &[&str] = &[
    "panel", "shape", "left", "bottom", "width", "height", "spring",
];

/// Reads the openings into their panels.
pub(super) fn read(tables: &Tables, panels: &mut [Panel], problems: &mut Problems) {
    let Some(table) = tables.get("openings") else {
        return;
    };
    let required = ["panel", "left", "bottom", "width", "height"];
    if !table.check_headings(COLUMNS, &required, problems) {
        return;
    }
    let index: BTreeMap<String, usize> = panels
        .iter()
        .enumerate()
        .map(|(index, panel)| (panel.row.panel.clone(), index))
        .collect();
    for row in table.rows() {
        let name = row.field("panel").required(problems);
        let opening = opening(&row, problems);
        let Some(text) = name.text(problems) else {
            continue;
        };
        let Some(panel) = index.get(&text).and_then(|index| panels.get_mut(*index)) else {
            // Where no panel could be read at all, that has been told already.
            if !index.is_empty() {
                name.problem(
                    format!("there is no panel `{}`", name.shown()),
                    format!("{}, or delete the row", near_panel(&text, index.keys())),
                    problems,
                );
            }
            continue;
        };
        if let Some(opening) = opening {
            check_inside(&row, &opening, panel, problems);
            panel.row.openings.push(opening);
        }
    }
}

fn opening(row: &Row<'_>, problems: &mut Problems) -> Option<Opening> {
    let word = row
        .field("shape")
        .one_of(&["rectangle", "arch", "ellipse"], problems);
    let mut length = |name, bound| row.field(name).required(problems).length(bound, problems);
    let left = length("left", bounds::POSITION);
    let bottom = length("bottom", bounds::POSITION);
    let width = length("width", bound::OPENING_SIDE);
    let height = length("height", bound::OPENING_SIDE);
    let shape = shape(row, word.unwrap_or("rectangle"), width, height, problems);
    Some(Opening {
        shape,
        left: left?,
        bottom: bottom?,
        width: width?,
        height: height?,
        at: row.place(),
    })
}

fn shape(
    row: &Row<'_>,
    word: &str,
    width: Option<Length>,
    height: Option<Length>,
    problems: &mut Problems,
) -> OpeningShape {
    let field = row.field("spring");
    if word != "arch" {
        if !field.is_blank() {
            let text = format!(
                "`{}` is the springing line of an arch, but the shape is `{word}`",
                field.shown()
            );
            field.problem(
                text,
                "clear the cell, or write `arch` as the shape",
                problems,
            );
        }
        return if word == "ellipse" {
            OpeningShape::Ellipse
        } else {
            OpeningShape::Rectangle
        };
    }
    let spring = field.required(problems).length(bounds::POSITION, problems);
    if let (Some(spring), Some(width), Some(height)) = (spring, width, height) {
        if spring >= height {
            let text = format!("`{}` is not below the opening's top", field.shown());
            field.problem(
                text,
                "write the height at which the curve begins, measured from the opening's bottom",
                problems,
            );
        } else if height - spring > width.half() {
            let text = format!(
                "`{}`: the curve above it rises more than half the opening's width",
                field.shown()
            );
            field.problem(text, "check the springing line, width and height", problems);
        }
    }
    OpeningShape::Arch {
        spring: spring.unwrap_or_default(),
    }
}

fn check_inside(row: &Row<'_>, opening: &Opening, panel: &Panel, problems: &mut Problems) {
    if !panel.sized {
        return;
    }
    let (right, top) = (
        opening.left + opening.width,
        opening.bottom + opening.height,
    );
    for (reached, most, field, side) in [
        (right, panel.row.width, "left", "right"),
        (top, panel.row.height, "bottom", "top"),
    ] {
        if reached > most {
            let field = row.field(field);
            let (reached, most) = (
                show_length(reached, field.unit()),
                show_length(most, field.unit()),
            );
            let text = format!(
                "the opening's {side} edge at {reached} is outside the panel, which ends at {most}"
            );
            field.problem(
                text,
                "measure from the panel's left and bottom edges, and check the opening's size",
                problems,
            );
        }
    }
}
