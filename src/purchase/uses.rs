//! What uses each material, how much, and from which day on.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::catalog::Material;
use crate::crating::Crating;
use crate::job::Job;
use crate::recipe::steps::StepKind;
use crate::rolling::Rolling;
use crate::schedule::Activity;
use crate::schedule::Schedule;
use crate::survey::Survey;
use crate::takeoff::CutFrom;
use crate::takeoff::Need;
use crate::takeoff::Part;
use crate::takeoff::Takeoff;
use crate::units::Unit;
use crate::units::Volume;

/// Everything one material is used for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Uses {
    /// How much in all, in the material's unit, unrounded.
    pub(super) amount: f64,
    /// The first day of use.
    pub(super) first_day: Date,
    /// The place of the first use, an index of the job's places.
    pub(super) place: usize,
    /// The first use, in words.
    pub(super) first_use: String,
    /// Sums by what uses it, in words.
    pub(super) sources: BTreeMap<String, f64>,
    /// Derivations that explain single amounts, one a source.
    pub(super) because: BTreeMap<String, String>,
    /// The recipes that use it.
    pub(super) recipes: BTreeSet<String>,
    /// What is used on which day.
    pub(super) days: BTreeMap<Date, f64>,
}

/// The stages that materials are gathered from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stages<'a> {
    pub(super) job: &'a Job,
    pub(super) survey: &'a Survey,
    pub(super) takeoff: &'a Takeoff,
    pub(super) rolling: &'a Rolling,
    pub(super) crating: &'a Crating,
    pub(super) schedule: &'a Schedule,
}

/// What is still to be used, and what has been.
#[derive(Debug, Default)]
pub(super) struct Gathered {
    /// What is to be used yet, by material.
    pub(super) uses: BTreeMap<String, Uses>,
    /// What steps that are done have used up, by material, in its unit.
    pub(super) spent: BTreeMap<String, f64>,
}

/// Sums up every material over all stages, in one pass over each.
pub(super) fn gather(stages: Stages<'_>) -> Gathered {
    let mut gathering = Gathering {
        stages,
        times: Times::of(stages),
        uses: BTreeMap::new(),
        spent: BTreeMap::new(),
    };
    gathering.cuts();
    gathering.solutions();
    for (needs, otherwise) in [
        (&stages.takeoff.needs, "the whole job"),
        (&stages.rolling.needs, "drums"),
        (&stages.crating.needs, "crates"),
        (&stages.schedule.needs, "days worked"),
    ] {
        gathering.needs(needs, otherwise);
    }
    Gathered {
        uses: gathering.uses,
        spent: gathering.spent,
    }
}

/// When something is used: the stretch of days with each day's share.
#[derive(Clone, Debug)]
struct When {
    days: BTreeMap<Date, f64>,
    first: Date,
    place: usize,
    words: String,
    recipes: BTreeSet<String>,
}

struct Gathering<'a> {
    stages: Stages<'a>,
    times: Times<'a>,
    uses: BTreeMap<String, Uses>,
    spent: BTreeMap<String, f64>,
}

