//! Everything but lengths: numbers, money, percentages, masses, volumes, temperatures, times and rates of an area.

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;
use rust_decimal::prelude::ToPrimitive;

use super::Misread;
use super::NumberStyle;
use super::scan::Scanner;
use super::scan::shown;
use crate::units::Mass;
use crate::units::Money;
use crate::units::Percent;
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

/// Reads a plain decimal number.
///
/// # Errors
/// The text is no number, or could be read two ways.
pub fn parse_decimal(text: &str, style: NumberStyle) -> Result<Decimal, Misread> {
    let (value, unit) = signed(text, style, "number", "`2.5`")?;
    if unit.is_empty() {
        return Ok(value);
    }
    Err(Misread::new(
        format!("`{}` is no plain number", shown(text)),
        "write digits only, such as `2.5`",
    ))
}

/// Reads an amount of money; a currency sign or code is allowed on either side.
///
/// # Errors
/// The text is no amount, or could be read two ways.
pub fn parse_money(text: &str, style: NumberStyle) -> Result<Money, Misread> {
    let (currency, rest) = split_currency(text);
    let (value, unit) = signed(&rest, style, "amount of money", "`12.50`").map_err(|misread| {
        // The part without its currency was read; name the whole.
        Misread {
            text: misread.text.replace(
                &format!("`{}`", shown(&rest)),
                &format!("`{}`", shown(text)),
            ),
            ..misread
        }
    })?;
    if !unit.is_empty() || currency.is_none() {
        return Err(Misread::new(
            format!("`{}` is no amount of money", shown(text)),
            "write it like `12.50` or `EUR 12.50`",
        ));
    }
    Ok(Money::new(value))
}

/// Finds the currency sign or code that is written with an amount of money.
///
/// ```
/// use facelay::units::written_currency;
/// assert_eq!(written_currency("12.50 €").as_deref(), Some("€"));
/// assert_eq!(written_currency("12.50"), None);
/// ```
pub fn written_currency(text: &str) -> Option<String> {
    split_currency(text)
        .0
        .filter(|currency| !currency.is_empty())
}

/// Parts an amount from its currency; an empty currency where none is written, none where two are or it is too long.
fn split_currency(text: &str) -> (Option<String>, String) {
    let is_currency = |c: char| {
        c.is_alphabetic() || matches!(c, '$' | '€' | '£' | '¥' | '₤' | '₩' | '₹' | '₺' | '₽' | '₴')
    };
    let trimmed = text.trim();
    let back = trimmed.trim_start_matches(is_currency);
    let before = trimmed.get(..trimmed.len() - back.len()).unwrap_or("");
    let amount = back.trim_end_matches(is_currency);
    let after = back.get(amount.len()..).unwrap_or("");
    let one = before.is_empty() || after.is_empty();
    let currency = format!("{before}{after}");
    (
        (one && currency.chars().count() <= 4).then_some(currency),
        amount.trim().to_owned(),
    )
}

