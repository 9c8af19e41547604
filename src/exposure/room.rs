//! How vapour builds up in a room and clears again.

/// Returns the concentration in ppm after a time, from clean air.
///
/// # Formula
/// `C = G / Q · 10⁶ · (1 - e^(-Q·t / V))`: G vapour and Q air in m³/h, V room in m³, t in hours.
///
/// # Sources
/// Well-mixed room balance; worked in the documentation of the rEHS package (rdrr.io).
pub(super) fn concentration(vapour: f64, air: f64, room: f64, hours: f64) -> f64 {
    vapour / air * 1e6 * -libm::expm1(-air * hours / room)
}

/// Returns the hours until a concentration in ppm is reached, from clean air; none if it never is.
///
/// # Formula
/// `t = -(V / Q) · ln((G - Q·C) / G)`, letters as in [`concentration`].
///
/// # Sources
/// The same balance solved for the time; trade.md section 7, V-1 and V-9.
pub(super) fn hours_until(ppm: f64, vapour: f64, air: f64, room: f64) -> Option<f64> {
    let left = 1.0 - air * ppm / 1e6 / vapour;
    (left > 0.0 && left < 1.0).then(|| -(room / air) * libm::log(left))
}

/// Returns the hours that fresh air alone takes to thin vapour by a factor.
///
/// # Formula
/// `t = (V / Q) · ln(C₁ / C₂)`; with a mixing factor K the air that counts is `Q / K`.
///
/// # Sources
/// The same balance without a source; trade.md section 7, V-2 and V-12.
pub(super) fn hours_to_clear(factor: f64, air: f64, room: f64) -> f64 {
    room / air * libm::log(factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(found: f64, expected: f64) {
        assert!(
            (found / expected - 1.0).abs() < 1e-4,
            "{found}, not {expected}"
        );
    }

    /// trade.md 7, V-1: rEHS package documentation, recomputed there (ft³ and minutes).
    #[test]
    fn build_up_in_a_hall() {
        close(concentration(1.4, 2500.0, 75_000.0, 11.0), 171.897);
        close(hours_until(175.0, 1.4, 2500.0, 75_000.0).unwrap(), 11.2408);
        assert_eq!(hours_until(600.0, 1.4, 2500.0, 75_000.0), None);
    }

    /// trade.md 7, V-2: HVAC design guide p. 106, recomputed there; a mixing efficiency of 0.2 is a factor of 5.
    #[test]
    fn air_changes_to_clear_a_room() {
        close(hours_to_clear(20.0 / 1.4, 1.0 / 5.0, 1.0), 13.2963);
        close(hours_to_clear(20.0 / 1.4, 2.0 / 5.0, 1.0), 6.648);
    }

    /// trade.md 7, V-3: engineeringtoolbox `d_120`, unit source.
    #[test]
    fn table_of_a_unit_source() {
        fn case(changes: f64, minutes: f64, expected: f64) {
            let found = concentration(1e-6, changes, 1.0, minutes / 60.0);
            assert!((found - expected).abs() < 6e-5, "{found}, not {expected}");
        }
        case(1.0, 40.0, 0.4866);
        case(2.0, 20.0, 0.2433);
        case(4.0, 80.0, 0.2488);
    }

    /// trade.md 7, V-4: edshare.soton 5370, recomputed there (seconds).
    #[test]
    fn time_to_a_volume_fraction() {
        close(
            hours_until(120.0, 1.2e-6, 0.003, 40.0).unwrap() / 3600.0,
            1.3210,
        );
    }

    /// trade.md 7, V-5: brainmass 270790; 95 % computed there (g and minutes: 100 mg/m³ is 1e-4 of a gram a litre).
    #[test]
    fn steady_state_and_95_percent_of_it() {
        close(concentration(1.0, 10.0, 108.0, 1e6), 100_000.0);
        close(hours_until(95_000.0, 1.0, 10.0, 108.0).unwrap(), 32.354);
    }

    /// trade.md 7, V-9 (ACGIH *Industrial Ventilation*, from memory; arithmetic checked there).
    #[test]
    fn handbook_build_up() {
        close(hours_until(200.0, 1.2, 2000.0, 100_000.0).unwrap(), 20.273);
        close(concentration(1.2, 2000.0, 100_000.0, 60.0), 419.28);
    }

    /// trade.md 7, V-12 and V-13, computed there: 0.3 kg/h of toluene in 300 m³.
    #[test]
    fn toluene_in_a_small_hall() {
        let vapour = 300.0 / 92.138 * 0.024_055;
        close(concentration(vapour, 300.0, 300.0, 1e3), 261.076);
        close(concentration(vapour, 300.0, 300.0, 3.0), 248.078);
        close(hours_to_clear(248.078 / 20.0, 300.0, 300.0), 2.5180);
        close(concentration(vapour, 1200.0, 300.0, 1e3), 65.269);
        close(concentration(vapour, 1200.0, 300.0, 3.0), 65.2685);
        close(hours_to_clear(65.2685 / 20.0, 1200.0, 300.0), 0.295_69);
    }
}
