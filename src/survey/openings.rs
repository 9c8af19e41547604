//! Openings within an outline: where they may lie, and their rings.

use crate::diag::Problems;
use crate::geometry::Point;
use crate::geometry::Polygon;
use crate::geometry::Rect;
use crate::geometry::Region;
use crate::geometry::Ring;
use crate::geometry::ellipse;
use crate::geometry::segment_arch;
use crate::job::Opening;
use crate::job::OpeningShape;
use crate::job::PanelRow;
use crate::units::Length;

/// How far an opening may reach past the outline before it counts as a mistake: chords stray up to 0.5 mm each.
const SLACK: Length = Length::whole_mm(1);

/// The rings of a row's openings, cut to the outline; none where one cannot be.
pub(super) fn of(panel: &PanelRow, outline: &Ring, problems: &mut Problems) -> Option<Vec<Ring>> {
    let whole = Region::of_ring(outline);
    let wider = whole.offset(SLACK);
    let mut rings: Vec<Ring> = Vec::new();
    let mut good = true;
    for (number, opening) in panel.openings.iter().enumerate() {
        let Some(ring) = ring_of(opening, problems) else {
            good = false;
            continue;
        };
        let region = Region::of_ring(&ring);
        good &= lies_within(panel, opening, &region, &wider, problems);
        good &= lies_apart(panel, number, &rings, &region, problems);
        let cut = region.intersection(&whole).0.into_iter().max_by_key(|part| part.area().to_m2().to_bits());
        rings.push(cut.map_or(ring, |part| part.outer));
    }
    good.then_some(rings)
}

/// The ring of an opening at its place in the panel.
fn ring_of(opening: &Opening, problems: &mut Problems) -> Option<Ring> {
    let (width, height) = (opening.width, opening.height);
    let at = Some(opening.at.clone());
    if !width.is_positive() || !height.is_positive() {
        problems.error(at, "the opening has no area", "give it a width and a height above nothing");
        return None;
    }
    let ring = match opening.shape {
        OpeningShape::Rectangle => segment_arch(width, height, height),
        OpeningShape::Ellipse => ellipse(width, height),
        OpeningShape::Arch { spring } => {
            let rise = height - spring;
            if rise < Length::ZERO || spring < Length::ZERO || rise + rise > width + SLACK {
                let text = format!(
                    "an arch {} mm wide cannot rise {} mm above its springing line: from 0 to half its width can be",
                    width.to_mm(),
                    rise.to_mm()
                );
                problems.error(at, text, "check the opening's `height` and `spring`");
                return None;
            }
            segment_arch(width, height, spring)
        }
    };
    let moved = ring.iter().map(|point| Point::new(point.x + opening.left, point.y + opening.bottom));
    Some(Polygon::solid(moved.collect()).outer)
}

fn lies_within(panel: &PanelRow, opening: &Opening, region: &Region, wider: &Region, problems: &mut Problems) -> bool {
    let outside = region.difference(wider);
    if outside.area().to_m2() <= 1e-8 {
        return true;
    }
    let beyond = outside.bounds().unwrap_or(Rect::between(Point::default(), Point::default()));
    let text = format!(
        "the opening lies outside panel `{}`: about {:.4} m² of it is past the outline, from x {} mm, y {} mm to x {} mm, y {} mm",
        panel.panel,
        outside.area().to_m2(),
        beyond.x.to_mm_up(),
        beyond.y.to_mm_up(),
        beyond.right().to_mm_up(),
        beyond.top().to_mm_up()
    );
    problems.error(
        Some(opening.at.clone()),
        text,
        "measure `left` and `bottom` from the lower left corner of the panel's bounding box, or make the opening smaller",
    );
    false
}

fn lies_apart(
    panel: &PanelRow,
    number: usize,
    rings: &[Ring],
    region: &Region,
    problems: &mut Problems,
) -> bool {
    let mut good = true;
    let bounds = region.bounds();
    for (other, ring) in rings.iter().enumerate() {
        if !Rect::around(ring).zip(bounds).is_some_and(|(a, b)| a.meets(&b)) {
            continue;
        }
        let shared = Region::of_ring(ring).intersection(region).area();
        if shared.to_m2() <= 1e-8 {
            continue;
        }
        good = false;
        let text = format!(
            "openings {} and {} of panel `{}` overlap by {:.4} m²",
            other + 1,
            number + 1,
            panel.panel,
            shared.to_m2()
        );
        let at = panel.openings.get(number).map(|opening| opening.at.clone());
        problems.error(at, text, "move one of them, or write both as one opening");
    }
    good
}
