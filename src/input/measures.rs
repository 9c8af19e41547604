//! A field as a measure, money, date or count, with the bound that holds for it.

use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::diag::Problems;
use crate::units::Bound;
use crate::units::Length;
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
use crate::units::parse_money;
use crate::units::parse_percent;
use crate::units::parse_room;
use crate::units::parse_temperature;
use crate::units::parse_volume;

use super::field::Field;
use super::field::Raw;

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

    /// Reads lengths parted by semicolons, or a TOML list of them.
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
        let parts = text
            .split(';')
            .map(str::trim)
            .filter(|part| !part.is_empty());
        parts
            .filter_map(|part| {
                Field {
                    raw: Raw::Text(part),
                    ..*self
                }
                .length(bound, problems)
            })
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
        let number = self.decimal(bound, problems)?;
        if !number.fract().is_zero() {
            let text = format!(
                "`{}` is not a whole number; {}",
                self.shown(),
                bound.allowed()
            );
            self.problem(
                text,
                format!(
                    "write a whole number, such as `{}`",
                    number.ceil().normalize()
                ),
                problems,
            );
            return None;
        }
        number.to_u32()
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
        let value = match parse(text, self.style()) {
            Ok(value) => value,
            Err(misread) => {
                self.problem(misread.text, misread.help, problems);
                return None;
            }
        };
        if !bound.holds(in_unit(value)) {
            self.out_of_bounds(bound, in_unit(value), problems);
            return None;
        }
        Some(value)
    }

    fn out_of_bounds(&self, bound: Bound, value: f64, problems: &mut Problems) {
        let way = if value < bound.least {
            "too little"
        } else {
            "too much"
        };
        let text = format!("`{}` is {way}: {}", self.shown(), bound.allowed());
        self.problem(text, "check the number and its unit", problems);
    }
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

/// Reads a length behind an optional minus sign.
fn signed(text: &str, style: NumberStyle) -> Result<Length, Misread> {
    match text.trim().strip_prefix(['-', '−']) {
        Some(size) => parse_length(size, style).map(|length| -length),
        None => parse_length(text, style),
    }
}
