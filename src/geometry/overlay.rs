//! Union, difference, intersection and offset: a thin coat over the integer interface of `i_overlay`.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::core::single::SingleIntOverlay;
use i_overlay::i_float::int::angle::Angle;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::mesh::int::outline::offset::IntOutlineOffset;
use i_overlay::mesh::int::style::IntLineJoin;
use i_overlay::mesh::int::style::IntOutlineStyle;

use crate::units::Length;

use super::measure::double_area;
use super::shape::Point;
use super::shape::Polygon;
use super::shape::Rect;
use super::shape::Region;

/// A shape as the engine has it: the outer ring counter-clockwise, then its holes clockwise.
type Shapes = Vec<Vec<Vec<IntPoint<i64>>>>;

/// Corners sharper than this get a blunt tip, so that a lunette's points grow no spikes: a sixth of a half turn, 60°.
const SHARPEST_MITRE: u32 = (1 << 31) / 3;

impl Region {
    /// The region inside one ring, whichever way it runs.
    pub fn of_ring(ring: &[Point]) -> Self {
        Self(vec![Polygon::solid(ring.to_vec())])
    }

    /// Whatever lies in either.
    #[must_use]
    pub fn union(&self, other: &Self) -> Self {
        self.overlay(other, OverlayRule::Union)
    }

    /// Whatever lies in this one but not in the other.
    #[must_use]
    pub fn difference(&self, other: &Self) -> Self {
        self.overlay(other, OverlayRule::Difference)
    }

    /// Whatever lies in both.
    #[must_use]
    pub fn intersection(&self, other: &Self) -> Self {
        self.overlay(other, OverlayRule::Intersect)
    }

    /// What lies within a rectangle.
    #[must_use]
    pub fn clip(&self, rect: &Rect) -> Self {
        self.intersection(&Self::of_ring(&rect.ring()))
    }

    /// The union of rings that may overlap, each whichever way it runs.
    pub fn union_of(rings: impl IntoIterator<Item = Vec<Point>>) -> Self {
        let shapes: Shapes = rings
            .into_iter()
            .map(|ring| vec![to_contour(&Polygon::solid(ring).outer)])
            .collect();
        let nothing: Shapes = Vec::new();
        from_shapes(shapes.overlay(&nothing, OverlayRule::Subject, FillRule::NonZero))
    }

    /// Grown on every side by a distance, or shrunk where it is negative, with mitred corners.
    ///
    /// Corners sharper than 60° get a blunt tip; parts that meet become one; parts that vanish are left out.
    #[must_use]
    pub fn offset(&self, distance: Length) -> Self {
        if distance == Length::ZERO {
            return self.clone();
        }
        let style = IntOutlineStyle::new(distance.to_steps())
            .line_join(IntLineJoin::Miter(Angle::from_bits(SHARPEST_MITRE)))
            .miter_min_turn(Angle::from_bits(0));
        self.to_shapes()
            .outline(&style)
            .map_or_else(|_| Self::default(), from_shapes)
    }

    fn overlay(&self, other: &Self, rule: OverlayRule) -> Self {
        from_shapes(
            self.to_shapes()
                .overlay(&other.to_shapes(), rule, FillRule::NonZero),
        )
    }

    /// Winding is made right here, because the engine reads the parts of rings from it and says nothing when it is wrong.
    fn to_shapes(&self) -> Shapes {
        let wound = |ring: &[Point], counter_clockwise: bool| {
            let mut contour = to_contour(ring);
            if (double_area(ring) > 0) != counter_clockwise {
                contour.reverse();
            }
            contour
        };
        let shape = |polygon: &Polygon| {
            let holes = polygon.holes.iter().map(|hole| wound(hole, false));
            std::iter::once(wound(&polygon.outer, true))
                .chain(holes)
                .collect()
        };
        self.0.iter().map(shape).collect()
    }
}

fn to_contour(ring: &[Point]) -> Vec<IntPoint<i64>> {
    ring.iter()
        .map(|point| IntPoint::new(point.x.to_steps(), point.y.to_steps()))
        .collect()
}

