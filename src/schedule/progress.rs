//! What is done already, and from when on the rest is planned.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::diag::Problems;
use crate::diag::nearest;
use crate::job::Progress;
use crate::recipe::Step;

use super::Done;
use super::Given;
use super::engine::MINUTES_A_DAY;

/// The rows of progress by panel or crate and step.
#[derive(Debug, Default)]
pub(super) struct Known<'a> {
    rows: BTreeMap<(&'a str, &'a str), &'a Progress>,
    /// Minute from the origin at which the rest begins.
    pub(super) from: i64,
}

impl<'a> Known<'a> {
    /// Looks the rows up; those that name nothing are errors, and so is what is finished after today.
    pub(super) fn of(given: &Given<'a>, problems: &mut Problems) -> Self {
        let planning = &given.job.planning;
        let today = planning.today.or_else(|| presumed(given, problems));
        let mut rows = BTreeMap::new();
        for row in &planning.progress {
            names_something(given, row, problems);
            if let Some((finished, today)) =
                row.finished.zip(today).filter(|(end, today)| end > today)
            {
                problems.error(
                    Some(row.at.clone()),
                    format!(
                        "`{}` of `{}` is finished on {finished}, after today, {today}",
                        row.step, row.subject
                    ),
                    "correct the day, or give today's date with `today` in job.toml or `--today`",
                );
            }
            rows.insert((row.subject.as_str(), row.step.as_str()), row);
        }
        let from = today.map_or(0, |today| minute_of(given, today));
        Self { rows, from }
    }

    /// The share of a step that is left, from 0 to 1.
    pub(super) fn left(&self, subject: &str, step: &str) -> f64 {
        self.rows
            .get(&(subject, step))
            .map_or(1.0, |row| (1.0 - row.done).clamp(0.0, 1.0))
    }

    /// What is done, by panel and step.
    pub(super) fn done(&self, given: &Given<'_>) -> Vec<Done> {
        if self.rows.is_empty() {
            return Vec::new();
        }
        let mut done = Vec::new();
        for (panel, surveyed) in given.survey.panels.iter().enumerate() {
            let row = given.job.panels.get(surveyed.row);
            let Some(recipe) = row.and_then(|row| given.job.recipe_of(row)) else {
                continue;
            };
            for (step, stated) in recipe.steps.iter().enumerate() {
                if let Some(row) = self.rows.get(&(surveyed.id.as_str(), stated.id.as_str())) {
                    done.push(Done {
                        panel,
                        step,
                        share: row.done,
                        solution: row.solution,
                    });
                }
            }
        }
        done
    }

    /// The minute at which a step that is wholly done was finished.
    pub(super) fn finished(
        &self,
        given: &Given<'_>,
        subject: &str,
        step: &Step,
        place: usize,
    ) -> Option<i64> {
        let row = self.rows.get(&(subject, step.id.as_str()))?;
        if row.done < 1.0 {
            return None;
        }
        let Some(day) = row.finished else {
            return Some(self.from);
        };
        let weekday = usize::try_from(day.weekday().to_monday_zero_offset()).unwrap_or(0);
        let hours = given
            .job
            .places
            .get(place)
            .and_then(|site| site.hours.get(weekday));
        let evening = hours
            .and_then(|hours| hours.last())
            .map_or(17 * 60, |&(_, to)| to);
        Some(minute_of(given, day) + i64::from(row.minute.unwrap_or(evening)))
    }
}

/// Where nobody has said what today is, says what is taken for it.
fn presumed(given: &Given<'_>, problems: &mut Problems) -> Option<Date> {
    let planning = &given.job.planning;
    let first = planning.progress.first()?;
    let today = planning.rest_from(given.job.first_day)?;
    problems.warning(
        Some(first.at.clone()),
        format!("something is done, but the job does not say what day it is: the rest is planned from {today} on"),
        "write `today` in job.toml, or give it with `--today`",
    );
    Some(today)
}

fn minute_of(given: &Given<'_>, day: Date) -> i64 {
    (i64::from((day - given.job.first_day).get_days()) * MINUTES_A_DAY).max(0)
}

/// Whether a row names a panel or crate of the job, and a step of its recipe.
fn names_something(given: &Given<'_>, row: &Progress, problems: &mut Problems) {
    let survey = &given.survey.panels;
    let panel = survey.iter().find(|panel| panel.id == row.subject);
    let crates = || given.crating.crates.iter().map(|packed| packed.id.as_str());
    if panel.is_none() && !crates().any(|id| id == row.subject) {
        let known = survey.iter().map(|panel| panel.id.as_str()).chain(crates());
        let help = nearest(&row.subject, known).map_or_else(
            || "write a panel, each of several as `C4/1`, or a crate such as `C1`".to_owned(),
            |near| format!("write `{near}` if that is meant"),
        );
        problems.error(
            Some(row.at.clone()),
            format!("there is no panel or crate `{}`", row.subject),
            help,
        );
        return;
    }
    let recipe = panel.and_then(|panel| given.job.recipe_of(given.job.panels.get(panel.row)?));
    let recipes = recipe.map_or_else(
        || given.job.recipes.values().collect(),
        |recipe| vec![recipe],
    );
    let mut steps = recipes.iter().flat_map(|recipe| &recipe.steps);
    if !steps.clone().any(|step| step.id == row.step) {
        let help = nearest(&row.step, steps.by_ref().map(|step| step.id.as_str())).map_or_else(
            || "write a step's id as the recipe has it".to_owned(),
            |near| format!("write `{near}` if that is meant"),
        );
        problems.error(
            Some(row.step_at.clone()),
            format!("the recipe of `{}` has no step `{}`", row.subject, row.step),
            help,
        );
    }
}
