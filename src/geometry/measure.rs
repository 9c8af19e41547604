//! Areas, perimeters, bounding boxes, and whether a point lies inside.

use crate::units::Area;
use crate::units::Length;

use super::shape::Point;
use super::shape::Polygon;
use super::shape::Rect;
use super::shape::Region;

/// Turns twice an area in square steps into an area.
#[allow(
    clippy::cast_precision_loss,
    reason = "areas need no more than the 53 bits of a double"
)]
pub fn area_of_double(double_steps: i128) -> Area {
    /// Twice the square steps in a square metre: 2 × (8,000,000)².
    const DOUBLE_STEPS_PER_M2: f64 = 1.28e14;
    Area::m2(double_steps as f64 / DOUBLE_STEPS_PER_M2)
}

/// Twice the signed area of a ring in square steps, positive when it runs counter-clockwise (the shoelace formula).
pub(super) fn double_area(ring: &[Point]) -> i128 {
    edges(ring)
        .map(|(a, b)| wide(a.x) * wide(b.y) - wide(b.x) * wide(a.y))
        .sum()
}

/// The edges of a closed ring.
pub(super) fn edges(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    ring.iter()
        .copied()
        .zip(ring.iter().copied().cycle().skip(1))
}

fn wide(length: Length) -> i128 {
    i128::from(length.to_steps())
}

impl Point {
    /// Makes a point.
    pub const fn new(x: Length, y: Length) -> Self {
        Self { x, y }
    }

    /// Distance to another point.
    pub fn distance(self, other: Self) -> Length {
        Length::mm(libm::hypot(
            (other.x - self.x).to_mm(),
            (other.y - self.y).to_mm(),
        ))
    }
}

impl Rect {
    /// Makes the rectangle between two corners.
    pub fn between(low: Point, high: Point) -> Self {
        Self {
            x: low.x,
            y: low.y,
            width: high.x - low.x,
            height: high.y - low.y,
        }
    }

    /// Right edge.
    pub fn right(&self) -> Length {
        self.x + self.width
    }

    /// Top edge.
    pub fn top(&self) -> Length {
        self.y + self.height
    }

    /// Says whether it shares more than an edge with another.
    pub fn meets(&self, other: &Self) -> bool {
        self.x < other.right()
            && other.x < self.right()
            && self.y < other.top()
            && other.y < self.top()
    }

    /// The same rectangle with x and y exchanged.
    #[must_use]
    pub const fn turned(&self) -> Self {
        Self {
            x: self.y,
            y: self.x,
            width: self.height,
            height: self.width,
        }
    }

    /// Its area.
    pub fn area(&self) -> Area {
        area_of_double(2 * wide(self.width) * wide(self.height))
    }

    /// Its corners counter-clockwise from the lower left.
    pub fn ring(&self) -> Vec<Point> {
        vec![
            Point::new(self.x, self.y),
            Point::new(self.right(), self.y),
            Point::new(self.right(), self.top()),
            Point::new(self.x, self.top()),
        ]
    }

    /// The smallest rectangle round a set of points; none if there are none.
    pub fn around<'a>(points: impl IntoIterator<Item = &'a Point>) -> Option<Self> {
        let mut points = points.into_iter();
        let first = *points.next()?;
        let (low, high) = points.fold((first, first), |(low, high), point| {
            (
                Point::new(low.x.min(point.x), low.y.min(point.y)),
                Point::new(high.x.max(point.x), high.y.max(point.y)),
            )
        });
        Some(Self::between(low, high))
    }
}

impl Polygon {
    /// Area inside the outer ring less the holes.
    pub fn area(&self) -> Area {
        area_of_double(self.double_area())
    }

    fn double_area(&self) -> i128 {
        let holes: i128 = self.holes.iter().map(|hole| double_area(hole).abs()).sum();
        double_area(&self.outer).abs() - holes
    }

    /// Says whether a point lies inside; on an edge either answer may come.
    pub fn contains(&self, point: Point) -> bool {
        ring_contains(&self.outer, point)
            && !self.holes.iter().any(|hole| ring_contains(hole, point))
    }
}

