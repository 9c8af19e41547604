//! Whether a box passes a door, a corner, a lift or a vehicle, and by how much.

use std::f64::consts::FRAC_PI_2;

use crate::job::WayOutKind;
use crate::units::Length;

/// How a box goes through the tightest place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Gap {
    /// What is spare in the tightest dimension; negative where it is missing.
    pub(crate) spare: Length,
    /// The tightest dimension.
    pub(crate) tightest: &'static str,
}

impl Gap {
    const fn new(spare: Length, tightest: &'static str) -> Self {
        Self { spare, tightest }
    }

    /// The tighter of two dimensions that both have to pass.
    fn and(self, other: Self) -> Self {
        if other.spare < self.spare {
            other
        } else {
            self
        }
    }

    /// The roomier of two ways that are as easy.
    fn roomier(self, other: Self) -> Self {
        if other.spare > self.spare {
            other
        } else {
            self
        }
    }

    /// The easier way where it will do, or else the roomier.
    fn or(self, harder: Self) -> Self {
        if self.spare >= Length::ZERO {
            self
        } else {
            self.roomier(harder)
        }
    }
}

/// Returns how a box of that length, width and height passes a way out.
///
/// A door is passed lengthwise in any turn about the length: square to it, or tilted between its corners. A corner is passed upright. In a
/// lift the box stands upright, straight or on the diagonal of the floor, leans with one end raised, or stands on end. In a vehicle it
/// stands upright, either way round.
pub(crate) fn gap(size: [Length; 3], kind: WayOutKind) -> Gap {
    let [length, width, height] = size;
    match kind {
        WayOutKind::Door {
            width: wide,
            height: high,
        } => door(size, wide, high),
        WayOutKind::Corner {
            first,
            second,
            height: high,
        } => corner(length.max(width), length.min(width), first, second)
            .and(Gap::new(high - height, "height")),
        WayOutKind::Lift {
            width: wide,
            depth,
            height: high,
        } => {
            let upright = floor(length, width, wide, depth).and(Gap::new(high - height, "height"));
            let leaning =
                leaning(size, wide, depth, high).roomier(leaning(size, depth, wide, high));
            let on_end = floor(width, height, wide, depth)
                .and(Gap::new(high - length, "length, standing on end"));
            // Of two ways as roomy, the one that is easier to say and to do.
            upright.or(on_end.roomier(leaning))
        }
        WayOutKind::Vehicle {
            length: long,
            width: wide,
            height: high,
        } => straight(length, width, long, wide).and(Gap::new(high - height, "height")),
    }
}

/// The two lesser sides of the box against the door: square to it either way up, or tilted.
fn door(mut size: [Length; 3], wide: Length, high: Length) -> Gap {
    size.sort();
    let [thin, middle, _] = size;
    let way = |across: Length, up: Length| {
        Gap::new(wide - across, "width").and(Gap::new(high - up, "height"))
    };
    let square = way(thin, middle).roomier(way(middle, thin));
    aslant(thin, wide, high).map_or(square, |longest| {
        square.or(Gap::new(
            longest - middle,
            "the lesser sides, tilted in the door",
        ))
    })
}

/// A box that leans lengthwise in a space: its length and height in the upright plane of one side, its width along the other.
fn leaning(
    [length, width, height]: [Length; 3],
    along: Length,
    across: Length,
    high: Length,
) -> Gap {
    let beside = Gap::new(across - width, "width, leaning lengthwise");
    let (long, thin) = (length.max(height), length.min(height));
    match aslant(thin, along, high) {
        Some(longest) => beside.and(Gap::new(longest - long, "length, leaning lengthwise")),
        None => beside.and(Gap::new(along.min(high) - thin, "height")),
    }
}

/// The longest rectangle so thin that lies in a rectangle, straight or aslant.
fn aslant(thin: Length, a: Length, b: Length) -> Option<Length> {
    longest_on_floor(thin.to_mm(), a.max(b).to_mm(), a.min(b).to_mm()).map(Length::mm)
}

/// A box straight on a floor, either way round.
fn straight(length: Length, width: Length, long: Length, wide: Length) -> Gap {
    let way = |a: Length, b: Length| Gap::new(long - a, "length").and(Gap::new(wide - b, "width"));
    way(length, width).roomier(way(width, length))
}

