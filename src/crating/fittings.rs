//! What a crate takes by face and volume: lining, vapour barrier, humidity buffer.

use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::job::Job;
use crate::rolling::covering;
use crate::units::Length;
use crate::units::Unit;

/// How far widths of barrier film lap over each other, and its ends at the closing seam (workshop judgement).
const LAP: Length = Length::whole_mm(100);

/// Every such material of the kit with how much of it a crate takes, in its own unit; none where that cannot be counted.
pub(super) fn all(job: &Job, inside: [Length; 3]) -> Vec<(&str, Option<f64>)> {
    let kit = &job.catalog.crate_kit;
    let find = |id: &String| job.catalog.materials.get(id);
    let mut amounts = Vec::new();
    if let Some(id) = &kit.lining {
        amounts.push((id.as_str(), find(id).and_then(|roll| lining(roll, inside))));
    }
    if let Some(id) = &kit.barrier {
        amounts.push((id.as_str(), find(id).and_then(|film| barrier(film, inside))));
    }
    if let Some((id, grams)) = &kit.buffer {
        let grams = grams * cubic_metres(inside);
        amounts.push((
            id.as_str(),
            find(id).and_then(|buffer| of_grams(buffer, grams)),
        ));
    }
    amounts
}

/// Returns how much of a roll lines all six boards, in its unit: strips round the body, and one piece at each end.
fn lining(roll: &Material, [long, wide, high]: [Length; 3]) -> Option<f64> {
    let round = (wide + high) * 2;
    let body = covering(roll, long, round)?.min(covering(roll, round, long)?);
    let end = covering(roll, wide, high)?.min(covering(roll, high, wide)?);
    Some(body + end + end)
}

/// Returns how much film wraps a crate's inside like a parcel, in the film's unit: round it once, folded over both ends.
fn barrier(film: &Material, [long, wide, high]: [Length; 3]) -> Option<f64> {
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
fn of_grams(material: &Material, grams: f64) -> Option<f64> {
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
