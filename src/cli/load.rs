//! From a job folder to a job or a plan, with everything that is wrong said on the way.

use std::path::Path;
use std::path::PathBuf;

use jiff::civil::Date;

use crate::diag::Problems;
use crate::files;
use crate::job;
use crate::job::Effort;
use crate::job::Job;
use crate::plan;
use crate::plan::Plan;

use super::progress::Progress;
use super::say;

/// What the command line gives in place of the job's, or beside it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Instead<'a> {
    /// The day from which the rest is planned.
    pub(super) today: Option<Date>,
    /// The day on which orders are first sent.
    pub(super) order_day: Option<Date>,
    /// Files with what is done, ordered and on the shelf.
    pub(super) progress: &'a [PathBuf],
    /// How many schedules to try.
    pub(super) effort: Effort,
    /// How many seconds to try schedules for, instead of counting them.
    pub(super) seconds: Option<f64>,
}

/// Reads and plans a job; says every problem. None if it has errors.
pub(super) fn plan(folder: &Path) -> Option<Plan> {
    plan_on(folder, Instead::default())
}

/// Reads a job and plans its sheets, drums and crates; says every problem. None if it has errors.
pub(super) fn up_to_crates(folder: &Path) -> Option<Plan> {
    sound(planned(
        folder,
        Instead::default(),
        plan::make_up_to_crates,
    )?)
}

/// As [`plan`], with what the command line gives instead.
pub(super) fn plan_on(folder: &Path, instead: Instead<'_>) -> Option<Plan> {
    sound(planned(folder, instead, plan::make)?)
}

/// Says every problem; the plan, if it has no errors.
fn sound(planned: Result<Plan, Problems>) -> Option<Plan> {
    match planned {
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

/// Reads and plans a job, or a case of it, and does something more with the plan; says every problem. None if it has errors.
pub(super) fn case(
    folder: &Path,
    (case, instead): (Option<&str>, Instead<'_>),
    more: fn(&mut Plan, &mut dyn plan::Waiting),
) -> Option<Plan> {
    let (job, problems) = read(folder, instead)?;
    let Some(job) = job else {
        say::problems(&problems);
        return None;
    };
    let job = match case {
        Some(name) => chosen(&job, name)?,
        None => job,
    };
    let progress = Progress::start();
    let mut plan = plan::make(job, problems, &mut progress.until(instead.seconds));
    let failed = plan.problems.has_errors();
    if !failed {
        more(&mut plan, &mut progress.listen());
    }
    drop(progress);
    say::problems(&plan.problems);
    (!failed).then_some(plan)
}

fn chosen(job: &Job, name: &str) -> Option<Job> {
    let found = plan::case_of(job, name);
    if found.is_none() {
        let known = job.cases.iter().map(|case| case.name.as_str());
        let help = match crate::diag::nearest(name, known) {
            Some(near) => format!("write `{near}` if that is meant"),
            None if job.cases.is_empty() => {
                "add a table `[[case]]` with that `name` to job.toml".to_owned()
            }
            None => "`facelay compare` lists the job's cases".to_owned(),
        };
        say::error(format!("there is no case `{name}`"), &help);
    }
    found
}

/// Reads and plans a job; hands back its problems unsaid. None if a file could not be read, which is said.
pub(super) fn problems(folder: &Path, days: Instead<'_>) -> Option<Problems> {
    Some(match planned(folder, days, plan::make)? {
        Ok(plan) => plan.problems,
        Err(problems) => problems,
    })
}

/// The plan as far as `make` makes it, or why the job could not even be read.
fn planned(
    folder: &Path,
    instead: Instead<'_>,
    make: fn(Job, Problems, &mut dyn plan::Waiting) -> Plan,
) -> Option<Result<Plan, Problems>> {
    let (job, problems) = read(folder, instead)?;
    let progress = Progress::start();
    Some(match job {
        Some(job) => Ok(make(job, problems, &mut progress.until(instead.seconds))),
        None => Err(problems),
    })
}

/// The job, if it has no errors, and the problems of its files. None if a file could not be read, which is said.
fn read(folder: &Path, instead: Instead<'_>) -> Option<(Option<Job>, Problems)> {
    let files = files::read_job(folder)
        .map_err(|trouble| say::trouble(&trouble))
        .ok()?;
    let given = files::read_given(instead.progress)
        .map_err(|trouble| say::trouble(&trouble))
        .ok()?;
    let progress = Progress::start();
    progress.say("reading the job");
    let (mut job, problems) = job::read_with(&files, &given);
    if let Some(job) = &mut job {
        let under_way = !job.planning.progress.is_empty();
        let ordering = instead.order_day.filter(|_| under_way);
        job.planning.today = instead.today.or(ordering).or(job.planning.today);
        // No order can be sent on a day that is over.
        let soonest = job.planning.rest_from(job.first_day);
        job.order_day = instead
            .order_day
            .unwrap_or(job.order_day.max(soonest.unwrap_or(job.order_day)));
        job.planning.effort = instead.effort;
    }
    Some((job, problems.sorted()))
}
