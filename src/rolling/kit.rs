//! What drums take besides tubes: interleaf, padding, covers, and whatever kit and recipe use up by the drum.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::f64::consts::PI;

use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::catalog::Per;
use crate::catalog::Use;
use crate::job::Job;
use crate::recipe::Recipe;
use crate::survey::Survey;
use crate::takeoff::Need;
use crate::units::Length;

use super::layers::roll_step;
use super::outcome::Drum;
use super::outcome::Rolled;
use super::outcome::TubeCut;
use super::serve::Dressing;
use super::tube::from_u64;

/// How many there are of what a use is counted by.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Counts {
    /// Square metres of painting.
    pub(crate) m2: f64,
    /// Metres of edge.
    pub(crate) edge_m: f64,
    /// Panels.
    pub(crate) panels: f64,
    /// Drums.
    pub(crate) drums: f64,
    /// Crates.
    pub(crate) crates: f64,
    /// The job, on its first drum or crate only.
    pub(crate) jobs: f64,
}

impl Counts {
    /// The counts of so many panels of the survey.
    pub(crate) fn of_panels(survey: &Survey, panels: &[usize]) -> Self {
        let found: Vec<_> = panels
            .iter()
            .filter_map(|index| survey.panels.get(*index))
            .collect();
        Self {
            m2: found.iter().map(|panel| panel.area.to_m2()).sum(),
            edge_m: found.iter().map(|panel| panel.edge.to_m()).sum(),
            panels: number(found.len()),
            ..Self::default()
        }
    }

    /// The amount of a use in the material's unit; none where work decides it, or where a roll's size is not known.
    pub(crate) fn amount(&self, used: &Use, material: &Material) -> Option<f64> {
        let roll = material.kind == MaterialKind::Roll;
        let (count, unit) = match used.per {
            Per::M2 if roll => (self.m2, (material.width? * material.length?).to_m2()),
            Per::MEdge if roll => (self.edge_m, material.length?.to_m()),
            Per::M2 => (self.m2, 1.0),
            Per::MEdge => (self.edge_m, 1.0),
            Per::Panel => (self.panels, 1.0),
            Per::Drum => (self.drums, 1.0),
            Per::Crate => (self.crates, 1.0),
            Per::Job => (self.jobs, 1.0),
            Per::PersonHour | Per::PersonDay | Per::Batch => return None,
        };
        (unit > 0.0).then(|| used.rate * count / unit)
    }
}

/// A count as a fraction.
pub(crate) fn number(count: usize) -> f64 {
    u64::try_from(count).map_or(0.0, from_u64)
}

/// Returns how much of a flat material covers a rectangle, in its own unit; none where its size is not known or it is not flat.
///
/// Rolls run along, in as many whole widths side by side as it takes; sheets and boards go by area.
pub(crate) fn covering(material: &Material, across: Length, along: Length) -> Option<f64> {
    let (width, length) = (material.width?, material.length?);
    if !(width.is_positive() && length.is_positive() && across.is_positive() && along.is_positive())
    {
        return None;
    }
    match material.kind {
        MaterialKind::Roll => {
            let widths = across.to_steps() / width.to_steps()
                + i64::from(across.to_steps() % width.to_steps() != 0);
            Some(Length::steps(widths).ratio(Length::steps(1)) * along.ratio(length))
        }
        MaterialKind::Sheet | MaterialKind::Board => {
            Some(across.ratio(width) * along.ratio(length))
        }
        MaterialKind::Liquid
        | MaterialKind::Resin
        | MaterialKind::Tube
        | MaterialKind::Timber
        | MaterialKind::Each => None,
    }
}

/// Gathers needs; materials whose size is not known are kept apart for one note each.
#[derive(Debug, Default)]
pub(super) struct Kit {
    /// What is needed.
    pub(super) needs: Vec<Need>,
    /// Materials that could not be counted.
    pub(super) uncounted: BTreeSet<String>,
}

/// What a drum is called, and the panel and recipe that its needs hang on.
#[derive(Clone, Copy)]
struct Subject<'a> {
    drum: &'a Drum,
    panel: Option<usize>,
    recipe: Option<&'a Recipe>,
}

impl Kit {
    /// Adds a stock tube for every one that is cut.
    pub(super) fn tubes(&mut self, job: &Job, survey: &Survey, drums: &[Drum], cuts: &[TubeCut]) {
        let by_id: BTreeMap<&str, &Drum> =
            drums.iter().map(|drum| (drum.id.as_str(), drum)).collect();
        for cut in cuts {
            let Some(drum) = cut
                .pieces
                .first()
                .and_then(|(id, _)| by_id.get(id.as_str()))
            else {
                continue;
            };
            self.add(&subject(job, survey, drum), &cut.material, Some(1.0));
        }
    }

