//! Plain numbers, money and percentages.

use rust_decimal::Decimal;

use super::Misread;
use super::NumberStyle;
use super::quantity::signed;
use super::scan::shown;
use crate::units::Money;
use crate::units::Percent;

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
/// The text is no percentage, or could be read two ways: `0.08` may be a part of one.
pub fn parse_percent(text: &str, style: NumberStyle) -> Result<Percent, Misread> {
    let (value, unit) = signed(text, style, "percentage", "`8 %`")?;
    match unit.as_str() {
        "" if !value.is_zero() && value.abs() < Decimal::ONE => Err(Misread::new(
            format!("`{}` has no % sign and may be a part of one", shown(text)),
            either_percent(value),
        )),
        "" | "%" | "percent" => Ok(Percent::new(value)),
        _ => Err(Misread::new(
            format!("`{}` is no percentage", shown(text)),
            "write it like `8 %`",
        )),
    }
}

/// What to write instead of a number below one that may be a part of one or a percentage.
pub fn either_percent(number: Decimal) -> String {
    let percent = (number * Decimal::ONE_HUNDRED).normalize();
    let number = number.normalize();
    format!("write `{percent} %` or `{number} %`, whichever is meant")
}