fn from_shapes(shapes: Shapes) -> Region {
    let ring = |contour: Vec<IntPoint<i64>>| -> Vec<Point> {
        contour
            .iter()
            .map(|point| Point::new(Length::steps(point.x), Length::steps(point.y)))
            .collect()
    };
    let polygon = |shape: Vec<Vec<IntPoint<i64>>>| {
        let mut rings = shape.into_iter().map(ring);
        rings.next().map(|outer| Polygon {
            outer,
            holes: rings.collect(),
        })
    };
    Region(shapes.into_iter().filter_map(polygon).collect())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::geometry::arc::segment_arch;

    fn rect(x: i64, y: i64, width: i64, height: i64) -> Region {
        let mm = Length::whole_mm;
        Region::of_ring(
            &Rect {
                x: mm(x),
                y: mm(y),
                width: mm(width),
                height: mm(height),
            }
            .ring(),
        )
    }

    /// A star-shaped polygon: always simple, often far from convex.
    fn star() -> impl Strategy<Value = Region> {
        (
            prop::collection::vec(50.0..3000.0_f64, 3..24),
            -500.0..500.0_f64,
            -500.0..500.0_f64,
        )
            .prop_map(|(radii, x, y)| {
                let turn = std::f64::consts::TAU / radii.iter().map(|_| 1.0).sum::<f64>();
                let mut angle = 0.0;
                let mut ring = Vec::new();
                for radius in &radii {
                    ring.push(Point::new(
                        Length::mm(x + radius * libm::cos(angle)),
                        Length::mm(y + radius * libm::sin(angle)),
                    ));
                    angle += turn;
                }
                Region::of_ring(&ring)
            })
    }

    /// Source: dependencies check of the same engine: 600 × 400 with a 200 × 100 opening grown 5 mm = 233,000 mm².
    #[test]
    fn rectangles_grow_exactly() {
        let wall = rect(0, 0, 600, 400).difference(&rect(200, 150, 200, 100));
        assert!((wall.offset(Length::mm(5.0)).area().to_m2() - 0.233).abs() < 1e-12);
        // 590 x 390 less 210 x 110.
        assert!((wall.offset(Length::mm(-5.0)).area().to_m2() - 0.207).abs() < 1e-12);
        assert!(rect(0, 0, 30, 400).offset(Length::mm(-15.0)).is_empty());
    }

    #[test]
    fn teeth_of_a_comb_merge_when_the_margin_closes_the_gap() {
        let comb = rect(0, 0, 1000, 100)
            .union(&rect(0, 100, 300, 500))
            .union(&rect(380, 100, 300, 500));
        let grown = comb.offset(Length::mm(50.0));
        assert_eq!(grown.0.len(), 1);
        assert!(grown.contains(Point::new(Length::mm(340.0), Length::mm(500.0))));
    }

    #[test]
    fn winding_does_not_matter() {
        let mut ring = segment_arch(Length::m(3.0), Length::m(1.0), Length::ZERO);
        let counter = Region::of_ring(&ring).offset(Length::mm(20.0));
        ring.reverse();
        let clockwise = Region(vec![Polygon {
            outer: ring,
            holes: Vec::new(),
        }])
        .offset(Length::mm(20.0));
        assert_eq!(counter.area(), clockwise.area());
        assert!(counter.area().to_m2() > 0.0);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn areas_of_two_shapes_are_those_of_union_and_intersection(a in star(), b in star()) {
            let (apart, joined) = (a.area() + b.area(), a.union(&b).area() + a.intersection(&b).area());
            prop_assert!((apart.to_m2() - joined.to_m2()).abs() < 1e-6, "{apart:?} {joined:?}");
        }

        #[test]
        fn what_is_grown_holds_what_it_was(a in star(), grow in 1.0..200.0_f64) {
            let grown = a.offset(Length::mm(grow));
            prop_assert!(a.difference(&grown).area().to_m2() < 1e-9);
        }

        #[test]
        fn what_is_shrunk_lies_within(a in star(), shrink in 1.0..200.0_f64) {
            prop_assert!(a.offset(Length::mm(-shrink)).difference(&a).area().to_m2() < 1e-9);
        }

        #[test]
        fn growing_reaches_at_least_the_distance(a in star(), grow in 1.0..200.0_f64, at in 0.0..1.0_f64) {
            // A point a little nearer than the distance to some corner lies in the grown shape.
            let grown = a.offset(Length::mm(grow));
            for corner in &a.0[0].outer {
                let angle = at * std::f64::consts::TAU;
                let near = grow * 0.98;
                let point = Point::new(
                    corner.x + Length::mm(near * libm::cos(angle)),
                    corner.y + Length::mm(near * libm::sin(angle)),
                );
                prop_assert!(grown.contains(point));
            }
        }
    }
}
