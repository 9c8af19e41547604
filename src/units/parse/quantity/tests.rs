//! Every measure but lengths, with its units, its slips, and any text at all.

use super::*;
use crate::units::LengthUnit;
use crate::units::parse_decimal;
use crate::units::parse_money;
use crate::units::parse_percent;
use crate::units::written_currency;

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
        said(parse_percent("0.08", POINT)),
        "`0.08` has no % sign and may be a part of one"
    );
    let less_than_one = parse_percent("0,08 %", COMMA).map(|percent| percent.value().to_string());
    assert_eq!(less_than_one.as_deref(), Ok("0.08"));
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
