//! Which layers a panel has when it is rolled, and how thick and stiff each is.

use std::collections::BTreeSet;

use crate::catalog::Material;
use crate::job::Job;
use crate::job::PanelRow;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::recipe::steps::StepKind;
use crate::survey::Panel;
use crate::takeoff::LaidLayer;
use crate::takeoff::SolutionNeed;
use crate::takeoff::Takeoff;
use crate::units::Length;

use super::laminate::Laminate;
use super::laminate::Layer;

/// What was laid and brushed on one panel.
#[derive(Clone, Debug, Default)]
pub(super) struct Faced<'a> {
    /// The sheets.
    pub(super) laid: Vec<&'a LaidLayer>,
    /// The solutions.
    pub(super) brushed: Vec<&'a SolutionNeed>,
}

impl<'a> Faced<'a> {
    /// What was laid and brushed on one panel.
    pub(super) fn of(takeoff: &'a Takeoff, panel: usize) -> Self {
        Self {
            laid: takeoff
                .layers
                .iter()
                .filter(|laid| laid.panel == panel)
                .collect(),
            brushed: takeoff
                .solutions
                .iter()
                .filter(|brushed| brushed.panel == panel)
                .collect(),
        }
    }
}

/// Returns the panel's layers as they stand at the roll step, from the reverse outwards.
///
/// The painting's own layers come from the catalogue, with what the row says of paint and canvas. A measured thickness of all scales the canvas, or all of them where too little would be
/// left for it; a measured mass scales all masses. The residue is left out where the recipe cleans the reverse before rolling.
/// Facing materials whose thickness or modulus is not known do not stiffen, so that only the painting itself counts; their ids are added
/// to `unknown`.
pub(super) fn laminate(
    job: &Job,
    (panel, row): (&Panel, &PanelRow),
    recipe: &Recipe,
    faced: &Faced<'_>,
    unknown: &mut BTreeSet<String>,
) -> Laminate {
    let own = own_layers(job, row);
    let skipped = usize::from(cleaned_before_rolling(recipe));
    let mut own = own.into_iter().skip(skipped).flatten().collect::<Vec<_>>();
    scale_mass(&mut own, row.grams_per_m2);
    let paint = own.pop();
    Laminate {
        below: own,
        paint,
        facing: facing(job, panel, recipe, faced, unknown),
    }
}

/// The index of a recipe's roll step.
pub(super) fn roll_step(recipe: &Recipe) -> Option<usize> {
    recipe
        .steps
        .iter()
        .position(|step| step.kind == StepKind::Roll)
}

/// Says whether a recipe takes the painting off the wall.
pub(super) fn comes_off(recipe: &Recipe) -> bool {
    let moves = [StepKind::Release, StepKind::Roll, StepKind::Crate];
    recipe.steps.iter().any(|step| moves.contains(&step.kind))
}

/// Says whether the reverse is cleaned before the painting is rolled.
fn cleaned_before_rolling(recipe: &Recipe) -> bool {
    let reverse = recipe
        .steps
        .iter()
        .position(|step| step.kind == StepKind::Reverse);
    reverse.is_some_and(|reverse| roll_step(recipe).is_none_or(|roll| reverse < roll))
}

/// Residue, canvas, ground and paint; none where the catalogue has no such row.
fn own_layers(job: &Job, row: &PanelRow) -> [Option<Layer>; 4] {
    let residue = format!("residue-{}", row.adhesive.name());
    let ids = [residue.as_str(), "canvas", "size-ground", "paint"];
    let mut layers = ids.map(|id| class_layer(job, id));
    let [_, canvas, _, paint] = &mut layers;
    if let Some((paint, thickness)) = paint.as_mut().zip(row.measured.paint_thickness) {
        paint.grams_per_m2 *= thickness.ratio(paint.thickness);
        paint.thickness = thickness;
    }
    for (layer, modulus) in [
        (canvas, row.measured.canvas_modulus),
        (paint, row.measured.paint_modulus),
    ] {
        if let Some((layer, modulus)) = layer.as_mut().zip(modulus) {
            layer.modulus = modulus;
        }
    }
    if let Some(measured) = row.thickness {
        scale_thickness(&mut layers, measured);
    }
    layers
}

fn class_layer(job: &Job, id: &str) -> Option<Layer> {
    let class = job.catalog.layers.get(id)?;
    Some(Layer {
        name: id.to_owned(),
        thickness: class.thickness,
        modulus: class.modulus,
        grams_per_m2: class.thickness.to_mm() * class.density * 1_000.0,
    })
}