/// Reads a percentage: `8`, `8 %`.
///
/// # Errors
/// The text is no percentage, or could be read two ways.
pub fn parse_percent(text: &str, style: NumberStyle) -> Result<Percent, Misread> {
    let (value, unit) = signed(text, style, "percentage", "`8 %`")?;
    match unit.as_str() {
        "" | "%" | "percent" => Ok(Percent::new(value)),
        _ => Err(Misread::new(
            format!("`{}` is no percentage", shown(text)),
            "write it like `8 %`",
        )),
    }
}

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
fn signed(
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
mod tests {
    use super::*;
    use crate::units::LengthUnit;

    const POINT: NumberStyle = NumberStyle {
        unit: LengthUnit::Mm,
        decimal_comma: false,
    };
    const COMMA: NumberStyle = NumberStyle {
        unit: LengthUnit::Mm,
        decimal_comma: true,
    };

    fn near(result: Result<f64, Misread>, wanted: f64) {
        let value = result.unwrap();
        assert!(
            (value - wanted).abs() <= wanted.abs() * 1e-9,
            "{value} is not {wanted}"
        );
    }

    fn said<T: std::fmt::Debug>(result: Result<T, Misread>) -> String {
        result.unwrap_err().text
    }

    #[test]
    fn masses_and_masses_an_area() {
        near(parse_mass("250", POINT).map(Mass::to_g), 250.0);
        near(parse_mass("1.5 kg", POINT).map(Mass::to_g), 1500.0);
        near(parse_mass("1,5 kg", COMMA).map(Mass::to_g), 1500.0);
        near(parse_mass("2 lb", POINT).map(Mass::to_g), 907.184_74);
        near(parse_area_density("130 g/m²", POINT), 130.0);
        near(parse_area_density("130", POINT), 130.0);
        near(parse_area_density("2.1 kg/m2", POINT), 2100.0);
        // 1 oz/yd2 = 33.905 75 g/m2: NIST SP 811 (2008), appendix B.8.
        near(
            parse_area_density("1 oz/yd2", POINT),
            28.349_523_125 / 0.836_127_36,
        );
        near(
            parse_area_density("8.7 oz per sq. yd", POINT),
            8.7 * 28.349_523_125 / 0.836_127_36,
        );
        assert_eq!(said(parse_mass("3 m", POINT)), "`3 m` is no mass");
        assert_eq!(
            said(parse_mass("-3 g", POINT)),
            "`-3 g` is negative, which no mass can be"
        );
        assert_eq!(
            said(parse_area_density("3 g", POINT)),
            "`3 g` is no mass an area"
        );
    }

    #[test]
    fn volumes() {
        near(parse_volume("2 l", POINT).map(Volume::to_ml), 2000.0);
        near(parse_volume("2 Litres", POINT).map(Volume::to_ml), 2000.0);
        near(
            parse_volume("16 US fl oz", POINT).map(Volume::to_ml),
            473.176_473,
        );
        near(
            parse_volume("1 U.S. gal", POINT).map(Volume::to_ml),
            3_785.411_784,
        );
        near(
            parse_volume("1 1/2 UK gal", POINT).map(Volume::to_ml),
            6819.135,
        );
        assert_eq!(
            said(parse_volume("5 gallons", POINT)),
            "`5 gallons` could be a US or an imperial measure"
        );
        assert_eq!(
            said(parse_volume("5 fl. oz", POINT)),
            "`5 fl. oz` could be a US or an imperial measure"
        );
    }

    #[test]
    fn temperatures() {
        near(
            parse_temperature("18", POINT).map(Temperature::to_celsius),
            18.0,
        );
        near(
            parse_temperature("18,5 °C", COMMA).map(Temperature::to_celsius),
            18.5,
        );
        near(
            parse_temperature("64 °F", POINT).map(Temperature::to_celsius),
            160.0 / 9.0,
        );
        near(
            parse_temperature("−5 °C", POINT).map(Temperature::to_celsius),
            -5.0,
        );
        assert_eq!(
            said(parse_temperature("18 K", POINT)),
            "`18 K` is no temperature"
        );
        assert_eq!(
            said(parse_temperature("warm", POINT)),
            "`warm` is no temperature"
        );
    }

    #[test]
    fn time_spans() {
        fn case(text: &str, minutes: u32) {
            assert_eq!(parse_minutes(text, POINT), Ok(minutes), "{text}");
        }
        case("90 min", 90);
        case("8 h", 480);
        case("8h", 480);
        case("1 h 30 min", 90);
        case("1.5 hours", 90);
        case("3 days", 4320);
        case("1 week", 10_080);
        case("0", 0);
        case("1/2 h", 30);
        case("0.01 h", 1);
        assert_eq!(
            said(parse_minutes("90", POINT)),
            "`90` could be minutes or hours"
        );
        assert_eq!(
            said(parse_minutes("30 min 1 h", POINT)),
            "`30 min 1 h` is no time span"
        );
        assert_eq!(
            said(parse_minutes("1 h 30", POINT)),
            "`1 h 30` is no time span"
        );
        assert_eq!(said(parse_minutes("", POINT)), "`` is no time span");
        assert_eq!(
            said(parse_minutes("999999999 weeks", POINT)),
            "`999999999 weeks` is too long a time"
        );
    }

    #[test]
    fn rates_of_area_and_air() {
        near(parse_areal_rate("0.8 m2/h", POINT), 0.8);
        near(parse_areal_rate("9 ft²/h", POINT), 0.836_127_36);
        near(
            parse_areal_rate("9 square ft per hour", POINT),
            0.836_127_36,
        );
        near(parse_room("900 m³", POINT), 900.0);
        near(parse_room("1000 cu ft", POINT), 28.316_846_592);
        near(parse_air("1800 m3/h", POINT), 1800.0);
        near(parse_air("500 l/s", POINT), 1800.0);
        near(parse_air("1000 cfm", POINT), 60.0 * 28.316_846_592);
    }

    #[test]
    fn money_with_its_sign_or_code() {
        fn case(text: &str, style: NumberStyle, amount: &str) {
            assert_eq!(
                parse_money(text, style)
                    .map(|money| money.to_string())
                    .as_deref(),
                Ok(amount),
                "{text}"
            );
        }
        case("840.00", POINT, "840.00");
        case("€ 1,250.00", POINT, "1250.00");
        case("1.250,00 €", COMMA, "1250.00");
        case("EUR 840", POINT, "840");
        case("840 EUR", POINT, "840");
        case("US$12.5", POINT, "12.5");
        case("12,50 kr", COMMA, "12.50");
        case("1 250 000.10", POINT, "1250000.10");
        case("-3", POINT, "-3");
        assert_eq!(
            said(parse_money("1,250", POINT)),
            "`1,250` could be 1250 or 1.250"
        );
        assert_eq!(
            said(parse_money("much", POINT)),
            "`much` is no amount of money"
        );
        assert_eq!(
            said(parse_money("EUR 5 EUR", POINT)),
            "`EUR 5 EUR` is no amount of money"
        );
        assert_eq!(
            said(parse_money("5 apples", POINT)),
            "`5 apples` is no amount of money"
        );
        assert_eq!(written_currency("US$12.5").as_deref(), Some("US$"));
    }

    #[test]
    fn percentages_and_plain_numbers() {
        assert_eq!(
            parse_percent("8 %", POINT)
                .map(|percent| percent.value().to_string())
                .as_deref(),
            Ok("8")
        );
        assert_eq!(
            parse_percent("7,5%", COMMA)
                .map(|percent| percent.value().to_string())
                .as_deref(),
            Ok("7.5")
        );
        assert_eq!(said(parse_percent("8 m", POINT)), "`8 m` is no percentage");
        assert_eq!(
            parse_decimal("-1.5", POINT)
                .map(|number| number.to_string())
                .as_deref(),
            Ok("-1.5")
        );
        assert_eq!(said(parse_decimal("NaN", POINT)), "`NaN` is no number");
        assert_eq!(
            said(parse_decimal("1e308", POINT)),
            "`1e308` is no plain number"
        );
    }

    proptest::proptest! {
        #[test]
        fn no_text_makes_it_stop(any in "\\PC{0,40}", dull in "[0-9 ./,%€a-z-]{0,24}") {
            for text in [&any, &dull] {
                for style in [POINT, COMMA] {
                    drop(parse_decimal(text, style));
                    drop(parse_money(text, style));
                    drop(parse_percent(text, style));
                    drop(parse_mass(text, style));
                    drop(parse_volume(text, style));
                    drop(parse_temperature(text, style));
                    drop(parse_minutes(text, style));
                    drop(parse_area_density(text, style));
                    drop(parse_areal_rate(text, style));
                    drop(parse_room(text, style));
                    drop(parse_air(text, style));
                }
                drop(written_currency(text));
            }
        }
    }
}
