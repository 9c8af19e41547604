//! Shapes and recipes to sheets, solutions and whatever else is used.
//!
//! *In*: job and survey. *Out*: [`Takeoff`]. *Rules*: sheets cover every point with at least the overlap, seams of
//! neighbouring layers keep their distance, stock is counted by cut plans, solution by the area of sheet laid.

mod cutting;
mod explain;
mod kept;
mod layout;
mod near;
mod outcome;
mod region;
mod sections;
mod sheets;
mod solution;
mod stock;
mod uses;
mod wall;

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::sync::Arc;

use crate::diag::Ledger;
use crate::diag::Problems;
use crate::job::Job;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::survey::Panel;
use crate::survey::Survey;
use crate::units::Area;

pub use cutting::KeptCuts;
pub use outcome::CutFrom;
pub use outcome::CutLine;
pub use outcome::CutPiece;
pub use outcome::CutTotal;
pub use outcome::CutUnit;
pub use outcome::LaidLayer;
pub use outcome::Need;
pub use outcome::Part;
pub use outcome::Piece;
pub use outcome::SolutionNeed;
pub use outcome::Takeoff;
pub use outcome::Way;
pub use sections::Section;

use sheets::Laid;
use solution::Mix;
use uses::Done;
use uses::Uses;

/// Works out what every step takes on every panel: sheets laid and cut, solutions mixed, whatever else is used.
///
/// Drums, crates, person-hours, person-days and batches are counted by the stages that know them. Facing sheets and rolls
/// are counted by the cut plans alone, resin and solvent by the solutions alone; neither is among the needs. Cut plans that `kept` has from
/// a job before are not searched for again.
pub fn take_off(
    job: &Job,
    survey: &Survey,
    kept: &mut KeptCuts,
    ledger: &mut Ledger,
    problems: &mut Problems,
) -> Takeoff {
    let laid = lay_panels(job, survey, problems);
    let layers = laid_layers(job, survey, &laid);
    explain::layers(job, survey, &laid, ledger);
    let cuts = cutting::cut_all(job, &layers, kept);
    for (material, _) in cuts.iter().filter(|(_, cuts)| cuts.unplaced > 0) {
        let text = format!("some pieces of `{material}` are larger than its stock");
        problems.error(None, text, "check the material's `width` and `length`");
    }
    explain::cuts(job, &layers, &cuts, ledger);
    let (solutions, uses) = by_step(job, survey, &laid, problems);
    explain::solutions(job, survey, &solutions, ledger);
    uses.record(job, ledger);
    Takeoff {
        layers,
        cut_totals: cuts.values().map(|cuts| cuts.total.clone()).collect(),
        offcuts: kept::offcuts(job, &cuts),
        cuts: cuts.into_values().flat_map(|cuts| cuts.units).collect(),
        solutions,
        needs: uses.needs,
    }
}

/// Lays every layer of every panel, without cutting its pieces from stock: the part of [`take_off`] that a benchmark times.
pub fn lay_out(job: &Job, survey: &Survey, problems: &mut Problems) -> Vec<LaidLayer> {
    laid_layers(job, survey, &lay_panels(job, survey, problems))
}

fn lay_panels(job: &Job, survey: &Survey, problems: &mut Problems) -> Vec<Arc<Vec<Laid>>> {
    let laid = sheets::lay_all(job, survey, problems);
    near::warn(job, survey, &laid, problems);
    laid
}

/// Every layer of every panel with its pieces named.
fn laid_layers(job: &Job, survey: &Survey, laid: &[Arc<Vec<Laid>>]) -> Vec<LaidLayer> {
    let mut layers = Vec::new();
    for (index, (panel, stack)) in survey.panels.iter().zip(laid).enumerate() {
        let Some(recipe) = sheets::recipe_of(job, panel) else {
            continue;
        };
        for layer in stack.iter() {
            let Some(step) = recipe.steps.get(layer.step) else {
                continue;
            };
            layers.push(laid_layer(index, panel, step, layer));
        }
    }
    layers
}

