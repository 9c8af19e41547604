//! How a painting builds up on its drum: turns and outside diameter of a spiral.
//!
//! All lengths are millimetres. The radius counts to the inner face of the first wrap; conventions that count to its middle give
//! about half a wrap more length a turn.

use std::f64::consts::PI;

/// Returns the turns that a length takes on a drum.
///
/// # Formula
/// `L = π N (D + N t)` solved for N: `N = (√(D² + 4 t L / π) − D) / 2 t`; with nothing wound in between, `N = L / π D`.
///
/// # Limits
/// The wraps are taken as a ring of even thickness. Against the exact spiral ([`exact_length`]) that is off by fewer than four parts in a
/// million for drums of paintings; how tightly the roll is wound matters far more.
///
/// # Sources
/// Common practice; check values trade.md section 4, A-6 to A-9.
pub fn turns(drum: f64, wrap: f64, length: f64) -> f64 {
    if length <= 0.0 || drum <= 0.0 {
        return 0.0;
    }
    let bare = length / (PI * drum);
    // With k = t·N₀/D the formula reads N = N₀ · 2 / (1 + √(1 + 4k)), which holds for a wrap of no thickness too.
    let growth = (wrap.max(0.0) * bare / drum).max(0.0);
    bare * 2.0 / (1.0 + (1.0 + 4.0 * growth).sqrt())
}

/// Returns the diameter over the finished roll, `D + 2 N t`.
///
/// The end of the painting stands up to one wrap higher; a crate's clearance has to take it.
pub fn outside_diameter(drum: f64, wrap: f64, length: f64) -> f64 {
    drum + 2.0 * turns(drum, wrap, length) * wrap.max(0.0)
}

/// Returns the least drum on which a length takes no more than so many turns: `D = L / π N − N t`.
pub fn least_drum_for_turns(most_turns: f64, wrap: f64, length: f64) -> f64 {
    if most_turns <= 0.0 {
        return f64::INFINITY;
    }
    (length / (PI * most_turns) - most_turns * wrap).max(0.0)
}

/// Returns the exact length of an Archimedean spiral of so many turns.
///
/// # Formula
/// `L = ½ b [u √(1 + u²) + asinh u]` from `u = r₀ / b` to `r₁ / b`, with `b = t / 2π` and `r₁ = r₀ + N t`.
///
/// # Sources
/// mathforum.org Dr. Math 67031 and giangrandi.org on spirals, as cited in trade.md section 4.
pub fn exact_length(drum: f64, wrap: f64, turns: f64) -> f64 {
    if wrap <= 0.0 {
        return PI * drum * turns;
    }
    let pitch = wrap / (2.0 * PI);
    let from = drum / 2.0 / pitch;
    let to = from + 2.0 * PI * turns;
    pitch / 2.0 * (arc(to) - arc(from))
}

/// Twice the arc of the unit spiral from its pole.
fn arc(u: f64) -> f64 {
    u * libm::sqrt(1.0 + u * u) + libm::asinh(u)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn near(found: f64, printed: f64, slack: f64) {
        assert!(
            (found - printed).abs() <= slack * printed.abs(),
            "{found} is not {printed}"
        );
    }

    /// Source: trade.md section 4, A-1 to A-5 (scipy 1.17.1, quadrature and closed form).
    #[test]
    fn exact_and_ring_lengths_of_a_spiral() {
        fn case(drum: f64, wrap: f64, n: f64, exact: f64, ring: f64) {
            near(exact_length(drum, wrap, n), exact, 1e-9);
            near(PI * n * (drum + n * wrap), ring, 1e-9);
            near(turns(drum, wrap, ring), n, 1e-9);
        }
        case(600.0, 3.0, 10.0, 19_792.056_471_2, 19_792.033_717_6);
        case(300.0, 2.5, 4.0, 3_895.587_729_96, 3_895.574_890_45);
        case(75.0, 0.1, 100.0, 26_703.539_436_6, 26_703.537_555_5);
        case(76.2, 0.5, 200.0, 110_709.776_351, 110_709.725_113);
        case(914.0, 4.0, 6.5, 19_195.148_726_6, 19_195.131_113_4);
    }

    /// Source: trade.md section 4, A-6 to A-9 (scipy 1.17.1).
    #[test]
    fn turns_and_outside_diameter() {
        fn case(drum: f64, wrap: f64, length: f64, n: f64, exact_n: f64, outside: f64) {
            near(turns(drum, wrap, length), n, 1e-8);
            near(outside_diameter(drum, wrap, length), outside, 1e-7);
            near(exact_length(drum, wrap, exact_n), length, 1e-7);
        }
        case(600.0, 3.0, 12_000.0, 6.175_512_92, 6.175_505_78, 637.05308);
        case(610.0, 4.0, 6_100.0, 3.119_295_55, 3.119_289_15, 634.95436);
        case(914.0, 6.0, 10_700.0, 3.639_434_24, 3.639_426_83, 957.67321);
        case(
            600.0,
            5.0,
            30_000.0,
            14.228_426_61,
            14.228_390_30,
            742.28427,
        );
    }

    #[test]
    fn nothing_wound_and_nothing_to_wind_on() {
        assert_eq!(turns(600.0, 3.0, 0.0), 0.0);
        assert_eq!(turns(0.0, 3.0, 5000.0), 0.0);
        near(turns(600.0, 0.0, 600.0 * PI), 1.0, 1e-12);
        near(exact_length(600.0, 0.0, 1.0), 600.0 * PI, 1e-12);
    }

    #[test]
    fn the_least_drum_for_turns_takes_just_those() {
        let drum = least_drum_for_turns(3.0, 4.0, 6_100.0);
        near(turns(drum, 4.0, 6_100.0), 3.0, 1e-9);
        assert_eq!(least_drum_for_turns(0.0, 4.0, 6_100.0), f64::INFINITY);
    }

    proptest! {
        /// The ring formula against the arc summed in small steps, which shares no formula with either.
        #[test]
        fn turns_agree_with_numerical_integration(
            drum in 150.0..2_000.0_f64, wrap in 0.5..12.0_f64, length in 500.0..30_000.0_f64,
        ) {
            let n = turns(drum, wrap, length);
            let (steps, mut sum) = (20_000_u32, 0.0);
            let step = 2.0 * PI * n / f64::from(steps);
            for i in 0..steps {
                let angle = (f64::from(i) + 0.5) * step;
                let radius = drum / 2.0 + wrap * angle / (2.0 * PI);
                sum += step * libm::hypot(radius, wrap / (2.0 * PI));
            }
            prop_assert!((sum - length).abs() < 2e-4 * length, "{sum} against {length}");
        }
    }
}
