//! Whether an outline crosses or touches itself.

use crate::units::Length;

use super::measure::edges;
use super::shape::Point;

/// An edge of a ring with its place in it.
#[derive(Clone, Copy)]
struct Edge {
    from: Point,
    to: Point,
    index: usize,
}

/// Finds a point near which a closed ring crosses or touches itself; none if it is simple.
///
/// Edges are swept from left to right, so that an outline of n points takes about n × the edges that stand above each
/// other.
pub fn self_crossing(ring: &[Point]) -> Option<Point> {
    let mut sorted: Vec<Edge> = edges(ring)
        .enumerate()
        .map(|(index, (from, to))| Edge { from, to, index })
        .collect();
    let count = sorted.len();
    sorted.sort_by_key(|edge| (edge.from.x.min(edge.to.x), edge.index));
    let mut open: Vec<Edge> = Vec::new();
    for edge in sorted {
        let left = edge.from.x.min(edge.to.x);
        open.retain(|other| other.from.x.max(other.to.x) >= left);
        if let Some(other) = open.iter().find(|other| conflict(&edge, other, count)) {
            return Some(shared_point(&edge, other));
        }
        open.push(edge);
    }
    None
}

/// Says whether two edges of one ring meet where they should not.
fn conflict(a: &Edge, b: &Edge, count: usize) -> bool {
    let (a, b) = if a.index < b.index { (a, b) } else { (b, a) };
    if a.from == a.to || b.from == b.to {
        return false;
    }
    if b.index == a.index + 1 {
        return folds_back(a.from, a.to, b.to);
    }
    if a.index == 0 && b.index == count - 1 {
        return folds_back(b.from, b.to, a.to);
    }
    meet(a, b)
}

/// Says whether a line that goes to a corner returns along itself.
fn folds_back(from: Point, corner: Point, to: Point) -> bool {
    let (x1, y1) = (wide(corner.x - from.x), wide(corner.y - from.y));
    let (x2, y2) = (wide(to.x - corner.x), wide(to.y - corner.y));
    x1 * y2 == x2 * y1 && x1 * x2 + y1 * y2 < 0
}

/// Says whether two edges share a point.
fn meet(a: &Edge, b: &Edge) -> bool {
    let boxes = |low: fn(Point) -> Length| {
        let ends = |edge: &Edge| {
            (
                low(edge.from).min(low(edge.to)),
                low(edge.from).max(low(edge.to)),
            )
        };
        let ((a0, a1), (b0, b1)) = (ends(a), ends(b));
        a0 <= b1 && b0 <= a1
    };
    boxes(|point| point.x)
        && boxes(|point| point.y)
        && side(a, b.from) * side(a, b.to) <= 0
        && side(b, a.from) * side(b, a.to) <= 0
}

/// On which side of an edge a point lies: 1 left, -1 right, 0 on its line.
fn side(edge: &Edge, point: Point) -> i128 {
    let cross = wide(edge.to.x - edge.from.x) * wide(point.y - edge.from.y)
        - wide(edge.to.y - edge.from.y) * wide(point.x - edge.from.x);
    cross.signum()
}

fn wide(length: Length) -> i128 {
    i128::from(length.to_steps())
}

/// The end of either edge that lies on the other, or the middle of the stretch that both boxes share.
fn shared_point(a: &Edge, b: &Edge) -> Point {
    let middle = |low: fn(Point) -> Length| {
        let start = low(a.from).min(low(a.to)).max(low(b.from).min(low(b.to)));
        let end = low(a.from).max(low(a.to)).min(low(b.from).max(low(b.to)));
        (start + end).half()
    };
    Point::new(middle(|point| point.x), middle(|point| point.y))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(f64, f64)]) -> Vec<Point> {
        corners
            .iter()
            .map(|&(x, y)| Point::new(Length::mm(x), Length::mm(y)))
            .collect()
    }

    #[test]
    fn a_bow_tie_crosses_itself() {
        let crossing = self_crossing(&ring(&[
            (0.0, 0.0),
            (1000.0, 1000.0),
            (1000.0, 0.0),
            (0.0, 1000.0),
        ]));
        assert_eq!(
            crossing,
            Some(Point::new(Length::mm(500.0), Length::mm(500.0)))
        );
    }

    #[test]
    fn a_spike_and_a_pinch_count_as_crossing() {
        assert!(self_crossing(&ring(&[(0.0, 0.0), (10.0, 0.0), (5.0, 0.0), (5.0, 9.0)])).is_some());
        let pinched = [
            (0.0, 0.0),
            (4.0, 0.0),
            (2.0, 2.0),
            (4.0, 4.0),
            (0.0, 4.0),
            (2.0, 2.0),
        ];
        assert!(self_crossing(&ring(&pinched)).is_some());
    }

    #[test]
    fn plain_shapes_do_not_cross() {
        assert_eq!(
            self_crossing(&ring(&[(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)])),
            None
        );
        let collinear = [(0.0, 0.0), (4.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)];
        assert_eq!(self_crossing(&ring(&collinear)), None);
    }
}
