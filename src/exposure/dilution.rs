//! How much air takes up a mass of vapour: at the exposure limits, and at a fraction of the lower explosive limit.

use crate::catalog::Solvent;
use crate::units::Mass;

/// Volume of a mole of vapour at 20 °C and one atmosphere, in m³.
const MOLAR_VOLUME: f64 = 0.024_055;

/// How much more air is planned than perfect mixing would take.
///
/// # Sources
/// Mixing factors of 1 to 10 are common in ventilation handbooks; 3 is our assumption for a large room with open doors.
pub const MIXING: f64 = 3.0;

/// How many times below the lower explosive limit the vapour must stay: a quarter of it.
///
/// # Sources
/// Dilution at 25 % of the lower explosive limit is common practice for work that is not in an oven.
pub const FIRE_RESERVE: f64 = 4.0;

/// Returns the volume of a solvent's vapour at 20 °C, in m³.
pub(super) fn vapour_m3(mass: Mass, solvent: &Solvent) -> f64 {
    if solvent.molar_mass > 0.0 { mass.to_g() / solvent.molar_mass * MOLAR_VOLUME } else { 0.0 }
}

/// Returns the air in m³ that takes a solvent up at its exposure limit; none is needed where there is no limit.
///
/// The air for several solvents is the sum of the air for each: their shares of their limits add up.
///
/// # Formula
/// `Q = K · V · 10⁶ / C`: K mixing factor, V vapour in m³, C limit in ppm.
///
/// # Sources
/// ACGIH, *Industrial Ventilation*, dilution chapter (additive rule `Σ Cᵢ / Lᵢ ≤ 1`); from memory, arithmetic checked.
pub(super) fn health_air_m3(mass: Mass, solvent: &Solvent, mixing: f64) -> f64 {
    per(vapour_m3(mass, solvent) * mixing * 1e6, solvent.limit_ppm)
}

/// Returns the air in m³ that takes a solvent up at a fraction of its lower explosive limit; none where it does not burn.
///
/// The air for several solvents is the sum of the air for each, which is Le Chatelier's rule for mixtures.
///
/// # Formula
/// `Q = V · 100 · S / L`: V vapour in m³, S how many times below the limit, L lower explosive limit in percent by volume.
///
/// # Sources
/// ACGIH, *Industrial Ventilation*, dilution for fire; from memory, arithmetic checked.
pub(super) fn fire_air_m3(mass: Mass, solvent: &Solvent, reserve: f64) -> f64 {
    per(vapour_m3(mass, solvent) * reserve * 100.0, solvent.lower_explosive_percent)
}

fn per(amount: f64, limit: Option<f64>) -> f64 {
    limit.filter(|limit| *limit > 0.0).map_or(0.0, |limit| amount / limit)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exposure::published::solvent;

    /// A cubic foot a minute in m³/h, and a US pint in ml.
    const CFM: f64 = 1.699_011;
    const PINT: f64 = 473.176;

    fn close(found: f64, expected: f64, tolerance: f64) {
        assert!((found / expected - 1.0).abs() < tolerance, "{found}, not {expected}");
    }

    fn with(id: &str, limit: f64) -> Solvent {
        Solvent { limit_ppm: Some(limit), ..solvent(id) }
    }

    /// trade.md 7, V-10 and V-11, computed there (V-10 with 867.0 g to the litre, which gives its 226.35 l of vapour).
    #[test]
    fn toluene_needs_far_more_air_for_health_than_for_fire() {
        let litre = Mass::g(867.0);
        close(health_air_m3(litre, &with("toluene", 50.0), 1.0), 4527.05, 1e-4);
        close(health_air_m3(litre, &with("toluene", 20.0), 3.0), 33_952.9, 1e-4);
        let mass = Mass::kg(0.3);
        close(health_air_m3(mass, &with("toluene", 20.0), 1.0), 3916.14, 1e-4);
        close(health_air_m3(mass, &with("toluene", 20.0), MIXING), 11_748.4, 1e-4);
        close(fire_air_m3(mass, &solvent("toluene"), FIRE_RESERVE), 28.481, 1e-4);
    }

    /// trade.md 7, V-6 and V-7 (ACGIH *Industrial Ventilation*, from memory). The handbook's 403 ft³ a pint is taken
    /// at 70 °F, ours at 20 °C: 0.3 % apart, so 0.5 % is allowed.
    #[test]
    fn handbook_examples_of_dilution_for_health() {
        let chloroform = Solvent { molar_mass: 133.4, ..with("toluene", 350.0) };
        close(health_air_m3(Mass::g(1.5 * PINT * 1.32), &chloroform, 5.0) / CFM, 1424.2, 5e-3);
        let ketone = Solvent { molar_mass: 72.1, ..with("toluene", 200.0) };
        let toluene = Solvent { molar_mass: 92.13, ..with("toluene", 100.0) };
        let both = health_air_m3(Mass::g(2.0 * PINT * 0.805), &ketone, 4.0)
            + health_air_m3(Mass::g(2.0 * PINT * 0.866), &toluene, 4.0);
        close(both / CFM, 8050.5, 5e-3);
    }

    /// trade.md 7, V-8 (same source): an oven's factor 10, and 0.7 for a limit lowered by heat.
    #[test]
    fn handbook_example_of_dilution_for_fire() {
        let xylol = Solvent { molar_mass: 106.0, lower_explosive_percent: Some(1.0), ..solvent("toluene") };
        close(fire_air_m3(Mass::g(2.0 * PINT * 0.88), &xylol, 10.0) / 0.7 / CFM, 159.317, 5e-3);
    }

    /// trade.md 7, V-14 (Le Chatelier) and V-15 (limits as g/m³), computed there.
    #[test]
    fn explosive_limits_of_mixtures_and_by_mass() {
        fn mixture(first: &str, share: f64, expected: f64) {
            let (a, b) = (solvent(first), solvent("toluene"));
            let (mass_a, mass_b) = (Mass::g(share * a.molar_mass), Mass::g((1.0 - share) * b.molar_mass));
            let vapour = vapour_m3(mass_a, &a) + vapour_m3(mass_b, &b);
            close(100.0 * vapour / (fire_air_m3(mass_a, &a, 1.0) + fire_air_m3(mass_b, &b, 1.0)), expected, 1e-4);
        }
        mixture("acetone", 0.5, 1.52778);
        mixture("ethanol", 0.7, 2.00588);
        for (id, grams) in [("acetone", 60.361), ("toluene", 42.133), ("m-xylene", 44.134), ("ethanol", 59.368)] {
            close(1.0 / fire_air_m3(Mass::g(1.0), &solvent(id), 1.0), grams, 1e-4);
        }
    }

    #[test]
    fn water_takes_no_air() {
        assert_eq!(health_air_m3(Mass::kg(5.0), &solvent("water"), MIXING), 0.0);
        assert_eq!(fire_air_m3(Mass::kg(5.0), &solvent("water"), FIRE_RESERVE), 0.0);
    }
}
