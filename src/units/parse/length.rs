//! Lengths, metric and in feet and inches.

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;
use rust_decimal::prelude::ToPrimitive;

use super::Misread;
use super::NumberStyle;
use super::scan::Number;
use super::scan::Scanner;
use crate::units::Length;
use crate::units::LengthUnit;

/// What a message says may be written.
const FORMS: &str =
    "write it like `3.2 m`, `320 cm`, `3200 mm`, `10' 6\"`, `10 ft 6 1/2 in` or `126 1/2\"`";

/// No length on a wall is longer: 100 km.
const LONGEST_STEPS: i64 = 800_000_000_000_000;

/// A number with the unit written behind it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Term {
    pub(super) number: Number,
    pub(super) unit: Option<LengthUnit>,
}

/// Reads a length: `3.2 m`, `320 cm`, `3200`, `1 m 20`, `10' 6"`, `10 ft 6 1/2 in`, `126 1/2"`, `10′6″`.
///
/// A bare number takes the style's unit; behind feet it is inches, behind metres two digits are centimetres.
///
/// ```
/// use facelay::units::{Length, LengthUnit, NumberStyle, parse_length};
/// let style = NumberStyle { unit: LengthUnit::Mm, decimal_comma: false };
/// assert_eq!(parse_length("10' 6\"", style), Ok(Length::inches(126.0)));
/// assert_eq!(parse_length("1,250 mm", style).unwrap_err().text, "`1,250` could be 1250 or 1.250");
/// ```
///
/// # Errors
/// The text is no length, is negative, or could be read two ways.
pub fn parse_length(text: &str, style: NumberStyle) -> Result<Length, Misread> {
    let mut scanner = Scanner::new(text, style.decimal_comma);
    if scanner.at_end() {
        return Err(Misread::new("there is no length", FORMS));
    }
    let terms = terms(&mut scanner)?;
    if !scanner.at_end() || terms.is_empty() {
        return Err(left_over(&scanner, &terms));
    }
    length_of(&terms, style.unit, &scanner.shown)
}

/// Reads numbers with their units until something else comes.
pub(super) fn terms(scanner: &mut Scanner) -> Result<Vec<Term>, Misread> {
    let mut terms: Vec<Term> = Vec::new();
    loop {
        let mut ahead = scanner.clone();
        ahead.skip_spaces();
        // Draughtsmen write a hyphen between feet and inches.
        if terms
            .last()
            .is_some_and(|term| term.unit == Some(LengthUnit::Foot))
            && ahead.take('-')
        {
            ahead.skip_spaces();
        }
        let Some(number) = ahead.number()? else {
            return Ok(terms);
        };
        *scanner = ahead;
        let mut ahead = scanner.clone();
        ahead.skip_spaces();
        let unit = unit_of(&ahead.word());
        if unit.is_some() {
            *scanner = ahead;
        }
        terms.push(Term { number, unit });
        if unit.is_none() {
            return Ok(terms);
        }
    }
}

fn unit_of(word: &str) -> Option<LengthUnit> {
    Some(match word {
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => LengthUnit::Mm,
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => LengthUnit::Cm,
        "m" | "metre" | "metres" | "meter" | "meters" => LengthUnit::M,
        "in" | "inch" | "inches" | "\"" => LengthUnit::Inch,
        "ft" | "foot" | "feet" | "'" => LengthUnit::Foot,
        _ => return None,
    })
}

/// Says why a text is no length.
pub(super) fn left_over(scanner: &Scanner, terms: &[Term]) -> Misread {
    let rest = scanner.rest();
    let whole = &scanner.shown;
    if terms.is_empty() {
        return match rest.strip_prefix('-') {
            Some(_) => Misread::new(
                format!("`{whole}` is negative, which no length here can be"),
                "write it without the minus sign",
            ),
            None => Misread::new(format!("`{whole}` is no length"), FORMS),
        };
    }
    let rest = super::scan::shown(&rest);
    if terms.last().is_some_and(|term| term.unit.is_none()) && rest.starts_with(char::is_alphabetic)
    {
        let help = "use one of the units `mm`, `cm`, `m`, `in`, `ft`, or the marks `'` for feet and `\"` for inches";
        return Misread::new(format!("`{whole}`: `{rest}` is no unit of length"), help);
    }
    Misread::new(
        format!("`{whole}` is no single length: `{rest}` is left over"),
        FORMS,
    )
}

/// Adds terms up: one alone, feet and inches, or metres, centimetres and millimetres.
pub(super) fn length_of(terms: &[Term], bare: LengthUnit, whole: &str) -> Result<Length, Misread> {
    match terms {
        [term] => steps(term.number.value, term.unit.unwrap_or(bare), whole),
        [feet, inches] if feet.unit == Some(LengthUnit::Foot) => {
            feet_and_inches(*feet, *inches, whole)
        }
        [first, rest @ ..] if first.unit == Some(LengthUnit::M) && rest.len() <= 2 => {
            metres_and_less(*first, rest, whole)
        }
        _ => Err(Misread::new(
            format!("`{whole}` is no single length"),
            FORMS,
        )),
    }
}

