//! What a step follows on its panel: the step above or those that it names, with drying, and the way between places.

use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::schedule::Given;
use crate::schedule::draft::Before;

use super::Chains;

/// Minutes on the clock from the end of work at one place to its start at another: things are moved overnight (our assumption).
const MOVE_MINUTES: u32 = 12 * 60;

/// Minutes on the clock from the end of work at one place to its start at another, the road included.
pub(in crate::schedule) fn moving_minutes(given: &Given<'_>) -> u32 {
    MOVE_MINUTES + travel_days(given) * 24 * 60
}

/// Whole days on the road between the places.
pub(in crate::schedule) fn travel_days(given: &Given<'_>) -> u32 {
    let days = given.job.places.iter().map(|site| site.travel_days);
    days.max().unwrap_or(0)
}

/// Where a panel's chain stands.
#[derive(Clone, Debug, Default)]
pub(super) struct Standing {
    /// What stands for each step so far: its draft, or for a step that the panel does not have, what it would have followed.
    pub(super) of_step: Vec<Vec<usize>>,
    /// Drafts of its facing, with the minutes each takes to cure.
    pub(super) facing: Vec<(usize, u32)>,
    /// The step at which the chain goes on.
    pub(super) next: usize,
}

impl Standing {
    /// Notes the drafts that stand for a step.
    pub(super) fn stands_for(&mut self, step: usize, drafts: Vec<usize>) {
        if self.of_step.len() <= step {
            self.of_step.resize(step + 1, Vec::new());
        }
        if let Some(known) = self.of_step.get_mut(step) {
            *known = drafts;
        }
    }
}

impl Chains<'_, '_> {
    /// The links to what a step follows on its panel: the drying of each, and a night where the work moves to another place.
    pub(super) fn followed(
        &self,
        panel: usize,
        recipe: &Recipe,
        at: usize,
        step: &Step,
        place: usize,
    ) -> Vec<Before> {
        let drafts = self.before(panel, recipe, at, step);
        let links = drafts.into_iter().filter_map(|number| {
            let draft = self.drafts.get(number)?;
            let dry = draft
                .step
                .and_then(|(at, _)| self.drying.get(&(draft.recipe, at)))
                .map_or(0, |drying| drying.dry_minutes);
            let moved = if draft.place == place {
                0
            } else {
                moving_minutes(self.given)
            };
            Some(Before {
                draft: number,
                dry: dry.max(moved),
                within: step.within_minutes,
            })
        });
        links.collect()
    }

    /// The drafts of what a step follows on its panel: the step above, or the steps that it names.
    pub(super) fn before(
        &self,
        panel: usize,
        recipe: &Recipe,
        at: usize,
        step: &Step,
    ) -> Vec<usize> {
        let Some(standing) = self.standing.get(panel) else {
            return Vec::new();
        };
        let of = |step: usize| standing.of_step.get(step).cloned().unwrap_or_default();
        let Some(names) = &step.after else {
            return at.checked_sub(1).map(of).unwrap_or_default();
        };
        let named = recipe.steps.iter().enumerate();
        let named = named.filter(|(_, known)| names.contains(&known.id));
        let mut drafts: Vec<usize> = named.flat_map(|(at, _)| of(at)).collect();
        drafts.sort_unstable();
        drafts.dedup();
        drafts
    }
}
