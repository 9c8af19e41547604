//! Towers: which steps one standing serves, when it has to be moved, and which panels one bay reaches.

use super::Given;
use super::draft::Draft;

/// Notes for every draft whether its tower is moved in, and which later draft still stands on it.
///
/// A step that follows another on the same panel without drying between stays on the tower; the tower is kept for it. Before every other
/// step it is moved, which takes the equipment's moving time at the start of the step.
pub(super) fn set_up(given: &Given<'_>, drafts: &mut [Draft<'_>]) {
    let mut begun_by: Vec<Option<usize>> = vec![None; drafts.len()];
    for at in 0..drafts.len() {
        let Some((draft, tower)) = drafts
            .get(at)
            .and_then(|draft| Some((draft, tower(given, draft)?)))
        else {
            continue;
        };
        let minutes = given
            .job
            .equipment
            .get(tower.0)
            .map_or(0, |row| row.moving_minutes);
        let mut stays = draft
            .after
            .iter()
            .filter(|before| before.dry == 0)
            .filter_map(|before| {
                let earlier = drafts.get(before.draft)?;
                let same = earlier.panel.is_some()
                    && earlier.panel == draft.panel
                    && earlier.place == draft.place
                    && earlier.done.is_none()
                    && self::tower(given, earlier) == Some(tower);
                same.then_some(before.draft)
            });
        let first = stays
            .next()
            .and_then(|earlier| begun_by.get(earlier).copied().flatten().or(Some(earlier)));
        if let Some(known) = begun_by.get_mut(at) {
            *known = first;
        }
        match first {
            Some(first) => {
                if let Some(draft) = drafts.get_mut(first) {
                    draft.stands_until = Some(at);
                }
                if let Some(draft) = drafts.get_mut(at) {
                    draft.stands = true;
                }
            }
            None => {
                if let Some(draft) = drafts.get_mut(at) {
                    draft.moving = minutes;
                }
            }
        }
    }
}

/// The equipment of a draft that takes time to move, with how many.
pub(super) fn tower(given: &Given<'_>, draft: &Draft<'_>) -> Option<(usize, u32)> {
    let (_, step) = draft.step.filter(|_| draft.done.is_none())?;
    step.equipment.iter().find_map(|(name, count)| {
        let at = given
            .job
            .equipment
            .iter()
            .position(|row| row.name == *name)?;
        let row = given.job.equipment.get(at)?;
        (row.moving_minutes > 0).then_some((at, *count))
    })
}

/// The bay that a draft stands in: that of its panel, where the step holds the bay's tower.
pub(super) fn bay(given: &Given<'_>, draft: &Draft<'_>) -> Option<usize> {
    let (_, step) = draft.step.filter(|_| draft.done.is_none())?;
    let row = given.survey.panels.get(draft.panel?)?.row;
    let at = given
        .job
        .planning
        .bay_of(&given.job.panels.get(row)?.panel)?;
    let bay = given.job.planning.bays.get(at)?;
    step.equipment
        .iter()
        .any(|(name, _)| *name == bay.tower)
        .then_some(at)
}