fn feet_and_inches(feet: Term, inches: Term, whole: &str) -> Result<Length, Misread> {
    let twelve = Decimal::from(12);
    if !matches!(inches.unit, None | Some(LengthUnit::Inch)) {
        return Err(Misread::new(
            format!("`{whole}` mixes feet with another unit than inches"),
            FORMS,
        ));
    }
    if !feet.number.whole {
        let text = format!("`{whole}` has a part of a foot and inches too");
        return Err(Misread::new(text, "write whole feet before the inches"));
    }
    if inches.number.value >= twelve {
        let feet = feet.number.value;
        let all = feet
            .saturating_mul(twelve)
            .saturating_add(inches.number.value)
            .normalize();
        let text = format!("`{whole}` has twelve inches or more behind the feet");
        return Err(Misread::new(
            text,
            format!("write the inches alone, such as `{all}\"`, if that is meant"),
        ));
    }
    let sum = steps(feet.number.value, LengthUnit::Foot, whole)?.to_steps();
    Ok(Length::steps(
        sum + steps(inches.number.value, LengthUnit::Inch, whole)?.to_steps(),
    ))
}

fn metres_and_less(metres: Term, rest: &[Term], whole: &str) -> Result<Length, Misread> {
    if !metres.number.whole {
        return Err(Misread::new(
            format!("`{whole}` has a part of a metre and more behind it"),
            FORMS,
        ));
    }
    let mut sum = steps(metres.number.value, LengthUnit::M, whole)?.to_steps();
    let mut above = LengthUnit::M;
    for term in rest {
        let unit = match term.unit {
            Some(unit) if !unit.is_imperial() => unit,
            None if above == LengthUnit::M && !term.number.mark => behind_metres(*term, whole)?,
            _ => {
                return Err(Misread::new(
                    format!("`{whole}` is no single length"),
                    FORMS,
                ));
            }
        };
        let part = steps(term.number.value, unit, whole)?.to_steps();
        if unit.steps() >= above.steps() || part >= above.steps() {
            let text = format!(
                "`{whole}`: each unit has to be smaller than the one before it and hold less than one of it"
            );
            return Err(Misread::new(
                text,
                "write it with one unit, such as `1.20 m`",
            ));
        }
        sum += part;
        above = unit;
    }
    Ok(Length::steps(sum))
}

/// The unit of digits behind metres: two are centimetres, three millimetres, one could be either's tenth.
fn behind_metres(term: Term, whole: &str) -> Result<LengthUnit, Misread> {
    match term.number.digits {
        2 => Ok(LengthUnit::Cm),
        3 => Ok(LengthUnit::Mm),
        _ => {
            let text =
                format!("`{whole}` could mean centimetres or tenths of a metre behind the metres");
            Err(Misread::new(
                text,
                "write it with one unit, such as `1.05 m` or `1.5 m`",
            ))
        }
    }
}

