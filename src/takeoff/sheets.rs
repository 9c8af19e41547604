//! Every layer of every panel laid; panels of one shape and recipe are laid once.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::diag::Problems;
use crate::geometry::Chord;
use crate::geometry::Region;
use crate::job::Job;
use crate::recipe::PlaceRole;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::survey::Panel;
use crate::survey::Survey;
use crate::units::Area;
use crate::units::Length;

use super::layout::Frames;
use super::layout::Layout;
use super::layout::Search;
use super::layout::Task;
use super::layout::lay_stack;
use super::region;
use super::stock;
use super::stock::Stock;
use super::stock::Stocks;
use super::wall;

/// More pieces on one layer than anybody lays: sizes in the wrong unit, not a wall.
const MOST_PIECES: f64 = 200_000.0;

/// One layer of a distinct panel.
#[derive(Debug)]
pub(super) struct Laid {
    /// The step, an index of the recipe.
    pub step: usize,
    /// 1 is next to the paint.
    pub layer: u32,
    /// What is covered.
    pub region: Arc<Region>,
    /// Least overlap of outer edges: the recipe's, and both feathered edges where the material is torn.
    pub overlap: Length,
    /// The reach from each lift of the scaffold.
    pub bands: Arc<[Chord]>,
    /// The pieces.
    pub layout: Arc<Layout>,
    /// Their area together.
    pub area: Area,
    /// The first panel laid so.
    pub first: usize,
}

/// The layers of every panel of the survey, those alike shared.
pub(super) fn lay_all(job: &Job, survey: &Survey, problems: &mut Problems) -> Vec<Arc<Vec<Laid>>> {
    let stocks = stock::of_steps(job, survey, problems);
    let mut distinct = BTreeMap::new();
    let mut order: Vec<(usize, &Panel, &Recipe)> = Vec::new();
    let mut which = Vec::with_capacity(survey.panels.len());
    for (index, panel) in survey.panels.iter().enumerate() {
        let Some(recipe) = recipe_of(job, panel) else {
            which.push(None);
            continue;
        };
        let wall = wall::Wall::of(job, panel, recipe);
        let key = (&panel.outline, &panel.openings, &recipe.id, wall);
        let place = *distinct.entry(key).or_insert_with(|| {
            order.push((index, panel, recipe));
            order.len() - 1
        });
        which.push(Some(place));
    }
    let search = Search::within_means(order.len());
    let laid: Vec<Arc<Vec<Laid>>> = order
        .iter()
        .map(|&(index, panel, recipe)| {
            Arc::new(lay_panel(
                job,
                (index, panel),
                recipe,
                &stocks,
                search,
                problems,
            ))
        })
        .collect();
    let nothing = Arc::new(Vec::new());
    which
        .into_iter()
        .map(|place| {
            place
                .and_then(|place| laid.get(place))
                .unwrap_or(&nothing)
                .clone()
        })
        .collect()
}

/// The recipe of a surveyed panel.
pub(super) fn recipe_of<'a>(job: &'a Job, panel: &Panel) -> Option<&'a Recipe> {
    job.panels.get(panel.row).and_then(|row| job.recipe_of(row))
}

/// Regions of one panel by margin and lap, each prepared for laying.
type Regions = BTreeMap<(Length, Length), (Arc<Region>, Arc<Frames>)>;

/// Lays the layers of one panel.
fn lay_panel(
    job: &Job,
    (index, panel): (usize, &Panel),
    recipe: &Recipe,
    stocks: &Stocks<'_>,
    search: Search,
    problems: &mut Problems,
) -> Vec<Laid> {
    let wall = wall::Wall::of(job, panel, recipe);
    let mut regions = Regions::new();
    let mut tasks = Vec::new();
    let mut steps = Vec::new();
    for (number, step) in recipe.steps.iter().enumerate() {
        let Some(stock) = stocks.get(&(recipe.id.as_str(), number)) else {
            continue;
        };
        let (region, frames) = regions
            .entry((step.margin, step.opening_lap))
            .or_insert_with(|| {
                let region = region::to_cover(panel, step.margin, step.opening_lap);
                let frames = Arc::new(Frames::new(&region));
                (Arc::new(region), frames)
            });
        if region.is_empty() {
            warn_of_nothing(job, panel, recipe, step, problems);
        }
        if !takes_a_sensible_number(job, panel, recipe, step, stock, region, problems) {
            continue;
        }
        steps.push((number, region.clone()));
        tasks.push(task(frames, stock, step, &wall));
    }
    let search = tasks
        .iter()
        .fold(search, |search, task| search.for_shape(&task.frames));
    let layouts = lay_stack(&tasks, search);
    let layers = (1..).zip(steps).zip(tasks).zip(layouts);
    layers
        .map(|(((layer, (step, region)), task), layout)| Laid {
            step,
            layer,
            region,
            overlap: task.overlap,
            bands: task.bands,
            area: layout.area(),
            layout,
            first: index,
        })
        .collect()
}

fn task(frames: &Arc<Frames>, stock: &Stock, step: &Step, wall: &wall::Wall) -> Task {
    Task {
        frames: frames.clone(),
        material: stock.material,
        form: stock.form,
        direction: step.direction,
        overlap: stock.overlap,
        seam_distance: step.seam_distance.max(Length::ZERO),
        trim: step.trim.max(Length::ZERO),
        longest: step.longest_piece,
        canvas: wall.seams.clone(),
        canvas_distance: step.canvas_seam_distance.max(Length::ZERO),
        bands: if step.place == PlaceRole::Site {
            wall.bands.clone()
        } else {
            Arc::from([])
        },
        laying: step.laying,
    }
}

fn takes_a_sensible_number(
    job: &Job,
    panel: &Panel,
    recipe: &Recipe,
    step: &Step,
    stock: &Stock,
    region: &Region,
    problems: &mut Problems,
) -> bool {
    let side = |side: Length| step.longest_piece.map_or(side, |longest| side.min(longest));
    let gain = |stock_side| side(stock_side) - stock.overlap;
    let gain = gain(stock.form.width) * gain(stock.form.length);
    let pieces = region.area().to_m2() / gain.to_m2();
    if pieces <= MOST_PIECES {
        return true;
    }
    let text = format!(
        "panel `{}`, recipe `{}`, step `{}`: the layer would take about {pieces:.0} pieces",
        panel.id, recipe.id, step.id
    );
    let at = job.panels.get(panel.row).map(|row| row.at.clone());
    problems.error(at, text, "check the units of the panel and of the material");
    false
}

fn warn_of_nothing(
    job: &Job,
    panel: &Panel,
    recipe: &Recipe,
    step: &Step,
    problems: &mut Problems,
) {
    let text = format!(
        "panel `{}`, recipe `{}`, step `{}`: with a margin of {} mm the layer covers nothing",
        panel.id,
        recipe.id,
        step.id,
        step.margin.to_mm()
    );
    let at = job.panels.get(panel.row).map(|row| row.at.clone());
    problems.warning(
        at,
        text,
        "give the panel a recipe whose layers stay less far inside the edge",
    );
}
