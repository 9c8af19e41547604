//! A loaded drum with its figures: strain, turns, mass, sag, and where each painting lies.

use std::cmp::Reverse;

use crate::units::Length;
use crate::units::Mass;

use super::assign::Loaded;
use super::least_diameter;
use super::outcome::Drum;
use super::outcome::Rolled;
use super::serve;
use super::serve::Dressing;
use super::serve::Roll;
use super::serve::Winding;
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
    let outside = loaded.outside();
    let bare = (tube.grams_per_mm + dressing.grams_per_mm(tube)) * loaded.face.to_mm();
    let grams = bare
        + loaded
            .rolls
            .iter()
            .map(|(_, winding)| winding.grams)
            .sum::<f64>();
    let sag = serve::bear(tube, loaded.face, loaded.heaviest(), dressing).unwrap_or(0.0);
    Some(Drum {
        id: format!("D{number}"),
        tube: tube.id().to_owned(),
        diameter: tube.diameter,
        face: loaded.face,
        least_diameter: on_it.iter().map(|roll| roll.bending.least_diameter).max()?,
        strain,
        strain_limit: tightest.bending.limit,
        reserve: tightest.bending.reserve,
        turns: loaded
            .rolls
            .iter()
            .map(|(_, winding)| winding.turns)
            .fold(0.0, f64::max),
        outside_diameter: outside,
        mass: Mass::g(grams),
        deflection: Length::mm(sag),
        loads: serve::loads(tube, loaded.face, loaded.heaviest(), grams, dressing),
        panels: rolled(loaded, (rolls, tube), dressing),
    })
}

/// The panels from one end of the face to the other, an end margin apart, in the order in which they are rolled: as they stand in the
/// job, but what is needed later at the other end before what is needed first.
fn rolled(
    loaded: &Loaded,
    (rolls, tube): (&[Roll<'_>], &Tube<'_>),
    dressing: &Dressing,
) -> Vec<Rolled> {
    let mut start = dressing.margin;
    let mut panels = Vec::new();
    let found = loaded.rolls.iter();
    let mut order: Vec<(&Roll<'_>, &Winding)> = found
        .filter_map(|(index, winding)| Some((rolls.get(*index)?, winding)))
        .collect();
    order.sort_by_key(|(roll, _)| (Reverse(roll.return_order.unwrap_or(u32::MAX)), roll.panel));
    for (roll, winding) in order {
        let across = winding.across;
        let last_turn = winding.outside.to_mm() - 2.0 * dressing.wrap(roll);
        let strain = |diameter: f64| {
            least_diameter::worst_strain(&roll.bends, diameter.max(tube.diameter.to_mm()))
                .map_or(0.0, |(_, strain)| strain)
        };
        panels.push(Rolled {
            panel: roll.panel,
            along_width: winding.along_width,
            turns: winding.turns,
            strain: strain(0.0),
            last_strain: strain(last_turn),
            start,
            across,
        });
        start += across + dressing.margin;
    }
    panels
}
