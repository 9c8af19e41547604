//! A field as a measure, money, date or count, with the bound that holds for it.

use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::diag::Problems;
use crate::units::Bound;
use crate::units::Length;
use crate::units::LengthUnit;
use crate::units::Mass;
use crate::units::Misread;
use crate::units::Money;
use crate::units::NumberStyle;
use crate::units::Percent;
use crate::units::Temperature;
use crate::units::Volume;
use crate::units::bound;
use crate::units::parse_air;
use crate::units::parse_area_density;
use crate::units::parse_areal_rate;
use crate::units::parse_decimal;
use crate::units::parse_length;
use crate::units::parse_mass;
use crate::units::parse_minutes;
use crate::units::parse_modulus;
use crate::units::parse_money;
use crate::units::parse_percent;
use crate::units::parse_room;
use crate::units::parse_temperature;
use crate::units::parse_volume;

use super::field::Field;
use super::field::Raw;
use super::field::shortened;

/// A reader of one measure.
type Parse<T> = fn(&str, NumberStyle) -> Result<T, Misread>;

impl Field<'_> {
    /// Reads a length; the bound is in millimetres.
    pub fn length(&self, bound: Bound, problems: &mut Problems) -> Option<Length> {
        self.measure(
            "a length",
            "3.2 m",
            parse_length,
            bound,
            Length::to_mm,
            problems,
        )
    }

    /// Reads a length that may be negative; the bound holds for its size.
    pub fn signed_length(&self, bound: Bound, problems: &mut Problems) -> Option<Length> {
        self.measure(
            "a length",
            "-20 mm",
            signed,
            bound,
            |length| length.abs().to_mm(),
            problems,
        )
    }

    /// Reads lengths parted by semicolons, metric ones by spaces too, or a TOML list of them.
    pub fn lengths(&self, bound: Bound, problems: &mut Problems) -> Vec<Length> {
        if let Raw::List(_) = self.raw {
            return self
                .list(problems)
                .iter()
                .filter_map(|item| item.length(bound, problems))
                .collect();
        }
        let Raw::Text(text) = self.raw else {
            return self.length(bound, problems).into_iter().collect();
        };
        let parts = parts(text, self.number_style());
        let lengths = parts.iter().map(|part| Field {
            raw: Raw::Text(part),
            ..*self
        });
        lengths
            .filter_map(|field| field.length(bound, problems))
            .collect()
    }

    /// Reads a plain number.
    pub fn number(&self, bound: Bound, problems: &mut Problems) -> Option<f64> {
        self.decimal(bound, problems)
            .and_then(|number| number.to_f64())
    }

    /// Reads a plain number, all its digits kept.
    pub fn decimal(&self, bound: Bound, problems: &mut Problems) -> Option<Decimal> {
        self.measure("a number", "2.5", parse_decimal, bound, to_f64, problems)
    }

    /// Reads a whole number.
    pub fn whole(&self, bound: Bound, problems: &mut Problems) -> Option<u32> {
        self.measure(
            "a whole number",
            "2",
            parse_whole,
            bound,
            f64::from,
            problems,
        )
    }

    /// Reads an amount of money.
    pub fn money(&self, problems: &mut Problems) -> Option<Money> {
        self.measure(
            "an amount of money",
            "12.50",
            parse_money,
            bound::MONEY,
            |money| to_f64(money.amount()),
            problems,
        )
    }

    /// Reads a percentage; the bound is in percent.
    pub fn percent(&self, bound: Bound, problems: &mut Problems) -> Option<Percent> {
        self.measure(
            "a percentage",
            "8 %",
            parse_percent,
            bound,
            |percent| to_f64(percent.value()),
            problems,
        )
    }

    /// Reads a time span in minutes.
    pub fn minutes(&self, bound: Bound, problems: &mut Problems) -> Option<u32> {
        self.measure(
            "a time span",
            "8 h",
            parse_minutes,
            bound,
            f64::from,
            problems,
        )
    }

    /// Reads a mass; the bound is in grams.
    pub fn mass(&self, bound: Bound, problems: &mut Problems) -> Option<Mass> {
        self.measure("a mass", "250 g", parse_mass, bound, Mass::to_g, problems)
    }

    /// Reads a volume of liquid; the bound is in millilitres.
    pub fn volume(&self, bound: Bound, problems: &mut Problems) -> Option<Volume> {
        self.measure(
            "a volume",
            "2 l",
            parse_volume,
            bound,
            Volume::to_ml,
            problems,
        )
    }

    /// Reads a temperature; the bound is in °C.
    pub fn temperature(&self, bound: Bound, problems: &mut Problems) -> Option<Temperature> {
        self.measure(
            "a temperature",
            "18 °C",
            parse_temperature,
            bound,
            Temperature::to_celsius,
            problems,
        )
    }

    /// Reads a mass an area, in g/m².
    pub fn area_density(&self, bound: Bound, problems: &mut Problems) -> Option<f64> {
        self.measure(
            "a mass an area",
            "130 g/m2",
            parse_area_density,
            bound,
            |value| value,
            problems,
        )
    }

    /// Reads an elastic modulus, in MPa.
    pub fn modulus(&self, bound: Bound, problems: &mut Problems) -> Option<f64> {
        self.measure(
            "a modulus",
            "300 MPa",
            parse_modulus,
            bound,
            |value| value,
            problems,
        )
    }

    /// Reads an area an hour, in m²/h.
    pub fn areal_rate(&self, bound: Bound, problems: &mut Problems) -> Option<f64> {
        self.measure(
            "an area an hour",
            "0.8 m2/h",
            parse_areal_rate,
            bound,
            |value| value,
            problems,
        )
    }

    /// Reads the volume of a room, in m³.
    pub fn room(&self, bound: Bound, problems: &mut Problems) -> Option<f64> {
        self.measure(
            "the volume of a room",
            "900 m3",
            parse_room,
            bound,
            |value| value,
            problems,
        )
    }

    /// Reads fresh air, in m³/h.
    pub fn air(&self, bound: Bound, problems: &mut Problems) -> Option<f64> {
        self.measure(
            "an air flow",
            "1800 m3/h",
            parse_air,
            bound,
            |value| value,
            problems,
        )
    }

    /// Reads a date: a TOML date, a date cell, or a text such as `2026-12-01`.
    pub fn date(&self, problems: &mut Problems) -> Option<Date> {
        if self.is_blank() {
            return None;
        }
        if let Raw::Date(date) = self.raw {
            return Some(date);
        }
        let help = "write it as year-month-day, such as `2026-12-01`";
        let Raw::Text(text) = self.raw else {
            self.mismatch("a date", help, problems);
            return None;
        };
        let date = text.trim().parse().ok();
        if date.is_none() {
            let shown = self.shown();
            let text = match two_days(text) {
                Some((one, other)) => format!("`{shown}` could be {one} or {other}"),
                None => format!("`{shown}` is no date"),
            };
            self.problem(text, help, problems);
        }
        date
    }

    fn measure<T: Copy>(
        &self,
        wanted: &str,
        example: &str,
        parse: Parse<T>,
        bound: Bound,
        in_unit: impl Fn(T) -> f64,
        problems: &mut Problems,
    ) -> Option<T> {
        if self.is_blank() {
            return None;
        }
        let (Raw::Text(text) | Raw::Number(text)) = self.raw else {
            self.mismatch(wanted, &format!("write it like `{example}`"), problems);
            return None;
        };
        let value = match parse(text, self.number_style()) {
            Ok(value) => value,
            Err(misread) => {
                self.problem(misread.text, misread.help, problems);
                return None;
            }
        };
        if !bound.holds(in_unit(value)) {
            let unit = match wanted {
                "a length" => Some(unit_name(self.unit())),
                // Nothing may stand behind a plain number.
                "a number" | "a whole number" => None,
                _ => Some(bound.unit).filter(|unit| !unit.is_empty()),
            };
            self.out_of_bounds(bound, in_unit(value), unit, problems);
            return None;
        }
        Some(value)
    }

    fn out_of_bounds(&self, bound: Bound, value: f64, unit: Option<&str>, problems: &mut Problems) {
        let way = if value < bound.least {
            "too little"
        } else {
            "too much"
        };
        let shown = self.shown();
        let plain = shown
            .chars()
            .all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | ' ' | '-'));
        let help = match (plain, unit) {
            (true, None) => "check the number".to_owned(),
            (true, Some(unit)) => format!(
                "write the unit behind the number, which is read in {unit} here, or check it"
            ),
            (false, _) => "check the number and its unit".to_owned(),
        };
        // The limit may stand in another unit than the number.
        let read_in = unit
            .filter(|unit| plain && *unit != bound.unit)
            .map_or_else(String::new, |unit| format!(" in {unit}"));
        self.problem(
            format!("`{shown}`{read_in} is {way}: {}", bound.allowed()),
            help,
            problems,
        );
    }
}