    /// Adds what one drum takes.
    pub(super) fn drum(
        &mut self,
        job: &Job,
        survey: &Survey,
        dressing: &Dressing,
        drum: &Drum,
        first: bool,
    ) {
        let subject = subject(job, survey, drum);
        let kit = &job.catalog.drum_kit;
        let find = |id: &Option<String>| id.as_ref().and_then(|id| job.catalog.materials.get(id));
        if let Some(interleaf) = find(&kit.interleaf) {
            let sheets = drum
                .panels
                .iter()
                .map(|rolled| interleaf_of(survey, dressing, interleaf, rolled));
            self.add(&subject, &interleaf.id, sheets.sum());
        }
        let round = |diameter: Length| diameter.times(PI);
        if let Some(padding) = find(&kit.padding) {
            self.add(
                &subject,
                &padding.id,
                covering(padding, drum.face, round(drum.diameter)),
            );
        }
        if let Some(cover) = find(&kit.cover) {
            let tube = covering(cover, drum.face, round(drum.diameter));
            let roll = covering(cover, drum.face, round(drum.outside_diameter));
            self.add(
                &subject,
                &cover.id,
                tube.zip(roll).map(|(tube, roll)| tube + roll),
            );
        }
        self.uses(job, survey, &subject, first);
    }

    /// Adds what kit and recipe use up by the drum.
    fn uses(&mut self, job: &Job, survey: &Survey, subject: &Subject<'_>, first: bool) {
        let panels: Vec<usize> = subject
            .drum
            .panels
            .iter()
            .map(|rolled| rolled.panel)
            .collect();
        let counts = Counts {
            drums: 1.0,
            jobs: f64::from(u8::from(first)),
            ..Counts::of_panels(survey, &panels)
        };
        for used in &job.catalog.drum_kit.uses {
            let amount = job
                .catalog
                .materials
                .get(&used.material)
                .and_then(|material| counts.amount(used, material));
            self.add(subject, &used.material, amount);
        }
        for (step, used) in uses_per(subject.recipe, Per::Drum) {
            self.needs.push(Need {
                material: used.material.clone(),
                amount: used.rate,
                panel: subject.panel,
                step: Some(step),
                because: format!("drum/{}", subject.drum.id),
            });
        }
    }

    fn add(&mut self, subject: &Subject<'_>, material: &str, amount: Option<f64>) {
        let Some(amount) = amount.filter(|amount| amount.is_finite()) else {
            self.uncounted.insert(material.to_owned());
            return;
        };
        if amount > 0.0 {
            self.needs.push(Need {
                material: material.to_owned(),
                amount,
                panel: subject.panel,
                step: subject.recipe.and_then(roll_step),
                because: format!("drum/{}", subject.drum.id),
            });
        }
    }
}

/// What a recipe uses up by the drum or crate, with the step of each.
pub(crate) fn uses_per(recipe: Option<&Recipe>, per: Per) -> impl Iterator<Item = (usize, &Use)> {
    let steps = recipe
        .into_iter()
        .flat_map(|recipe| recipe.steps.iter().enumerate());
    steps
        .flat_map(|(index, step)| step.uses.iter().map(move |used| (index, used)))
        .filter(move |(_, used)| used.per == per)
}

fn subject<'a>(job: &'a Job, survey: &Survey, drum: &'a Drum) -> Subject<'a> {
    let panel = drum.panels.first().map(|rolled| rolled.panel);
    let row = panel
        .and_then(|panel| survey.panels.get(panel))
        .and_then(|panel| job.panels.get(panel.row));
    Subject {
        drum,
        panel,
        recipe: row.and_then(|row| job.recipe_of(row)),
    }
}

/// The interleaf under one painting, standing out on every side.
fn interleaf_of(
    survey: &Survey,
    dressing: &Dressing,
    interleaf: &Material,
    rolled: &Rolled,
) -> Option<f64> {
    let panel = survey.panels.get(rolled.panel)?;
    let along = if rolled.along_width {
        panel.width
    } else {
        panel.height
    };
    let out = dressing.interleaf_margin + dressing.interleaf_margin;
    covering(
        interleaf,
        rolled.across + out,
        along + dressing.leader + dressing.leader + out,
    )
}
