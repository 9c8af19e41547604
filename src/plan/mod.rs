//! Runs the stages in order and gathers what they say; the only module that names them all.

mod cases;
mod caution;
mod kept;
mod lookup;
mod make;
mod what_if;

pub use cases::Comparison;
pub use cases::Outcome;
pub use cases::Side;
pub use cases::Step;
pub use cases::case_of;
pub use caution::Caution;
pub use kept::Kept;
pub use lookup::StepSolution;
pub use make::Waiting;
pub use make::compare;
pub use make::draw;
pub use make::make;
pub use make::make_next;
pub use make::make_up_to_crates;
pub use make::weigh;
pub use what_if::Change;
pub use what_if::Trial;
pub use what_if::Trials;
pub use what_if::what_if;

use std::sync::Arc;

use crate::bid::Bid;
use crate::bid::Odds;
use crate::crating::Crating;
use crate::diag::Ledger;
use crate::diag::Problems;
use crate::exposure::Exposure;
use crate::job::Job;
use crate::job::Offcut;
use crate::purchase::Purchase;
use crate::rolling::Rolling;
use crate::schedule::Schedule;
use crate::survey::Survey;
use crate::takeoff::Takeoff;

/// Everything planned for a job. What comes before the schedule is shared with plans of the same job that differ later only.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The job it is for.
    pub job: Job,
    /// Net shapes.
    pub survey: Arc<Survey>,
    /// Sheets and solutions.
    pub takeoff: Arc<Takeoff>,
    /// Drums.
    pub rolling: Arc<Rolling>,
    /// Crates.
    pub crating: Arc<Crating>,
    /// Vapour, fire, drying.
    pub exposure: Arc<Exposure>,
    /// Days.
    pub schedule: Schedule,
    /// Orders.
    pub purchase: Purchase,
    /// Price.
    pub bid: Bid,
    /// How cost and days may turn out; none unless asked for.
    pub odds: Option<Odds>,
    /// The job's cases, priced beside it; none unless asked for.
    pub cases: Option<Comparison>,
    /// What to be careful of.
    pub cautions: Vec<Caution>,
    /// Warnings and notes of all stages; errors where the plan breaks a promise, such as a missed hand-over.
    pub problems: Problems,
    /// How every figure came about.
    pub ledger: Ledger,
}

impl Plan {
    /// Part sheets, roll ends and rests of boards and timber that are on the shelf after the job.
    pub fn offcuts(&self) -> impl Iterator<Item = &Offcut> {
        self.takeoff.offcuts.iter().chain(&self.crating.offcuts)
    }
}