fn laid_layer(index: usize, panel: &Panel, step: &Step, layer: &Laid) -> LaidLayer {
    let named = |(number, rect): (usize, &crate::geometry::Rect)| Piece {
        id: format!("{}-{}-{:02}", panel.id, layer.layer, number + 1),
        x: rect.x,
        y: rect.y,
        width: rect.width,
        height: rect.height,
    };
    LaidLayer {
        panel: index,
        step: layer.step,
        layer: layer.layer,
        material: step.material.clone().unwrap_or_default(),
        way: layer.layout.way,
        overlap: layer.overlap,
        seam_distance: step.seam_distance,
        canvas_seam_distance: step.canvas_seam_distance,
        longest_piece: step.longest_piece,
        laying: step.laying,
        bands: layer.bands.clone(),
        region: layer.region.clone(),
        pieces: layer.layout.pieces.iter().enumerate().map(named).collect(),
        laid: layer.area,
    }
}

/// Solutions and uses of every step on every panel.
fn by_step(
    job: &Job,
    survey: &Survey,
    laid: &[Arc<Vec<Laid>>],
    problems: &mut Problems,
) -> (Vec<SolutionNeed>, Uses) {
    let mixes = mixes(job, survey, problems);
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let mut solutions = Vec::new();
    let mut uses = Uses::default();
    for (index, (panel, stack)) in survey.panels.iter().zip(laid).enumerate() {
        let Some(recipe) = sheets::recipe_of(job, panel) else {
            continue;
        };
        let first = seen.insert(&recipe.id);
        for (number, step) in recipe.steps.iter().enumerate() {
            let sheet = stack
                .iter()
                .find(|layer| layer.step == number)
                .map(|layer| layer.area);
            solutions.extend(solution_need(
                &mixes,
                recipe,
                (number, step),
                index,
                sheet.unwrap_or(panel.area),
            ));
            uses.add(
                job,
                Done {
                    recipe: &recipe.id,
                    step,
                    number,
                    panel: (index, panel),
                    laid: sheet,
                    first,
                },
            );
        }
    }
    (solutions, uses)
}

/// The mix of every solution in use, by recipe and solution.
type Mixes<'a> = BTreeMap<(&'a str, &'a str), Mix>;

fn mixes<'a>(job: &'a Job, survey: &Survey, problems: &mut Problems) -> Mixes<'a> {
    let mut mixes = BTreeMap::new();
    let mut done: BTreeSet<&str> = BTreeSet::new();
    for recipe in survey
        .panels
        .iter()
        .filter_map(|panel| sheets::recipe_of(job, panel))
    {
        if !done.insert(&recipe.id) {
            continue;
        }
        for solution in &recipe.solutions {
            match Mix::of(solution, &job.catalog) {
                Ok(mix) => {
                    mixes.insert((recipe.id.as_str(), solution.id.as_str()), mix);
                }
                Err(solution::NoDensity(material)) => {
                    let text = format!(
                        "recipe `{}`, solution `{}`: the density of `{material}` is not known, so it cannot be mixed by volume",
                        recipe.id, solution.id
                    );
                    problems.error(None, text, "write `density_g_ml` in the materials table");
                }
            }
        }
    }
    mixes
}

fn solution_need(
    mixes: &Mixes<'_>,
    recipe: &Recipe,
    (number, step): (usize, &Step),
    panel: usize,
    area: Area,
) -> Option<SolutionNeed> {
    let id = step.solution.as_deref()?;
    let mix = mixes.get(&(recipe.id.as_str(), id))?;
    let mass = solution::mass_for(area, step.spread?, step.waste.to_f64());
    Some(SolutionNeed {
        panel,
        step: number,
        solution: id.to_owned(),
        mass,
        parts: mix.parts(mass),
    })
}
