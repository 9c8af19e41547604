//! What a crate weighs, what freight charges for it, and how many people carry it.

use crate::units::Length;
use crate::units::Mass;

/// Freight counts a kilogram for so many cubic centimetres.
const CM3_PER_KG: f64 = 6_000.0;
/// What one person may lift at knuckle height close to the body, in kg.
const ONE_KG: f64 = 25.0;

/// Returns the mass that freight is charged by: the greater of what it weighs and what its size counts for, up to the next half kilogram.
///
/// # Formula
/// Volume in cm³ / 6000, as air and road freight reckon it (166.7 kg/m³).
///
/// # Sources
/// trade.md section 9.3 (published rules of carriers).
pub(super) fn charged(gross: Mass, outside: [Length; 3]) -> Mass {
    let [length, width, height] = outside.map(Length::to_m);
    let by_size = length * width * height * 1e6 / CM3_PER_KG;
    // A hair below a half kilogram is a binary fraction's, not the crate's.
    Mass::kg(((gross.to_kg().max(by_size) * 2.0) - 1e-9).ceil() / 2.0)
}

/// Returns how many people carry it between them; none where only lifting gear will do.
///
/// # Formula
/// 25 kg for one; two thirds of their sum for two; half of it for three. It assumes strong people, a good grip, load close to the body between
/// knuckle and elbow height, and up to ten metres' carry: every other lift needs a competent person's assessment.
///
/// # Sources
/// HSE lifting filter, 25 kg (trade.md section 9.1); the shares for teams are from memory of the same guidance.
pub(super) fn carriers(gross: Mass) -> Option<u32> {
    let teams = [(1, 1.0), (2, 2.0 * 2.0 / 3.0), (3, 3.0 / 2.0)];
    teams
        .iter()
        .find(|(_, share)| gross.to_kg() <= ONE_KG * share)
        .map(|(people, _)| *people)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn charged_kg(gross: f64, sides: [f64; 3]) -> f64 {
        charged(Mass::kg(gross), sides.map(Length::mm)).to_kg()
    }

    /// Source: trade.md section 9.3, X-1 (14.625 to 15 kg), X-2 (210 kg), X-4 (2.048 m³, 341.33 kg, here to the next half).
    #[test]
    fn freight_by_size() {
        assert_eq!(charged_kg(1.0, [300.0, 450.0, 650.0]), 15.0);
        assert_eq!(charged_kg(1.0, [1_400.0, 1_000.0, 900.0]), 210.0);
        assert_eq!(charged_kg(1.0, [3_200.0, 800.0, 800.0]), 341.5);
    }

    /// Source: trade.md section 9.3, X-3: 30 × 20 × 20 in come to 86.33 by the courier's 139 in³/lb; by 6000 cm³/kg they are 32.77 kg.
    #[test]
    fn the_courier_rule_differs_by_its_divisor() {
        let inches = [30.0, 20.0, 20.0].map(|side: f64| side * 25.4);
        assert_eq!(charged_kg(1.0, inches), 33.0);
        assert!((30.0 * 20.0 * 20.0 / 139.0 - 86.33_f64).abs() < 0.01);
    }

    #[test]
    fn freight_by_weight_where_that_is_more() {
        assert_eq!(charged_kg(20.1, [300.0, 450.0, 650.0]), 20.5);
        assert_eq!(charged_kg(20.5, [300.0, 450.0, 650.0]), 20.5);
    }

    /// Source: HSE filter values as above: 25 kg, then 33.3 kg and 37.5 kg.
    #[test]
    fn people_by_weight() {
        fn case(kg: f64, people: Option<u32>) {
            assert_eq!(carriers(Mass::kg(kg)), people, "{kg} kg");
        }
        case(25.0, Some(1));
        case(25.1, Some(2));
        case(33.3, Some(2));
        case(33.4, Some(3));
        case(37.5, Some(3));
        case(37.6, None);
    }
}
