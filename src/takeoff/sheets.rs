//! Every layer of every panel laid; panels of one shape and recipe are laid once.

use std::collections::BTreeMap;
use std::rc::Rc;

use crate::catalog::Grain;
use crate::catalog::MaterialKind;
use crate::diag::Problems;
use crate::diag::count;
use crate::geometry::Region;
use crate::job::Job;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::survey::Panel;
use crate::survey::Survey;
use crate::units::Area;
use crate::units::Length;

use super::layout::Form;
use super::layout::Frames;
use super::layout::Layout;
use super::layout::Search;
use super::layout::Task;
use super::layout::lay_stack;
use super::region;

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
    pub region: Region,
    /// The pieces.
    pub layout: Rc<Layout>,
    /// Their area together.
    pub area: Area,
    /// The first panel laid so.
    pub first: usize,
}

/// The layers of every panel of the survey, those alike shared.
pub(super) fn lay_all(job: &Job, survey: &Survey, problems: &mut Problems) -> Vec<Rc<Vec<Laid>>> {
    let forms = forms(job, survey, problems);
    let mut distinct = BTreeMap::new();
    let mut order: Vec<(usize, &Panel, &Recipe)> = Vec::new();
    let mut which = Vec::with_capacity(survey.panels.len());
    for (index, panel) in survey.panels.iter().enumerate() {
        let Some(recipe) = recipe_of(job, panel) else {
            which.push(None);
            continue;
        };
        let key = (&panel.outline, &panel.openings, &recipe.id);
        let place = *distinct.entry(key).or_insert_with(|| {
            order.push((index, panel, recipe));
            order.len() - 1
        });
        which.push(Some(place));
    }
    let search = Search::within_means(order.len());
    let laid: Vec<Rc<Vec<Laid>>> = order
        .iter()
        .map(|&(index, panel, recipe)| Rc::new(lay_panel(job, (index, panel), recipe, &forms, search, problems)))
        .collect();
    let nothing = Rc::new(Vec::new());
    which.into_iter().map(|place| place.and_then(|place| laid.get(place)).unwrap_or(&nothing).clone()).collect()
}

/// The recipe of a surveyed panel.
pub(super) fn recipe_of<'a>(job: &'a Job, panel: &Panel) -> Option<&'a Recipe> {
    job.panels.get(panel.row).and_then(|row| job.recipe_of(row))
}

/// Lays the layers of one panel.
fn lay_panel(
    job: &Job,
    (index, panel): (usize, &Panel),
    recipe: &Recipe,
    forms: &Forms<'_>,
    search: Search,
    problems: &mut Problems,
) -> Vec<Laid> {
    let mut regions: BTreeMap<(Length, Length), (Region, Rc<Frames>)> = BTreeMap::new();
    let mut tasks = Vec::new();
    let mut steps = Vec::new();
    for (number, step) in recipe.steps.iter().enumerate() {
        let Some(&(material, form)) = forms.get(&(recipe.id.as_str(), number)) else { continue };
        let (region, frames) = regions.entry((step.margin, step.opening_lap)).or_insert_with(|| {
            let region = region::to_cover(panel, step.margin, step.opening_lap);
            let frames = Rc::new(Frames::new(&region));
            (region, frames)
        });
        if !takes_a_sensible_number(job, panel, recipe, step, form, region, problems) {
            continue;
        }
        steps.push((number, region.clone()));
        tasks.push(task(frames, material, form, step));
    }
    let search = tasks.iter().fold(search, |search, task| search.for_shape(&task.frames));
    let layouts = lay_stack(&tasks, search);
    let layers = (1..).zip(steps).zip(layouts);
    layers.map(|((layer, (step, region)), layout)| Laid { step, layer, region, area: layout.area(), layout, first: index }).collect()
}

fn task(frames: &Rc<Frames>, material: usize, form: Form, step: &Step) -> Task {
    Task {
        frames: frames.clone(),
        material,
        form,
        direction: step.direction,
        overlap: step.overlap.max(Length::ZERO),
        seam_distance: step.seam_distance.max(Length::ZERO),
        trim: step.trim.max(Length::ZERO),
    }
}

