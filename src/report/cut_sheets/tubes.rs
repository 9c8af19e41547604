//! How drums are cut from stock tubes, as cut plans that the cut list draws.

use crate::plan::Plan;
use crate::takeoff::CutFrom;
use crate::takeoff::CutPiece;
use crate::takeoff::CutUnit;
use crate::units::Length;

/// Stock tubes as units as wide as the tube.
pub(super) fn units(plan: &Plan) -> Vec<CutUnit> {
    let diameter = |id: &str| {
        let tube = plan.job.catalog.materials.get(id);
        tube.and_then(|tube| tube.diameter)
            .unwrap_or(Length::whole_mm(100))
    };
    let kerf = plan.job.catalog.drum_kit.kerf;
    let unit = |cut: &crate::rolling::TubeCut| {
        let width = diameter(&cut.material);
        let mut at = Length::ZERO;
        let piece = |(id, face): &(String, Length)| {
            let from = at;
            at = at + *face + kerf;
            CutPiece {
                id: id.clone(),
                x: Length::ZERO,
                y: from,
                width,
                height: *face,
                turned: false,
            }
        };
        CutUnit {
            material: cut.material.clone(),
            stock: cut.stock,
            from: CutFrom::Bought,
            width,
            length: cut.length,
            pieces: cut.pieces.iter().map(piece).collect(),
            lines: std::sync::Arc::default(),
            offcuts: std::sync::Arc::default(),
        }
    };
    plan.rolling.tube_cuts.iter().map(unit).collect()
}
