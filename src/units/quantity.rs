//! Amounts that are bought: a decimal with the unit it is counted in.

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;

/// The unit in which a material is counted, bought and stocked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unit {
    /// Whole sheets of paper, fabric or board.
    Sheet,
    /// Whole rolls.
    Roll,
    /// Grams.
    G,
    /// Millilitres.
    Ml,
    /// Whole pieces: tubes, timbers, tools.
    Each,
}

impl Unit {
    /// The unit's name in files and reports.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Roll => "roll",
            Self::G => "g",
            Self::Ml => "ml",
            Self::Each => "each",
        }
    }

    /// Says whether only whole numbers of the unit can be had.
    pub const fn is_whole(self) -> bool {
        matches!(self, Self::Sheet | Self::Roll | Self::Each)
    }
}

/// A decimal amount with its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quantity {
    /// How much.
    pub amount: Decimal,
    /// Of what.
    pub unit: Unit,
}

impl Quantity {
    /// Makes a quantity from a decimal amount.
    pub const fn new(amount: Decimal, unit: Unit) -> Self {
        Self { amount, unit }
    }

    /// Makes a quantity from a computed amount, rounded up once: to whole units, or to a tenth of a gram or millilitre.
    ///
    /// An amount within a millionth of the lower step counts as that step, so that binary fractions do not buy a sheet
    /// that nobody needs; what is not finite or negative becomes zero.
    ///
    /// ```
    /// use facelay::units::{Quantity, Unit};
    /// assert_eq!(Quantity::needed(3.000_000_1, Unit::Sheet).amount.to_string(), "3");
    /// assert_eq!(Quantity::needed(3.2, Unit::Sheet).amount.to_string(), "4");
    /// assert_eq!(Quantity::needed(120.04, Unit::G).amount.to_string(), "120.1");
    /// ```
    pub fn needed(amount: f64, unit: Unit) -> Self {
        let places = u32::from(!unit.is_whole());
        let exact = Decimal::try_from(amount.max(0.0)).unwrap_or_default();
        let close = exact.round_dp_with_strategy(6, RoundingStrategy::MidpointAwayFromZero);
        let mut rounded =
            close.round_dp_with_strategy(places, RoundingStrategy::ToPositiveInfinity);
        rounded = rounded.normalize();
        Self {
            amount: rounded,
            unit,
        }
    }
}

impl std::fmt::Display for Quantity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.amount, self.unit.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_needed_is_rounded_up_once() {
        fn case(amount: f64, unit: Unit, shown: &str) {
            assert_eq!(Quantity::needed(amount, unit).to_string(), shown);
        }
        case(3.000_000_1, Unit::Sheet, "3 sheet");
        case(3.2, Unit::Roll, "4 roll");
        case(0.01, Unit::Each, "1 each");
        case(120.04, Unit::G, "120.1 g");
        case(120.04, Unit::Ml, "120.1 ml");
        case(-4.0, Unit::G, "0 g");
        case(f64::NAN, Unit::G, "0 g");
        case(f64::INFINITY, Unit::Each, "0 each");
    }

    #[test]
    fn grams_and_millilitres_can_be_parted() {
        let whole = [Unit::Sheet, Unit::Roll, Unit::Each];
        assert!(whole.iter().all(|unit| unit.is_whole()));
        assert!(!Unit::G.is_whole() && !Unit::Ml.is_whole());
    }
}
