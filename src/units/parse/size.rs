//! Height and width from one text, as condition reports and museum records have them.

use super::Misread;
use super::NumberStyle;
use super::SizeOrder;
use super::SizeText;
use super::length::Term;
use super::length::left_over;
use super::length::length_of;
use super::length::terms;
use super::scan::Scanner;
use super::scan::shown;
use crate::units::Length;

/// What a message says may be written.
const FORMS: &str = "write it like `394 x 419 mm` or `12' 6\" x 8' 2 1/2\"`";

/// Reads height and width from one text: `394 x 419 mm`, `12' 6" × 8' 2 1/2"`, `support: 2134 x 3658 mm`.
///
/// A word and a colon may stand before the size, a mass behind it, after a comma. A unit behind the last number alone holds
/// for all of them.
///
/// # Errors
/// The text is no size, has several parts, or could be read two ways.
pub fn parse_size(text: &str, style: NumberStyle, order: SizeOrder) -> Result<SizeText, Misread> {
    if text.chars().take(500).count() == 500 {
        return Err(Misread::new(
            format!("`{}` is too long to be a size", shown(text)),
            FORMS,
        ));
    }
    let parts: Vec<&str> = text
        .split(" / ")
        .flat_map(|part| part.split(';'))
        .filter(|part| !part.trim().is_empty())
        .collect();
    let [part] = parts.as_slice() else {
        return Err(several(text, &parts));
    };
    let mut scanner = Scanner::new(unlabelled(part), style.decimal_comma);
    let mut sides = Vec::new();
    loop {
        let side = terms(&mut scanner)?;
        if side.is_empty() {
            return Err(no_size(text, &scanner));
        }
        sides.push(side);
        scanner.skip_spaces();
        let mut by = scanner.clone();
        if !(by.take('x') || by.take('X') || by.word() == "by") {
            break;
        }
        scanner = by;
    }
    if !is_mass(&scanner.rest()) {
        return Err(if sides.len() < 2 {
            no_size(text, &scanner)
        } else {
            beyond(text, &scanner, &sides)
        });
    }
    sizes(text, &share_unit(text, sides)?, style, order)
}

/// Drops a word with a colon before the size.
fn unlabelled(part: &str) -> &str {
    match part.split_once(':') {
        Some((label, size)) if !label.contains(|c: char| c.is_ascii_digit()) => size,
        _ => part,
    }
}

/// Says whether what follows a size is nothing, or a comma and a mass.
fn is_mass(rest: &str) -> bool {
    let Some(mass) = rest.strip_prefix(',') else {
        return rest.is_empty();
    };
    let unit =
        mass.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, ' ' | '.' | ','));
    let unit = unit.split('(').next().unwrap_or("").trim();
    mass.trim_start().starts_with(|c: char| c.is_ascii_digit())
        && matches!(unit, "kg" | "g" | "lb" | "lbs")
}

/// Gives the unit behind the last number to all that have none.
fn share_unit(text: &str, mut sides: Vec<Vec<Term>>) -> Result<Vec<Vec<Term>>, Misread> {
    let unit = |side: &[Term]| side.last().and_then(|term| term.unit);
    let last = sides.last().and_then(|side| unit(side));
    if last.is_none() && sides.iter().any(|side| unit(side).is_some()) {
        let text = format!(
            "`{}` has a unit behind one number and none behind the last",
            shown(text)
        );
        return Err(Misread::new(
            text,
            "write the unit behind each number, or behind the last",
        ));
    }
    for side in &mut sides {
        if let [term] = side.as_mut_slice() {
            term.unit = term.unit.or(last);
        }
    }
    Ok(sides)
}

fn sizes(
    text: &str,
    sides: &[Vec<Term>],
    style: NumberStyle,
    order: SizeOrder,
) -> Result<SizeText, Misread> {
    let whole = shown(text);
    let length = |side: &Vec<Term>| length_of(side, style.unit, &whole);
    let (first, second, third) = match sides {
        [first, second] => (first, second, None),
        [first, second, third] => (first, second, Some(third)),
        [_] => {
            let text = format!("`{whole}` is one length, where height and width are needed");
            return Err(Misread::new(text, FORMS));
        }
        _ => {
            return Err(Misread::new(
                format!(
                    "`{whole}` has {} numbers, more than height, width and depth",
                    sides.len()
                ),
                FORMS,
            ));
        }
    };
    let depth = third.map(length).transpose()?;
    let (first, second): (Length, Length) = (length(first)?, length(second)?);
    Ok(match order {
        SizeOrder::HeightFirst => SizeText {
            height: first,
            width: second,
            depth,
        },
        SizeOrder::WidthFirst => SizeText {
            width: first,
            height: second,
            depth,
        },
    })
}

