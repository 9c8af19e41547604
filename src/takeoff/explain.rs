//! How layers, stock and solutions came about, for those who ask.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::diag::count;
use crate::job::Job;
use crate::recipe::Basis;
use crate::recipe::Concentration;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::survey::Survey;
use crate::units::Area;
use crate::units::Length;
use crate::units::Money;

use super::cutting::Cuts;
use super::layout::Alike;
use super::outcome::CutFrom;
use super::outcome::LaidLayer;
use super::outcome::SolutionNeed;
use super::sheets::Laid;
use super::sheets::recipe_of;

/// Writes down each layer: at length for the first panel of a shape, by reference for those like it.
pub(super) fn layers(job: &Job, survey: &Survey, laid: &[Arc<Vec<Laid>>], ledger: &mut Ledger) {
    for (index, (panel, stack)) in survey.panels.iter().zip(laid).enumerate() {
        let Some(recipe) = recipe_of(job, panel) else {
            continue;
        };
        for layer in stack.iter() {
            let Some(step) = recipe.steps.get(layer.step) else {
                continue;
            };
            let id = format!("layer/{}/{}", panel.id, step.id);
            let result = format!("{:.4} m² of sheet", layer.area.to_m2());
            let title = format!("{} on panel {}", step.id, panel.id);
            let first = survey
                .panels
                .get(layer.first)
                .map_or("", |first| first.id.as_str());
            ledger.record(if layer.first == index {
                at_length(
                    Derivation::new(
                        id,
                        title,
                        result,
                        "sum of width × height of its pieces, overlaps twice",
                    ),
                    step,
                    layer,
                )
            } else {
                Derivation::new(id, title, result, format!("as layer/{first}/{}", step.id))
            });
        }
    }
}

fn at_length(derivation: Derivation, step: &Step, layer: &Laid) -> Derivation {
    let layout = &layer.layout;
    let why = format!(
        "{}, {}: of all directions and phases tried the one with the least stock, then the shortest seams, then the fewest pieces",
        layout.way.name(),
        if layout.in_rows {
            "in rows"
        } else {
            "in columns"
        }
    );
    let mut derivation = derivation;
    if let Some(longest) = step.longest_piece {
        derivation = derivation.input("longest piece", format!("{} mm", longest.to_mm()));
    }
    if !layer.bands.is_empty() {
        let lifts = format!("{} lifts of the scaffold", layer.bands.len());
        derivation = derivation.input("reach", lifts);
    }
    derivation
        .input("laid", step.laying.name())
        .input("both sides", alike(layout.alike))
        .input("material", step.material.as_deref().unwrap_or(""))
        .input(
            "region",
            format!(
                "{:.4} m²: outline {:+} mm, openings lapped {} mm",
                layer.region.area().to_m2(),
                step.margin.to_mm(),
                step.opening_lap.to_mm()
            ),
        )
        .input("pieces", layout.pieces.len())
        .input("overlap", overlap(step, layer))
        .input(
            "seams",
            format!("{:.2} m within the region", layout.seam_length.to_m()),
        )
        .input("direction", why)
}

fn alike(alike: Alike) -> String {
    match alike {
        Alike::NotAsked => "the panel itself is not the same on both sides".to_owned(),
        Alike::Yes => "laid alike".to_owned(),
        Alike::No(why) => format!("not laid alike: the best layout tried that is {why}"),
    }
}

fn overlap(step: &Step, layer: &Laid) -> String {
    let whole = format!("{} mm", layer.overlap.to_mm());
    if layer.overlap == step.overlap {
        return whole;
    }
    format!(
        "{whole} from outer edge to outer edge: {} mm at full thickness and two torn edges",
        step.overlap.to_mm()
    )
}

/// Writes down the stock of each material.
pub(super) fn cuts(
    job: &Job,
    layers: &[LaidLayer],
    cuts: &BTreeMap<String, Cuts>,
    ledger: &mut Ledger,
) {
    let mut pieces: BTreeMap<&str, (usize, Area)> = BTreeMap::new();
    for layer in layers {
        let total = pieces
            .entry(job.catalog.main_size(&layer.material))
            .or_default();
        total.0 += layer.pieces.len();
        total.1 += layer.laid;
    }
    for (material, cut) in cuts {
        let laid = pieces.get(material.as_str()).copied().unwrap_or_default();
        ledger.record(stock_of(job, material, cut, laid));
    }
}

