//! How long a respirator's vapour cartridge may be worn, by rule of thumb.

use crate::catalog::Solvent;

/// Says in words how long an organic-vapour cartridge may be worn against a solvent.
///
/// # Formula
/// Boiling above 70 °C and under 200 ppm: 8 hours at normal work; above 85 % humidity half of it. Below 70 °C the
/// rule does not hold.
///
/// # Sources
/// OSHA eTool on respiratory protection, cartridge change schedules (rule of thumb).
pub(super) fn wear(solvent: &Solvent, humidity: f64) -> String {
    let hours = if humidity > 85.0 { 4 } else { 8 };
    match solvent.boiling_c {
        Some(boiling) if boiling > 70.0 => {
            format!(
                "{}: change organic-vapour cartridges after {hours} h at the latest, if the air stays under 200 ppm",
                solvent.name
            )
        }
        _ => format!(
            "{}: organic-vapour cartridges fail early; use supplied air or have a competent person set the change",
            solvent.name
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exposure::published::solvent;

    /// trade.md 9.5 (OSHA eTool): acetone at 56 °C fails the rule.
    #[test]
    fn low_boilers_and_damp_shorten_the_wear() {
        assert!(wear(&solvent("toluene"), 50.0).contains("after 8 h"));
        assert!(wear(&solvent("toluene"), 90.0).contains("after 4 h"));
        assert!(wear(&solvent("acetone"), 50.0).contains("supplied air"));
    }
}
