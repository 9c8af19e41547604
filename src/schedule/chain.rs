//! Recipe steps × panels to drafts that follow one another: by panel, by crate, and across all panels where a step waits for all.

use std::collections::BTreeMap;

use crate::crating::Contents;
use crate::diag::Ledger;
use crate::exposure::Drying;
use crate::recipe::Order;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::recipe::steps::StepKind;
use crate::recipe::steps::Subject;

use super::Given;
use super::arrival::Arrivals;
use super::draft::Before;
use super::draft::Draft;
use super::draft::place_of;
use super::work;
use super::work::Laid;
use super::work::Shares;

/// Minutes on the clock from the end of work at one place to its start at another: things are moved overnight (our assumption).
const MOVE_MINUTES: u32 = 12 * 60;

/// Makes the drafts of the whole job, earlier ones before those that follow them on the same panel.
pub(super) fn drafts<'a>(given: &Given<'a>, ledger: &mut Ledger) -> Vec<Draft<'a>> {
    let mut chains = Chains::new(given);
    for panel in 0..given.survey.panels.len() {
        chains.begin(panel, ledger);
    }
    for packing in 0..given.crating.crates.len() {
        chains.pack(packing, ledger);
    }
    for panel in 0..given.survey.panels.len() {
        chains.end(panel, ledger);
    }
    chains.wait_for_all();
    chains.drafts
}

/// Where a panel's chain stands.
#[derive(Clone, Debug, Default)]
struct Standing {
    /// The last draft of the chain.
    last: Option<usize>,
    /// Drafts of its facing, with the minutes each takes to cure.
    facing: Vec<(usize, u32)>,
    /// The step at which the chain goes on.
    next: usize,
}

