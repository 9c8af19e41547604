//! What the plan has to go around: today, fixed days, what is done already, scaffold bays.

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;

use crate::diag::Place;
use crate::recipe::Recipe;

/// How long a shorter schedule is looked for, counted in schedules so that the same job gives the same plan.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Effort {
    /// A tenth of the usual.
    Quick,
    /// As many as give a good plan of this size in a few seconds.
    #[default]
    Usual,
    /// Twenty times the usual.
    Thorough,
    /// So many schedules, at least one.
    Schedules(u64),
}

impl Effort {
    /// Schedules to try, where so many are usual.
    pub fn of(self, usual: u64) -> u64 {
        match self {
            Self::Quick => usual / 10,
            Self::Usual => usual,
            Self::Thorough => usual.saturating_mul(20),
            Self::Schedules(count) => count,
        }
        .max(1)
    }
}

/// Wishes and facts that the schedule keeps to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Planning {
    /// How long to look for a shorter schedule.
    pub effort: Effort,
    /// The day from whose morning on the rest is planned; none before the work begins.
    pub today: Option<Date>,
    /// Activities with a day of their own.
    pub holds: Vec<Hold>,
    /// What is done already.
    pub progress: Vec<Progress>,
    /// Panels that one standing of a tower reaches together.
    pub bays: Vec<Bay>,
    /// Every recipe there is, to compare treatments with; those that cannot be read are left out.
    pub recipes: BTreeMap<String, Recipe>,
}

/// A day that one activity is held to.
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// The activity's name, `panel/step` or `crate/step`.
    pub activity: String,
    /// The day on which it starts.
    pub day: Option<Date>,
    /// The minute of that day; the first working minute if it does not say.
    pub minute: Option<u16>,
    /// The first day on which it may start.
    pub earliest: Option<Date>,
    /// The last day on which it may end.
    pub latest: Option<Date>,
    /// Where it is written.
    pub at: Place,
}

/// A step that is done, wholly or in part.
#[derive(Clone, Debug, PartialEq)]
pub struct Progress {
    /// The panel or crate.
    pub subject: String,
    /// The step's id.
    pub step: String,
    /// The share done, from 0 to 1.
    pub done: f64,
    /// The day on which it was finished.
    pub finished: Option<Date>,
    /// Minute of that day; the end of the day's working hours if it does not say.
    pub minute: Option<u16>,
    /// Person-hours that it really took so far.
    pub hours: Option<f64>,
    /// Grams of solution that it really used so far.
    pub solution: Option<f64>,
    /// Where it is written.
    pub at: Place,
    /// Where its step is written.
    pub step_at: Place,
}

/// Panels that are reached from one standing of a tower.
#[derive(Clone, Debug, PartialEq)]
pub struct Bay {
    /// The bay's name on the day sheet.
    pub name: String,
    /// The equipment that stands there.
    pub tower: String,
    /// The panels, as the rows name them.
    pub panels: Vec<String>,
}

impl Planning {
    /// The day from whose morning on the rest is planned: today, or, where something is done and nobody has said what day it is, the day
    /// after the last that something was finished on.
    pub fn rest_from(&self, first_day: Date) -> Option<Date> {
        let presumed = || {
            let last = self.progress.iter().filter_map(|row| row.finished).max();
            let next = last.map_or(first_day, |last| last.saturating_add(1.day()));
            (!self.progress.is_empty()).then_some(next)
        };
        self.today.or_else(presumed)
    }

    /// What is done, by panel or crate and step; of two rows for one the last.
    pub fn progress_by_step(&self) -> BTreeMap<(&str, &str), &Progress> {
        let rows = self.progress.iter();
        rows.map(|row| ((row.subject.as_str(), row.step.as_str()), row))
            .collect()
    }

    /// The bay that a panel's row is in.
    pub fn bay_of(&self, panel: &str) -> Option<usize> {
        let named = |bay: &Bay| bay.panels.iter().any(|name| name == panel);
        self.bays.iter().position(named)
    }
}
