//! Money and percentages as decimals, rounded at named places only.

use std::iter::Sum;
use std::ops::Add;
use std::ops::AddAssign;
use std::ops::Sub;

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;

/// An amount of the job's currency.
///
/// Amounts are added exactly; [`Money::cents`] is the only rounding, half away from zero as spreadsheets do
/// (ECMA-376, function ROUND).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Money(Decimal);

impl Money {
    /// No money.
    pub const ZERO: Self = Self(Decimal::ZERO);

    /// Makes an amount.
    pub const fn new(amount: Decimal) -> Self {
        Self(amount)
    }

    /// Returns the amount.
    pub const fn amount(self) -> Decimal {
        self.0
    }

    /// Returns the amount rounded to cents, halves away from zero.
    ///
    /// ```
    /// use facelay::units::Money;
    /// let amount: rust_decimal::Decimal = "2.675".parse()?;
    /// assert_eq!(Money::new(amount).cents().to_string(), "2.68");
    /// # Ok::<(), rust_decimal::Error>(())
    /// ```
    #[must_use]
    pub fn cents(self) -> Self {
        let mut rounded = self
            .0
            .round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
        rounded.rescale(2);
        Self(rounded)
    }

    /// Returns the amount times a plain decimal, unrounded; an amount beyond what decimals hold becomes the largest.
    #[must_use]
    pub fn times(self, factor: Decimal) -> Self {
        Self(self.0.checked_mul(factor).unwrap_or(Decimal::MAX))
    }
}

impl std::fmt::Display for Money {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}
impl AddAssign for Money {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}
impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}
impl Sum for Money {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::ZERO, |total, amount| total + amount)
    }
}

/// A percentage as people write it: `8` is eight percent.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Percent(Decimal);

impl Percent {
    /// Nought percent.
    pub const ZERO: Self = Self(Decimal::ZERO);

    /// Makes a percentage: `8` is eight percent.
    pub const fn new(percent: Decimal) -> Self {
        Self(percent)
    }

    /// Returns the percentage as written: `8` for eight percent.
    pub const fn value(self) -> Decimal {
        self.0
    }

    /// Returns the percentage as a fraction: `0.08` for eight percent.
    pub fn fraction(self) -> Decimal {
        self.0 / Decimal::ONE_HUNDRED
    }

    /// Returns the fraction for physical estimates.
    pub fn to_f64(self) -> f64 {
        use rust_decimal::prelude::ToPrimitive;
        self.fraction().to_f64().unwrap_or(0.0)
    }

    /// Returns this share of an amount, unrounded.
    pub fn of(self, amount: Money) -> Money {
        amount.times(self.fraction())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: ECMA-376 SpreadsheetML reference, function ROUND (trade.md 10.8).
    #[test]
    fn halves_round_away_from_zero() {
        fn case(amount: &str, cents: &str) {
            let amount: Decimal = amount.parse().unwrap();
            assert_eq!(Money::new(amount).cents().to_string(), cents);
        }
        case("2.675", "2.68");
        case("-1.475", "-1.48");
        case("1.005", "1.01");
        case("7", "7.00");
    }

    #[test]
    fn sums_and_differences_are_exact() {
        let cents = |cents: i64| Money::new(Decimal::new(cents, 2));
        assert_eq!(
            [cents(10), cents(20), cents(1)].into_iter().sum::<Money>(),
            cents(31)
        );
        let mut total = cents(250);
        total += cents(5);
        assert_eq!(total, cents(255));
        assert_eq!(total - cents(300), cents(-45));
        assert_eq!(Percent::new(Decimal::from(8)).to_f64(), 0.08);
        assert_eq!(Percent::new(Decimal::from(150)).value(), Decimal::from(150));
    }

    #[test]
    fn eight_percent_of_250() {
        let share = Percent::new(Decimal::from(8)).of(Money::new(Decimal::from(250)));
        assert_eq!(share.cents().to_string(), "20.00");
    }
}
