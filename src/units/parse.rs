//! Measures as people write them, to a measure or a sentence that says what could not be read.

use rust_decimal::Decimal;

use super::length::Length;
use super::length::LengthUnit;
use super::measure::Mass;
use super::measure::Temperature;
use super::measure::Volume;
use super::money::Money;
use super::money::Percent;

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

/// Reads a length: `3.2 m`, `320 cm`, `3200`, `10' 6"`, `10 ft 6 1/2 in`, `126 1/2"`, `10′6″`.
///
/// # Errors
/// The text is no length, or could be read two ways.
pub fn parse_length(text: &str, style: NumberStyle) -> Result<Length, Misread> {
    let _ = style;
    Err(Misread {
        text: format!("`{text}` is no length"),
        help: String::new(),
    })
}

/// Reads height and width from one text: `394 x 419 mm`, `12' 6" × 8' 2 1/2"`, `support: 2134 x 3658 mm`.
///
/// # Errors
/// The text is no size, or has several parts.
pub fn parse_size(text: &str, style: NumberStyle, order: SizeOrder) -> Result<SizeText, Misread> {
    let _ = (style, order);
    Err(Misread {
        text: format!("`{text}` is no size"),
        help: String::new(),
    })
}

macro_rules! pending {
    ($($(#[$doc:meta])* $name:ident -> $out:ty;)*) => {
        $($(#[$doc])*
        ///
        /// # Errors
        /// The text is no such measure, or could be read two ways.
        pub fn $name(text: &str, style: NumberStyle) -> Result<$out, Misread> {
            let _ = style;
            Err(Misread { text: format!("`{text}` cannot be read"), help: String::new() })
        })*
    };
}

pending! {
    /// Reads a plain decimal number.
    parse_decimal -> Decimal;
    /// Reads an amount of money; a currency sign or code is allowed on either side.
    parse_money -> Money;
    /// Reads a percentage: `8`, `8 %`.
    parse_percent -> Percent;
    /// Reads a mass; a bare number is grams.
    parse_mass -> Mass;
    /// Reads a volume; a bare number is millilitres.
    parse_volume -> Volume;
    /// Reads a temperature: `18`, `18 °C`, `64 °F`.
    parse_temperature -> Temperature;
    /// Reads a time span to whole minutes: `90 min`, `8 h`, `1 h 30 min`, `3 days` (24 hours each).
    parse_minutes -> u32;
    /// Reads a mass an area to g/m²: `120 g/m2`, `8.7 oz/yd2`, `2.1 kg/m²`.
    parse_area_density -> f64;
    /// Reads an area an hour to m²/h: `0.8 m2/h`, `9 ft2/h`.
    parse_areal_rate -> f64;
}
