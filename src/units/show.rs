//! A measure to text in the reader's unit; the only rounding for the eye.

use super::length::Length;
use super::length::LengthUnit;

/// Writes a length in the job's unit: millimetres and centimetres to a tenth, metres to a millimetre, or feet, inches and
/// sixteenths; noughts behind the mark of millimetres are left away.
///
/// ```
/// use facelay::units::{Length, LengthUnit, show_length};
/// let wide = Length::inches(126.5);
/// assert_eq!(show_length(wide, LengthUnit::Mm), "3213.1 mm");
/// assert_eq!(show_length(wide, LengthUnit::M), "3.213 m");
/// assert_eq!(show_length(wide, LengthUnit::Foot), "10' 6 1/2\"");
/// assert_eq!(show_length(wide, LengthUnit::Inch), "126 1/2\"");
/// ```
pub fn show_length(length: Length, unit: LengthUnit) -> String {
    let steps = length.to_steps();
    let sign = if steps < 0 { "-" } else { "" };
    let steps = steps.unsigned_abs();
    match unit {
        LengthUnit::Mm => match parts(steps, 800, 10) {
            (whole, 0) => format!("{sign}{whole} mm"),
            (whole, tenths) => format!("{sign}{whole}.{tenths} mm"),
        },
        LengthUnit::Cm => {
            let (whole, tenths) = parts(steps, 8_000, 10);
            format!("{sign}{whole}.{tenths} cm")
        }
        LengthUnit::M => {
            let (whole, thousandths) = parts(steps, 8_000, 1_000);
            format!("{sign}{whole}.{thousandths:03} m")
        }
        LengthUnit::Inch => {
            let (inches, sixteenths) = parts(steps, 12_700, 16);
            format!("{sign}{}\"", inches_text(inches, sixteenths))
        }
        LengthUnit::Foot => {
            let (inches, sixteenths) = parts(steps, 12_700, 16);
            match (inches / 12, inches % 12) {
                (0, inches) => format!("{sign}{}\"", inches_text(inches, sixteenths)),
                (feet, inches) => format!("{sign}{feet}' {}\"", inches_text(inches, sixteenths)),
            }
        }
    }
}

/// Parts the digits of a number from ten thousand on into threes by a narrow space, which no locale takes for a decimal mark.
///
/// ```
/// use facelay::units::grouped;
/// assert_eq!(grouped("-1234567.50"), "-1\u{202f}234\u{202f}567.50");
/// assert_eq!(grouped("6271.49"), "6271.49");
/// ```
pub fn grouped(number: &str) -> String {
    let (sign, bare) = match number.strip_prefix('-') {
        Some(bare) => ("-", bare),
        None => ("", number),
    };
    let (whole, rest) = bare.split_at(bare.find('.').unwrap_or(bare.len()));
    if whole.len() < 5 {
        return number.to_owned();
    }
    let mut parted = sign.to_owned();
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at).is_multiple_of(3) {
            parted.push('\u{202f}');
        }
        parted.push(digit);
    }
    parted + rest
}

/// Rounds to a small unit of so many steps, halves up, and parts it into wholes and the small units left.
const fn parts(steps: u64, small: u64, in_whole: u64) -> (u64, u64) {
    let rounded = (steps.saturating_add(small / 2)) / small;
    (rounded / in_whole, rounded % in_whole)
}

fn inches_text(inches: u64, sixteenths: u64) -> String {
    let mut over = sixteenths;
    let mut under = 16;
    while over > 0 && over.is_multiple_of(2) {
        over /= 2;
        under /= 2;
    }
    match (inches, over) {
        (_, 0) => format!("{inches}"),
        (0, _) => format!("{over}/{under}"),
        _ => format!("{inches} {over}/{under}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::NumberStyle;
    use crate::units::parse_length;

    #[test]
    fn long_numbers_are_parted_in_threes() {
        for (number, parted) in [
            ("0", "0"),
            ("1234.5", "1234.5"),
            ("12345", "12 345"),
            ("123456.7", "123 456.7"),
            ("-1234", "-1234"),
            ("-1234567.50", "-1 234 567.50"),
            ("1234567890", "1 234 567 890"),
        ] {
            assert_eq!(grouped(number).replace('\u{202f}', " "), parted);
        }
    }

    #[test]
    fn each_unit_is_shown_its_way() {
        fn case(mm: f64, unit: LengthUnit, text: &str) {
            assert_eq!(show_length(Length::mm(mm), unit), text);
        }
        case(3200.0, LengthUnit::Mm, "3200 mm");
        case(3200.04, LengthUnit::Mm, "3200 mm");
        case(3200.05, LengthUnit::Mm, "3200.1 mm");
        case(3200.0, LengthUnit::Cm, "320.0 cm");
        case(3200.0, LengthUnit::M, "3.200 m");
        case(0.0, LengthUnit::Foot, "0\"");
        case(304.8, LengthUnit::Foot, "1' 0\"");
        case(304.7, LengthUnit::Foot, "1' 0\"");
        case(-304.8, LengthUnit::Foot, "-1' 0\"");
        case(15.875, LengthUnit::Inch, "5/8\"");
    }

    proptest::proptest! {
        /// What is shown is read again to the same within half of the smallest unit shown.
        #[test]
        fn what_is_shown_can_be_read(steps in 0_i64..1_000_000_000_000) {
            let length = Length::steps(steps);
            for (unit, small) in [
                (LengthUnit::Mm, 800), (LengthUnit::Cm, 8_000), (LengthUnit::M, 8_000),
                (LengthUnit::Inch, 12_700), (LengthUnit::Foot, 12_700),
            ] {
                let style = NumberStyle { unit: LengthUnit::Mm, decimal_comma: false };
                let read = parse_length(&show_length(length, unit), style).unwrap();
                proptest::prop_assert!((read - length).to_steps().abs() <= small / 2);
            }
        }
    }
}