/// A box on a floor, straight or aslant.
fn floor(length: Length, width: Length, wide: Length, deep: Length) -> Gap {
    let (long, short) = (length.max(width), length.min(width));
    let straight = straight(length, width, wide.max(deep), wide.min(deep));
    match aslant(short, wide, deep) {
        Some(longest) => straight.or(Gap::new(longest - long, "length on the diagonal")),
        None => straight,
    }
}

/// A box past a right-angled corner: turned in it, or pushed on sideways without turning.
fn corner(long: Length, short: Length, first: Length, second: Length) -> Gap {
    let sideways = |a: Length, b: Length| {
        Gap::new(a - short, "width").and(Gap::new(b - long, "length, pushed sideways"))
    };
    let still = sideways(first, second).roomier(sideways(second, first));
    let narrow = Gap::new(first.min(second) - short, "width");
    match longest_past_corner(short.to_mm(), first.to_mm(), second.to_mm()) {
        Some(longest) => still.or(narrow.and(Gap::new(
            Length::mm(longest) - long,
            "length round the corner",
        ))),
        None => still.or(narrow),
    }
}

/// Returns the longest box of a width that turns past a right-angled corner between corridors a and b; none where it is wider than either.
///
/// # Formula
/// With the box's outer face leaning at angle θ on both outer walls, the inner corner stands `a sin θ + b cos θ − L sin θ cos θ` off that face,
/// which may not be less than the width w. So `L = min over θ of (a sin θ + b cos θ − w) / (sin θ cos θ)`. Its slope is zero where
/// `a sin³θ − b cos³θ + w (cos²θ − sin²θ) = 0`, which has one root for w ≤ min(a, b): the left side starts at `w − b ≤ 0`, ends at
/// `a − w ≥ 0`, and falls at most at both ends. For w = 0 this is the ladder's `(a^⅔ + b^⅔)^(3/2)`; for a = b it is `2 (a √2 − w)`.
///
/// # Sources
/// Textbook ladder problem, extended to a width; derived above and checked by brute force in the tests.
pub(crate) fn longest_past_corner(width: f64, a: f64, b: f64) -> Option<f64> {
    if width > a.min(b) || width < 0.0 || a.min(b) <= 0.0 {
        return None;
    }
    let slope = |angle: f64| {
        let (s, c) = (libm::sin(angle), libm::cos(angle));
        a * s * s * s - b * c * c * c + width * (c * c - s * s)
    };
    let (mut low, mut high) = (0.0, FRAC_PI_2);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if slope(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    // A box as wide as one corridor hugs an end of the range, where the formula reads 0/0: step back from it.
    let angle = f64::midpoint(low, high).clamp(1e-6, FRAC_PI_2 - 1e-6);
    let (s, c) = (libm::sin(angle), libm::cos(angle));
    Some((a * s + b * c - width) / (s * c))
}

/// Returns the longest box of a width that lies on a floor a × b (a the longer side), straight or aslant; none where it is wider than b.
fn longest_on_floor(width: f64, a: f64, b: f64) -> Option<f64> {
    if width > b || b <= 0.0 {
        return None;
    }
    let (mut fits, mut over) = (a, a + b);
    for _ in 0..50 {
        let middle = f64::midpoint(fits, over);
        if lies_aslant(middle, width, a, b) {
            fits = middle;
        } else {
            over = middle;
        }
    }
    Some(fits)
}

/// Says whether a rectangle p × q with p > a and q ≤ b lies within a × b.
///
/// # Sources
/// Carver's condition as given by J. E. Wetzel, "Rectangles in rectangles", *Mathematics Magazine* 73 (2000), from memory; checked by brute
/// force in the tests.
fn lies_aslant(p: f64, q: f64, a: f64, b: f64) -> bool {
    let square = |x: f64| x * x;
    square((a + b) / (p + q)) + square((a - b) / (p - q)) >= 2.0
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn mm(sizes: [f64; 3]) -> [Length; 3] {
        sizes.map(Length::mm)
    }

    /// The least over fine steps of the angle of the length at which both ends touch: no calculus.
    fn corner_by_force(width: f64, a: f64, b: f64) -> f64 {
        let lengths = (1..20_000_u32).map(|i| {
            let angle = f64::from(i) * FRAC_PI_2 / 20_000.0;
            let (s, c) = (libm::sin(angle), libm::cos(angle));
            (a * s + b * c - width) / (s * c)
        });
        lengths.fold(f64::INFINITY, f64::min)
    }

    /// The longest box over fine steps of the angle whose own bounding box lies within the floor.
    fn floor_by_force(width: f64, a: f64, b: f64) -> f64 {
        let lengths = (1..20_000_u32).filter_map(|i| {
            let angle = f64::from(i) * FRAC_PI_2 / 20_000.0;
            let (s, c) = (libm::sin(angle), libm::cos(angle));
            let longest = ((a - width * s) / c).min((b - width * c) / s);
            (longest >= 0.0).then_some(longest)
        });
        lengths.fold(a, f64::max)
    }

    #[test]
    fn a_ladder_and_an_even_corner() {
        let ladder =
            |a: f64, b: f64| libm::pow(libm::pow(a, 2.0 / 3.0) + libm::pow(b, 2.0 / 3.0), 1.5);
        let near =
            |found: Option<f64>, right: f64| assert!((found.unwrap() - right).abs() < 1e-6 * right);
        near(
            longest_past_corner(0.0, 2_700.0, 6_400.0),
            ladder(2_700.0, 6_400.0),
        );
        near(
            longest_past_corner(0.0, 1_500.0, 1_500.0),
            ladder(1_500.0, 1_500.0),
        );
        near(
            longest_past_corner(800.0, 1_500.0, 1_500.0),
            2.0 * (1_500.0 * 2.0_f64.sqrt() - 800.0),
        );
        assert_eq!(longest_past_corner(1_501.0, 1_500.0, 3_000.0), None);
        assert_eq!(longest_past_corner(10.0, 0.0, 3_000.0), None);
    }

    #[test]
    fn a_door_is_passed_in_any_turn() {
        let door = WayOutKind::Door {
            width: Length::mm(1_200.0),
            height: Length::mm(2_300.0),
        };
        let crated = gap(mm([3_400.0, 900.0, 1_000.0]), door);
        assert_eq!(
            crated,
            Gap {
                spare: Length::mm(300.0),
                tightest: "width"
            }
        );
        let flat = gap(mm([3_000.0, 300.0, 2_200.0]), door);
        assert_eq!(
            flat,
            Gap {
                spare: Length::mm(100.0),
                tightest: "height"
            }
        );
        let wide = gap(mm([3_400.0, 1_250.0, 1_300.0]), door);
        assert_eq!(
            wide,
            Gap {
                spare: Length::mm(-50.0),
                tightest: "width"
            }
        );
    }

    /// A thin tray of 2.3 m through a door of 0.9 × 2.1 m, by fine steps of the tilt: t sin θ + m cos θ high, t cos θ + m sin θ wide.
    #[test]
    fn a_thin_tray_passes_a_door_tilted() {
        let door = WayOutKind::Door {
            width: Length::mm(900.0),
            height: Length::mm(2_100.0),
        };
        let by_force = |thin: f64, middle: f64| {
            (0..=20_000_u32).any(|i| {
                let angle = f64::from(i) * FRAC_PI_2 / 20_000.0;
                let (s, c) = (libm::sin(angle), libm::cos(angle));
                thin * c + middle * s <= 900.0 && thin * s + middle * c <= 2_100.0
            })
        };
        for (thin, middle) in [
            (60.0, 2_150.0),
            (100.0, 2_200.0),
            (160.0, 2_200.0),
            (400.0, 2_150.0),
            (60.0, 2_280.0),
        ] {
            let found = gap(mm([3_000.0, thin, middle]), door);
            assert_eq!(
                found.spare >= Length::ZERO,
                by_force(thin, middle),
                "{thin} × {middle}: {found:?}"
            );
        }
        let tilted = gap(mm([3_000.0, 60.0, 2_150.0]), door);
        assert_eq!(tilted.tightest, "the lesser sides, tilted in the door");
    }

    #[test]
    fn a_lift_takes_a_long_roll_leaning() {
        let lift = WayOutKind::Lift {
            width: Length::mm(1_100.0),
            depth: Length::mm(2_100.0),
            height: Length::mm(2_300.0),
        };
        let roll = gap(mm([2_800.0, 300.0, 300.0]), lift);
        assert!(roll.spare.is_positive(), "{roll:?}");
        assert_eq!(roll.tightest, "length, leaning lengthwise");
        assert!(!gap(mm([2_800.0, 1_150.0, 300.0]), lift).spare.is_positive());
        assert!(!gap(mm([3_200.0, 300.0, 300.0]), lift).spare.is_positive());
    }

    #[test]
    fn a_lift_takes_a_box_straight_aslant_or_on_end() {
        let lift = WayOutKind::Lift {
            width: Length::mm(1_100.0),
            depth: Length::mm(2_100.0),
            height: Length::mm(2_200.0),
        };
        assert_eq!(
            gap(mm([2_000.0, 700.0, 700.0]), lift).spare,
            Length::mm(100.0)
        );
        let aslant = gap(mm([2_140.0, 300.0, 2_180.0]), lift);
        assert!(
            aslant.spare.is_positive() && aslant.tightest != "length",
            "{aslant:?}"
        );
        let on_end = gap(mm([2_150.0, 1_000.0, 1_000.0]), lift);
        assert_eq!(
            on_end,
            Gap {
                spare: Length::mm(50.0),
                tightest: "length, standing on end"
            }
        );
        assert!(!gap(mm([2_900.0, 700.0, 700.0]), lift).spare.is_positive());
    }

    #[test]
    fn a_vehicle_takes_a_box_upright_either_way_round() {
        let van = WayOutKind::Vehicle {
            length: Length::mm(3_200.0),
            width: Length::mm(1_700.0),
            height: Length::mm(1_800.0),
        };
        assert_eq!(
            gap(mm([3_100.0, 900.0, 900.0]), van),
            Gap {
                spare: Length::mm(100.0),
                tightest: "length"
            }
        );
        assert_eq!(
            gap(mm([1_650.0, 3_000.0, 900.0]), van).spare,
            Length::mm(50.0)
        );
        assert_eq!(
            gap(mm([3_000.0, 900.0, 1_900.0]), van),
            Gap {
                spare: Length::mm(-100.0),
                tightest: "height"
            }
        );
    }

    #[test]
    fn a_short_box_is_pushed_round_without_turning() {
        let corner = WayOutKind::Corner {
            first: Length::mm(1_000.0),
            second: Length::mm(1_000.0),
            height: Length::mm(2_500.0),
        };
        assert_eq!(
            gap(mm([950.0, 950.0, 800.0]), corner).spare,
            Length::mm(50.0)
        );
        assert_eq!(
            gap(mm([1_000.0, 1_000.0, 800.0]), corner).spare,
            Length::ZERO
        );
    }

    proptest! {
        #[test]
        fn the_longest_past_a_corner_agrees_with_brute_force(
            a in 800.0..4_000.0_f64, b in 800.0..4_000.0_f64, share in 0.0..0.98_f64,
        ) {
            let width = share * a.min(b);
            let found = longest_past_corner(width, a, b).unwrap();
            let forced = corner_by_force(width, a, b);
            prop_assert!((found - forced).abs() < 1e-4 * forced, "{} against {}", found, forced);
        }

        #[test]
        fn the_longest_on_a_floor_agrees_with_brute_force(
            b in 800.0..2_000.0_f64, longer in 0.0..1_500.0_f64, share in 0.0..1.0_f64,
        ) {
            let (a, width) = (b + longer, share * b);
            let found = longest_on_floor(width, a, b).unwrap();
            let forced = floor_by_force(width, a, b);
            prop_assert!((found - forced).abs() < 2e-3 * forced, "{} against {}", found, forced);
        }

        #[test]
        fn a_smaller_box_never_has_less_room(
            size in prop::array::uniform3(200.0..4_000.0_f64), share in 0.2..1.0_f64,
            a in 700.0..4_000.0_f64, b in 700.0..4_000.0_f64, high in 700.0..4_000.0_f64,
        ) {
            let (a, b, high) = (Length::mm(a), Length::mm(b), Length::mm(high));
            for kind in [
                WayOutKind::Door { width: a, height: high },
                WayOutKind::Corner { first: a, second: b, height: high },
                WayOutKind::Lift { width: a, depth: b, height: high },
                WayOutKind::Vehicle { length: a, width: b, height: high },
            ] {
                let (large, small) = (gap(mm(size), kind), gap(mm(size.map(|side| side * share)), kind));
                // Only what passes matters: how much is missing may read along another side.
                prop_assert!(large.spare < Length::ZERO || small.spare >= Length::ZERO, "{:?}", kind);
            }
        }
    }
}
