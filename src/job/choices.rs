//! Choices made on a page over the job: they go before what job.toml and the tables say.

use std::collections::BTreeMap;

use crate::recipe::PlaceRole;

use super::Case;
use super::Job;

/// The file in a job folder that holds them; it is read like a part of the job, and deleting it takes them back.
pub const CHOICES_FILE: &str = "choices.toml";

/// What was chosen in place of what job.toml and the tables say.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Choices {
    /// The job's case that is planned instead of the job as it stands.
    pub case: Option<String>,
    /// What is otherwise than the job or that case has it, in the order written; only recipes, people and days.
    pub changes: Vec<Case>,
    /// Working hours of places, as minutes of the day, Monday first.
    pub hours: BTreeMap<PlaceRole, [Vec<(u16, u16)>; 7]>,
}

impl Choices {
    /// Says whether nothing is chosen.
    pub fn is_empty(&self) -> bool {
        self.case.is_none() && self.changes.is_empty() && self.hours.is_empty()
    }
}

impl Job {
    /// The job with choices in force. With a case chosen no other cases are left: they are told against the job as it stands.
    pub(super) fn with_choices(self, choices: Choices) -> Self {
        if choices.is_empty() {
            return self;
        }
        let rows: Vec<String> = self.panels.iter().map(|row| row.panel.clone()).collect();
        let case = choices.case.as_deref().and_then(|name| self.case(name));
        let mut job = match case {
            Some(case) => self.as_case(case),
            None => self,
        };
        let cases = std::mem::take(&mut job.cases);
        for change in &choices.changes {
            // A case may have left panels to others, so rows are found again by name.
            let panels = change.panels.as_ref().map(|panels| {
                let names = panels.iter().filter_map(|&at| rows.get(at));
                names
                    .filter_map(|name| job.panels.iter().position(|row| row.panel == *name))
                    .collect()
            });
            job = job.as_case(&Case {
                panels,
                ..change.clone()
            });
        }
        job.cases = cases;
        for place in &mut job.places {
            if let Some(hours) = choices.hours.get(&place.role) {
                place.hours.clone_from(hours);
            }
        }
        job.drop_unused_recipes();
        job.choices = choices;
        job
    }

    /// Leaves the recipes that panels or cases name: nothing is asked of people or equipment for others.
    fn drop_unused_recipes(&mut self) {
        let Self {
            recipes,
            panels,
            cases,
            ..
        } = self;
        recipes.retain(|id, _| {
            panels.iter().any(|row| row.recipe == *id)
                || cases.iter().any(|case| case.recipe.as_ref() == Some(id))
        });
    }
}
