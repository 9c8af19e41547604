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

/// Returns how many people carry it between them, held at so high a grip; none where only lifting gear will do.
///
/// Two guidelines have to agree. The filter: 25 kg for one; two thirds of their sum for two; half of it for three. The lifting equation: each
/// one's share is no more than it recommends for lifting by handles from the grip to knuckle height. Both assume strong people, a good
/// grip, a clear path and up to ten metres' carry: every other lift needs a competent person's assessment.
///
/// # Sources
/// HSE lifting filter, 25 kg (trade.md section 9.1); the shares for teams are from memory of the same guidance. NIOSH: [`recommended`].
pub(super) fn carriers(gross: Mass, grip: Length) -> Option<u32> {
    let share = recommended(&Lift::by_handles(grip)).to_kg();
    let teams = [(1, 1.0), (2, 2.0 * 2.0 / 3.0), (3, 3.0 / 2.0)];
    let carry = |people: u32, filter: f64| {
        gross.to_kg() <= ONE_KG * filter && gross.to_kg() <= share * f64::from(people)
    };
    teams
        .iter()
        .find(|(people, filter)| carry(*people, *filter))
        .map(|(people, _)| *people)
}

/// One person's lift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Lift {
    /// Hands ahead of the ankles, in cm.
    reach: f64,
    /// Hands above the floor at the start, in cm.
    height: f64,
    /// How far it is lifted, in cm.
    travel: f64,
    /// How far the body is turned, in degrees.
    turn: f64,
    /// Factor for how often: 1 for now and then.
    often: f64,
    /// Factor for the grip: 1 for handles.
    grip: f64,
}

impl Lift {
    /// Lifting a crate by its handles to knuckle height, 30 cm ahead of the ankles, without a turn (workshop judgement).
    fn by_handles(grip: Length) -> Self {
        let height = grip.to_mm() / 10.0;
        Self {
            reach: 30.0,
            height,
            travel: (KNUCKLE_CM - height).abs(),
            turn: 0.0,
            often: 1.0,
            grip: 1.0,
        }
    }
}

/// Height of the knuckles of a standing person, in cm: where the equation takes nothing off.
const KNUCKLE_CM: f64 = 75.0;

/// Returns the weight that the revised lifting equation recommends for one person.
///
/// # Formula
/// RWL = 23 kg · 25/H · (1 − 0.003 |V − 75|) · (0.82 + 4.5/D) · (1 − 0.0032 A) · FM · CM, with H from 25 to 63 cm, V up to 175 cm, D at least
/// 25 cm; nothing beyond.
///
/// # Sources
/// NIOSH, *Applications Manual for the Revised NIOSH Lifting Equation*, DHHS 94-110 (trade.md section 9.1, H-1 to H-3).
pub(super) fn recommended(lift: &Lift) -> Mass {
    if lift.reach > 63.0 || lift.height > 175.0 || lift.travel > 175.0 || lift.turn > 135.0 {
        return Mass::ZERO;
    }
    let factors = [
        25.0 / lift.reach.max(25.0),
        1.0 - 0.003 * (lift.height - KNUCKLE_CM).abs(),
        0.82 + 4.5 / lift.travel.max(25.0),
        1.0 - 0.003_2 * lift.turn,
        lift.often,
        lift.grip,
    ];
    Mass::kg(23.0 * factors.iter().product::<f64>())
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

    /// Source: HSE filter, 25 kg; its shares for teams, 33.3 kg and 37.5 kg, from memory (trade.md 9.1); the lifting equation gives 19.2 kg each at knuckle height, so that it decides for one.
    #[test]
    fn people_by_weight() {
        fn case(kg: f64, people: Option<u32>) {
            assert_eq!(carriers(Mass::kg(kg), Length::mm(750.0)), people, "{kg} kg");
        }
        case(19.1, Some(1));
        case(19.2, Some(2));
        case(33.3, Some(2));
        case(33.4, Some(3));
        case(37.5, Some(3));
        case(37.6, None);
        let low = carriers(Mass::kg(33.0), Length::mm(300.0));
        assert_eq!(low, Some(3), "each may lift less from the floor");
        assert_eq!(carriers(Mass::kg(1.0), Length::mm(2_000.0)), None);
    }

    /// Source: trade.md section 9.1, H-2 (9.88885 kg) and H-3 (23 kg); the worked example H-1 (its inputs from memory) in metric factors, whose printed
    /// values 16.3 and 14.5 lb come from the rounded tables in inches, whose constants differ (51 lb for 23 kg, 10 in for 25 cm): within 6 %.
    #[test]
    fn the_lifting_equation_gives_its_published_examples() {
        let lift = |reach, height, travel, turn, grip| {
            let lift = Lift {
                reach,
                height,
                travel,
                turn,
                often: 1.0,
                grip,
            };
            recommended(&lift).to_kg()
        };
        assert!((lift(40.0, 40.0, 60.0, 30.0, 0.95) - 9.888_85).abs() < 1e-5);
        assert_eq!(lift(25.0, 75.0, 25.0, 0.0, 1.0), 23.0);
        let (inch, pound) = (2.54, 0.453_592_37);
        let origin = lift(23.0 * inch, 15.0 * inch, 49.0 * inch, 0.0, 0.95) / pound;
        let end = lift(23.0 * inch, 64.0 * inch, 49.0 * inch, 0.0, 1.0) / pound;
        assert!((origin / 16.3 - 1.0).abs() < 0.05, "{origin}");
        assert!((end / 14.5 - 1.0).abs() < 0.06, "{end}");
    }
}
