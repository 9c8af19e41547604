//! Measures as people write them, to a measure or a sentence that says what could not be read.
//!
//! Numbers: digits with one decimal mark, a point or, where the job says so, a comma. Digits may be grouped in threes by
//! spaces, and by the other mark where that can be meant no other way: `1,250.00` and `1,250,000` are read, `1,250` is
//! not, for it is 1250 to one reader and 1.250 to another, and a wall a thousand times too small looks like a small wall.
//! Spaces of every width, typographic primes and quotation marks, `½` and the fraction slash are read like their plain
//! forms.

mod amount;
mod length;
mod quantity;
mod scan;
mod size;

use super::length::Length;
use super::length::LengthUnit;

pub use amount::either_percent;
pub use amount::parse_decimal;
pub use amount::parse_money;
pub use amount::parse_percent;
pub use amount::written_currency;
pub use length::parse_length;
pub use quantity::parse_air;
pub use quantity::parse_area_density;
pub use quantity::parse_areal_rate;
pub use quantity::parse_mass;
pub use quantity::parse_minutes;
pub use quantity::parse_modulus;
pub use quantity::parse_room;
pub use quantity::parse_temperature;
pub use quantity::parse_volume;
pub use size::parse_size;

/// How the job writes numbers and sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NumberStyle {
    /// The unit of a bare length.
    pub unit: LengthUnit,
    /// Whether a comma is the decimal mark.
    pub decimal_comma: bool,
}

/// Which number of a size text comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SizeOrder {
    /// Height × width, as museum records have it.
    HeightFirst,
    /// Width × height.
    WidthFirst,
}

/// A size read from one text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SizeText {
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Length,
    /// Depth, where the text has a third number.
    pub depth: Option<Length>,
}

/// Why a text could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misread {
    /// What is wrong, with the text in backticks, e.g. ``"`12,5` could be 12.5 or 125"``.
    pub text: String,
    /// What to write instead.
    pub help: String,
}

impl Misread {
    fn new(text: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            help: help.into(),
        }
    }
}
