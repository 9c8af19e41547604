//! Random numbers: triangular distributions with a common cause.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::Distribution;
use rand_distr::StandardNormal;

use crate::job::ThreePoints;

/// The random numbers of one draw: the same for a seed and draw, whoever works it out.
#[derive(Debug)]
pub(super) struct Chance(ChaCha8Rng);

impl Chance {
    /// Starts the numbers of one draw.
    pub(super) fn of(seed: u64, draw: u64) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(draw);
        Self(rng)
    }

    /// A number from the standard normal distribution.
    pub(super) fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// A number spread evenly from 0 to 1.
    pub(super) fn even(&mut self) -> f64 {
        below(self.normal())
    }
}

/// The share of a standard normal distribution below a value: Φ(z) = erfc(−z/√2)/2.
///
/// # Sources
/// NIST Digital Library of Mathematical Functions, 7.1.2 and 7.17 (formula from memory).
pub(super) fn below(z: f64) -> f64 {
    0.5 * libm::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// Joins what is common and what is one's own to a normal number: z = √s · common + √(1−s) · own.
pub(super) fn joined(shared: f64, common: f64, own: f64) -> f64 {
    let shared = shared.clamp(0.0, 1.0);
    shared.sqrt() * common + (1.0 - shared).sqrt() * own
}

/// The value of a triangular distribution that a share u of it stays below.
///
/// # Formula
/// With F = (m−a)/(b−a): a + √(u(b−a)(m−a)) for u ≤ F, else b − √((1−u)(b−a)(b−m)). Mean (a+m+b)/3.
///
/// # Sources
/// Triangular distribution, inverse of its distribution function (from memory; checked against `scipy.stats.triang` in
/// `tests/reference/check_odds.py`).
pub(super) fn triangular(points: ThreePoints, u: f64) -> f64 {
    let ThreePoints { low, likely, high } = points;
    let span = high - low;
    if span <= 0.0 {
        return likely;
    }
    let turn = (likely - low) / span;
    if u <= turn {
        low + (u * span * (likely - low)).sqrt()
    } else {
        high - ((1.0 - u) * span * (high - likely)).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand from the definition: F = 0.25, 0.8 + √(0.1·0.8·0.2) = 0.92649; 1.6 − √(0.5·0.8·0.6) = 1.11010; 1.6 − √(0.15·0.8·0.6) = 1.33167.
    #[test]
    fn quantiles_of_a_triangle() {
        let points = ThreePoints {
            low: 0.8,
            likely: 1.0,
            high: 1.6,
        };
        for (u, expected) in [
            (0.0, 0.8),
            (0.1, 0.926_49),
            (0.25, 1.0),
            (0.5, 1.110_10),
            (0.85, 1.331_67),
            (1.0, 1.6),
        ] {
            assert!((triangular(points, u) - expected).abs() < 1e-5, "{u}");
        }
    }

    /// Source: table of the standard normal distribution, 1.96 and 97.5 % (every statistics handbook).
    #[test]
    fn the_normal_distribution() {
        assert!((below(1.959_964) - 0.975).abs() < 1e-6);
        assert!((below(0.0) - 0.5).abs() < 1e-15);
    }

    #[test]
    fn a_draw_is_the_same_whoever_works_it_out() {
        let mut first = Chance::of(7, 123);
        let numbers = [first.normal(), first.normal()];
        let mut again = Chance::of(7, 123);
        assert_eq!(numbers, [again.normal(), again.normal()]);
        assert!((numbers[0] - Chance::of(7, 124).normal()).abs() > 0.0);
    }
}
