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
    Mass::kg(METRIC.load * METRIC.factors(lift).iter().product::<f64>())
}

/// The constants of the lifting equation in one system of units.
#[derive(Clone, Copy, Debug)]
struct Constants {
    /// What may be lifted where nothing takes anything off.
    load: f64,
    /// The shortest reach and travel.
    short: f64,
    /// Height of the knuckles, and what a unit above or below takes off.
    knuckle: (f64, f64),
    /// What a long travel leaves, and what a short one adds, divided by the travel.
    travel: (f64, f64),
}

/// In cm and kg.
const METRIC: Constants = Constants {
    load: 23.0,
    short: 25.0,
    knuckle: (KNUCKLE_CM, 0.003),
    travel: (0.82, 4.5),
};

impl Constants {
    fn factors(&self, lift: &Lift) -> [f64; 6] {
        [
            self.short / lift.reach.max(self.short),
            1.0 - self.knuckle.1 * (lift.height - self.knuckle.0).abs(),
            self.travel.0 + self.travel.1 / lift.travel.max(self.short),
            1.0 - 0.003_2 * lift.turn,
            lift.often,
            lift.grip,
        ]
    }
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

    /// Source: trade.md section 9.3: the same rule in inches is 166 in³/lb (12000 in³ are 72.29 lb, 32.79 kg); X-3: a courier's 139 in³/lb
    /// comes to 86.33 lb, 39.16 kg.
    #[test]
    fn freight_in_inches_is_the_same_rule_and_a_courier_asks_for_more() {
        let inches = [30.0, 20.0, 20.0].map(|side: f64| side * 25.4);
        let ours = charged_kg(1.0, inches);
        let half_up = |pounds: f64| (pounds * 0.453_592_37 * 2.0).ceil() / 2.0;
        assert_eq!(ours, half_up(12_000.0 / 166.0));
        assert!(ours < half_up(86.33));
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

    fn lift(reach: f64, height: f64, travel: f64, turn: f64, grip: f64) -> Lift {
        Lift {
            reach,
            height,
            travel,
            turn,
            often: 1.0,
            grip,
        }
    }

    /// Source: trade.md section 9.1, H-2 (9.88885 kg, computed there) and H-3 (23 kg, by definition).
    #[test]
    fn the_lifting_equation_in_metric_units() {
        let kg = |lift: Lift| recommended(&lift).to_kg();
        assert!((kg(lift(40.0, 40.0, 60.0, 30.0, 0.95)) - 9.888_85).abs() < 1e-5);
        assert_eq!(kg(lift(25.0, 75.0, 25.0, 0.0, 1.0)), 23.0);
    }

    /// Source: trade.md section 9.1, the constants in inches and pounds; H-1, the manual's first job (a reel lifted on a press; its inputs from
    /// memory): 16.017 and 14.153 lb. The manual prints 16.3 and 14.5 lb: its tables round each factor up to two decimals.
    #[test]
    fn the_lifting_equation_gives_its_published_example() {
        let inches = Constants {
            load: 51.0,
            short: 10.0,
            knuckle: (30.0, 0.007_5),
            travel: (0.82, 1.8),
        };
        let pounds = |lift: Lift, factor: fn(f64) -> f64| {
            let factors = inches.factors(&lift).map(factor);
            inches.load * factors.iter().product::<f64>()
        };
        let tables = |factor: f64| (factor * 100.0 - 1e-9).ceil() / 100.0;
        let origin = lift(23.0, 15.0, 49.0, 0.0, 0.95);
        let end = lift(23.0, 64.0, 49.0, 0.0, 1.0);
        assert!((pounds(origin, |factor| factor) - 16.017).abs() < 1e-3);
        assert!((pounds(end, |factor| factor) - 14.153).abs() < 1e-3);
        assert!((pounds(origin, tables) - 16.3).abs() < 0.05);
        assert!((pounds(end, tables) - 14.5).abs() < 0.05);
    }
}
