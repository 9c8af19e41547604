//! The table of outlines: the corners of panels that are no plain shape.

use std::collections::BTreeMap;

use crate::diag::Problems;
use crate::diag::count;
use crate::geometry::Point;
use crate::input::Row;
use crate::units::Length;
use crate::units::SizeOrder;
use crate::units::bound;
use crate::units::show_length;

use super::bounds;
use super::panels::Size;
use super::panels::size;
use super::tables::Tables;
use crate::job::PanelShape;

/// The corners of one panel, with the first row they stand in.
pub(super) struct Corners<'a> {
    pub(super) row: Row<'a>,
    points: Vec<Point>,
    /// False where a problem of a corner has been told.
    whole: bool,
}

/// Reads the corners by panel.
pub(super) fn corners<'a>(
    tables: &'a Tables,
    problems: &mut Problems,
) -> BTreeMap<String, Corners<'a>> {
    let mut all = BTreeMap::new();
    let Some(table) = tables.get("outlines") else {
        return all;
    };
    let columns = ["panel", "x", "y"];
    if !table.check_headings(&columns, &columns, problems) {
        return all;
    }
    for row in table.rows() {
        let Some(name) = row.field("panel").required(problems).text(problems) else {
            continue;
        };
        let x = row
            .field("x")
            .required(problems)
            .length(bounds::POSITION, problems);
        let y = row
            .field("y")
            .required(problems)
            .length(bounds::POSITION, problems);
        let corners = all.entry(name).or_insert(Corners {
            row,
            points: Vec::new(),
            whole: true,
        });
        match x.zip(y) {
            Some((x, y)) => corners.points.push(Point { x, y }),
            None => corners.whole = false,
        }
    }
    all
}

/// The shape and size of a panel that is an outline.
pub(super) fn outline(
    row: &Row<'_>,
    order: SizeOrder,
    corners: Option<Corners<'_>>,
    problems: &mut Problems,
) -> (PanelShape, Option<Size>) {
    let written = size(row, order, false, problems);
    let Some(mut corners) = corners else {
        row.field("shape").problem(
            "the panel is an outline, but the table `outlines` has no corners for it",
            "write its corners there, one row each with `panel`, `x` and `y`",
            problems,
        );
        return (PanelShape::Outline(Vec::new()), written);
    };
    if corners.points.len() > 1 && corners.points.first() == corners.points.last() {
        corners.points.pop();
    }
    if !corners.whole {
        return (PanelShape::Outline(corners.points), written);
    }
    let field = corners.row.field("panel");
    if corners.points.len() < 3 {
        let text = format!(
            "the outline has {}, fewer than three",
            count(corners.points.len(), "corner")
        );
        field.problem(
            text,
            "write a row for each corner, in order around the panel",
            problems,
        );
        return (PanelShape::Outline(corners.points), written);
    }
    let extent = |side: fn(&Point) -> Length| {
        let sides = corners.points.iter().map(side);
        (
            sides.clone().min().unwrap_or_default(),
            sides.max().unwrap_or_default(),
        )
    };
    let (left, width) = extent(|point| point.x);
    let (bottom, height) = extent(|point| point.y);
    let unit = field.unit();
    if left != Length::ZERO || bottom != Length::ZERO {
        let text = format!(
            "the outline begins {} from the left and {} from the bottom",
            show_length(left, unit),
            show_length(bottom, unit)
        );
        field.problem(
            text,
            "measure x from the panel's leftmost and y from its lowest point",
            problems,
        );
        return (PanelShape::Outline(corners.points), None);
    }
    if !(bound::PANEL_SIDE.holds(width.to_mm()) && bound::PANEL_SIDE.holds(height.to_mm())) {
        field.problem(
            format!(
                "the outline is too small or large: {}",
                bound::PANEL_SIDE.allowed()
            ),
            "check the corners",
            problems,
        );
        return (PanelShape::Outline(corners.points), None);
    }
    check_written(row, written, (width, height), problems);
    (PanelShape::Outline(corners.points), Some((width, height)))
}

/// Checks that a size written beside an outline is the outline's, to a millimetre.
fn check_written(row: &Row<'_>, written: Option<Size>, outline: Size, problems: &mut Problems) {
    let Some((width, height)) = written else {
        return;
    };
    let differs = |one: Length, other: Length| (one - other).abs() > Length::whole_mm(1);
    if differs(width, outline.0) || differs(height, outline.1) {
        let unit = row.field("width").unit();
        let text = format!(
            "the size written is not that of the outline, {} wide and {} high",
            show_length(outline.0, unit),
            show_length(outline.1, unit)
        );
        row.field("shape").problem(
            text,
            "clear width, height and size, or mend the corners",
            problems,
        );
    }
}
