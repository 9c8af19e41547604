//! What a crate takes by area, volume and edge: vapour barrier, humidity buffer, screws.

use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::rolling::covering;
use crate::units::Length;
use crate::units::Unit;

/// How far widths of barrier film lap over each other, and its ends at the closing seam (workshop judgement).
const LAP: Length = Length::whole_mm(100);

/// Returns how much film wraps a crate's inside like a parcel, in the film's unit: round it once, folded over both ends.
pub(super) fn barrier(film: &Material, [long, wide, high]: [Length; 3]) -> Option<f64> {
    let round = (wide + high) * 2 + LAP;
    // Folding half the height over each end from both sides closes it.
    let across = long + high + LAP;
    if film.kind != MaterialKind::Roll {
        return covering(film, across, round);
    }
    let (width, length) = (film.width?, film.length?);
    let step = width - LAP;
    if !(step.is_positive() && length.is_positive()) {
        return None;
    }
    // n widths cover n · (width − lap) + lap.
    let widths = ((across - LAP).to_steps() + step.to_steps() - 1) / step.to_steps();
    Some(Length::steps(widths.max(1)).ratio(Length::steps(1)) * round.ratio(length))
}

/// Returns how much of a material is so many grams, in its own unit.
pub(super) fn of_grams(material: &Material, grams: f64) -> Option<f64> {
    let per_unit = match material.unit() {
        Unit::G => 1.0,
        Unit::Each => material.grams_each?,
        Unit::Ml => material.density?,
        Unit::Sheet | Unit::Roll => return None,
    };
    (per_unit > 0.0).then(|| grams / per_unit)
}

/// Volume inside in m³.
pub(super) fn cubic_metres(inside: [Length; 3]) -> f64 {
    inside.iter().map(|side| side.to_m()).product()
}
