//! Contaminated waste: what the job leaves behind that a licensed carrier has to take, and what that costs.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;
use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Catalog;
use crate::catalog::Hazard;
use crate::catalog::MaterialKind;
use crate::catalog::WasteWhen;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::job::CostGroup;
use crate::job::Job;
use crate::purchase::Purchase;
use crate::recipe::steps::StepKind;
use crate::schedule::Schedule;
use crate::survey::Survey;
use crate::takeoff::Takeoff;
use crate::units::Mass;
use crate::units::Money;

use super::lines::Draft;
use super::outcome::Waste;

/// Returns what leaves as contaminated waste: residue with lead, used materials, solvents that are not brushed on.
///
/// Whether any of it is hazardous waste, and of which code, local rules decide; this counts what usually is.
///
/// # Formula
/// residue: area × thickness × density of the residue's class, for panels with lead whose reverse is cleaned; materials: number used ×
/// grams of a used one (`catalogs/waste.csv`); solvents: all that is used beside the solutions, since what is brushed on evaporates.
///
/// # Sources
/// Common practice; thickness and density of residues: `catalogs/layers.csv`, each row with its own source.
pub(super) fn waste(
    job: &Job,
    survey: &Survey,
    takeoff: &Takeoff,
    schedule: &Schedule,
    purchase: &Purchase,
    ledger: &mut Ledger,
) -> Vec<Waste> {
    let mut found = Vec::new();
    let mut add =
        |id: &str, text: &str, grams: f64, formula: &str, inputs: Vec<(String, String)>| {
            if grams > 0.0 && grams.is_finite() {
                let mass = Mass::g(grams);
                let mut derivation = Derivation::new(
                    format!("waste/{id}"),
                    text,
                    format!("{:.1} kg", grams / 1000.0),
                    formula,
                );
                for (name, value) in inputs {
                    derivation = derivation.input(name, value);
                }
                ledger.record(derivation);
                found.push(Waste {
                    text: text.to_owned(),
                    mass,
                    because: format!("waste/{id}"),
                });
            }
        };
    let (grams, inputs) = residue(job, survey);
    add(
        "residue",
        "residue with lead from the reverse",
        grams,
        "Σ area × thickness × density of the residue",
        inputs,
    );
    let (grams, inputs) = used(job, purchase);
    add(
        "used",
        "wipes, gloves, suits, filters, pots",
        grams,
        "Σ number used × grams of a used one",
        inputs,
    );
    let (grams, inputs) = solvents(&job.catalog, takeoff, schedule);
    add(
        "solvents",
        "solvents of cleaning and of brushes, in rags and bottles",
        grams,
        "Σ volume used beside the solutions × density",
        inputs,
    );
    found
}

fn residue(job: &Job, survey: &Survey) -> (f64, Vec<(String, String)>) {
    let mut total = 0.0;
    let mut inputs = Vec::new();
    for panel in &survey.panels {
        let Some(row) = job.panels.get(panel.row).filter(|row| row.lead) else {
            continue;
        };
        let cleaned = job.recipe_of(row).is_some_and(|recipe| {
            let mut steps = recipe.steps.iter();
            steps.any(|step| step.kind == StepKind::Reverse)
        });
        let class = format!("residue-{}", row.adhesive.name());
        let Some(layer) = job.catalog.layers.get(&class).filter(|_| cleaned) else {
            continue;
        };
        // 1 mm on 1 m² is a litre: density in g/ml is kilograms.
        let grams = panel.area.to_m2() * layer.thickness.to_mm() * layer.density * 1000.0;
        total += grams;
        inputs.push((
            panel.id.clone(),
            format!(
                "{:.2} m² × {} mm × {} g/ml",
                panel.area.to_m2(),
                layer.thickness.to_mm(),
                layer.density
            ),
        ));
    }
    (total, inputs)
}

fn used(job: &Job, purchase: &Purchase) -> (f64, Vec<(String, String)>) {
    let lead = job.panels.iter().any(|row| row.lead);
    let mut total = 0.0;
    let mut inputs = Vec::new();
    for bought in &purchase.bought {
        let Some(class) = job.catalog.waste.get(&bought.material) else {
            continue;
        };
        if class.when == WasteWhen::Lead && !lead {
            continue;
        }
        total += bought.need.amount.to_f64().unwrap_or(0.0) * class.grams;
        inputs.push((
            bought.material.clone(),
            format!("{} × {} g", bought.need, class.grams),
        ));
    }
    (total, inputs)
}

fn solvents(
    catalog: &Catalog,
    takeoff: &Takeoff,
    schedule: &Schedule,
) -> (f64, Vec<(String, String)>) {
    let mut volumes: BTreeMap<&str, f64> = BTreeMap::new();
    for need in takeoff.needs.iter().chain(&schedule.needs) {
        *volumes.entry(need.material.as_str()).or_default() += need.amount;
    }
    let mut total = 0.0;
    let mut inputs = Vec::new();
    for (id, millilitres) in volumes {
        let Some(material) = catalog.materials.get(id) else {
            continue;
        };
        if material.kind != MaterialKind::Liquid || material.hazard == Hazard::None {
            continue;
        }
        let density = material.density.unwrap_or(1.0);
        total += millilitres * density;
        inputs.push((
            id.to_owned(),
            format!("{millilitres:.0} ml × {density} g/ml"),
        ));
    }
    (total, inputs)
}

/// The cost line of disposal, if the job says what it costs and there is any waste.
pub(super) fn line(job: &Job, waste: &[Waste]) -> Option<Draft> {
    let disposal = job.terms.disposal.as_ref()?;
    let grams: f64 = waste.iter().map(|waste| waste.mass.to_g()).sum();
    if grams <= 0.0 {
        return None;
    }
    let kilograms = Decimal::try_from(grams / 1000.0)
        .unwrap_or(Decimal::MAX)
        .round_dp_with_strategy(1, RoundingStrategy::AwayFromZero)
        .normalize();
    let by_weight = disposal.per_kg.times(kilograms).cents();
    let mut inputs: Vec<(String, String, Option<String>)> = waste
        .iter()
        .map(|waste| {
            let mass = format!("{:.1} kg", waste.mass.to_g() / 1000.0);
            (waste.text.clone(), mass, Some(waste.because.clone()))
        })
        .collect();
    inputs.push((
        "price of a kilogram".to_owned(),
        disposal.per_kg.to_string(),
        None,
    ));
    inputs.push((
        "least that a collection costs".to_owned(),
        disposal.least.to_string(),
        None,
    ));
    let (quantity, unit, rate) = if by_weight < disposal.least {
        (Decimal::ONE, "collection", disposal.least)
    } else {
        (kilograms, "kg", disposal.per_kg)
    };
    Some(Draft {
        group: CostGroup::Disposal,
        text: format!("Contaminated waste, {kilograms} kg, by a licensed carrier"),
        quantity,
        unit: unit.to_owned(),
        rate: if quantity.is_zero() {
            Money::ZERO
        } else {
            rate
        },
        inputs,
    })
}
