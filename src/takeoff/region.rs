//! What a layer must cover.

use crate::geometry::Point;
use crate::geometry::Polygon;
use crate::geometry::Region;
use crate::geometry::Ring;
use crate::survey::Panel;
use crate::units::Length;

/// How far beside an edge a point is tried to see on which side the panel lies.
const PROBE: Length = Length::whole_mm(2);

/// The region that a layer covers: the outline moved out by the margin, less the openings, each lapped by the lap.
///
/// An opening that is nowhere wider than two laps vanishes: the sheet goes over it. Where an opening lies on the edge of
/// the panel (a door down to the floor) nothing is lapped there, because there is no paint beyond to hold: its edge
/// on the outline is pushed out past the margin before the opening is shrunk.
///
/// # Formula
/// region = (outline moved out by the edge margin) − (each opening moved in by the opening lap); a negative margin moves the outline in.
///
/// # Sources
/// The recipe's margin and lap; facing carried past the edge as flaps: *Conserving Canvas*, Getty 2023, ch. 12 (trade.md section 1.1).
pub(super) fn to_cover(panel: &Panel, margin: Length, lap: Length) -> Region {
    let outline = Region::of_ring(&panel.outline);
    let whole = outline.offset(margin);
    if panel.openings.is_empty() {
        return whole;
    }
    let reach = margin.max(Length::ZERO) + lap + lap + PROBE;
    let openings = panel
        .openings
        .iter()
        .flat_map(|opening| pushed_out(opening, &outline, reach, -lap).0);
    let holes = Region::union_of(openings.map(|part| part.outer));
    whole.difference(&holes)
}

/// An opening with whatever of its edge lies on the outline pushed outwards, then shrunk.
fn pushed_out(opening: &Ring, outline: &Region, reach: Length, lap: Length) -> Region {
    let mut rings = vec![opening.clone()];
    let next = opening.iter().cycle().skip(1);
    for (&from, &to) in opening.iter().zip(next) {
        rings.extend(pushed_edge(from, to, outline, reach));
    }
    Region::union_of(rings).offset(lap)
}

/// The strip outside an edge of a counter-clockwise opening, if that edge lies on the outline.
fn pushed_edge(from: Point, to: Point, outline: &Region, reach: Length) -> Option<Ring> {
    let length = from.distance(to);
    if !length.is_positive() {
        return None;
    }
    let (right, up) = ((to.y - from.y).ratio(length), (from.x - to.x).ratio(length));
    let moved =
        |point: Point, by: Length| Point::new(point.x + by.times(right), point.y + by.times(up));
    let middle = Point::new((from.x + to.x).half(), (from.y + to.y).half());
    let outside = !outline.contains(moved(middle, PROBE));
    outside.then(|| Polygon::solid(vec![from, to, moved(to, reach), moved(from, reach)]).outer)
}

#[cfg(test)]
mod tests {
    use crate::geometry::Rect;

    use super::*;

    fn mm(value: i64) -> Length {
        Length::whole_mm(value)
    }

    fn panel(openings: &[(i64, i64, i64, i64)]) -> Panel {
        let ring = |(x, y, w, h): (i64, i64, i64, i64)| {
            Rect {
                x: mm(x),
                y: mm(y),
                width: mm(w),
                height: mm(h),
            }
            .ring()
        };
        let outline = ring((0, 0, 4000, 3000));
        Panel {
            id: "N1".to_owned(),
            row: 0,
            shape: Polygon::solid(outline.clone()),
            outline,
            openings: openings.iter().copied().map(ring).collect(),
            width: mm(4000),
            height: mm(3000),
            area: crate::units::Area::m2(12.0),
            edge: mm(14_000),
        }
    }

    #[test]
    fn a_window_is_lapped_on_every_side() {
        let region = to_cover(&panel(&[(1000, 1000, 800, 500)]), mm(50), mm(20));
        assert!((region.area().to_m2() - (4.1 * 3.1 - 0.76 * 0.46)).abs() < 1e-9);
    }

    #[test]
    fn a_door_is_not_lapped_at_the_floor() {
        let region = to_cover(&panel(&[(1000, 0, 800, 2000)]), mm(50), mm(20));
        assert!(
            (region.area().to_m2() - (4.1 * 3.1 - 0.76 * 2.03)).abs() < 1e-9,
            "{}",
            region.area().to_m2()
        );
    }

    #[test]
    fn an_opening_narrower_than_two_laps_is_covered() {
        let region = to_cover(&panel(&[(1000, 1000, 40, 500)]), mm(0), mm(20));
        assert_eq!(region.area().to_m2(), 12.0);
    }
}
