//! Measured panels to net shapes: one entry a physical panel.
//!
//! *In*: panel rows. *Out*: [`Survey`]. *Rules*: outlines and openings within them; counts expanded.

mod openings;
mod outcome;
mod outline;

use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::diag::Problems;
use crate::geometry::Polygon;
use crate::geometry::Region;
use crate::geometry::Ring;
use crate::job::Job;
use crate::job::PanelRow;

pub use outcome::Panel;
pub use outcome::Survey;

/// Measures every panel of a job; a row whose shape cannot be is reported at its place and left out.
///
/// # Formula
/// Net area = area inside the outline less the openings, by the shoelace formula on chords that are nowhere more than
/// 0.5 mm inside their arc. Edge = length of the outer ring of the net shape.
///
/// # Sources
/// Standard geometry (shoelace formula).
pub fn measure(job: &Job, ledger: &mut Ledger, problems: &mut Problems) -> Survey {
    let mut panels = Vec::new();
    for (row, panel) in job.panels.iter().enumerate() {
        let Some(measured) = measure_row(row, panel, problems) else { continue };
        for number in 1..=panel.count.max(1) {
            let id = if panel.count > 1 { format!("{}/{number}", panel.panel) } else { panel.panel.clone() };
            ledger.record(derivation(&id, panel, &measured));
            panels.push(Panel { id, ..measured.clone() });
        }
    }
    Survey { panels }
}

/// The panel of a row, named as the row.
fn measure_row(row: usize, panel: &PanelRow, problems: &mut Problems) -> Option<Panel> {
    let outline = outline::of(panel, problems)?;
    let openings = openings::of(panel, &outline, problems)?;
    let shape = net_shape(panel, &outline, &openings, problems)?;
    let bounds = crate::geometry::Rect::around(&outline)?;
    Some(Panel {
        id: panel.panel.clone(),
        row,
        width: bounds.width,
        height: bounds.height,
        area: shape.area(),
        edge: shape.edge(),
        outline,
        openings,
        shape,
    })
}

/// The outline less its openings, which must leave one piece.
fn net_shape(panel: &PanelRow, outline: &Ring, openings: &[Ring], problems: &mut Problems) -> Option<Polygon> {
    let whole = Polygon::solid(outline.clone());
    if openings.is_empty() {
        return Some(whole);
    }
    let mut parts = Region(vec![whole]).difference(&Region::union_of(openings.iter().cloned())).0;
    // Chords of two arcs may leave slivers between them; a square centimetre is no painting.
    parts.retain(|part| part.area().to_m2() > 1e-4);
    let at = Some(panel.at.clone());
    match (parts.pop(), parts.is_empty()) {
        (None, _) => {
            let text = format!("panel `{}` has no area left: its openings cover it", panel.panel);
            problems.error(at, text, "check the openings' sizes, or take the panel out");
            None
        }
        (Some(part), true) => Some(part),
        (Some(_), false) => {
            let text = format!("the openings of panel `{}` cut it into {} parts", panel.panel, parts.len() + 1);
            problems.error(at, text, "write each part as a panel of its own");
            None
        }
    }
}

fn derivation(id: &str, row: &PanelRow, panel: &Panel) -> Derivation {
    let gross = Polygon::solid(panel.outline.clone()).area();
    let made = Derivation::new(
        format!("panel/{id}"),
        format!("net area of panel {id}"),
        format!("{:.4} m²", panel.area.to_m2()),
        "area inside the outline - openings",
    )
    .input("outline", format!("{:.4} m²", gross.to_m2()))
    .input("width × height", format!("{} × {} mm", row.width.to_mm(), row.height.to_mm()))
    .input("edge", format!("{:.3} m", panel.edge.to_m()));
    if panel.openings.is_empty() {
        return made;
    }
    made.input("openings", format!("{}: {:.4} m²", panel.openings.len(), (gross - panel.area).to_m2()))
}
