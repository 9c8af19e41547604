//! Numbers of cells and TOML files as plain decimal digits, as their programs show them.

/// Writes a cell's number in at most 15 significant digits, as spreadsheets show it: 0.1 + 0.2 is `0.3`.
///
/// What is not finite keeps its name (`NaN`, `inf`) and is refused by whoever reads it as a measure.
pub(super) fn of_cell(value: f64) -> String {
    let rounded: f64 = format!("{value:.14e}").parse().unwrap_or(value);
    format!("{rounded}")
}

/// Writes a TOML float without an exponent; one that has none keeps all its digits.
pub(super) fn plain(text: &str) -> String {
    if text.contains(['e', 'E']) {
        return text
            .parse::<f64>()
            .map_or_else(|_| text.to_owned(), |value| format!("{value}"));
    }
    text.trim_start_matches('+').replace('_', "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_show_fifteen_digits() {
        assert_eq!(of_cell(0.1 + 0.2), "0.3");
        assert_eq!(of_cell(812.8), "812.8");
        assert_eq!(of_cell(3200.0), "3200");
        assert_eq!(of_cell(-1.0 / 3.0), "-0.333333333333333");
        assert_eq!(of_cell(f64::NAN), "NaN");
    }

    #[test]
    fn floats_of_toml_keep_their_digits() {
        assert_eq!(plain("12.50"), "12.50");
        assert_eq!(plain("1_000.5"), "1000.5");
        assert_eq!(plain("1.5e3"), "1500");
        assert_eq!(plain("inf"), "inf");
    }
}
