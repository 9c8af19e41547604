//! Whether a region is the same left and right of its middle, and whether its sheets are.

use crate::geometry::Point;
use crate::geometry::Rect;
use crate::geometry::Region;
use crate::units::Length;

/// How far two sides may differ and still count as alike: cut edges are rounded to whole millimetres on one side.
const SLACK: Length = Length::whole_mm(2);

/// How far corners of a region may: they come from chords of arcs.
const CORNER: Length = Length::steps(400);

/// Regions and layers with more parts than this are not compared: nobody sees their symmetry.
const MOST: usize = 2_000;

/// Twice the x of the upright axis about which a region is the same on both sides; none if there is none.
pub(super) fn axis(region: &Region) -> Option<Length> {
    let mut corners: Vec<Point> = region.rings().flatten().copied().collect();
    if corners.len() > MOST {
        return None;
    }
    corners.sort_unstable();
    let both = corners.first()?.x + corners.last()?.x;
    let has = |wanted: Point| {
        let from = corners.partition_point(|corner| corner.x < wanted.x - CORNER);
        let near = corners.iter().skip(from);
        near.take_while(|corner| corner.x <= wanted.x + CORNER)
            .any(|corner| (corner.y - wanted.y).abs() <= CORNER)
    };
    corners
        .iter()
        .all(|corner| has(Point::new(both - corner.x, corner.y)))
        .then_some(both)
}

/// Says whether pieces lie alike on both sides of an axis, given by twice its x.
pub(super) fn is_alike(pieces: &[Rect], both: Length) -> bool {
    if pieces.len() > MOST {
        return false;
    }
    let mut sorted: Vec<&Rect> = pieces.iter().collect();
    sorted.sort_unstable();
    let near = |a: Length, b: Length| (a - b).abs() <= SLACK;
    pieces.iter().all(|piece| {
        let left = both - piece.right();
        let from = sorted.partition_point(|other| other.x < left - SLACK);
        let others = sorted.iter().skip(from);
        others
            .take_while(|other| other.x <= left + SLACK)
            .any(|other| {
                near(other.width, piece.width)
                    && near(other.y, piece.y)
                    && near(other.top(), piece.top())
            })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(x: i64, y: i64, width: i64, height: i64) -> Rect {
        let mm = Length::whole_mm;
        Rect {
            x: mm(x),
            y: mm(y),
            width: mm(width),
            height: mm(height),
        }
    }

    #[test]
    fn a_wall_with_its_door_in_the_middle_has_an_axis() {
        let wall = Region::of_ring(&rect(0, 0, 3000, 2000).ring());
        let door = |x| wall.difference(&Region::of_ring(&rect(x, 0, 1000, 1500).ring()));
        assert_eq!(axis(&door(1000)), Some(Length::whole_mm(3000)));
        assert_eq!(axis(&door(1100)), None);
        assert_eq!(axis(&Region::default()), None);
    }

    #[test]
    fn pieces_are_alike_to_two_millimetres() {
        let both = Length::whole_mm(1000);
        assert!(is_alike(
            &[rect(0, 0, 510, 300), rect(491, 0, 509, 300)],
            both
        ));
        assert!(!is_alike(
            &[rect(0, 0, 600, 300), rect(580, 0, 420, 300)],
            both
        ));
    }
}