/// A unit's name in a sentence.
const fn unit_name(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Mm => "mm",
        LengthUnit::Cm => "cm",
        LengthUnit::M => "m",
        LengthUnit::Inch => "inches",
        LengthUnit::Foot => "feet",
    }
}

/// Reads a whole number; one too large for 32 bits becomes the largest, which no bound allows.
fn parse_whole(text: &str, style: NumberStyle) -> Result<u32, Misread> {
    let help = |number: &str| format!("write a whole number, such as `{number}`");
    let number = parse_decimal(text, style).map_err(|misread| {
        if misread.text.contains("could be") {
            misread
        } else {
            Misread {
                help: help("2"),
                ..misread
            }
        }
    })?;
    let near = number.ceil().max(Decimal::ONE);
    if number.fract().is_zero() && !number.is_sign_negative() {
        return Ok(number.to_u32().unwrap_or(u32::MAX));
    }
    Err(Misread {
        text: format!("`{}` is not a whole number", shortened(text)),
        help: help(&near.normalize().to_string()),
    })
}

/// The two dates that a text such as `01/12/2026` could be, if both exist and differ.
fn two_days(text: &str) -> Option<(Date, Date)> {
    let mut parts = text.trim().split(['/', '.', '-']).map(str::trim);
    let (first, second): (i8, i8) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
    let year: i16 = parts.next()?.parse().ok().filter(|year| *year > 99)?;
    let dates = (
        Date::new(year, second, first).ok()?,
        Date::new(year, first, second).ok()?,
    );
    (first != second).then_some(dates)
}

