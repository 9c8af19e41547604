//! What is used by person-hour, person-day and batch, now that people and batches are known.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::catalog::Per;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::takeoff::Need;

use super::Activity;
use super::Given;
use super::Schedule;

/// Gathers the needs of every activity.
pub(super) fn gather(given: &Given<'_>, schedule: &Schedule, ledger: &mut Ledger) -> Vec<Need> {
    let mut batches: BTreeMap<(&str, &str), f64> = BTreeMap::new();
    for batch in &schedule.batches {
        *batches.entry((&batch.recipe, &batch.step)).or_default() += 1.0;
    }
    // All batches of a step count with the first activity that mixes.
    let mut mixed: BTreeSet<(&str, &str, &str)> = BTreeSet::new();
    let mut totals: BTreeMap<(&str, &str, &str), (f64, f64)> = BTreeMap::new();
    let mut needs = Vec::new();
    for activity in &schedule.activities {
        let Some(step) = given
            .job
            .recipes
            .get(&activity.recipe)
            .and_then(|recipe| recipe.steps.get(activity.step))
        else {
            continue;
        };
        for used in &step.uses {
            let amount = match used.per {
                Per::PersonHour => f64::from(activity.work_minutes) / 60.0,
                Per::PersonDay => person_days(activity),
                Per::Batch if mixed.insert((&used.material, &activity.recipe, &step.id)) => batches
                    .get(&(activity.recipe.as_str(), step.id.as_str()))
                    .copied()
                    .unwrap_or(0.0),
                Per::Batch
                | Per::M2
                | Per::MEdge
                | Per::Panel
                | Per::Drum
                | Per::Crate
                | Per::Job => continue,
            };
            if amount <= 0.0 {
                continue;
            }
            let total = totals
                .entry((&used.material, &activity.recipe, &step.id))
                .or_insert((used.rate, 0.0));
            total.1 += amount;
            needs.push(Need {
                material: used.material.clone(),
                amount: used.rate * amount,
                panel: activity.panel.or_else(|| first_in(given, activity.packing)),
                step: Some(activity.step),
                because: because(&used.material, &activity.recipe, &step.id),
            });
        }
    }
    for ((material, recipe, step), (rate, amount)) in totals {
        ledger.record(
            Derivation::new(
                because(material, recipe, step),
                format!("{material} used by people and batches in {step} of {recipe}"),
                format!("{:.2}", rate * amount),
                "rate × amount, summed over the activities of the schedule",
            )
            .input("rate", rate)
            .input(
                "person-hours, person-days or batches",
                format!("{amount:.2}"),
            ),
        );
    }
    needs
}

fn because(material: &str, recipe: &str, step: &str) -> String {
    format!("use/{material}/{recipe}/{step}")
}

/// People times the days on which they work at it.
fn person_days(activity: &Activity) -> f64 {
    let mut days: Vec<jiff::civil::Date> = activity
        .stretches
        .iter()
        .map(|(from, _)| from.date())
        .collect();
    days.dedup();
    let product = days.len() * activity.people.len();
    f64::from(u32::try_from(product).unwrap_or(u32::MAX))
}

/// A panel in a crate, to know from which recipe and when.
fn first_in(given: &Given<'_>, packing: Option<usize>) -> Option<usize> {
    use crate::crating::Contents;
    match &given.crating.crates.get(packing?)?.contents {
        Contents::Drums(drums) => drums
            .first()
            .and_then(|&at| given.rolling.drums.get(at)?.panels.first())
            .map(|rolled| rolled.panel),
        Contents::Flats(flats) => flats.first().copied(),
    }
}
