//! What activities share up to a capacity: equipment, then bays, then the air of each place in an hour.

use crate::recipe::Step;
use crate::solver::timetable::Hold;
use crate::solver::timetable::Resource;

use super::Given;
use super::draft::Draft;
use super::engine::whole;
use super::pace;
use super::standing;

/// Everything that is shared, in the order of the engine's numbers.
pub(super) fn all(given: &Given<'_>) -> Vec<Resource> {
    let resource = |capacity: i64| Resource {
        capacity,
        absences: Vec::new(),
    };
    let equipment = given.job.equipment.iter().map(|row| i64::from(row.count));
    let bays = given.job.planning.bays.iter().map(|_| 1);
    let air = (0..given.job.places.len()).map(|place| fresh(given, place).map_or(0, whole));
    equipment.chain(bays).chain(air).map(resource).collect()
}

/// The name of a shared thing.
pub(super) fn name(given: &Given<'_>, resource: usize) -> String {
    let (equipment, bays) = (&given.job.equipment, &given.job.planning.bays);
    let rest = resource.checked_sub(equipment.len());
    let place = rest.and_then(|rest| rest.checked_sub(bays.len()));
    match (
        equipment.get(resource),
        rest.and_then(|at| bays.get(at)),
        place,
    ) {
        (Some(row), _, _) => row.name.clone(),
        (None, Some(bay), _) => format!("bay {}", bay.name),
        (None, None, place) => {
            let site = place.and_then(|place| given.job.places.get(place));
            format!(
                "air of an hour at {}",
                site.map_or("", |site| site.name.as_str())
            )
        }
    }
}

/// What a draft takes while it lasts, and what is kept for those that stand on its tower.
pub(super) fn taken(
    given: &Given<'_>,
    draft: &Draft<'_>,
    step: &Step,
) -> (Vec<(usize, i64)>, Vec<Hold>) {
    let equipment = &given.job.equipment;
    let tower = standing::tower(given, draft);
    let mut taken = Vec::new();
    let mut holds = Vec::new();
    let mut stand = |resource: usize, units: i64| match draft.stands_until {
        Some(until) => holds.push(Hold {
            resource,
            units,
            until,
        }),
        None if draft.stands_on.is_some() => {}
        None => taken.push((resource, units)),
    };
    if let Some((tower, count)) = tower {
        stand(tower, i64::from(count));
    }
    let bay = standing::bay(given, draft).map(|bay| equipment.len() + bay);
    if let Some(bay) = bay.filter(|_| tower.is_some()) {
        stand(bay, 1);
    }
    for (name, count) in &step.equipment {
        let at = equipment.iter().position(|row| row.name == *name);
        let other = at.filter(|at| tower.is_none_or(|(tower, _)| tower != *at));
        taken.extend(other.map(|at| (at, i64::from(*count))));
    }
    taken.extend(bay.filter(|_| tower.is_none()).map(|bay| (bay, 1)));
    taken.extend(air(given, draft, step));
    (taken, holds)
}

/// The fresh air in an hour of a place.
fn fresh(given: &Given<'_>, place: usize) -> Option<f64> {
    let air = given.exposure.air.iter().find(|air| air.place == place)?;
    air.fresh_m3_h.filter(|fresh| *fresh >= 1.0)
}

/// The air that a draft takes in each hour, with the fastest crew.
fn air(given: &Given<'_>, draft: &Draft<'_>, step: &Step) -> Option<(usize, i64)> {
    let fresh = fresh(given, draft.place).filter(|_| draft.air_m3 > 0.0)?;
    let fastest = pace::minutes(draft, step).into_iter().min()?;
    let working = (fastest - i64::from(draft.moving)).max(1);
    let hours = f64::from(i32::try_from(working).unwrap_or(i32::MAX)) / 60.0;
    let at = given.job.equipment.len() + given.job.planning.bays.len() + draft.place;
    Some((at, whole(draft.air_m3 / hours).min(whole(fresh))))
}