fn several(text: &str, parts: &[&str]) -> Misread {
    if parts.is_empty() {
        return Misread::new("there is no size", FORMS);
    }
    let text = format!("`{}` has {} parts", shown(text), parts.len());
    let first = parts.first().map_or("", |part| unlabelled(part).trim());
    Misread::new(
        text,
        format!(
            "leave only the size of the painting itself, such as `{}`",
            shown(first)
        ),
    )
}

fn no_size(text: &str, scanner: &Scanner) -> Misread {
    if scanner.rest().starts_with('-') {
        return left_over(scanner, &[]);
    }
    Misread::new(format!("`{}` is no size", shown(text)), FORMS)
}

fn beyond(text: &str, scanner: &Scanner, sides: &[Vec<Term>]) -> Misread {
    let bare = sides
        .last()
        .and_then(|side| side.last())
        .is_some_and(|term| term.unit.is_none());
    if bare && scanner.rest().starts_with(char::is_alphabetic) {
        return left_over(scanner, sides.last().map_or(&[], Vec::as_slice));
    }
    let text = format!(
        "`{}` says more than a size: `{}`",
        shown(text),
        shown(&scanner.rest())
    );
    Misread::new(
        text,
        "leave only height and width, and write the rest under `notes`",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::LengthUnit;

    const POINT: NumberStyle = NumberStyle {
        unit: LengthUnit::Mm,
        decimal_comma: false,
    };

    fn reads(text: &str, height: f64, width: f64) {
        let size = parse_size(text, POINT, SizeOrder::HeightFirst)
            .unwrap_or_else(|misread| panic!("{text}: {misread:?}"));
        assert_eq!(
            (size.height.to_mm(), size.width.to_mm()),
            (height, width),
            "{text}"
        );
    }

    fn refuses(text: &str, said: &str) {
        assert_eq!(
            parse_size(text, POINT, SizeOrder::HeightFirst)
                .unwrap_err()
                .text,
            said,
            "{text}"
        );
    }

    #[test]
    fn sizes_as_records_have_them() {
        reads("394 x 419 mm", 394.0, 419.0);
        reads("394x419", 394.0, 419.0);
        reads("39.4 × 41.9 cm", 394.0, 419.0);
        reads("support: 2134 x 3658 mm", 2134.0, 3658.0);
        reads("support, secondary: 2134 x 3658 mm", 2134.0, 3658.0);
        reads("object: 597 x 2095 x 930 mm, 770 kg", 597.0, 2095.0);
        reads(
            "object: 597 x 2095 x 930 mm, 98kg (gross 209kg)",
            597.0,
            2095.0,
        );
        reads("2052mm x 2816mm", 2052.0, 2816.0);
        reads("12' 6\" × 8' 2 1/2\"", 3810.0, 2501.9);
        reads("12'6\"x8'2½\"", 3810.0, 2501.9);
        reads("12 ft 6 in by 8 ft", 3810.0, 2438.4);
        reads("45 1/2 x 27 in", 1155.7, 685.8);
        reads("2 m 40 x 1.2 m", 2400.0, 1200.0);
    }

    #[test]
    fn order_and_depth() {
        let size = parse_size("1.2 x 2.4 x 0.03 m", POINT, SizeOrder::WidthFirst).unwrap();
        assert_eq!(
            (size.width.to_mm(), size.height.to_mm(), size.depth),
            (1200.0, 2400.0, Some(Length::mm(30.0)))
        );
    }

    #[test]
    fn what_is_no_size_says_why() {
        refuses("", "there is no size");
        refuses("large", "`large` is no size");
        refuses(
            "394 mm",
            "`394 mm` is one length, where height and width are needed",
        );
        refuses("394 x", "`394 x` is no size");
        refuses(
            "-394 x 2 mm",
            "`394 x 2 mm` is negative, which no length here can be"
                .replace("`394", "`-394")
                .as_str(),
        );
        refuses(
            "394 x 419 x 3 x 4 mm",
            "`394 x 419 x 3 x 4 mm` has 4 numbers, more than height, width and depth",
        );
        refuses("394 x 419 mq", "`394 x 419 mq`: `mq` is no unit of length");
        refuses(
            "10' x 8",
            "`10' x 8` has a unit behind one number and none behind the last",
        );
        refuses("1,250 x 2,000 mm", "`1,250` could be 1250 or 1.250");
        refuses(
            "support: 120 x 150 mm / frame: 130 x 160 x 8 mm",
            "`support: 120 x 150 mm / frame: 130 x 160 x 8 mm` has 2 parts",
        );
        refuses(
            "240 x 460 mm, length variable",
            "`240 x 460 mm, length variable` says more than a size: `, length variable`",
        );
    }

    proptest::proptest! {
        #[test]
        fn no_text_makes_it_stop(text in "\\PC{0,60}", dull in "[0-9 ./,:;'\"½×mxby-]{0,40}") {
            drop(parse_size(&text, POINT, SizeOrder::HeightFirst));
            drop(parse_size(&dull, POINT, SizeOrder::HeightFirst));
        }
    }
}
