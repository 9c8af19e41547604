//! What all crates take: boards and timber from cut plans, the rest by amount.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::catalog::Material;
use crate::catalog::Per;
use crate::diag::Problems;
use crate::job::Job;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::recipe::steps::StepKind;
use crate::rolling::Counts;
use crate::rolling::number;
use crate::rolling::uses_per;
use crate::survey::Survey;
use crate::takeoff::CutFrom;
use crate::takeoff::Need;
use crate::units::Length;

use super::build;
use super::build::Build;
use super::build::Part;
use super::cut;
use super::fittings;
use super::outcome::Contents;
use super::outcome::Crate;
use super::outcome::Crating;
use super::packed::Packed;
use super::price::Prices;
use super::rests::Rests;
use super::tray;

/// The crate step of the recipe of what lies together, an index of its steps; none where it is not crated.
pub(super) fn crate_step(job: &Job, survey: &Survey, panels: &[usize]) -> Option<usize> {
    let recipe = recipe_of(job, survey, *panels.first()?)?;
    recipe
        .steps
        .iter()
        .position(|step| step.kind == StepKind::Crate)
}

/// The crate step itself.
pub(super) fn step_of_crate<'a>(
    job: &'a Job,
    survey: &Survey,
    panels: &[usize],
) -> Option<&'a Step> {
    let recipe = recipe_of(job, survey, *panels.first()?)?;
    recipe.steps.get(crate_step(job, survey, panels)?)
}

fn recipe_of<'a>(job: &'a Job, survey: &Survey, panel: usize) -> Option<&'a Recipe> {
    job.recipe_of(job.panels.get(survey.panels.get(panel)?.row)?)
}

/// Gathers what crates take.
#[derive(Debug)]
pub(super) struct Packing<'a> {
    job: &'a Job,
    survey: &'a Survey,
    /// The panel and step that a crate's needs hang on.
    subjects: BTreeMap<String, (Option<usize>, Option<usize>)>,
    /// Rectangles by material.
    parts: BTreeMap<&'a str, Vec<Part>>,
    /// Lengths of timber by material.
    timber: BTreeMap<&'a str, Vec<(String, Length)>>,
    needs: Vec<Need>,
    uncounted: BTreeSet<String>,
}

impl<'a> Packing<'a> {
    /// Begins with nothing.
    pub(super) fn new(job: &'a Job, survey: &'a Survey) -> Self {
        Self {
            job,
            survey,
            subjects: BTreeMap::new(),
            parts: BTreeMap::new(),
            timber: BTreeMap::new(),
            needs: Vec::new(),
            uncounted: BTreeSet::new(),
        }
    }

    /// Adds a crate with its pieces.
    pub(super) fn add(&mut self, made: &Crate, panels: &[usize], packed: Packed) {
        let kit = &self.job.catalog.crate_kit;
        let recipe = panels.first().and_then(|panel| self.recipe_of(*panel));
        let step = crate_step(self.job, self.survey, panels);
        let first = self.subjects.is_empty();
        self.subjects
            .insert(made.id.clone(), (panels.first().copied(), step));
        if packed.shell.boards.is_empty() {
            self.uncounted.insert(kit.board.clone());
        }
        for (id, amount) in fittings::all(self.job, made.inside) {
            self.need(made, id, amount);
        }
        let edges = packed.shell.edges + packed.trays.edges;
        if let Some((id, per_metre)) = &kit.screw {
            self.need(made, id, Some(per_metre * edges.to_m()));
        }
        if let Some((id, per_metre)) = &kit.bolt {
            self.need(made, id, Some(per_metre * packed.shell.lid.to_m()));
        }
        self.uses(made, panels, recipe, first);
        self.pieces(packed.shell);
        self.pieces(packed.trays);
    }

    /// Adds pieces to what is cut of each material.
    fn pieces(&mut self, build: Build) {
        let kit = &self.job.catalog.crate_kit;
        for (id, parts) in [
            (kit.board.as_str(), build.boards),
            (tray::support(self.job), build.supports),
            (kit.foam.as_str(), build.foam),
        ] {
            self.parts.entry(id).or_default().extend(parts);
        }
        let skid = kit.skid.as_ref().unwrap_or(&kit.batten);
        for (id, pieces) in [(&kit.batten, build.timber), (skid, build.skids)] {
            let Some(longest) = cut::longest(self.job, id) else {
                continue;
            };
            let pieces = pieces
                .iter()
                .flat_map(|piece| build::split_timber(piece, longest));
            self.timber.entry(id).or_default().extend(pieces);
        }
    }

