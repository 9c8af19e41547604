//! Lengths and other measures, in every style of writing numbers.
#![no_main]

use facelay::units::{
    LengthUnit, NumberStyle, SizeOrder, parse_air, parse_area_density, parse_areal_rate,
    parse_decimal, parse_length, parse_mass, parse_minutes, parse_money, parse_percent, parse_room,
    parse_size, parse_temperature, parse_volume, written_currency,
};
use libfuzzer_sys::fuzz_target;

fuzz_target!(init: facelay_fuzz::begin("measures"), |bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    for unit in [LengthUnit::Mm, LengthUnit::Cm, LengthUnit::M, LengthUnit::Inch, LengthUnit::Foot] {
        for decimal_comma in [false, true] {
            let style = NumberStyle { unit, decimal_comma };
            if let Ok(length) = parse_length(text, style) {
                assert!(length.to_mm().is_finite() && length.to_mm() >= 0.0);
            }
            let _ = parse_size(text, style, SizeOrder::HeightFirst);
            let _ = parse_size(text, style, SizeOrder::WidthFirst);
            let numbers = [parse_area_density(text, style), parse_areal_rate(text, style), parse_room(text, style), parse_air(text, style)];
            assert!(numbers.into_iter().flatten().all(f64::is_finite));
            assert!(parse_mass(text, style).is_ok_and(|mass| mass.to_g().is_finite()) || parse_mass(text, style).is_err());
            let _ = (parse_decimal(text, style), parse_money(text, style), parse_percent(text, style), parse_minutes(text, style));
            let _ = (parse_temperature(text, style), parse_volume(text, style), written_currency(text));
        }
    }
});
