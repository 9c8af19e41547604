//! Arcs as chords: circular segments over an upright rectangle, and ellipses.

use crate::units::Length;

use super::shape::Point;
use super::shape::Ring;

/// The most that a chord may cut inside its arc, in millimetres.
const CHORD_ERROR_MM: f64 = 0.5;

/// The outline of an arch: a rectangle up to `spring`, a circular segment from there up to `height`.
///
/// It runs counter-clockwise from the lower left corner. Where `spring` is nothing it is a lunette, where it is the
/// height a rectangle.
///
/// # Formula
/// Radius r = (w²/4 + s²) / 2s for a span w and a rise s. A chord over the angle t cuts r (1 - cos t/2) inside its arc;
/// the angle is chosen so that this is at most 0.5 mm.
///
/// # Limits
/// The rise is at most half the width; what is more is taken as half.
///
/// # Sources
/// Standard geometry of the circular segment.
pub fn segment_arch(width: Length, height: Length, spring: Length) -> Ring {
    let rise = (height - spring).to_mm().clamp(0.0, width.to_mm() / 2.0);
    let base = [
        Point::new(Length::ZERO, Length::ZERO),
        Point::new(width, Length::ZERO),
    ];
    let mut ring = base.to_vec();
    if spring.is_positive() {
        ring.push(Point::new(width, spring));
    }
    if rise > 0.0 {
        ring.extend(segment_points(width, spring, rise));
    }
    if spring.is_positive() {
        ring.push(Point::new(Length::ZERO, spring));
    }
    ring
}

/// The points of a segment's arc between its ends, from right to left; the middle one is the crown.
fn segment_points(width: Length, spring: Length, rise: f64) -> Vec<Point> {
    let half = width.to_mm() / 2.0;
    let radius = (half * half + rise * rise) / (2.0 * rise);
    let half_angle = libm::atan2(half, radius - rise);
    // An even number, so that one point is the crown and the bounding box is exact.
    let chords = 2 * chord_count(radius, half_angle);
    (1..chords)
        .map(|i| {
            let angle = half_angle * (1.0 - 2.0 * f64::from(i) / f64::from(chords));
            let x = half + radius * libm::sin(angle);
            let y = rise - radius * (1.0 - libm::cos(angle));
            Point::new(Length::mm(x), spring + Length::mm(y))
        })
        .collect()
}

/// How many chords an arc needs.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to a small positive range just before"
)]
fn chord_count(radius: f64, angle: f64) -> u32 {
    let step = 2.0 * libm::acos(1.0 - (CHORD_ERROR_MM / radius).min(1.0));
    (angle / step).ceil().clamp(1.0, 100_000.0) as u32
}

/// The outline of an ellipse in its bounding box, counter-clockwise from its leftmost point.
///
/// # Formula
/// Points at equal steps of the eccentric angle. The ellipse is a circle of the longer half-axis squeezed one way, so a
/// chord cuts no more inside it than inside that circle.
///
/// # Sources
/// Standard geometry of the ellipse.
pub fn ellipse(width: Length, height: Length) -> Ring {
    let (a, b) = (width.to_mm() / 2.0, height.to_mm() / 2.0);
    // Whole quarters, so that the bounding box is exact.
    let points = 4 * chord_count(a.max(b), std::f64::consts::FRAC_PI_2);
    (0..points)
        .map(|i| {
            let angle = std::f64::consts::PI * (1.0 + 2.0 * f64::from(i) / f64::from(points));
            Point::new(
                Length::mm(a + a * libm::cos(angle)),
                Length::mm(b + b * libm::sin(angle)),
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::measure::ring_area;
    use crate::geometry::shape::Rect;

    /// Source: standard geometry, segment area = r²/2 (t - sin t) with t the angle at the centre.
    #[test]
    fn segments_have_their_known_area() {
        fn case(width: f64, rise: f64) {
            let (w, h) = (width / 1000.0, rise / 1000.0);
            let radius = (w * w / 4.0 + h * h) / (2.0 * h);
            let angle = 2.0 * libm::atan2(w / 2.0, radius - h);
            let exact = radius * radius / 2.0 * (angle - libm::sin(angle));
            let ring = segment_arch(Length::mm(width), Length::mm(rise), Length::ZERO);
            let flat = ring_area(&ring).to_m2();
            // Chords lie inside: two thirds of the chord error along the arc at most.
            assert!(
                flat <= exact && exact - flat <= 2.0 / 3.0 * 0.0005 * radius * angle,
                "{flat} {exact}"
            );
            let bounds = Rect::around(&ring).unwrap();
            assert_eq!(
                (bounds.width, bounds.height),
                (Length::mm(width), Length::mm(rise))
            );
        }
        case(4000.0, 2000.0);
        case(4000.0, 500.0);
        case(300.0, 20.0);
        case(12.0, 6.0);
    }

    /// Source: standard geometry, area of an ellipse = pi a b.
    #[test]
    fn ellipses_have_their_known_area() {
        let ring = ellipse(Length::mm(3000.0), Length::mm(1800.0));
        let exact = std::f64::consts::PI * 1.5 * 0.9;
        let flat = ring_area(&ring).to_m2();
        assert!(flat <= exact && exact - flat < 0.0025, "{flat} {exact}");
        let bounds = Rect::around(&ring).unwrap();
        assert_eq!((bounds.x, bounds.y), (Length::ZERO, Length::ZERO));
        assert_eq!(
            (bounds.width, bounds.height),
            (Length::mm(3000.0), Length::mm(1800.0))
        );
    }

    #[test]
    fn an_arch_without_rise_is_a_rectangle() {
        let ring = segment_arch(Length::mm(1000.0), Length::mm(2000.0), Length::mm(2000.0));
        assert_eq!(ring.len(), 4);
        assert_eq!(ring_area(&ring).to_m2(), 2.0);
    }
}