    fn material(&self, id: &str) -> Option<&'a Material> {
        self.job.catalog.materials.get(id)
    }

    fn recipe_of(&self, panel: usize) -> Option<&'a Recipe> {
        recipe_of(self.job, self.survey, panel)
    }

    /// What kit and recipe use up by the crate.
    fn uses(&mut self, made: &Crate, panels: &[usize], recipe: Option<&'a Recipe>, first: bool) {
        let drums = match &made.contents {
            Contents::Drums(drums) => drums.len(),
            Contents::Flats(_) => 0,
        };
        let counts = Counts {
            drums: number(drums),
            crates: 1.0,
            jobs: f64::from(u8::from(first)),
            ..Counts::of_panels(self.survey, panels)
        };
        for used in &self.job.catalog.crate_kit.uses {
            let amount = self
                .material(&used.material)
                .and_then(|material| counts.amount(used, material));
            self.need(made, &used.material, amount);
        }
        for (step, used) in uses_per(recipe, Per::Crate) {
            self.needs.push(Need {
                material: used.material.clone(),
                amount: used.rate,
                panel: panels.first().copied(),
                step: Some(step),
                because: format!("crate/{}", made.id),
            });
        }
    }

    fn need(&mut self, made: &Crate, material: &str, amount: Option<f64>) {
        match amount.filter(|amount| amount.is_finite()) {
            Some(amount) if amount > 0.0 => self.push(&made.id, material, amount),
            Some(_) => {}
            None => {
                self.uncounted.insert(material.to_owned());
            }
        }
    }

    fn push(&mut self, id: &str, material: &str, amount: f64) {
        let (panel, step) = self.subjects.get(id).copied().unwrap_or_default();
        self.needs.push(Need {
            material: material.to_owned(),
            amount,
            panel,
            step,
            because: format!("crate/{id}"),
        });
    }

    /// Cuts boards and timber; each whole unit hangs on the crate of its first piece. Crates and bare contents stay empty.
    pub(super) fn finish(mut self, prices: &Prices<'_>, problems: &mut Problems) -> Crating {
        let kerf = self.job.catalog.crate_kit.kerf;
        let (mut cuts, mut bounds) = (Vec::new(), Vec::new());
        let mut rests = Rests::of(self.job);
        for (id, parts) in &self.parts {
            let Some(material) = self.material(id).filter(|_| !parts.is_empty()) else {
                continue;
            };
            let (units, bound) = cut::boards(material, parts, kerf, (prices, &mut rests));
            cuts.extend(units);
            bounds.extend(bound);
        }
        for (id, pieces) in &self.timber {
            if !pieces.is_empty() {
                let (units, bound) = cut::timber(self.job, id, pieces, (prices, &mut rests));
                cuts.extend(units);
                bounds.extend(bound);
            }
        }
        let mut owned: BTreeMap<(&str, &str), f64> = BTreeMap::new();
        for unit in cuts.iter().filter(|unit| unit.from != CutFrom::Offcut) {
            let owner = unit
                .pieces
                .first()
                .and_then(|piece| piece.id.split(' ').next());
            *owned
                .entry((owner.unwrap_or_default(), unit.material.as_str()))
                .or_default() += 1.0;
        }
        for ((owner, material), amount) in owned {
            self.push(owner, material, amount);
        }
        self.say_what_is_unknown(problems);
        Crating {
            cuts,
            cut_bounds: bounds,
            offcuts: rests.all(),
            needs: self.needs,
            ..Crating::default()
        }
    }

    fn say_what_is_unknown(&self, problems: &mut Problems) {
        let kit = &self.job.catalog.crate_kit;
        let flat = |id: &str| {
            self.material(id)
                .is_some_and(|m| m.width.is_some() && m.length.is_some() && m.thickness.is_some())
        };
        let unsized_ids = [&kit.board, &kit.batten, &kit.foam]
            .into_iter()
            .filter(|id| !flat(id));
        let ids: BTreeSet<&String> = self
            .uncounted
            .iter()
            .chain(unsized_ids.filter(|_| !self.subjects.is_empty()))
            .collect();
        for id in ids {
            problems.note(
                None,
                format!("how much of `{id}` the crates take cannot be counted"),
                "give its width, length and thickness in materials.csv, or count its use by the crate, drum, panel, m2 or m-edge",
            );
        }
    }
}
