//! Masses, volumes, temperatures, times, and rates of an area.

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;
use rust_decimal::prelude::ToPrimitive;

use super::Misread;
use super::NumberStyle;
use super::scan::Scanner;
use super::scan::shown;
use crate::units::Mass;
use crate::units::Temperature;
use crate::units::Volume;

/// Names of a unit with what one of it is in the base unit.
type Units = &'static [(&'static [&'static str], f64)];

/// In grams. Source: NIST SP 811 (2008), appendix B.8: avoirdupois pound and ounce.
const MASSES: Units = &[
    (&["mg"], 0.001),
    (&["g", "gram", "grams"], 1.0),
    (&["kg", "kilo", "kilogram", "kilograms"], 1_000.0),
    (&["t", "tonne", "tonnes"], 1_000_000.0),
    (&["oz", "ounce", "ounces"], 28.349_523_125),
    (&["lb", "lbs", "pound", "pounds"], 453.592_37),
];

/// In millilitres. Source: NIST SP 811 (2008), appendix B.8: US liquid and imperial measures.
const VOLUMES: Units = &[
    (&["ml", "cm3", "cc"], 1.0),
    (&["cl"], 10.0),
    (&["dl"], 100.0),
    (&["l", "litre", "litres", "liter", "liters", "dm3"], 1_000.0),
    (&["m3"], 1_000_000.0),
    (&["usfloz"], 29.573_529_562_5),
    (&["uspt", "uspint", "uspints"], 473.176_473),
    (&["usqt", "usquart", "usquarts"], 946.352_946),
    (&["usgal", "usgallon", "usgallons"], 3_785.411_784),
    (&["ukfloz", "impfloz"], 28.413_062_5),
    (&["ukpt", "imppt", "ukpint", "imppint"], 568.261_25),
    (&["ukgal", "impgal", "ukgallon", "impgallon"], 4_546.09),
];

/// In square metres. Source: NIST SP 811 (2008), appendix B.8 (1 ft = 0.3048 m, 1 yd = 0.9144 m).
const AREAS: Units = &[
    (&["cm2", "sqcm"], 0.000_1),
    (&["m2", "sqm"], 1.0),
    (&["in2", "sqin"], 0.000_645_16),
    (&["ft2", "sqft"], 0.092_903_04),
    (&["yd2", "sqyd"], 0.836_127_36),
];

/// In cubic metres.
const ROOMS: Units = &[
    (&["l"], 0.001),
    (&["m3", "cum", "cbm"], 1.0),
    (&["ft3", "cuft"], 0.028_316_846_592),
];

/// In megapascals.
const MODULI: Units = &[
    (&["mpa", "n/mm2"], 1.0),
    (&["gpa", "kn/mm2"], 1_000.0),
    (&["psi"], 0.006_894_757_293_168),
    (&["ksi"], 6.894_757_293_168),
];

/// In hours.
const HOURS: Units = &[
    (&["s", "sec"], 1.0 / 3_600.0),
    (&["min", "minute"], 1.0 / 60.0),
    (&["h", "hr", "hour"], 1.0),
];

/// In minutes.
const MINUTES: Units = &[
    (&["min", "mins", "minute", "minutes"], 1.0),
    (&["h", "hr", "hrs", "hour", "hours"], 60.0),
    (&["d", "day", "days"], 1_440.0),
    (&["week", "weeks"], 10_080.0),
];

/// Reads a mass; a bare number is grams.
///
/// # Errors
/// The text is no mass, or could be read two ways.
pub fn parse_mass(text: &str, style: NumberStyle) -> Result<Mass, Misread> {
    single(
        text,
        style,
        "mass",
        "`250 g`, `1.5 kg`, `8 oz` or `2 lb`",
        MASSES,
        1.0,
    )
    .map(Mass::g)
}

/// Reads a volume; a bare number is millilitres.
///
/// ```
/// use facelay::units::{LengthUnit, NumberStyle, parse_volume};
/// let style = NumberStyle { unit: LengthUnit::Mm, decimal_comma: false };
/// assert_eq!(parse_volume("1 US gal", style).unwrap().to_ml(), 3785.411784);
/// assert_eq!(parse_volume("1 gal", style).unwrap_err().text, "`1 gal` could be a US or an imperial measure");
/// ```
///
/// # Errors
/// The text is no volume, or could be read two ways: gallons, quarts, pints and fluid ounces that are neither `US` nor `UK`.
pub fn parse_volume(text: &str, style: NumberStyle) -> Result<Volume, Misread> {
    let examples = "`500 ml`, `2 l`, `16 US fl oz` or `1 US gal`";
    let (value, unit) = unsigned(text, style, "volume", examples)?;
    let stem = unit.trim_end_matches('s');
    if ["floz", "pt", "pint", "qt", "quart", "gal", "gallon"].contains(&stem) {
        let text = format!("`{}` could be a US or an imperial measure", shown(text));
        return Err(Misread::new(
            text,
            format!("write `US` or `UK` before the unit, such as `{value} US gal`"),
        ));
    }
    scaled(text, value, &unit, "volume", examples, VOLUMES, 1.0).map(Volume::ml)
}

/// Reads a temperature: `18`, `18 °C`, `64 °F`.
///
/// # Errors
/// The text is no temperature, or could be read two ways.
pub fn parse_temperature(text: &str, style: NumberStyle) -> Result<Temperature, Misread> {
    let (value, unit) = signed(text, style, "temperature", "`18 °C` or `64 °F`")?;
    let degrees = value.to_f64().unwrap_or(0.0);
    match unit
        .trim_start_matches(['°', 'º'])
        .trim_start_matches("deg")
    {
        "" | "c" | "celsius" => Ok(Temperature::celsius(degrees)),
        "f" | "fahrenheit" => Ok(Temperature::fahrenheit(degrees)),
        _ => Err(Misread::new(
            format!("`{}` is no temperature", shown(text)),
            "write it like `18 °C` or `64 °F`",
        )),
    }
}

/// Reads a time span to whole minutes, rounded up: `90 min`, `8 h`, `1 h 30 min`, `3 days` (24 hours each).
///
/// # Errors
/// The text is no time span; a bare number is one only if it is nought.
pub fn parse_minutes(text: &str, style: NumberStyle) -> Result<u32, Misread> {
    let help = "write it like `90 min`, `8 h`, `1 h 30 min` or `3 days`";
    let wrong = || Misread::new(format!("`{}` is no time span", shown(text)), help);
    let mut scanner = Scanner::new(text, style.decimal_comma);
    let mut total = Decimal::ZERO;
    let mut above = f64::INFINITY;
    while let Some(number) = scanner.number()? {
        scanner.skip_spaces();
        let word = scanner.word();
        if word.is_empty() && scanner.at_end() && above.is_infinite() {
            return if number.value.is_zero() {
                Ok(0)
            } else {
                Err(Misread::new(
                    format!("`{}` could be minutes or hours", shown(text)),
                    help,
                ))
            };
        }
        let factor = factor(MINUTES, &word)
            .filter(|factor| *factor < above)
            .ok_or_else(wrong)?;
        let minutes = Decimal::try_from(factor)
            .ok()
            .and_then(|factor| number.value.checked_mul(factor));
        total = total.saturating_add(minutes.ok_or_else(wrong)?);
        above = factor;
    }
    if !scanner.at_end() || above.is_infinite() {
        return Err(wrong());
    }
    let whole = total
        .round_dp(6)
        .round_dp_with_strategy(0, RoundingStrategy::ToPositiveInfinity);
    whole.to_u32().ok_or_else(|| {
        Misread::new(
            format!("`{}` is too long a time", shown(text)),
            "check the number and its unit",
        )
    })
}

/// Reads a mass an area to g/m²: `120 g/m2`, `8.7 oz/yd2`, `2.1 kg/m²`; a bare number is g/m².
///
/// # Errors
/// The text is no mass an area, or could be read two ways.
pub fn parse_area_density(text: &str, style: NumberStyle) -> Result<f64, Misread> {
    let examples = "`120 g/m2`, `2.1 kg/m2` or `8.7 oz/yd2`";
    let (value, unit) = unsigned(text, style, "mass an area", examples)?;
    if unit.is_empty() || unit == "gsm" {
        return Ok(value.to_f64().unwrap_or(0.0));
    }
    ratio(text, value, &unit, "mass an area", examples, MASSES, AREAS)
}

/// Reads an area an hour to m²/h: `0.8 m2/h`, `9 ft2/h`; a bare number is m²/h.
///
/// # Errors
/// The text is no area an hour, or could be read two ways.
pub fn parse_areal_rate(text: &str, style: NumberStyle) -> Result<f64, Misread> {
    let examples = "`0.8 m2/h` or `9 ft2/h`";
    let (value, unit) = unsigned(text, style, "area an hour", examples)?;
    if unit.is_empty() {
        return Ok(value.to_f64().unwrap_or(0.0));
    }
    ratio(text, value, &unit, "area an hour", examples, AREAS, HOURS)
}

/// Reads the volume of a room to m³: `900 m3`, `32000 ft3`; a bare number is m³.
///
/// # Errors
/// The text is no volume, or could be read two ways.
pub fn parse_room(text: &str, style: NumberStyle) -> Result<f64, Misread> {
    single(
        text,
        style,
        "volume of a room",
        "`900 m3` or `32000 ft3`",
        ROOMS,
        1.0,
    )
}

/// Reads an elastic modulus to MPa: `300 MPa`, `1.8 GPa`, `43500 psi`; a bare number is MPa.
///
/// # Errors
/// The text is no modulus, or could be read two ways.
pub fn parse_modulus(text: &str, style: NumberStyle) -> Result<f64, Misread> {
    single(
        text,
        style,
        "modulus",
        "`300 MPa`, `1.8 GPa` or `43500 psi`",
        MODULI,
        1.0,
    )
}

/// Reads an air flow to m³/h: `1800 m3/h`, `500 l/s`, `1000 cfm`; a bare number is m³/h.
///
/// # Errors
/// The text is no air flow, or could be read two ways.
pub fn parse_air(text: &str, style: NumberStyle) -> Result<f64, Misread> {
    let examples = "`1800 m3/h`, `500 l/s` or `1000 ft3/min`";
    let (value, unit) = unsigned(text, style, "air flow", examples)?;
    match unit.as_str() {
        "" => Ok(value.to_f64().unwrap_or(0.0)),
        "cfm" => ratio(text, value, "ft3/min", "air flow", examples, ROOMS, HOURS),
        _ => ratio(text, value, &unit, "air flow", examples, ROOMS, HOURS),
    }
}

/// Reads a number with one unit to the base unit.
fn single(
    text: &str,
    style: NumberStyle,
    what: &str,
    examples: &str,
    units: Units,
    bare: f64,
) -> Result<f64, Misread> {
    let (value, unit) = unsigned(text, style, what, examples)?;
    scaled(text, value, &unit, what, examples, units, bare)
}

fn scaled(
    text: &str,
    value: Decimal,
    unit: &str,
    what: &str,
    examples: &str,
    units: Units,
    bare: f64,
) -> Result<f64, Misread> {
    let factor = if unit.is_empty() {
        Some(bare)
    } else {
        factor(units, unit)
    };
    let value = value.to_f64().unwrap_or(0.0);
    factor
        .map(|factor| value * factor)
        .ok_or_else(|| no_measure(text, what, examples))
}

/// Scales by a unit over another, written `a/b`.
fn ratio(
    text: &str,
    value: Decimal,
    unit: &str,
    what: &str,
    examples: &str,
    over: Units,
    under: Units,
) -> Result<f64, Misread> {
    let parts = unit.split_once('/');
    let factors =
        parts.and_then(|(top, bottom)| Some((factor(over, top)?, factor(under, bottom)?)));
    let (top, bottom) = factors.ok_or_else(|| no_measure(text, what, examples))?;
    Ok(value.to_f64().unwrap_or(0.0) * top / bottom)
}

fn factor(units: Units, name: &str) -> Option<f64> {
    units
        .iter()
        .find(|(names, _)| names.contains(&name))
        .map(|(_, factor)| *factor)
}

fn no_measure(text: &str, what: &str, examples: &str) -> Misread {
    Misread::new(
        format!("`{}` is no {what}", shown(text)),
        format!("write it like {examples}"),
    )
}

/// Reads a number that may not be negative, and the unit behind it.
fn unsigned(
    text: &str,
    style: NumberStyle,
    what: &str,
    examples: &str,
) -> Result<(Decimal, String), Misread> {
    let (value, unit) = signed(text, style, what, examples)?;
    if value.is_sign_negative() && !value.is_zero() {
        let text = format!("`{}` is negative, which no {what} can be", shown(text));
        return Err(Misread::new(text, "write it without the minus sign"));
    }
    Ok((value, unit))
}

/// Reads a number and the unit behind it in a plain form: lower case, no spaces and dots, `per` as `/`.
pub(super) fn signed(
    text: &str,
    style: NumberStyle,
    what: &str,
    examples: &str,
) -> Result<(Decimal, String), Misread> {
    let mut scanner = Scanner::new(text, style.decimal_comma);
    let negative = scanner.take('-');
    let Some(number) = scanner.number()? else {
        return Err(no_measure(text, what, examples));
    };
    let rest = scanner.rest().to_lowercase();
    let unit = rest
        .replace(" per ", "/")
        .replace("square ", "sq")
        .replace("cubic ", "cu");
    let unit = unit
        .chars()
        .filter(|c| !matches!(c, ' ' | '.' | '^'))
        .collect();
    let value = if negative {
        -number.value
    } else {
        number.value
    };
    Ok((value, unit))
}

#[cfg(test)]
mod tests;
