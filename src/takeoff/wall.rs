//! What a wall itself asks of the sheets on it: the canvas's own seams, and the reach from each lift of the scaffold.

use std::sync::Arc;

use crate::geometry::Chord;
use crate::job::Job;
use crate::recipe::PlaceRole;
use crate::recipe::Recipe;
use crate::survey::Panel;
use crate::units::Length;

/// What a wall asks of the sheets on it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Wall {
    /// Where the canvas has its own upright seams; none where no layer keeps away from them.
    pub seams: Arc<[Length]>,
    /// The reach from each lift, in the panel's own heights, from below; none where one reaches everything.
    pub bands: Arc<[Chord]>,
}

impl Wall {
    /// Looks at a panel, and at what its recipe heeds.
    pub(super) fn of(job: &Job, panel: &Panel, recipe: &Recipe) -> Self {
        let row = job.panels.get(panel.row);
        let heeded = |step: &crate::recipe::Step| step.canvas_seam_distance.is_positive();
        let seams = row
            .filter(|_| recipe.steps.iter().any(heeded))
            .map_or(&[][..], |row| &row.seams);
        let floor = row.map_or(Length::ZERO, |row| row.height_above_floor);
        Self {
            seams: Arc::from(seams),
            bands: bands(job, -floor, panel.height),
        }
    }
}

/// The reach from each lift: from a boundary to the next, and past both as far as hands reach.
///
/// Only boundaries within the panel count. `floor` is the height of the floor as the panel sees it.
fn bands(job: &Job, floor: Length, height: Length) -> Arc<[Chord]> {
    let site = job.places.iter().find(|site| site.role == PlaceRole::Site);
    let Some(site) = site else {
        return Arc::from([]);
    };
    let within = |at: &Length| at.is_positive() && *at < height;
    let heights = site.lifts.iter().map(|lift| floor + *lift);
    let inner: Vec<Length> = heights.filter(within).collect();
    if inner.is_empty() {
        return Arc::from([]);
    }
    let (lowest, highest) = (Length::steps(i64::MIN / 4), Length::steps(i64::MAX / 4));
    let from = std::iter::once(lowest).chain(inner.iter().map(|at| *at - site.lift_reach));
    let to = inner.iter().map(|at| *at + site.lift_reach);
    from.zip(to.chain(std::iter::once(highest)))
        .map(|(from, to)| Chord { from, to })
        .collect()
}