impl Region {
    /// Area of all polygons together.
    pub fn area(&self) -> Area {
        area_of_double(self.0.iter().map(Polygon::double_area).sum())
    }

    /// The smallest rectangle round it; none if it is empty.
    pub fn bounds(&self) -> Option<Rect> {
        Rect::around(self.0.iter().flat_map(|polygon| &polygon.outer))
    }

    /// Says whether a point lies inside; on an edge either answer may come.
    pub fn contains(&self, point: Point) -> bool {
        self.0.iter().any(|polygon| polygon.contains(point))
    }

    /// Every ring, outer ones and holes.
    pub fn rings(&self) -> impl Iterator<Item = &Vec<Point>> {
        self.0
            .iter()
            .flat_map(|polygon| std::iter::once(&polygon.outer).chain(&polygon.holes))
    }

    /// The same region with x and y exchanged; rings run the other way round.
    #[must_use]
    pub fn turned(&self) -> Self {
        let turn = |ring: &Vec<Point>| {
            ring.iter()
                .map(|point| Point::new(point.y, point.x))
                .collect()
        };
        let polygons = self.0.iter().map(|polygon| Polygon {
            outer: turn(&polygon.outer),
            holes: polygon.holes.iter().map(turn).collect(),
        });
        Self(polygons.collect())
    }

    /// Says whether nothing is in it.
    pub const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

#[cfg(test)]
/// Area inside a ring, whichever way it runs.
pub(super) fn ring_area(ring: &[Point]) -> Area {
    area_of_double(double_area(ring).abs())
}

/// Counts the edges that a ray to the right crosses.
fn ring_contains(ring: &[Point], point: Point) -> bool {
    let crossed = edges(ring).filter(|(a, b)| {
        let spans = (a.y > point.y) != (b.y > point.y);
        spans && {
            let side = (wide(b.x) - wide(a.x)) * (wide(point.y) - wide(a.y))
                - (wide(point.x) - wide(a.x)) * (wide(b.y) - wide(a.y));
            (side > 0) == (b.y > a.y)
        }
    });
    crossed.count() % 2 == 1
}

/// Length of a closed ring.
pub(super) fn perimeter(ring: &[Point]) -> Length {
    let mm: f64 = edges(ring)
        .map(|(a, b)| libm::hypot((b.x - a.x).to_mm(), (b.y - a.y).to_mm()))
        .sum();
    Length::mm(mm)
}

impl Polygon {
    /// Makes a polygon without holes, its ring turned counter-clockwise.
    pub fn solid(mut ring: Vec<Point>) -> Self {
        if double_area(&ring) < 0 {
            ring.reverse();
        }
        Self {
            outer: ring,
            holes: Vec::new(),
        }
    }

    /// Length of the outer ring.
    pub fn edge(&self) -> Length {
        perimeter(&self.outer)
    }
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
    fn a_wall_with_a_window_has_its_net_area() {
        let mut window = rect(500, 500, 1000, 1000).ring();
        window.reverse();
        let wall = Polygon {
            outer: rect(0, 0, 4000, 3000).ring(),
            holes: vec![window],
        };
        assert!((wall.area().to_m2() - 11.0).abs() < 1e-12);
        assert_eq!(wall.edge(), Length::m(14.0));
        assert!(wall.contains(Point::new(Length::m(0.1), Length::m(0.1))));
        assert!(!wall.contains(Point::new(Length::m(1.0), Length::m(1.0))));
        assert!(!wall.contains(Point::new(Length::m(5.0), Length::m(1.0))));
    }

    #[test]
    fn bounds_hold_every_point() {
        let region = Region(vec![
            Polygon::solid(rect(5, 6, 7, 8).ring()),
            Polygon::solid(rect(-3, 9, 2, 100).ring()),
        ]);
        assert_eq!(region.bounds(), Some(rect(-3, 6, 15, 103)));
        assert_eq!(Region::default().bounds(), None);
    }
}
