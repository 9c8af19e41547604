//! Words and figures: what comes from people is text, whatever it holds, and never turns the words around it.

use maud::Markup;
use maud::html;
use rust_decimal::Decimal;

use crate::report::Kind;
use crate::report::Value;
use crate::units::grouped;

/// Words as text. Those that may run from right to left are kept from turning their neighbours.
pub(super) fn words(text: &str) -> Markup {
    let shown: String = text.chars().map(seen).collect();
    if shown.chars().any(turns) {
        html! { bdi { (shown) } }
    } else {
        html! { (shown) }
    }
}

/// A sign for characters that a document may not hold.
const fn seen(letter: char) -> char {
    match letter {
        '\t' | '\n' | '\r' => ' ',
        '\0'..='\u{1f}' | '\u{7f}'..='\u{9f}' => '\u{fffd}',
        _ => letter,
    }
}

/// Whether a character is, or may be, of a script that runs from right to left, or steers the direction of writing.
const fn turns(letter: char) -> bool {
    matches!(letter,
        '\u{590}'..='\u{8ff}'
        | '\u{200b}'..='\u{200f}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}'
        | '\u{fb1d}'..='\u{fdff}'
        | '\u{fe70}'..='\u{feff}'
        | '\u{10800}'..='\u{10fff}'
        | '\u{1e800}'..='\u{1efff}')
}

/// A cell as text.
pub(super) fn cell(value: &Value, kind: Kind) -> String {
    match value {
        Value::Empty => String::new(),
        Value::Text(text) => text.clone(),
        Value::Number(number) => match kind {
            Kind::Number(places) => grouped(&format!("{number:.*}", usize::from(places))),
            Kind::Percent => format!("{number} %"),
            Kind::Text | Kind::Money | Kind::Day | Kind::Time => grouped(&format!("{number:.2}")),
        },
        Value::Decimal(number) | Value::Formula(_, number) => decimal(*number, kind),
        Value::Day(day) => day.strftime("%a %Y-%m-%d").to_string(),
        Value::Time(time) => time.strftime("%a %Y-%m-%d %H:%M").to_string(),
    }
}

fn decimal(number: Decimal, kind: Kind) -> String {
    match kind {
        Kind::Money => grouped(&format!("{number:.2}")),
        // What is counted has no decimals, whatever is weighed in the same column.
        Kind::Number(_) if number.fract().is_zero() => grouped(&number.trunc().to_string()),
        Kind::Number(places) => grouped(&format!("{number:.*}", usize::from(places))),
        Kind::Percent => format!("{} %", number.normalize()),
        Kind::Text | Kind::Day | Kind::Time => grouped(&number.normalize().to_string()),
    }
}