/// Makes the layers as thick together as measured: the canvas takes the difference down to half its usual thickness; what is thinner
/// still is shared by all layers alike.
fn scale_thickness(layers: &mut [Option<Layer>; 4], measured: Length) {
    let whole: Length = layers.iter().flatten().map(|layer| layer.thickness).sum();
    let canvas = layers
        .get(1)
        .and_then(Option::as_ref)
        .map_or(Length::ZERO, |layer| layer.thickness);
    let (rest, thinnest) = (whole - canvas, canvas.half());
    let new_canvas = (measured - rest).max(thinnest);
    let share = if new_canvas > thinnest {
        1.0
    } else {
        measured.ratio(rest + thinnest)
    };
    for (index, layer) in layers.iter_mut().enumerate() {
        let Some(layer) = layer else { continue };
        let target = if index == 1 {
            new_canvas
        } else {
            layer.thickness
        };
        let scaled = target.times(share);
        layer.grams_per_m2 *= scaled.ratio(layer.thickness);
        layer.thickness = scaled;
    }
}

/// Makes the painting's own layers as heavy together as measured.
fn scale_mass(layers: &mut [Layer], measured: Option<f64>) {
    let sum: f64 = layers.iter().map(|layer| layer.grams_per_m2).sum();
    let Some(measured) = measured.filter(|_| sum > 0.0) else {
        return;
    };
    for layer in layers {
        layer.grams_per_m2 *= measured / sum;
    }
}

/// Sheets and resin films on the paint, from the paint outwards.
fn facing(
    job: &Job,
    panel: &Panel,
    recipe: &Recipe,
    faced: &Faced<'_>,
    unknown: &mut BTreeSet<String>,
) -> Vec<Layer> {
    let mut layers = Vec::new();
    for (index, step) in recipe.steps.iter().enumerate() {
        match step.kind {
            StepKind::Layer | StepKind::Coat => {
                layers.extend(film(job, panel, (recipe, step, index), faced, unknown));
                layers.extend(sheet(job, panel, index, faced, unknown));
            }
            StepKind::RemoveFacing => layers.clear(),
            // Whatever is brushed on once the painting is off the wall goes on its reverse.
            StepKind::Release | StepKind::Roll => break,
            StepKind::Marks
            | StepKind::Clean
            | StepKind::Reverse
            | StepKind::Crate
            | StepKind::Remount
            | StepKind::Labour => {}
        }
    }
    layers
}

/// The dry resin that a step leaves, without the share that is lost.
fn film(
    job: &Job,
    panel: &Panel,
    (recipe, step, index): (&Recipe, &Step, usize),
    faced: &Faced<'_>,
    unknown: &mut BTreeSet<String>,
) -> Option<Layer> {
    let need = faced.brushed.iter().find(|need| need.step == index)?;
    let id = recipe.solution(&need.solution)?.resin.as_ref()?;
    let part = need.parts.iter().find(|part| part.material == *id)?;
    let grams = per_m2(part.mass.to_g() / (1.0 + step.waste.to_f64()), panel)?;
    let resin = job.catalog.materials.get(id)?;
    let thickness = resin
        .density
        .filter(|density| *density > 0.0)
        .map(|density| Length::mm(grams / density / 1_000.0));
    Some(layer_of(resin, thickness, grams, unknown))
}

/// The sheet that a step lays; where sheets overlap they weigh twice, but count as one in thickness.
fn sheet(
    job: &Job,
    panel: &Panel,
    index: usize,
    faced: &Faced<'_>,
    unknown: &mut BTreeSet<String>,
) -> Option<Layer> {
    let laid = faced.laid.iter().find(|laid| laid.step == index)?;
    let material = job.catalog.materials.get(&laid.material)?;
    let grams = grams_per_m2(material).unwrap_or(0.0);
    let covered = per_m2(laid.laid.to_m2() * grams, panel).unwrap_or(grams);
    let by_density = material.density.filter(|density| *density > 0.0);
    let thickness = material
        .thickness
        .or_else(|| by_density.map(|density| Length::mm(grams / density / 1_000.0)));
    Some(layer_of(material, thickness, covered, unknown))
}

fn layer_of(
    material: &Material,
    thickness: Option<Length>,
    grams: f64,
    unknown: &mut BTreeSet<String>,
) -> Layer {
    if thickness.is_none() || material.modulus.is_none() {
        unknown.insert(material.id.clone());
    }
    Layer {
        name: material.id.clone(),
        thickness: thickness.unwrap_or(Length::ZERO),
        modulus: material.modulus.unwrap_or(0.0),
        grams_per_m2: grams,
    }
}

fn per_m2(amount: f64, panel: &Panel) -> Option<f64> {
    let area = panel.area.to_m2();
    (area > 0.0).then(|| amount / area)
}

/// Mass an area of a flat material, from its own figure or from thickness and density.
pub(crate) fn grams_per_m2(material: &Material) -> Option<f64> {
    material
        .grams_per_m2
        .or_else(|| Some(material.thickness?.to_mm() * material.density? * 1_000.0))
}
