//! What all crates take: boards and timber from cut plans, the rest by amount.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::catalog::Material;
use crate::catalog::Per;
use crate::diag::Problems;
use crate::job::Job;
use crate::recipe::Recipe;
use crate::recipe::steps::StepKind;
use crate::rolling::Counts;
use crate::rolling::number;
use crate::rolling::uses_per;
use crate::survey::Survey;
use crate::takeoff::CutUnit;
use crate::takeoff::Need;
use crate::units::Length;

use super::build;
use super::build::Build;
use super::build::Part;
use super::cut;
use super::fittings;
use super::outcome::Contents;
use super::outcome::Crate;

/// The crate step of the recipe of what lies together, an index of its steps; none where it is not crated.
pub(super) fn crate_step(job: &Job, survey: &Survey, panels: &[usize]) -> Option<usize> {
    let recipe = recipe_of(job, survey, *panels.first()?)?;
    recipe
        .steps
        .iter()
        .position(|step| step.kind == StepKind::Crate)
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
    /// Lengths of timber.
    timber: Vec<(String, Length)>,
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
            timber: Vec::new(),
            needs: Vec::new(),
            uncounted: BTreeSet::new(),
        }
    }

    /// Adds a crate with its pieces.
    pub(super) fn add(&mut self, made: &Crate, panels: &[usize], build: Build) {
        let kit = &self.job.catalog.crate_kit;
        let recipe = panels.first().and_then(|panel| self.recipe_of(*panel));
        let step = crate_step(self.job, self.survey, panels);
        let first = self.subjects.is_empty();
        self.subjects
            .insert(made.id.clone(), (panels.first().copied(), step));
        self.fittings(made, build.edges);
        self.uses(made, panels, recipe, first);
        self.parts
            .entry(&kit.board)
            .or_default()
            .extend(build.boards);
        self.parts.entry(&kit.foam).or_default().extend(build.foam);
        let stock = self
            .material(&kit.batten)
            .and_then(|batten| batten.length)
            .filter(|length| length.is_positive());
        if let Some(stock) = stock {
            self.timber.extend(
                build
                    .timber
                    .iter()
                    .flat_map(|batten| build::split_timber(batten, stock)),
            );
        }
    }

    fn material(&self, id: &str) -> Option<&'a Material> {
        self.job.catalog.materials.get(id)
    }

    fn recipe_of(&self, panel: usize) -> Option<&'a Recipe> {
        recipe_of(self.job, self.survey, panel)
    }

    /// Barrier, buffer and screws.
    fn fittings(&mut self, made: &Crate, edges: Length) {
        let kit = &self.job.catalog.crate_kit;
        if let Some(id) = &kit.barrier {
            let amount = self
                .material(id)
                .and_then(|film| fittings::barrier(film, made.inside));
            self.need(made, id, amount);
        }
        if let Some((id, grams)) = &kit.buffer {
            let grams = grams * fittings::cubic_metres(made.inside);
            let amount = self
                .material(id)
                .and_then(|buffer| fittings::of_grams(buffer, grams));
            self.need(made, id, amount);
        }
        if let Some((id, per_metre)) = &kit.screw {
            self.need(made, id, Some(per_metre * edges.to_m()));
        }
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

    /// Cuts boards and timber; each stock unit hangs on the crate of its first piece.
    pub(super) fn finish(mut self, problems: &mut Problems) -> (Vec<CutUnit>, Vec<Need>) {
        let kit = &self.job.catalog.crate_kit;
        let mut cuts = Vec::new();
        for (id, parts) in &self.parts {
            let Some(material) = self.material(id).filter(|_| !parts.is_empty()) else {
                continue;
            };
            cuts.extend(cut::boards(material, parts, kit.kerf));
        }
        if let Some(batten) = self
            .material(&kit.batten)
            .filter(|_| !self.timber.is_empty())
        {
            cuts.extend(cut::timber(batten, &self.timber, kit.kerf));
        }
        for unit in &cuts {
            let owner = unit
                .pieces
                .first()
                .and_then(|piece| piece.id.split(' ').next())
                .unwrap_or_default()
                .to_owned();
            self.push(&owner, &unit.material, 1.0);
        }
        self.say_what_is_unknown(problems);
        (cuts, self.needs)
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