impl Gathering<'_> {
    /// Sheets and rolls are counted by the cut plan; they must be there when the first layer of them is laid.
    fn cuts(&mut self) {
        let mut first: BTreeMap<&str, When> = BTreeMap::new();
        let layers = self.stages.takeoff.layers.iter();
        // Sheets of a layer that is laid are cut and paid for.
        let to_lay =
            layers.filter(|layer| self.stages.schedule.left(layer.panel, layer.step) > 0.0);
        for layer in to_lay {
            let when = self.when(Some(layer.panel), Some(layer.step), "");
            let main = self.stages.job.catalog.main_size(&layer.material);
            let earliest = first.entry(main).or_insert_with(|| when.clone());
            let mut recipes = std::mem::take(&mut earliest.recipes);
            recipes.extend(when.recipes.iter().cloned());
            if when.first < earliest.first {
                *earliest = when;
            }
            earliest.recipes = recipes;
        }
        let mut counts: BTreeMap<&str, u32> = BTreeMap::new();
        let whole = self.stages.takeoff.cuts.iter();
        for cut in whole.filter(|cut| cut.from != CutFrom::Offcut) {
            *counts.entry(&cut.material).or_default() += 1;
        }
        for (material, count) in counts {
            let when = match first.get(self.stages.job.catalog.main_size(material)) {
                Some(when) => when.clone(),
                None if self.stages.schedule.done.is_empty() => {
                    self.times.otherwise(self.stages.job, "the cut plan")
                }
                None => {
                    self.spend(material, f64::from(count));
                    continue;
                }
            };
            self.add(
                material,
                f64::from(count),
                "stock units of the cut plan",
                None,
                &when,
            );
        }
    }

    fn solutions(&mut self) {
        for need in &self.stages.takeoff.solutions {
            let when = self.when(Some(need.panel), Some(need.step), "");
            let name = self
                .step_name(need.panel, need.step)
                .map_or_else(String::new, |step| format!(" in {step}"));
            let left = self.stages.schedule.left(need.panel, need.step);
            let really = self.stages.schedule.used(need.panel, need.step);
            let spent = really.map_or(1.0 - left, |grams| grams / need.mass.to_g().max(1e-9));
            for part in &need.parts {
                let amount = self.amount_of(part);
                self.spend(&part.material, amount * spent);
                let amount = amount * left;
                self.add(
                    &part.material,
                    amount,
                    &format!("solution {}{name}", need.solution),
                    None,
                    &when,
                );
            }
        }
    }

    fn needs(&mut self, needs: &[Need], otherwise: &str) {
        for need in needs {
            let when = self.when(need.panel, need.step, otherwise);
            let step = need
                .panel
                .zip(need.step)
                .and_then(|(panel, step)| self.step_name(panel, step));
            let source = step.unwrap_or(otherwise).to_owned();
            // What is used by the hour is counted from the hours that are left.
            let at = need
                .panel
                .zip(need.step)
                .filter(|_| otherwise != "days worked");
            let left = at.map_or(1.0, |(panel, step)| self.stages.schedule.left(panel, step));
            self.spend(&need.material, need.amount * (1.0 - left));
            self.add(
                &need.material,
                need.amount * left,
                &source,
                Some(&need.because),
                &when,
            );
        }
    }

    /// Counts what a step that is done has used.
    fn spend(&mut self, material: &str, amount: f64) {
        if amount > 0.0 && amount.is_finite() {
            *self.spent.entry(material.to_owned()).or_default() += amount;
        }
    }

    fn add(
        &mut self,
        material: &str,
        amount: f64,
        source: &str,
        because: Option<&String>,
        when: &When,
    ) {
        if !(amount > 0.0 && amount.is_finite()) {
            return;
        }
        if !self.uses.contains_key(material) {
            self.uses.insert(material.to_owned(), Uses::none(when));
        }
        let Some(uses) = self.uses.get_mut(material) else {
            return;
        };
        if when.first < uses.first_day {
            uses.first_day = when.first;
            uses.place = when.place;
            uses.first_use.clone_from(&when.words);
        }
        uses.amount += amount;
        if !when.recipes.is_subset(&uses.recipes) {
            uses.recipes.extend(when.recipes.iter().cloned());
        }
        if let Some(sum) = uses.sources.get_mut(source) {
            *sum += amount;
        } else {
            uses.sources.insert(source.to_owned(), amount);
            uses.because
                .extend(because.map(|id| (source.to_owned(), id.clone())));
        }
        for (day, share) in &when.days {
            *uses.days.entry(*day).or_default() += amount * share;
        }
    }

    /// A part's amount in its material's unit: grams of what is weighed, millilitres at 20 °C of what is measured.
    fn amount_of(&self, part: &Part) -> f64 {
        let material = self.stages.job.catalog.materials.get(&part.material);
        let by_density = || {
            part.mass.to_g()
                / material
                    .and_then(|material| material.density)
                    .unwrap_or(1.0)
        };
        match material.map(Material::unit) {
            Some(Unit::Ml) => part.volume.map_or_else(by_density, Volume::to_ml),
            Some(Unit::G | Unit::Sheet | Unit::Roll | Unit::Each) | None => part.mass.to_g(),
        }
    }

    fn step_name(&self, panel: usize, step: usize) -> Option<&'_ str> {
        let Stages { job, survey, .. } = self.stages;
        let recipe = job.recipe_of(job.panels.get(survey.panels.get(panel)?.row)?)?;
        Some(&recipe.steps.get(step)?.name)
    }

    fn when(&self, panel: Option<usize>, step: Option<usize>, otherwise: &str) -> When {
        let Stages { job, survey, .. } = self.stages;
        let dated = panel
            .zip(step)
            .and_then(|at| self.times.steps.get(&at).map(|activities| (at, activities)));
        match dated {
            Some(((panel, step), activities)) => {
                let id = survey
                    .panels
                    .get(panel)
                    .map_or("", |panel| panel.id.as_str());
                let words = format!("{} on {id}", self.step_name(panel, step).unwrap_or("work"));
                let mut when =
                    over(activities, words).unwrap_or_else(|| self.times.otherwise(job, otherwise));
                let row = survey.panels.get(panel).map(|panel| panel.row);
                let recipe = row.and_then(|row| job.panels.get(row));
                when.recipes
                    .extend(recipe.map(|panel| panel.recipe.clone()));
                when
            }
            None => self.times.otherwise(job, otherwise),
        }
    }
}