/// The stock of every step that lays any, with its number among the materials, by recipe and step.
type Forms<'a> = BTreeMap<(&'a str, usize), (usize, Form)>;

/// Looks up the stock of every laying step in use once; what cannot be laid is reported and left out.
fn forms<'a>(job: &'a Job, survey: &Survey, problems: &mut Problems) -> Forms<'a> {
    let ids: Vec<&str> = job.catalog.materials.keys().map(String::as_str).collect();
    let used: BTreeMap<&str, &Recipe> =
        survey.panels.iter().filter_map(|panel| recipe_of(job, panel)).map(|recipe| (recipe.id.as_str(), recipe)).collect();
    let mut forms = BTreeMap::new();
    for recipe in used.values() {
        for (number, step) in recipe.steps.iter().enumerate() {
            let Some(material) = step.material.as_deref().filter(|_| step.kind.rule().lays) else { continue };
            let place = ids.binary_search(&material).unwrap_or(0);
            if let Some(form) = form_of(job, recipe, step, material, problems) {
                forms.insert((recipe.id.as_str(), number), (place, form));
            }
        }
    }
    forms
}

/// The stock of a laying step.
///
/// Grain: where a material has one, its pieces are not turned when they are cut, so that on the wall the fibres run
/// the way the step's sheets run; without grain a piece may lie either way on its stock.
fn form_of(job: &Job, recipe: &Recipe, step: &Step, id: &str, problems: &mut Problems) -> Option<Form> {
    let material = job.catalog.materials.get(id)?;
    let which = format!("recipe `{}`, step `{}`", recipe.id, step.id);
    let roll = material.kind == MaterialKind::Roll;
    if !roll && material.kind != MaterialKind::Sheet {
        let text = format!("{which}: `{id}` is neither sheet nor roll, so it cannot be laid");
        problems.error(None, text, "name a material of kind `sheet` or `roll`");
        return None;
    }
    let (Some(width), Some(length)) = (material.width, material.length) else {
        let text = format!("{which}: `{id}` has no width or no length");
        problems.error(None, text, "write both in the materials table");
        return None;
    };
    let narrow = width.min(length);
    if narrow <= step.overlap + step.overlap {
        let text = format!(
            "{which}: `{id}` is {} mm wide, no more than twice its overlap of {} mm",
            narrow.to_mm(),
            step.overlap.to_mm()
        );
        problems.error(None, text, "choose a wider material or a smaller overlap");
        return None;
    }
    Some(Form { width, length, roll, turns: material.grain == Grain::None })
}

fn takes_a_sensible_number(
    job: &Job,
    panel: &Panel,
    recipe: &Recipe,
    step: &Step,
    form: Form,
    region: &Region,
    problems: &mut Problems,
) -> bool {
    let gain = (form.width - step.overlap) * (form.length - step.overlap);
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

/// Warns of layers whose seams come too near to those of the layer below.
pub(super) fn warn_of_seams(job: &Job, survey: &Survey, laid: &[Rc<Vec<Laid>>], problems: &mut Problems) {
    for (index, (panel, layers)) in survey.panels.iter().zip(laid).enumerate() {
        let Some(recipe) = recipe_of(job, panel) else { continue };
        for layer in layers.iter().filter(|layer| layer.first == index) {
            let (Some((length, nearest)), Some(step)) = (layer.layout.too_near, recipe.steps.get(layer.step)) else { continue };
            let alike = laid.iter().filter(|other| Rc::ptr_eq(other, layers)).count();
            let text = format!(
                "panel `{}`{}, step `{}`: {:.2} m of seams lie nearer than {} mm to seams of the layer below, the nearest {:.0} mm",
                panel.id,
                if alike > 1 { format!(" and {} like it", count(alike - 1, "panel")) } else { String::new() },
                step.id,
                length.to_m(),
                step.seam_distance.to_mm(),
                nearest.to_mm()
            );
            let help = "allow the step both directions, take a larger sheet, or lessen `seam_distance` or `overlap`";
            problems.warning(job.panels.get(panel.row).map(|row| row.at.clone()), text, help);
        }
    }
}
