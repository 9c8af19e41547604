//! The stands on which drums turn: held on the days on which anything is rolled, bought or hired, whichever is cheaper for those days.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::recipe::steps::StepKind;
use crate::takeoff::Need;
use crate::units::Money;

use super::Activity;
use super::Given;
use super::Schedule;

/// The derivation of the stands.
const BECAUSE: &str = "drum-stands";

/// The days on which anything is rolled, each with the first activity that does.
fn days<'a>(given: &Given<'_>, schedule: &'a Schedule) -> BTreeMap<Date, &'a Activity> {
    let mut days = BTreeMap::new();
    for activity in &schedule.activities {
        let recipe = given.job.recipes.get(&activity.recipe);
        let step = recipe.and_then(|recipe| recipe.steps.get(activity.step));
        if step.is_some_and(|step| step.kind == StepKind::Roll) {
            for (from, _) in &activity.stretches {
                days.entry(from.date()).or_insert(activity);
            }
        }
    }
    days
}

/// Counts the rolling days, and needs a pair of stands once, or hire on each of them.
pub(super) fn hold(given: &Given<'_>, schedule: &mut Schedule, ledger: &mut Ledger) {
    let days = days(given, schedule);
    let count = days.len();
    let Some((stands, first)) = given
        .rolling
        .choice
        .stands
        .zip(days.values().next().copied())
    else {
        return;
    };
    let kit = &given.job.catalog.drum_kit;
    let is_hired = stands.is_hired(count);
    let (material, held): (_, Vec<&Activity>) = if is_hired {
        (&kit.stand_hire, days.into_values().collect())
    } else {
        (&kit.stand, vec![first])
    };
    let Some(material) = material else { return };
    let needs: Vec<Need> = held
        .into_iter()
        .map(|activity| Need {
            material: material.clone(),
            amount: 1.0,
            panel: activity.panel,
            step: Some(activity.step),
            because: BECAUSE.to_owned(),
        })
        .collect();
    schedule.needs.extend(needs);
    schedule.rolling_days = count;
    let shown = |money: Option<Money>| {
        money.map_or_else(
            || "not to be had".to_owned(),
            |money| format!("{} {}", money.cents(), given.job.currency),
        )
    };
    ledger.record(
        Derivation::new(
            BECAUSE,
            "stands on which drums turn",
            if is_hired { "hired" } else { "bought" },
            "held on every day of the schedule on which anything is rolled; hired for those days or bought, whichever is cheaper",
        )
        .input("rolling days", count)
        .input("hired for them", shown(stands.hired(count)))
        .input("bought", shown(stands.bought)),
    );
}
