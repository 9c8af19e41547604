//! Recipe steps × panels to drafts that follow one another: by panel, by crate, and across all panels where a step waits for all.

mod links;

pub(super) use links::moving_minutes;
pub(super) use links::travel_days;

use std::collections::BTreeMap;

use crate::catalog::Per;
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
use super::progress::Known;
use super::work;
use super::work::Laid;
use super::work::Shares;
use links::Standing;

/// Makes the drafts of the whole job, earlier ones before those that follow them on the same panel.
pub(super) fn drafts<'a>(
    given: &Given<'a>,
    known: &Known<'_>,
    ledger: &mut Ledger,
) -> Vec<Draft<'a>> {
    let mut chains = Chains::new(given, known);
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

/// A draft that waits for a step on all panels, with what it follows on its own.
type Waiting = (usize, Vec<Before>);

struct Chains<'a, 'b> {
    given: &'b Given<'a>,
    known: &'b Known<'b>,
    laid: Laid,
    drying: BTreeMap<(&'a str, usize), &'a Drying>,
    arrivals: Arrivals<'a>,
    air: BTreeMap<(usize, usize), f64>,
    /// The drum of each panel and how many panels are on it; the crate of each panel and how many are in it.
    drum_of: Vec<Option<(usize, usize)>>,
    crate_of: Vec<Option<(usize, usize)>>,
    /// Panels that stay flat and are never rolled.
    flat: Vec<bool>,
    standing: Vec<Standing>,
    /// The first draft of each step of each recipe: it does the work that is counted once a job.
    first: BTreeMap<(&'a str, usize), usize>,
    /// Drafts that wait for the step above on all panels, by recipe and step, each with what it follows on its own panel.
    waiting: BTreeMap<(&'a str, usize), Vec<Waiting>>,
    drafts: Vec<Draft<'a>>,
}

impl<'a, 'b> Chains<'a, 'b> {
    fn new(given: &'b Given<'a>, known: &'b Known<'b>) -> Self {
        let count = given.survey.panels.len();
        let mut chains = Self {
            given,
            known,
            laid: work::laid(given),
            drying: given
                .exposure
                .drying
                .iter()
                .map(|row| ((row.recipe.as_str(), row.step), row))
                .collect(),
            arrivals: Arrivals::of(given),
            air: air(given),
            drum_of: vec![None; count],
            crate_of: vec![None; count],
            flat: vec![false; count],
            standing: vec![Standing::default(); count],
            first: BTreeMap::new(),
            waiting: BTreeMap::new(),
            drafts: Vec::new(),
        };
        chains.look_up_mates();
        chains
    }

    fn look_up_mates(&mut self) {
        for (at, drum) in self.given.rolling.drums.iter().enumerate() {
            for rolled in &drum.panels {
                if let Some(known) = self.drum_of.get_mut(rolled.panel) {
                    *known = Some((at, drum.panels.len()));
                }
            }
        }
        for flat in &self.given.rolling.flats {
            if let Some(is_flat) = self.flat.get_mut(flat.panel) {
                *is_flat = true;
            }
        }
        for at in 0..self.given.crating.crates.len() {
            let members = self.members(at);
            for &panel in &members {
                if let Some(known) = self.crate_of.get_mut(panel) {
                    *known = Some((at, members.len()));
                }
            }
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
            .flat_map(|&panel| {
                // Panels on other recipes have the step elsewhere among theirs.
                let own = self.recipe_of(panel).unwrap_or(recipe);
                let next = self.standing.get(panel).map_or(at, |known| known.next);
                let its = own.steps.get(next).unwrap_or(step);
                self.followed(panel, own, next, its, place)
            })
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
        let work = work::minutes(self.given, &self.laid, first, at, step, shares, ledger);
        let draft = Draft {
            id: format!("{id}/{}", step.id),
            packing: Some(packing),
            recipe: &recipe.id,
            step: Some((at, step)),
            place,
            work: left_of(work, self.known.left(id, &step.id)),
            whole: work,
            earliest: self
                .arrivals
                .earliest(recipe, step, Some(&format!("crate/{id}")))
                .max(self.known.from),
            done: self.known.finished(self.given, id, step, place),
            clears_wall: true,
            after,
            ..Draft::default()
        };
        let number = self.push(draft);
        for panel in members {
            if let Some(standing) = self.standing.get_mut(panel) {
                standing.stands_for(standing.next, vec![number]);
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

    fn add(
        &mut self,
        panel: usize,
        recipe: &'a Recipe,
        at: usize,
        step: &'a Step,
        ledger: &mut Ledger,
    ) {
        let before = self.before(panel, recipe, at, step);
        let skipped = step.kind == StepKind::Roll && self.flat.get(panel) == Some(&true);
        if let Some(standing) = self.standing.get_mut(panel) {
            standing.next = at + 1;
            if skipped {
                standing.stands_for(at, before);
            }
        }
        if skipped {
            return;
        }
        let place = place_of(self.given, step);
        let own = self.followed(panel, recipe, at, step, place);
        let mut after = own.clone();
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
        let first = self.first.get(&(recipe.id.as_str(), at)).copied();
        if let Some(first) = first.filter(|_| step.work.iter().any(|work| work.per == Per::Job)) {
            after.push(Before::directly(first));
        }
        let shares = self.shares(panel, first.is_none());
        let id = self
            .given
            .survey
            .panels
            .get(panel)
            .map_or("", |panel| panel.id.as_str());
        let work = work::minutes(self.given, &self.laid, panel, at, step, shares, ledger);
        let left = self.known.left(id, &step.id);
        let draft = Draft {
            id: format!("{id}/{}", step.id),
            panel: Some(panel),
            recipe: &recipe.id,
            step: Some((at, step)),
            place,
            begun: left < 1.0,
            work: left_of(work, left),
            whole: work,
            earliest: self
                .arrivals
                .earliest(recipe, step, self.kit(panel, step).as_deref())
                .max(self.known.from),
            air_m3: self.air.get(&(panel, at)).copied().unwrap_or(0.0) * left,
            done: self.known.finished(self.given, id, step, place),
            clears_wall: clears_wall(recipe, at),
            after,
            ..Draft::default()
        };
        let number = self.push(draft);
        self.first.entry((&recipe.id, at)).or_insert(number);
        let cures = self
            .drying
            .get(&(recipe.id.as_str(), at))
            .map_or(0, |drying| drying.cures_minutes);
        if let Some(standing) = self.standing.get_mut(panel) {
            standing.stands_for(at, vec![number]);
            if matches!(step.kind, StepKind::Layer | StepKind::Coat) {
                standing.facing.push((number, cures));
            }
        }
        if step.order == Order::All && at > 0 {
            let waiting = self.waiting.entry((&recipe.id, at)).or_default();
            waiting.push((number, own));
        }
    }

    fn push(&mut self, draft: Draft<'a>) -> usize {
        self.drafts.push(draft);
        self.drafts.len() - 1
    }

    /// What explains the materials of the drum that a step rolls its panel on.
    fn kit(&self, panel: usize, step: &Step) -> Option<String> {
        let (drum, _) = self.drum_of.get(panel).copied().flatten()?;
        let drum = self.given.rolling.drums.get(drum)?;
        (step.kind == StepKind::Roll).then(|| format!("drum/{}", drum.id))
    }

    fn shares(&self, panel: usize, first: bool) -> Shares {
        let share = |mates: Option<&Option<(usize, usize)>>| {
            let mates = mates.copied().flatten().map_or(1, |(_, mates)| mates);
            1.0 / f64::from(u32::try_from(mates.max(1)).unwrap_or(u32::MAX))
        };
        Shares {
            drum: share(self.drum_of.get(panel)),
            packing: share(self.crate_of.get(panel)),
            job: if first { 1.0 } else { 0.0 },
        }
    }

    /// Puts a barrier between a step and what comes before it on all panels, so that links grow with the panels and not with their square.
    fn wait_for_all(&mut self) {
        for ((recipe, at), waiting) in std::mem::take(&mut self.waiting) {
            let place = waiting
                .first()
                .and_then(|(first, _)| self.drafts.get(*first))
                .map_or(0, |draft| draft.place);
            let above = waiting.iter().flat_map(|(_, own)| own.iter().copied());
            let barrier = self.push(Draft {
                id: format!("{recipe}/{at}"),
                recipe,
                place,
                after: above
                    .map(|last| Before {
                        within: None,
                        ..last
                    })
                    .collect(),
                ..Draft::default()
            });
            for (draft, _) in waiting {
                if let Some(draft) = self.drafts.get_mut(draft) {
                    draft.after.push(Before::directly(barrier));
                }
            }
        }
    }
}

/// Person-minutes that are left of a step that is done in part.
fn left_of(work: u32, left: f64) -> u32 {
    work::rounded_up(f64::from(work) * left)
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