struct Chains<'a, 'b> {
    given: &'b Given<'a>,
    laid: Laid,
    drying: BTreeMap<(&'a str, usize), &'a Drying>,
    arrivals: Arrivals<'a>,
    air: BTreeMap<(usize, usize), f64>,
    /// The drum of each panel and how many panels are on it; the crate of each panel and how many are in it.
    drum_mates: Vec<usize>,
    crate_of: Vec<Option<(usize, usize)>>,
    /// Panels that stay flat and are never rolled.
    flat: Vec<bool>,
    standing: Vec<Standing>,
    /// Panels that have the step, for work counted once a job.
    begun: BTreeMap<(&'a str, usize), usize>,
    /// Drafts that wait for the step above on all panels, and all drafts, by recipe and step.
    waiting: Vec<(&'a str, usize, usize)>,
    by_step: BTreeMap<(&'a str, usize), Vec<usize>>,
    drafts: Vec<Draft<'a>>,
}

impl<'a, 'b> Chains<'a, 'b> {
    fn new(given: &'b Given<'a>) -> Self {
        let count = given.survey.panels.len();
        let mut chains = Self {
            given,
            laid: work::laid(given),
            drying: given
                .exposure
                .drying
                .iter()
                .map(|row| ((row.recipe.as_str(), row.step), row))
                .collect(),
            arrivals: Arrivals::of(given.job),
            air: air(given),
            drum_mates: vec![1; count],
            crate_of: vec![None; count],
            flat: vec![false; count],
            standing: vec![Standing::default(); count],
            begun: BTreeMap::new(),
            waiting: Vec::new(),
            by_step: BTreeMap::new(),
            drafts: Vec::new(),
        };
        chains.look_up_mates();
        chains
    }

    fn look_up_mates(&mut self) {
        for drum in &self.given.rolling.drums {
            for rolled in &drum.panels {
                if let Some(mates) = self.drum_mates.get_mut(rolled.panel) {
                    *mates = drum.panels.len();
                }
            }
        }
        for flat in &self.given.rolling.flats {
            if let Some(is_flat) = self.flat.get_mut(flat.panel) {
                *is_flat = true;
            }
        }
        for (at, packed) in self.given.crating.crates.iter().enumerate() {
            let members = self.members(at);
            for &panel in &members {
                if let Some(known) = self.crate_of.get_mut(panel) {
                    *known = Some((at, members.len()));
                }
            }
            debug_assert!(!packed.id.is_empty());
        }
    }

    /// The panels in a crate.
    fn members(&self, packing: usize) -> Vec<usize> {
        match self
            .given
            .crating
            .crates
            .get(packing)
            .map(|packed| &packed.contents)
        {
            Some(Contents::Drums(drums)) => {
                let drums = drums
                    .iter()
                    .filter_map(|&at| self.given.rolling.drums.get(at));
                drums
                    .flat_map(|drum| drum.panels.iter().map(|rolled| rolled.panel))
                    .collect()
            }
            Some(Contents::Flats(flats)) => flats.clone(),
            None => Vec::new(),
        }
    }

    fn recipe_of(&self, panel: usize) -> Option<&'a Recipe> {
        let row = self
            .given
            .job
            .panels
            .get(self.given.survey.panels.get(panel)?.row)?;
        self.given.job.recipe_of(row)
    }

    /// The steps of a panel before its crate is packed.
    fn begin(&mut self, panel: usize, ledger: &mut Ledger) {
        let Some(recipe) = self.recipe_of(panel) else {
            return;
        };
        for (at, step) in recipe.steps.iter().enumerate() {
            if step.kind.rule().subject == Subject::Crate
                && self.crate_of.get(panel).is_some_and(Option::is_some)
            {
                return;
            }
            self.add(panel, recipe, at, step, ledger);
        }
    }

    /// The packing of one crate: after the last step of everything in it.
    fn pack(&mut self, packing: usize, ledger: &mut Ledger) {
        let members = self.members(packing);
        let found = members.iter().find_map(|&panel| {
            let recipe = self.recipe_of(panel)?;
            let step = self.standing.get(panel)?.next;
            Some((panel, recipe, step, recipe.steps.get(step)?))
        });
        let Some((first, recipe, at, step)) = found else {
            return;
        };
        let place = place_of(self.given, step);
        let after: Vec<Before> = members
            .iter()
            .filter_map(|&panel| self.last_of(panel, place, step.within_minutes))
            .collect();
        let shares = Shares {
            drum: 1.0,
            packing: 1.0,
            job: 1.0,
        };
        let id = self
            .given
            .crating
            .crates
            .get(packing)
            .map_or("", |packed| packed.id.as_str());
        let draft = Draft {
            id: format!("{id}/{}", step.id),
            panel: None,
            packing: Some(packing),
            recipe: &recipe.id,
            step: Some((at, step)),
            place,
            work: work::minutes(self.given, &self.laid, first, at, step, shares, ledger),
            earliest: self.arrivals.earliest(recipe, step),
            air_m3: 0.0,
            clears_wall: true,
            after,
        };
        let number = self.push(draft, &recipe.id, at);
        for panel in members {
            if let Some(standing) = self.standing.get_mut(panel) {
                standing.last = Some(number);
                standing.next += 1;
            }
        }
    }

    /// The steps of a panel after its crate was packed.
    fn end(&mut self, panel: usize, ledger: &mut Ledger) {
        let Some(recipe) = self.recipe_of(panel) else {
            return;
        };
        let from = self.standing.get(panel).map_or(0, |standing| standing.next);
        for (at, step) in recipe.steps.iter().enumerate().skip(from) {
            self.add(panel, recipe, at, step, ledger);
        }
    }

    /// The link to a panel's last draft: its drying, and a night where the work moves to another place.
    fn last_of(&self, panel: usize, place: usize, within: Option<u32>) -> Option<Before> {
        let last = self.standing.get(panel)?.last?;
        let draft = self.drafts.get(last)?;
        let dry = draft
            .step
            .and_then(|(at, _)| self.drying.get(&(draft.recipe, at)))
            .map_or(0, |drying| drying.dry_minutes);
        let moved = if draft.place == place {
            0
        } else {
            MOVE_MINUTES
        };
        Some(Before {
            draft: last,
            dry: dry.max(moved),
            within,
        })
    }

    fn add(
        &mut self,
        panel: usize,
        recipe: &'a Recipe,
        at: usize,
        step: &'a Step,
        ledger: &mut Ledger,
    ) {
        if let Some(standing) = self.standing.get_mut(panel) {
            standing.next = at + 1;
        }
        if step.kind == StepKind::Roll && self.flat.get(panel).copied().unwrap_or(false) {
            return;
        }
        let place = place_of(self.given, step);
        let mut after: Vec<Before> = self
            .last_of(panel, place, step.within_minutes)
            .into_iter()
            .collect();
        if step.kind.rule().loads_facing {
            let facing = self
                .standing
                .get(panel)
                .map_or(&[][..], |standing| &standing.facing);
            after.extend(facing.iter().map(|&(draft, cures)| Before {
                draft,
                dry: cures,
                within: None,
            }));
        }
        let shares = self.shares(panel, &recipe.id, at);
        let id = self
            .given
            .survey
            .panels
            .get(panel)
            .map_or("", |panel| panel.id.as_str());
        let draft = Draft {
            id: format!("{id}/{}", step.id),
            panel: Some(panel),
            packing: None,
            recipe: &recipe.id,
            step: Some((at, step)),
            place,
            work: work::minutes(self.given, &self.laid, panel, at, step, shares, ledger),
            earliest: self.arrivals.earliest(recipe, step),
            air_m3: self.air.get(&(panel, at)).copied().unwrap_or(0.0),
            clears_wall: clears_wall(recipe, at),
            after,
        };
        let number = self.push(draft, &recipe.id, at);
        let cures = self
            .drying
            .get(&(recipe.id.as_str(), at))
            .map_or(0, |drying| drying.cures_minutes);
        if let Some(standing) = self.standing.get_mut(panel) {
            standing.last = Some(number);
            if matches!(step.kind, StepKind::Layer | StepKind::Coat) {
                standing.facing.push((number, cures));
            }
        }
        if step.order == Order::All && at > 0 {
            self.waiting.push((&recipe.id, at, number));
        }
    }

    fn push(&mut self, draft: Draft<'a>, recipe: &'a str, at: usize) -> usize {
        let number = self.drafts.len();
        self.drafts.push(draft);
        self.by_step.entry((recipe, at)).or_default().push(number);
        number
    }

    fn shares(&mut self, panel: usize, recipe: &'a str, at: usize) -> Shares {
        let first = *self.begun.entry((recipe, at)).or_insert(panel) == panel;
        let drum = self.drum_mates.get(panel).copied().unwrap_or(1);
        let packing = self
            .crate_of
            .get(panel)
            .copied()
            .flatten()
            .map_or(1, |(_, mates)| mates);
        let share = |mates: usize| 1.0 / f64::from(u32::try_from(mates.max(1)).unwrap_or(u32::MAX));
        Shares {
            drum: share(drum),
            packing: share(packing),
            job: if first { 1.0 } else { 0.0 },
        }
    }

    /// Puts a barrier between a step and the step above on all panels, so that links grow with the panels and not with their square.
    fn wait_for_all(&mut self) {
        let mut barriers: BTreeMap<(&str, usize), usize> = BTreeMap::new();
        for (recipe, at, draft) in std::mem::take(&mut self.waiting) {
            let barrier = *barriers
                .entry((recipe, at))
                .or_insert_with(|| self.barrier(recipe, at));
            if let Some(draft) = self.drafts.get_mut(draft) {
                draft.after.push(Before::directly(barrier));
            }
        }
    }

    fn barrier(&mut self, recipe: &'a str, at: usize) -> usize {
        let above = self
            .by_step
            .get(&(recipe, at - 1))
            .cloned()
            .unwrap_or_default();
        let dry = self
            .drying
            .get(&(recipe, at - 1))
            .map_or(0, |drying| drying.dry_minutes);
        let place = above
            .first()
            .and_then(|&first| self.drafts.get(first))
            .map_or(0, |draft| draft.place);
        self.drafts.push(Draft {
            id: format!("{recipe}/{at}"),
            panel: None,
            packing: None,
            recipe,
            step: None,
            place,
            work: 0,
            earliest: 0,
            air_m3: 0.0,
            clears_wall: false,
            after: above
                .into_iter()
                .map(|draft| Before {
                    draft,
                    dry,
                    within: None,
                })
                .collect(),
        });
        self.drafts.len() - 1
    }
}

/// Air that each step on each panel takes up: for health where general ventilation can do it, else for fire alone, since local extraction
/// and respirators then look after health.
fn air(given: &Given<'_>) -> BTreeMap<(usize, usize), f64> {
    let extracted = |place: usize| {
        given
            .exposure
            .air
            .iter()
            .any(|air| air.place == place && air.needs_extraction)
    };
    let rows = given.exposure.vapours.iter().map(|vapour| {
        let air = if extracted(vapour.place) {
            vapour.fire_air_m3
        } else {
            vapour.health_air_m3.max(vapour.fire_air_m3)
        };
        ((vapour.panel, vapour.step), air)
    });
    rows.collect()
}

/// The wall is clear once a panel has been released, rolled and packed; what follows (in the studio, or the remount) does not count. A
/// recipe without a release counts as a whole.
fn clears_wall(recipe: &Recipe, at: usize) -> bool {
    let clearing = |step: &Step| {
        matches!(
            step.kind,
            StepKind::Release | StepKind::Roll | StepKind::Crate
        )
    };
    if !recipe
        .steps
        .iter()
        .any(|step| step.kind == StepKind::Release)
    {
        return true;
    }
    recipe
        .steps
        .iter()
        .rposition(clearing)
        .is_none_or(|last| at <= last)
}
