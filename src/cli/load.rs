//! From a job folder to a job or a plan, with everything that is wrong said on the way.

use std::path::Path;

use jiff::civil::Date;

use crate::diag::Problems;
use crate::files;
use crate::job;
use crate::plan;
use crate::plan::Plan;

use super::progress::Progress;
use super::say;

/// Reads and plans a job; says every problem. None if it has errors.
pub(super) fn plan(folder: &Path) -> Option<Plan> {
    plan_on(folder, None)
}

/// The same with another day on which orders are first sent.
pub(super) fn plan_on(folder: &Path, today: Option<Date>) -> Option<Plan> {
    match planned(folder, today)? {
        Ok(plan) => {
            say::problems(&plan.problems);
            (!plan.problems.has_errors()).then_some(plan)
        }
        Err(problems) => {
            say::problems(&problems);
            None
        }
    }
}

/// Reads and plans a job; hands back its problems unsaid. None if a file could not be read, which is said.
pub(super) fn problems(folder: &Path) -> Option<Problems> {
    Some(match planned(folder, None)? {
        Ok(plan) => plan.problems,
        Err(problems) => problems,
    })
}

/// The plan, or why the job could not even be read.
fn planned(folder: &Path, today: Option<Date>) -> Option<Result<Plan, Problems>> {
    let files = files::read_job(folder)
        .map_err(|trouble| say::trouble(&trouble))
        .ok()?;
    let progress = Progress::start();
    progress.say("reading the job");
    Some(match job::read(&files) {
        (Some(mut job), problems) => {
            job.order_day = today.unwrap_or(job.order_day);
            Ok(plan::make(job, problems, &mut |stage| progress.say(stage)))
        }
        (None, problems) => Err(problems.sorted()),
    })
}
