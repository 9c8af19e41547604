//! What the schedule hands on.

use std::ops::Range;

use jiff::civil::Date;
use jiff::civil::DateTime;

use crate::exposure::AirCourse;
use crate::takeoff::Need;
use crate::takeoff::Part;
use crate::units::Mass;

/// Who does what when.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Schedule {
    /// Single people, roles expanded: `assistant 2` is the second of a row that counts several.
    pub workers: Vec<Worker>,
    /// The activities, by start.
    pub activities: Vec<Activity>,
    /// The end of the last activity; none if there is nothing to do.
    pub finish: Option<DateTime>,
    /// The end of the last activity that must be done for the hand-over.
    pub wall_clear: Option<DateTime>,
    /// No schedule can finish before this.
    pub lower_bound_finish: Option<DateTime>,
    /// How far the finish is above the lower bound, in percent of the span from the first start.
    pub gap_percent: f64,
    /// Minutes on the clock by which the hand-over is missed.
    pub late_minutes: i64,
    /// Schedules that were tried, of which this is the best.
    pub schedules: u64,
    /// Whether a clock ended the search, so that another run may find another schedule.
    pub by_clock: bool,
    /// What is mixed on which day.
    pub batches: Vec<Batch>,
    /// Vapour hour by hour at every place, in the order of the job's places; minutes count from the midnight of the first day.
    pub air: Vec<AirCourse>,
    /// Every step of every panel and crate with its whole work, done or not.
    pub planned: Vec<Planned>,
    /// What is done already.
    pub done: Vec<Done>,
    /// Days on which anything is rolled and stands are held, where the drum kit names any.
    pub rolling_days: usize,
    /// What is used by person-hour, person-day and batch, and the stands that drums turn on.
    pub needs: Vec<Need>,
}

impl Schedule {
    /// The share of a step on a panel that is still to do, from 0 to 1.
    pub fn left(&self, panel: usize, step: usize) -> f64 {
        let rows = self.done.iter();
        let mut row = rows.filter(|row| row.panel == panel && row.step == step);
        row.next().map_or(1.0, |row| 1.0 - row.share)
    }

    /// Grams of solution that a step on a panel really used so far, if somebody wrote it.
    pub fn used(&self, panel: usize, step: usize) -> Option<f64> {
        let mut rows = self.done.iter();
        rows.find(|row| row.panel == panel && row.step == step)?
            .solution
    }
}

/// A step on a panel or crate with all its work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Planned {
    /// The panel's or crate's name.
    pub subject: String,
    /// The panel, an index of the survey; none for a crate.
    pub panel: Option<usize>,
    /// The recipe's id.
    pub recipe: String,
    /// The step, an index of the recipe.
    pub step: usize,
    /// Person-minutes of the whole step.
    pub work_minutes: u32,
}

/// A step on a panel that is done, wholly or in part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Done {
    /// The panel, an index of the survey.
    pub panel: usize,
    /// The step, an index of the panel's recipe.
    pub step: usize,
    /// The share done, from 0 to 1.
    pub share: f64,
    /// Grams of solution that it really used, if somebody wrote it.
    pub solution: Option<f64>,
}

/// One person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worker {
    /// The name on the day sheet.
    pub name: String,
    /// The row in [`crate::job::Job::people`].
    pub row: usize,
}

/// One step on one panel, or on a crate.
#[derive(Clone, Debug, PartialEq)]
pub struct Activity {
    /// Unique, e.g. `N1-tissue`.
    pub id: String,
    /// The panel, an index of the survey; none for a crate.
    pub panel: Option<usize>,
    /// The crate, an index of [`crate::crating::Crating::crates`].
    pub packing: Option<usize>,
    /// The recipe's id.
    pub recipe: String,
    /// The step, an index of the recipe.
    pub step: usize,
    /// The place, an index of the job's places.
    pub place: usize,
    /// The sheets that it lays, indexes of the layer's pieces, where the layer is parted into day sections along its seams.
    pub sheets: Option<Range<usize>>,
    /// First minute of work.
    pub start: DateTime,
    /// End of work.
    pub finish: DateTime,
    /// Person-minutes of work.
    pub work_minutes: u32,
    /// Minutes at its start in which the crew moves the tower in.
    pub moving_minutes: u32,
    /// Minutes that it takes at least because of the fresh air in an hour.
    pub air_minutes: u32,
    /// The bay it is done in, an index of [`crate::job::Planning::bays`].
    pub bay: Option<usize>,
    /// The activity whose tower it still stands on, an index of [`Schedule::activities`].
    pub stands_on: Option<usize>,
    /// The people, indexes of [`Schedule::workers`].
    pub people: Vec<usize>,
    /// The stretches of work.
    pub stretches: Vec<(DateTime, DateTime)>,
    /// What must be done before it.
    pub after: Vec<Follows>,
    /// Whether the wall is not clear before it is done.
    pub clears_wall: bool,
    /// Minutes on the clock that it could finish later without moving the end or the hand-over.
    pub float_minutes: i64,
    /// Whether starting later would move the end or the hand-over, with people and equipment in the same order.
    pub critical: bool,
    /// What fixed its start, in words.
    pub waits_for: String,
    /// The activity that it waited for, an index of [`Schedule::activities`].
    pub waited_for: Option<usize>,
}

/// That an activity follows another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Follows {
    /// The earlier activity, an index of [`Schedule::activities`].
    pub activity: usize,
    /// Minutes on the clock from its finish to this one's start, at least.
    pub dry_minutes: u32,
    /// Minutes on the clock from its finish to this one's start, at most.
    pub within_minutes: Option<u32>,
}

/// A batch of solution mixed on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Batch {
    /// The recipe's id.
    pub recipe: String,
    /// The solution's id within the recipe.
    pub solution: String,
    /// The step's id within the recipe.
    pub step: String,
    /// The day.
    pub day: Date,
    /// When it is mixed, `HH:MM` of that day.
    pub mixed: DateTime,
    /// Its mass.
    pub mass: Mass,
    /// What to weigh and measure.
    pub parts: Vec<Part>,
}
