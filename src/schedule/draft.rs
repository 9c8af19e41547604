//! An activity before it has a date.

use std::ops::Range;

use crate::recipe::Step;
use crate::recipe::When;

use super::Given;

/// One step on one panel or crate, a part of one, or a barrier that waits for many.
#[derive(Clone, Debug, Default)]
pub(super) struct Draft<'a> {
    /// Unique, e.g. `N1/tissue`.
    pub(super) id: String,
    /// The panel, an index of the survey.
    pub(super) panel: Option<usize>,
    /// The crate, an index of the crates.
    pub(super) packing: Option<usize>,
    /// The recipe's id.
    pub(super) recipe: &'a str,
    /// The step with its index; none for a barrier, which is no work and is not shown.
    pub(super) step: Option<(usize, &'a Step)>,
    /// The place, an index of the job's places.
    pub(super) place: usize,
    /// The sheets that it lays, indexes of the layer's pieces, where the layer is parted into day sections.
    pub(super) sheets: Option<Range<usize>>,
    /// Person-minutes that are left.
    pub(super) work: u32,
    /// Person-minutes of the whole step, what is done of it included.
    pub(super) whole: u32,
    /// Minutes from the origin before which its materials cannot lie ready.
    pub(super) earliest: i64,
    /// Minutes from the origin before which the job holds it back.
    pub(super) held_from: i64,
    /// Air that its vapour takes up in m³, at the place's planning limit.
    pub(super) air_m3: f64,
    /// Minutes that the hour's air lets it take at least.
    pub(super) air_minutes: u32,
    /// Minutes to move the tower in before it starts.
    pub(super) moving: u32,
    /// The last draft that stands on the tower that is moved in for this one.
    pub(super) stands_until: Option<usize>,
    /// The earlier draft that the tower was moved in for on which it stands.
    pub(super) stands_on: Option<usize>,
    /// Whether part of it is done already.
    pub(super) begun: bool,
    /// The minute at which it was finished, where it is done already.
    pub(super) done: Option<i64>,
    /// The minute at which it has to start.
    pub(super) fixed: Option<i64>,
    /// The minute by which it has to end.
    pub(super) latest: Option<i64>,
    /// Whether the wall is not clear before it is done.
    pub(super) clears_wall: bool,
    /// What it follows.
    pub(super) after: Vec<Before>,
}

impl Draft<'_> {
    /// The number of the calendar it is worked in: one a place for all working hours, for daylight and for the cool hours.
    pub(super) fn calendar(&self) -> usize {
        let hours = self.step.map_or(When::Any, |(_, step)| step.when);
        self.place * When::ALL.len()
            + When::ALL
                .iter()
                .position(|when| *when == hours)
                .unwrap_or(0)
    }
}

/// That a draft follows another.
#[derive(Clone, Copy, Debug)]
pub(super) struct Before {
    /// The earlier draft.
    pub(super) draft: usize,
    /// Least minutes on the clock between.
    pub(super) dry: u32,
    /// Most minutes on the clock between.
    pub(super) within: Option<u32>,
}

impl Before {
    /// Directly after a draft.
    pub(super) const fn directly(draft: usize) -> Self {
        Self {
            draft,
            dry: 0,
            within: None,
        }
    }
}

/// The first place of the role that a step is done in; the first of all where the job has none.
pub(super) fn place_of(given: &Given<'_>, step: &Step) -> usize {
    given
        .job
        .places
        .iter()
        .position(|site| site.role == step.place)
        .unwrap_or(0)
}