fn stock_of(job: &Job, material: &str, cut: &Cuts, (pieces, laid): (usize, Area)) -> Derivation {
    let total = &cut.total;
    let stock: Area = cut.units.iter().map(|unit| unit.width * unit.length).sum();
    let share = if stock.to_m2() > 0.0 {
        laid.to_m2() / stock.to_m2() * 100.0
    } else {
        0.0
    };
    let units = |number: u64| count(usize::try_from(number).unwrap_or(usize::MAX), "unit");
    let mut made = Derivation::new(
        format!("material/{material}"),
        format!("stock units of {material} to cut the facing from"),
        units(total.shelf + total.bought),
        "whole units of the cut plan: straight cuts from edge to edge, what is left of one piece used for the next",
    )
    .input("pieces", format!("{pieces} of {:.4} m² together", laid.to_m2()));
    let mut sizes: BTreeMap<(&str, Length, Length, CutFrom), usize> = BTreeMap::new();
    for unit in &cut.units {
        *sizes
            .entry((&unit.material, unit.width, unit.length, unit.from))
            .or_default() += 1;
    }
    // Part sheets of many sizes are summed up: their sizes stand in the cut plan.
    for ((id, width, length, from), number) in
        sizes.iter().filter(|(size, _)| size.3 != CutFrom::Offcut)
    {
        let size = format!("{number} of {} × {} mm", width.to_mm(), length.to_mm());
        made = made.input(format!("{id}, {}", from.name()), size);
    }
    if total.offcuts > 0 {
        made = made.input("offcuts from the shelf", total.offcuts);
    }
    if let Some(kerf) = job
        .catalog
        .materials
        .get(material)
        .map(|material| material.kerf)
        .filter(|kerf| kerf.is_positive())
    {
        made = made.input("each cut takes", format!("{} mm", kerf.to_mm()));
    }
    if let Some((cost, least)) = total.cost {
        let money = |amount: Money| format!("{} {}", amount.cents().amount(), job.currency);
        made = made
            .input("bought, at the least unit price of each size", money(cost))
            .input("no plan costs less than", money(least));
    }
    made.input("of the stock's area is laid", format!("{share:.1} %"))
        .input("no plan buys fewer than", units(total.least_bought))
        .rounded("up to whole units, by the cut plan")
}

/// Writes down the solution of every step, over all panels.
pub(super) fn solutions(job: &Job, survey: &Survey, needs: &[SolutionNeed], ledger: &mut Ledger) {
    let mut totals: BTreeMap<(&str, usize), (f64, usize, &Recipe)> = BTreeMap::new();
    for need in needs {
        let Some(recipe) = survey
            .panels
            .get(need.panel)
            .and_then(|panel| recipe_of(job, panel))
        else {
            continue;
        };
        let total = totals
            .entry((&recipe.id, need.step))
            .or_insert((0.0, 0, recipe));
        total.0 += need.mass.to_g();
        total.1 += 1;
    }
    for ((id, number), (grams, panels, recipe)) in totals {
        let Some(step) = recipe.steps.get(number) else {
            continue;
        };
        let Some(solution) = step
            .solution
            .as_deref()
            .and_then(|solution| recipe.solution(solution))
        else {
            continue;
        };
        let waste = 1.0 + step.waste.to_f64();
        let spread = step.spread.unwrap_or(0.0);
        let area = if spread > 0.0 {
            grams / spread / waste
        } else {
            0.0
        };
        let derivation = Derivation::new(
            format!("solution/{id}/{}", step.id),
            format!("{} for {}", solution.name, step.id),
            format!("{grams:.1} g"),
            "area × spread × (1 + waste)",
        )
        .input(if step.kind.rule().lays { "area of sheet laid" } else { "area of panel" }, format!("{area:.4} m² on {}", count(panels, "panel")))
        .input("spread", format!("{spread} g/m²"))
        .input("waste", format!("{} %", step.waste.value()))
        .source("common practice; concentrations by standard chemistry arithmetic, volumes taken to add up");
        ledger.record(match solution.concentration {
            Some(concentration) => derivation.input("concentration", in_words(concentration)),
            None => derivation,
        });
    }
}

/// A concentration with what it means at the balance.
fn in_words(concentration: Concentration) -> String {
    let x = concentration.value;
    match concentration.basis {
        Basis::MassInMass => format!("{x} % w/w: {x} g resin and {} g solvent", 100.0 - x),
        Basis::MassInSolution => format!("{x} % w/v: {x} g resin made up to 100 ml with solvent"),
        Basis::MassToSolvent => format!("{x} g resin added to 100 ml solvent"),
        Basis::VolumeInVolume => format!("{x} % v/v: {x} ml resin and {} ml solvent", 100.0 - x),
    }
}
