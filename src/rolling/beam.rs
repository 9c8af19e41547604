//! A drum as a hollow beam on two bearings: how far it sags and how hard its wall is bent.

use std::f64::consts::PI;

use crate::units::Length;

/// Standard gravity in m/s².
const GRAVITY: f64 = 9.806_65;
/// Poisson's ratio that turns a modulus into a shear modulus (handbook value for isotropic walls).
const POISSON: f64 = 0.3;
/// Share of a thin tube's section that carries shear.
const SHEAR_SHARE: f64 = 0.5;

/// Friction of a steel bar in a dry timber bearing (from memory).
const BEARING_FRICTION: f64 = 0.3;

/// The section of a tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Section {
    /// Outer diameter in mm.
    outer: f64,
    /// Inner diameter in mm.
    inner: f64,
}

impl Section {
    /// Makes a section; none where the wall is nothing or thicker than the tube.
    pub(crate) fn new(diameter: Length, wall: Length) -> Option<Self> {
        let real = diameter.is_positive() && wall.is_positive() && wall + wall <= diameter;
        real.then(|| Self {
            outer: diameter.to_mm(),
            inner: (diameter - wall - wall).to_mm(),
        })
    }

    /// Area of the wall in mm².
    pub(crate) fn area(self) -> f64 {
        PI / 4.0 * (self.outer * self.outer - self.inner * self.inner)
    }

    /// Second moment of area in mm⁴, `π (Do⁴ − Di⁴) / 64`.
    pub(crate) fn second_moment(self) -> f64 {
        let fourth = |d: f64| d * d * d * d;
        PI / 64.0 * (fourth(self.outer) - fourth(self.inner))
    }
}

/// Returns the sag in mm of an even load on two bearings at the ends, by bending and by shear.
///
/// # Formula
/// `5 w L⁴ / 384 E I + w L² / 8 k G A`, w in N/mm, L in mm, E in MPa, `G = E / 2 (1 + ν)` with ν 0.3, k 0.5 (thin tube).
///
/// # Limits
/// Thin wide tubes also flatten under their load; end discs and wide cradles have to hold them round.
///
/// # Sources
/// Handbook formula of the simply supported beam; check values trade.md section 5, T-1 to T-6.
pub(crate) fn sag(section: Section, modulus: f64, load: f64, span: f64) -> (f64, f64) {
    let shear_modulus = modulus / (2.0 * (1.0 + POISSON));
    let bending =
        5.0 * load * span * span * span * span / (384.0 * modulus * section.second_moment());
    let shear = load * span * span / (8.0 * SHEAR_SHARE * shear_modulus * section.area());
    (bending, shear)
}

/// Returns the stress in MPa at the wall's outer face at mid-span: `w L² / 8` over the section modulus.
pub(crate) fn bending_stress(section: Section, load: f64, span: f64) -> f64 {
    load * span * span / 8.0 * (section.outer / 2.0) / section.second_moment()
}

/// Returns the force in N at the rim that turns a drum of so many N in its bearings: friction at the bar, over the drum's radius.
///
/// # Sources
/// Friction 0.3 of steel on dry timber: from memory. What a person may be asked for: the health and safety filter of trade.md section 9.1
/// (push start 20 or 15 kgf).
pub(crate) fn turning_force(weight: f64, bar: f64, diameter: f64) -> f64 {
    BEARING_FRICTION * weight * bar / diameter.max(1.0)
}

/// Returns the load in N/mm of so many grams a millimetre.
pub(crate) fn load_of(grams_per_mm: f64) -> f64 {
    grams_per_mm / 1_000.0 * GRAVITY
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 760 N on a bar of 60 mm under a drum of 500 mm: 0.3 · 760 · 60 / 500 (arithmetic).
    #[test]
    fn turning_takes_friction_at_the_bar_over_the_rim() {
        assert!((turning_force(760.0, 60.0, 500.0) - 27.36).abs() < 1e-9);
    }

    fn section(outer: f64, wall: f64) -> Section {
        Section::new(Length::mm(outer), Length::mm(wall)).unwrap()
    }

    fn near(found: f64, printed: f64) {
        assert!(
            (found - printed).abs() <= 1e-4 * printed,
            "{found} is not {printed}"
        );
    }

    /// Source: trade.md section 5, T-1 (statement found in an adapala-academy forum, thread 5704; numbers computed there): 1 kN on
    /// each overhanging end, 125 mm out, bends the 1250 mm between the bearings evenly.
    #[test]
    fn a_round_tube_in_even_bending() {
        let tube = section(40.0, 5.0);
        near(tube.second_moment(), 85_902.924);
        let (moment, modulus, span) = (1_000.0 * 125.0, 208_000.0, 1_250.0);
        near(modulus * tube.second_moment() / moment, 142_942.0);
        near(
            moment * span * span / (8.0 * modulus * tube.second_moment()),
            1.36637,
        );
    }

    /// Source: trade.md section 5, T-2 to T-6 (computed from the handbook formula).
    #[test]
    fn sag_of_tubes_under_an_even_load() {
        fn case(outer: f64, wall: f64, span: f64, load: f64, modulus: f64, millimetres: f64) {
            near(
                sag(section(outer, wall), modulus, load, span).0,
                millimetres,
            );
        }
        near(section(610.0, 9.5).second_moment(), 8.080_369e8);
        near(section(330.0, 15.0).second_moment(), 1.845_298e8);
        near(section(60.3, 2.9).second_moment(), 215_923.89);
        case(610.0, 9.5, 3_000.0, 0.5, 1_820.0, 0.35858);
        case(610.0, 9.5, 3_000.0, 1.0, 1_820.0, 0.71717);
        case(610.0, 9.5, 5_000.0, 0.1, 1_820.0, 0.55337);
        case(330.0, 15.0, 5_000.0, 1.0, 1_820.0, 24.2315);
        case(200.0, 10.0, 3_000.0, 0.1, 1_820.0, 2.14551);
        case(150.0, 5.0, 3_000.0, 0.1, 1_820.0, 9.66946);
        case(60.3, 2.9, 3_000.0, 0.5, 210_000.0, 11.6298);
    }

    /// Source: trade.md section 5, T-2: shear adds 0.179 mm, a quarter, to a short fat tube.
    #[test]
    fn shear_adds_to_the_sag_of_a_short_fat_tube() {
        let (_, shear) = sag(section(610.0, 9.5), 1_820.0, 1.0, 3_000.0);
        assert!((shear - 0.179).abs() < 0.0005, "{shear}");
    }

    #[test]
    fn a_tube_must_have_a_wall_that_fits_in_it() {
        let none = |outer: f64, wall: f64| {
            assert_eq!(Section::new(Length::mm(outer), Length::mm(wall)), None);
        };
        none(600.0, 0.0);
        none(0.0, 5.0);
        none(100.0, 51.0);
        assert!(
            Section::new(Length::mm(100.0), Length::mm(50.0)).is_some(),
            "a solid bar"
        );
    }

    #[test]
    fn stress_of_a_paper_tube_worked_by_hand() {
        // w L²/8 = 1 · 5000²/8 = 3.125e6 N·mm; · 165 / 1.845298e8 = 2.794 MPa
        near(bending_stress(section(330.0, 15.0), 1.0, 5_000.0), 2.79427);
    }
}
