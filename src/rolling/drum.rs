//! A loaded drum with its figures: strain, turns, mass, sag, and where each painting lies.

use crate::units::Length;
use crate::units::Mass;

use super::assign::Loaded;
use super::least_diameter;
use super::outcome::Drum;
use super::outcome::Rolled;
use super::serve;
use super::serve::Dressing;
use super::serve::Roll;
use super::tube::Tube;

/// Makes a numbered drum of a loaded one.
pub(super) fn drum(
    number: usize,
    loaded: &Loaded,
    (rolls, tubes): (&[Roll<'_>], &[Tube<'_>]),
    dressing: &Dressing,
) -> Option<Drum> {
    let tube = tubes.get(loaded.tube)?;
    let on_it: Vec<&Roll<'_>> = loaded
        .rolls
        .iter()
        .filter_map(|(index, _)| rolls.get(*index))
        .collect();
    let strains = on_it.iter().filter_map(|roll| {
        Some((
            roll,
            least_diameter::worst_strain(&roll.bends, tube.diameter.to_mm())?.1,
        ))
    });
    let left = |roll: &Roll<'_>, strain: f64| roll.bending.limit / roll.bending.reserve / strain;
    let (tightest, strain) = strains.min_by(|a, b| left(a.0, a.1).total_cmp(&left(b.0, b.1)))?;
    let bare = (tube.grams_per_mm + dressing.grams_per_mm(tube)) * loaded.face.to_mm();
    let sag = serve::bear(tube, loaded.face, loaded.heaviest(), dressing).unwrap_or(0.0);
    Some(Drum {
        id: format!("D{number}"),
        tube: tube.id().to_owned(),
        diameter: tube.diameter,
        face: loaded.face,
        least_diameter: on_it.iter().map(|roll| roll.bending.least_diameter).max()?,
        strain,
        strain_limit: tightest.bending.limit,
        turns: loaded
            .rolls
            .iter()
            .map(|(_, winding)| winding.turns)
            .fold(0.0, f64::max),
        outside_diameter: loaded.outside(),
        mass: Mass::g(
            bare + loaded
                .rolls
                .iter()
                .map(|(_, winding)| winding.grams)
                .sum::<f64>(),
        ),
        deflection: Length::mm(sag),
        panels: rolled(loaded, rolls, dressing),
    })
}

/// The panels from one end of the face to the other, an end margin apart.
fn rolled(loaded: &Loaded, rolls: &[Roll<'_>], dressing: &Dressing) -> Vec<Rolled> {
    let mut start = dressing.margin;
    let mut panels = Vec::new();
    for (index, winding) in &loaded.rolls {
        let Some(roll) = rolls.get(*index) else {
            continue;
        };
        let across = winding.across;
        panels.push(Rolled {
            panel: roll.panel,
            along_width: winding.along_width,
            turns: winding.turns,
            start,
            across,
        });
        start += across + dressing.margin;
    }
    panels
}