impl Uses {
    fn none(when: &When) -> Self {
        Self {
            amount: 0.0,
            first_day: when.first,
            place: when.place,
            first_use: when.words.clone(),
            sources: BTreeMap::new(),
            because: BTreeMap::new(),
            recipes: BTreeSet::new(),
            days: BTreeMap::new(),
        }
    }
}

/// When each step of each panel is worked on, and when drums and crates begin.
struct Times<'a> {
    steps: BTreeMap<(usize, usize), Vec<&'a Activity>>,
    rolling: Option<&'a Activity>,
    crating: Option<&'a Activity>,
}

impl<'a> Times<'a> {
    fn of(stages: Stages<'a>) -> Self {
        let mut times = Self {
            steps: BTreeMap::new(),
            rolling: None,
            crating: None,
        };
        for activity in &stages.schedule.activities {
            if let Some(panel) = activity.panel {
                times
                    .steps
                    .entry((panel, activity.step))
                    .or_default()
                    .push(activity);
            }
            let step = stages
                .job
                .recipes
                .get(&activity.recipe)
                .and_then(|recipe| recipe.steps.get(activity.step));
            match step.map(|step| step.kind) {
                Some(StepKind::Roll) => times.rolling = Some(earlier(times.rolling, activity)),
                Some(StepKind::Crate) => times.crating = Some(earlier(times.crating, activity)),
                _ if activity.packing.is_some() => {
                    times.crating = Some(earlier(times.crating, activity));
                }
                _ => {}
            }
        }
        times
    }

    /// When something without a dated step is used: drums when the first panel is rolled, crates when the first is
    /// packed, all else on the first day.
    fn otherwise(&self, job: &Job, what: &str) -> When {
        let activity = match what {
            "drums" => self.rolling,
            "crates" => self.crating,
            _ => None,
        };
        let found = activity.and_then(|activity| over(&[activity], what.to_owned()));
        found.unwrap_or_else(|| When {
            days: BTreeMap::from([(job.first_day, 1.0)]),
            first: job.first_day,
            place: 0,
            words: what.to_owned(),
            recipes: BTreeSet::new(),
        })
    }
}

fn earlier<'a>(known: Option<&'a Activity>, next: &'a Activity) -> &'a Activity {
    known
        .filter(|known| known.start <= next.start)
        .unwrap_or(next)
}

/// The days of activities with the share of the work done on each.
fn over(activities: &[&Activity], words: String) -> Option<When> {
    let first = activities.iter().min_by_key(|activity| activity.start)?;
    let mut days: BTreeMap<Date, f64> = BTreeMap::new();
    for activity in activities {
        if activity.stretches.is_empty() {
            *days.entry(activity.start.date()).or_default() += 1.0;
        }
        for (from, to) in &activity.stretches {
            *days.entry(from.date()).or_default() +=
                to.duration_since(*from).as_secs_f64().max(1.0);
        }
    }
    let total: f64 = days.values().sum();
    for share in days.values_mut() {
        *share /= total;
    }
    Some(When {
        days,
        first: first.start.date(),
        place: first.place,
        words,
        recipes: BTreeSet::new(),
    })
}
