//! Lengths as whole eighths of a micrometre, the common unit of decimal millimetres and 64ths of an inch.

use std::iter::Sum;
use std::ops::Add;
use std::ops::AddAssign;
use std::ops::Mul;
use std::ops::Neg;
use std::ops::Sub;
use std::ops::SubAssign;

/// A length, exact to an eighth of a micrometre.
///
/// 1 mm is 8,000 steps and 1/64 in is 3,175 steps, so metric and inch dimensions add up without drift.
///
/// ```
/// use facelay::units::Length;
/// let sixty_fourth = Length::inches(1.0 / 64.0);
/// assert_eq!(sixty_fourth * 64, Length::mm(25.4));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

/// Steps in a millimetre.
const STEPS_PER_MM: i64 = 8_000;

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0);

    /// Returns the length of so many whole steps of an eighth micrometre.
    pub const fn steps(steps: i64) -> Self {
        Self(steps)
    }

    /// Returns the length of so many whole millimetres.
    pub const fn whole_mm(mm: i64) -> Self {
        Self(mm * STEPS_PER_MM)
    }

    /// Returns the length nearest to so many millimetres; what is not finite becomes zero.
    pub fn mm(mm: f64) -> Self {
        Self(round_to_i64(mm * 8_000.0))
    }

    /// Returns the length nearest to so many metres.
    pub fn m(m: f64) -> Self {
        Self::mm(m * 1_000.0)
    }

    /// Returns the length nearest to so many inches.
    pub fn inches(inches: f64) -> Self {
        Self(round_to_i64(inches * 203_200.0))
    }

    /// Returns the steps of an eighth micrometre.
    pub const fn to_steps(self) -> i64 {
        self.0
    }

    /// Returns the length in millimetres.
    pub fn to_mm(self) -> f64 {
        to_f64(self.0) / 8_000.0
    }

    /// Returns the length in metres.
    pub fn to_m(self) -> f64 {
        self.to_mm() / 1_000.0
    }

    /// Returns the length in inches.
    pub fn to_inches(self) -> f64 {
        to_f64(self.0) / 203_200.0
    }

    /// Returns the whole millimetres, rounded up.
    pub const fn to_mm_up(self) -> i64 {
        self.0.div_euclid(STEPS_PER_MM) + (self.0.rem_euclid(STEPS_PER_MM) != 0) as i64
    }

    /// Says whether the length is more than nothing.
    pub const fn is_positive(self) -> bool {
        self.0 > 0
    }

    /// Returns half the length, rounded down to a step.
    #[must_use]
    pub const fn half(self) -> Self {
        Self(self.0.div_euclid(2))
    }

    /// Returns the length scaled by a plain factor, to the nearest step.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self(round_to_i64(to_f64(self.0) * factor))
    }

    /// Returns this length over another, or zero where the other is nothing.
    pub fn ratio(self, other: Self) -> f64 {
        if other.0 == 0 {
            0.0
        } else {
            to_f64(self.0) / to_f64(other.0)
        }
    }

    /// Returns the distance from zero.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }
}

/// A unit in which people write lengths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LengthUnit {
    /// Millimetres.
    Mm,
    /// Centimetres.
    Cm,
    /// Metres.
    M,
    /// Inches.
    Inch,
    /// Feet.
    Foot,
}

impl LengthUnit {
    /// The unit's steps of an eighth micrometre.
    pub const fn steps(self) -> i64 {
        match self {
            Self::Mm => 8_000,
            Self::Cm => 80_000,
            Self::M => 8_000_000,
            Self::Inch => 203_200,
            Self::Foot => 2_438_400,
        }
    }

    /// Says whether the unit belongs to the inch system.
    pub const fn is_imperial(self) -> bool {
        matches!(self, Self::Inch | Self::Foot)
    }
}

/// Rounds to the nearest whole number, ties away from zero; what is not finite becomes zero.
#[allow(
    clippy::cast_possible_truncation,
    reason = "clamped to the range of i64 just before"
)]
fn round_to_i64(value: f64) -> i64 {
    if !value.is_finite() {
        return 0;
    }
    value.round().clamp(-9.0e18, 9.0e18) as i64
}

#[allow(
    clippy::cast_precision_loss,
    reason = "lengths on a wall stay far below 2^53 steps (a million kilometres)"
)]
fn to_f64(steps: i64) -> f64 {
    steps as f64
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}
impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}
impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}
impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}
impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}
impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, count: i64) -> Self {
        Self(self.0 * count)
    }
}
impl Mul for Length {
    type Output = crate::units::Area;
    fn mul(self, other: Self) -> Self::Output {
        crate::units::Area::m2(self.to_m() * other.to_m())
    }
}
impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, |total, length| total + length)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inches_and_millimetres_meet_exactly() {
        assert_eq!(Length::inches(1.0), Length::mm(25.4));
        assert_eq!(Length::inches(126.5).to_mm(), 3213.1);
        assert_eq!(Length::mm(0.125).to_steps(), 1000);
    }

    #[test]
    fn rounding_up_to_whole_millimetres() {
        assert_eq!(Length::mm(3.0).to_mm_up(), 3);
        assert_eq!(Length::mm(3.001).to_mm_up(), 4);
        assert_eq!(Length::mm(-3.5).to_mm_up(), -3);
    }

    #[test]
    fn units_hold_each_other() {
        assert_eq!(Length::m(3.2), Length::whole_mm(3_200));
        assert_eq!(Length::whole_mm(3_200).to_m(), 3.2);
        assert_eq!(Length::mm(76.2).to_inches(), 3.0);
        assert!(Length::steps(1).is_positive());
        assert!(!Length::ZERO.is_positive() && !Length::steps(-1).is_positive());
        // The international foot is 304.8 mm (NIST Handbook 44, Appendix C).
        assert_eq!(LengthUnit::Foot.steps(), Length::mm(304.8).to_steps());
        assert!(LengthUnit::Foot.is_imperial() && !LengthUnit::M.is_imperial());
    }

    #[test]
    fn lengths_are_reckoned_with() {
        let (long, short) = (Length::whole_mm(700), Length::whole_mm(300));
        assert_eq!(long + short, Length::m(1.0));
        assert_eq!(long - short, Length::whole_mm(400));
        assert_eq!(short - long, -Length::whole_mm(400));
        assert_eq!((short - long).abs(), Length::whole_mm(400));
        let mut left = long;
        left -= short;
        left += Length::whole_mm(1);
        assert_eq!(left, Length::whole_mm(401));
        assert_eq!(short * 3, Length::whole_mm(900));
        assert_eq!((long * short).to_m2(), 0.7 * 0.3);
        assert_eq!(
            [long, short, short].into_iter().sum::<Length>(),
            Length::m(1.3)
        );
        assert_eq!(long.times(1.5), Length::whole_mm(1_050));
        assert_eq!(long.half(), Length::whole_mm(350));
        assert_eq!(Length::steps(-3).half(), Length::steps(-2));
        assert_eq!(Length::m(3.0).ratio(Length::m(1.5)), 2.0);
        assert_eq!(long.ratio(Length::ZERO), 0.0);
    }

    #[test]
    fn what_is_not_finite_is_nothing() {
        assert_eq!(Length::mm(f64::NAN), Length::ZERO);
        assert_eq!(Length::mm(f64::INFINITY), Length::ZERO);
    }
}
