//! What a pack weighs, for freight.

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;
use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::units::Length;

/// Returns the mass of an amount of a material in kilograms, rounded to a milligram; nothing where the catalogue does not say.
///
/// # Formula
/// Sheets, rolls, boards and timber: width × length × grams per m² (else thickness × density); tubes: π/4 (D² − d²) × length × density;
/// liquids: volume × density; what is counted: grams of one.
///
/// # Sources
/// The rows of `catalogs/materials.csv`.
pub(super) fn kilograms(material: &Material, amount: Decimal) -> Decimal {
    Decimal::try_from(unrounded(material, amount))
        .unwrap_or_default()
        .round_dp_with_strategy(6, RoundingStrategy::MidpointAwayFromZero)
        .normalize()
}

fn unrounded(material: &Material, amount: Decimal) -> f64 {
    let amount = amount.to_f64().unwrap_or(0.0);
    let grams = match material.kind {
        MaterialKind::Resin => Some(1.0),
        MaterialKind::Liquid => material.density,
        MaterialKind::Each => material.grams_each,
        MaterialKind::Tube => tube(material),
        MaterialKind::Sheet | MaterialKind::Roll | MaterialKind::Board | MaterialKind::Timber => {
            flat(material)
        }
    };
    amount * material.grams_each.or(grams).unwrap_or(0.0) / 1_000.0
}

/// Grams of a sheet, roll, board or timber.
fn flat(material: &Material) -> Option<f64> {
    let area = material.width?.to_m() * material.length?.to_m();
    let by_thickness = || Some(material.thickness?.to_mm() * material.density? * 1_000.0);
    Some(area * material.grams_per_m2.or_else(by_thickness)?)
}

/// Grams of a tube: its wall's section times its length.
fn tube(material: &Material) -> Option<f64> {
    let (outer, wall) = (material.diameter?, material.wall?);
    let inner = (outer - wall * 2).max(Length::ZERO);
    let square_mm = std::f64::consts::FRAC_PI_4
        * (outer.to_mm() * outer.to_mm() - inner.to_mm() * inner.to_mm());
    Some(square_mm * material.length?.to_mm() / 1_000.0 * material.density?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn material(kind: MaterialKind) -> Material {
        Material {
            width: Some(Length::mm(1220.0)),
            length: Some(Length::mm(2440.0)),
            thickness: Some(Length::mm(12.0)),
            diameter: Some(Length::mm(400.0)),
            wall: Some(Length::mm(10.0)),
            density: Some(0.64),
            ..Material::bare("board", kind)
        }
    }

    fn of(material: &Material, amount: &str) -> f64 {
        kilograms(material, amount.parse().unwrap())
            .to_f64()
            .unwrap()
    }

    /// trade.md 9.2, C-1, computed there: 3.870 sheets of 12 mm plywood at 640 kg/m³ weigh 88.47 kg.
    #[test]
    fn plywood_weighs_by_its_thickness() {
        let found = of(&material(MaterialKind::Board), "3.870");
        assert!((found / 88.47 - 1.0).abs() < 1e-3, "{found}");
    }

    #[test]
    fn each_kind_weighs_by_what_is_known_of_it() {
        fn case(kind: MaterialKind, amount: &str, expected: f64) {
            let found = of(&material(kind), amount);
            assert!(
                (found - expected).abs() < 1e-3,
                "{kind:?}: {found}, not {expected}"
            );
        }
        case(MaterialKind::Liquid, "5000", 3.2);
        case(MaterialKind::Resin, "5000", 5.0);
        // π/4 (400² - 380²) mm² = 12,252.2 mm², 2.44 m long, 0.64 g/ml.
        case(MaterialKind::Tube, "1", 19.133);
        let paper = Material {
            grams_per_m2: Some(12.0),
            ..material(MaterialKind::Sheet)
        };
        assert!((of(&paper, "100") - 3.572).abs() < 1e-3);
        assert_eq!(of(&material(MaterialKind::Each), "7"), 0.0);
        let screw = Material {
            grams_each: Some(2.4),
            ..material(MaterialKind::Each)
        };
        assert!((of(&screw, "200") - 0.48).abs() < 1e-9);
    }
}
