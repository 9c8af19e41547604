//! What a pack weighs, for freight.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::units::Length;

/// Returns the mass of an amount of a material in kilograms; nothing where the catalogue does not say.
pub(super) fn kilograms(material: &Material, amount: Decimal) -> f64 {
    let amount = amount.to_f64().unwrap_or(0.0);
    let grams = match material.kind {
        MaterialKind::Resin => Some(1.0),
        MaterialKind::Liquid => material.density,
        MaterialKind::Each => material.grams_each,
        MaterialKind::Tube => tube(material),
        MaterialKind::Sheet | MaterialKind::Roll | MaterialKind::Board | MaterialKind::Timber => flat(material),
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
    let square_mm = std::f64::consts::FRAC_PI_4 * (outer.to_mm() * outer.to_mm() - inner.to_mm() * inner.to_mm());
    Some(square_mm * material.length?.to_mm() / 1_000.0 * material.density?)
}