fn steps(value: Decimal, unit: LengthUnit, whole: &str) -> Result<Length, Misread> {
    let exact = value.checked_mul(Decimal::from(unit.steps()));
    let rounded =
        exact.map(|steps| steps.round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero));
    match rounded
        .and_then(|steps| steps.to_i64())
        .filter(|steps| *steps <= LONGEST_STEPS)
    {
        Some(steps) => Ok(Length::steps(steps)),
        None => Err(Misread::new(
            format!("`{whole}` is longer than 100 km"),
            "check the number and its unit",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const POINT: NumberStyle = NumberStyle {
        unit: LengthUnit::Mm,
        decimal_comma: false,
    };
    const COMMA: NumberStyle = NumberStyle {
        unit: LengthUnit::Mm,
        decimal_comma: true,
    };

    fn reads(text: &str, mm: f64) {
        assert_eq!(
            parse_length(text, POINT).map(Length::to_mm),
            Ok(mm),
            "{text}"
        );
    }

    fn comma_reads(text: &str, mm: f64) {
        assert_eq!(
            parse_length(text, COMMA).map(Length::to_mm),
            Ok(mm),
            "{text}"
        );
    }

    fn refuses(text: &str, said: &str) {
        assert_eq!(parse_length(text, POINT).unwrap_err().text, said, "{text}");
    }

    #[test]
    fn metric_lengths() {
        reads("3.2 m", 3200.0);
        reads("3.2m", 3200.0);
        reads("320 cm", 3200.0);
        reads("3200", 3200.0);
        reads(" 3200 MM. ", 3200.0);
        reads("1 m 20", 1200.0);
        reads("1m20", 1200.0);
        reads("1 m 205", 1205.0);
        reads("2 m 15 cm 4 mm", 2154.0);
        reads("1/2 m", 500.0);
        reads(".5 m", 500.0);
        reads("3 200 mm", 3200.0);
        reads("3\u{202f}200\u{a0}mm", 3200.0);
        reads("1 234 567.5 mm", 1_234_567.5);
        reads("1,234,567 mm", 1_234_567.0);
        reads("1,250.00 mm", 1250.0);
        reads("0", 0.0);
    }

    #[test]
    fn feet_and_inches_in_every_hand() {
        for text in [
            "10' 6\"",
            "10'6\"",
            "10′6″",
            "10’6”",
            "10' 6''",
            "10 ft 6 in",
            "10 ft. 6 in.",
            "10 feet 6 inches",
            "126\"",
            "126 in",
            "10'-6\"",
            "10' - 6\"",
            "10' 6",
            "10 1/2 ft",
            "10½'",
            "10.5 ft",
            "10 FT 6 IN",
            "10\u{2009}ft 6\u{2009}in",
        ] {
            reads(text, 3200.4);
        }
        for text in [
            "126 1/2\"",
            "126-1/2\"",
            "126½\"",
            "126 ½ in",
            "126.5 in",
            "10' 6 1/2\"",
            "10 ft 6 1/2 in",
            "10′ 6½″",
            "126 1⁄2″",
        ] {
            reads(text, 3213.1);
        }
        reads("5/8\"", 15.875);
        reads("⅝ in", 15.875);
        reads("1/64 in", 0.396_875);
        reads("10-1/2\"", 266.7);
    }

    #[test]
    fn the_bare_unit_is_the_jobs() {
        let feet = NumberStyle {
            unit: LengthUnit::Foot,
            decimal_comma: false,
        };
        assert_eq!(parse_length("10 1/2", feet), Ok(Length::inches(126.0)));
        assert_eq!(parse_length("10 cm", feet), Ok(Length::mm(100.0)));
    }

    #[test]
    fn a_decimal_comma_only_where_the_job_has_it() {
        comma_reads("3,2 m", 3200.0);
        comma_reads("3.2 m", 3200.0);
        comma_reads("1.250,5 mm", 1250.5);
        comma_reads("1.250.000 mm", 1_250_000.0);
        comma_reads("0.125 m", 125.0);
        assert_eq!(
            parse_length("1.250 mm", COMMA).unwrap_err().text,
            "`1.250` could be 1250 or 1.250"
        );
        assert_eq!(
            parse_length("1.250 mm", COMMA).unwrap_err().help,
            "write `1250` or `1,250`"
        );
        refuses("1,250 mm", "`1,250` could be 1250 or 1.250");
        refuses("12,5", "`12,5` could be 125 or 12.5");
        refuses(
            "1.250.000 mm",
            "`1.250.000` cannot be read as one number whose decimal mark is a point",
        );
        refuses(
            "1.250,5 mm",
            "`1.250,5` cannot be read as one number whose decimal mark is a point",
        );
    }

    #[test]
    fn what_is_no_length_says_why() {
        refuses("", "there is no length");
        refuses("   ", "there is no length");
        refuses("NaN", "`NaN` is no length");
        refuses("inf", "`inf` is no length");
        refuses("wide", "`wide` is no length");
        refuses("-3 m", "`-3 m` is negative, which no length here can be");
        refuses("1e308", "`1e308`: `e308` is no unit of length");
        refuses("3 q", "`3 q`: `q` is no unit of length");
        refuses(
            "3.2-3.4 m",
            "`3.2-3.4 m` is no single length: `-3.4 m` is left over",
        );
        refuses(
            "10' 14\"",
            "`10' 14\"` has twelve inches or more behind the feet",
        );
        refuses(
            "10.5' 6\"",
            "`10.5' 6\"` has a part of a foot and inches too",
        );
        refuses(
            "1 m 5",
            "`1 m 5` could mean centimetres or tenths of a metre behind the metres",
        );
        refuses(
            "1 m 120 cm",
            "`1 m 120 cm`: each unit has to be smaller than the one before it and hold less than one of it",
        );
        refuses(
            "3.5 1/2 in",
            "`3.5 1/2 in` has both a decimal mark and a fraction",
        );
        refuses(
            "9/8 in",
            "`9/8 in` holds `9/8`, which is no fraction between 0 and 1",
        );
        refuses(
            "1/0 in",
            "`1/0 in` holds `1/0`, which is no fraction between 0 and 1",
        );
        refuses(
            "999999999999 km",
            "`999999999999 km`: `km` is no unit of length",
        );
        refuses("99999999999 m", "`99999999999 m` is longer than 100 km");
        refuses(
            "9999999999999999999999999999999",
            "`9999999999999999999999999999999` has more digits than a measure can have",
        );
    }

    proptest::proptest! {
        #[test]
        fn no_text_makes_it_stop(text in "\\PC{0,40}", dull in "[0-9 ./,'\"½×mxcinft-]{0,24}") {
            for style in [POINT, COMMA] {
                drop(parse_length(&text, style));
                drop(parse_length(&dull, style));
            }
        }

        /// Any dimension to a 64th of an inch, written out, comes back to the step.
        #[test]
        fn sixty_fourths_come_back(feet in 0_i64..200, inches in 0_i64..12, over in 0_i64..64) {
            let text = format!("{feet}' {inches} {over}/64\"");
            let text = if over == 0 { format!("{feet}' {inches}\"") } else { text };
            let length = parse_length(&text, POINT).unwrap();
            proptest::prop_assert_eq!(length.to_steps(), ((feet * 12 + inches) * 64 + over) * 3_175);
        }
    }
}
