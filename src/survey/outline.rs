//! A panel's outline from its plain shape or its corners.

use crate::diag::Problems;
use crate::geometry::Point;
use crate::geometry::Polygon;
use crate::geometry::Rect;
use crate::geometry::Ring;
use crate::geometry::ellipse;
use crate::geometry::segment_arch;
use crate::geometry::self_crossing;
use crate::job::PanelRow;
use crate::job::PanelShape;
use crate::units::Length;

/// The outline of a row, counter-clockwise, its bounding box beginning at nothing; none where it cannot be.
pub(super) fn of(panel: &PanelRow, problems: &mut Problems) -> Option<Ring> {
    let ring = match &panel.shape {
        PanelShape::Rectangle => segment_arch(panel.width, panel.height, panel.height),
        PanelShape::Lunette => segment(panel, Length::ZERO, problems)?,
        PanelShape::Arch { spring } => segment(panel, *spring, problems)?,
        PanelShape::Ellipse => ellipse(panel.width, panel.height),
        PanelShape::Outline(corners) => polygon(panel, corners, problems)?,
    };
    if !(panel_has_area(&ring)) {
        let text = format!("panel `{}` has no area", panel.panel);
        problems.error(Some(panel.at.clone()), text, "give it a width and a height, or corners that enclose something");
        return None;
    }
    Some(ring)
}

/// A lunette or an arch, if its rise can be.
fn segment(panel: &PanelRow, spring: Length, problems: &mut Problems) -> Option<Ring> {
    let rise = panel.height - spring;
    let at = Some(panel.at.clone());
    if rise + rise > panel.width + Length::whole_mm(1) {
        let text = format!(
            "panel `{}` rises {} mm above its springing line over a span of {} mm: a circular segment rises no more than half its span",
            panel.panel,
            rise.to_mm(),
            panel.width.to_mm()
        );
        problems.error(at, text, "check width and height, raise the springing line, or give the outline by corners");
        return None;
    }
    if rise < Length::ZERO || spring < Length::ZERO {
        let text = format!("the springing line of panel `{}` lies outside its height", panel.panel);
        problems.error(at, text, "write a `spring` from 0 to the panel's height");
        return None;
    }
    Some(segment_arch(panel.width, panel.height, spring))
}

/// A ring through corners, turned and moved to begin at the lower left of its bounding box.
fn polygon(panel: &PanelRow, corners: &[Point], problems: &mut Problems) -> Option<Ring> {
    let mut ring = corners.to_vec();
    ring.dedup();
    while ring.len() > 1 && ring.first() == ring.last() {
        ring.pop();
    }
    let at = Some(panel.at.clone());
    if ring.len() < 3 {
        let text = format!("the outline of panel `{}` has fewer than three corners", panel.panel);
        problems.error(at, text, "write at least three rows for it in the outlines table");
        return None;
    }
    if let Some(point) = self_crossing(&ring) {
        let text = format!(
            "the outline of panel `{}` crosses or touches itself near x {} mm, y {} mm",
            panel.panel,
            point.x.to_mm_up(),
            point.y.to_mm_up()
        );
        problems.error(at, text, "put its corners in the order in which one walks round the edge, each once");
        return None;
    }
    let bounds = Rect::around(&ring)?;
    let moved = ring.iter().map(|point| Point::new(point.x - bounds.x, point.y - bounds.y)).collect();
    Some(from_lower_left(Polygon::solid(moved).outer))
}

/// Turns a ring so that it begins with its lowest, then leftmost corner.
fn from_lower_left(mut ring: Ring) -> Ring {
    let first = ring.iter().enumerate().min_by_key(|(_, point)| (point.y, point.x)).map_or(0, |(index, _)| index);
    ring.rotate_left(first);
    ring
}

fn panel_has_area(ring: &[Point]) -> bool {
    // A square millimetre: anything less is a slip of the pen.
    Polygon::solid(ring.to_vec()).area().to_m2() > 1e-6
}
