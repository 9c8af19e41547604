//! What steps use up by area, edge, panel and job.

use std::collections::BTreeMap;

use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::catalog::Per;
use crate::catalog::Use;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::job::Job;
use crate::recipe::Step;
use crate::survey::Panel;
use crate::units::Area;

use super::outcome::Need;

/// Gathers needs and what explains them.
#[derive(Debug, Default)]
pub(super) struct Uses {
    /// The needs so far.
    pub needs: Vec<Need>,
    /// By derivation: the material, how it is counted, the rate, and the total.
    totals: BTreeMap<String, Total>,
}

#[derive(Debug)]
struct Total {
    material: String,
    per: Per,
    rate: f64,
    waste: f64,
    counted: f64,
    amount: f64,
}

/// A step on a panel.
#[derive(Clone, Copy, Debug)]
pub(super) struct Done<'a> {
    /// The recipe's id.
    pub recipe: &'a str,
    /// The step.
    pub step: &'a Step,
    /// Its index in the recipe.
    pub number: usize,
    /// The panel, and its index in the survey.
    pub panel: (usize, &'a Panel),
    /// Area of sheet laid, where the step lays any.
    pub laid: Option<Area>,
    /// Whether it is the recipe's first panel.
    pub first: bool,
}

impl Uses {
    /// Adds what a step uses up on a panel.
    ///
    /// # Formula
    /// Amount = rate × what it is counted by × (1 + waste); waste counts on areas and edges only. A roll's rate is in
    /// square metres (metres of edge: metres) of material and becomes a fraction of a roll: ÷ (width × length), ÷ length.
    ///
    /// # Sources
    /// Common practice.
    pub(super) fn add(&mut self, job: &Job, done: Done<'_>) {
        for taken in &done.step.uses {
            let Some(material) = job.catalog.materials.get(&taken.material) else { continue };
            let Some(counted) = counted_by(taken.per, done) else { continue };
            let waste = match taken.per {
                Per::M2 | Per::MEdge => done.step.waste.to_f64(),
                Per::Panel | Per::Drum | Per::Crate | Per::PersonHour | Per::PersonDay | Per::Batch | Per::Job => 0.0,
            };
            let amount = counted * taken.rate * (1.0 + waste) * units_in(material, taken.per);
            self.push(done, taken, (counted, waste, amount));
        }
    }

    fn push(&mut self, done: Done<'_>, taken: &Use, (counted, waste, amount): (f64, f64, f64)) {
        let because = format!("use/{}/{}/{}/{}", done.recipe, done.step.id, taken.material, taken.per.name());
        let total = self.totals.entry(because.clone()).or_insert_with(|| Total {
            material: taken.material.clone(),
            per: taken.per,
            rate: taken.rate,
            waste,
            counted: 0.0,
            amount: 0.0,
        });
        total.counted += counted;
        total.amount += amount;
        let whole_job = taken.per == Per::Job;
        self.needs.push(Need {
            material: taken.material.clone(),
            amount,
            panel: (!whole_job).then_some(done.panel.0),
            step: (!whole_job).then_some(done.number),
            because,
        });
    }

    /// Writes down how each total came about.
    pub(super) fn record(&self, job: &Job, ledger: &mut Ledger) {
        for (id, total) in &self.totals {
            let unit = job.catalog.materials.get(&total.material).map_or("", |material| material.unit().name());
            let made = Derivation::new(
                id.clone(),
                format!("{} used by the {}", total.material, total.per.name()),
                format!("{:.4} {unit}", total.amount),
                "rate × counted × (1 + waste), rolls ÷ area or length of one",
            );
            ledger.record(
                made.input("rate", format!("{} per {}", total.rate, total.per.name()))
                    .input("counted", format!("{:.4} {}", total.counted, total.per.name()))
                    .input("waste", format!("{} %", total.waste * 100.0)),
            );
        }
    }
}

/// How much of what a use is counted by; none where a later stage counts it.
fn counted_by(per: Per, done: Done<'_>) -> Option<f64> {
    match per {
        Per::M2 => Some(done.laid.unwrap_or(done.panel.1.area).to_m2()),
        Per::MEdge => Some(done.panel.1.edge.to_m()),
        Per::Panel => Some(1.0),
        Per::Job => done.first.then_some(1.0),
        Per::Drum | Per::Crate | Per::PersonHour | Per::PersonDay | Per::Batch => None,
    }
}

/// Units of a material in one of what its rate is counted in.
fn units_in(material: &Material, per: Per) -> f64 {
    if material.kind != MaterialKind::Roll {
        return 1.0;
    }
    let (width, length) = (material.width.unwrap_or_default().to_m(), material.length.unwrap_or_default().to_m());
    match per {
        Per::M2 if width * length > 0.0 => 1.0 / (width * length),
        Per::MEdge if length > 0.0 => 1.0 / length,
        Per::M2
        | Per::MEdge
        | Per::Panel
        | Per::Drum
        | Per::Crate
        | Per::PersonHour
        | Per::PersonDay
        | Per::Batch
        | Per::Job => 1.0,
    }
}