fn to_f64(number: Decimal) -> f64 {
    number.to_f64().unwrap_or(f64::MAX)
}

/// Parts lengths at semicolons; where there is none, and the text is no single length, behind metric units.
fn parts(text: &str, style: NumberStyle) -> Vec<String> {
    let whole = |text: &str| {
        text.split(';')
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .map(str::to_owned)
            .collect()
    };
    if text.contains(';') || parse_length(text, style).is_ok() {
        return whole(text);
    }
    let mut parts = vec![String::new()];
    for word in text.split_whitespace() {
        if let Some(part) = parts.last_mut() {
            part.push(' ');
            part.push_str(word);
        }
        if word.ends_with(char::is_alphabetic) {
            parts.push(String::new());
        }
    }
    let metric = text
        .chars()
        .all(|c| !c.is_alphabetic() || matches!(c, 'm' | 'M' | 'c' | 'C'));
    if metric && !text.contains(['\'', '"']) {
        whole(&parts.join(";"))
    } else {
        whole(text)
    }
}

/// Reads a length behind an optional minus sign.
fn signed(text: &str, style: NumberStyle) -> Result<Length, Misread> {
    match text.trim().strip_prefix(['-', '−']) {
        Some(size) => parse_length(size, style).map(|length| -length),
        None => parse_length(text, style),
    }
}
