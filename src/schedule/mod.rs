//! Work to dated activities: people, drying, access, materials; states the problem to the timetable engine and reads it back.
//!
//! *In*: job, survey, takeoff, rolling, crating, exposure. *Out*: [`Schedule`]. *Rules*: people work in working hours, drying runs on the
//! clock, same-day steps never cross a night, longest lags hold, nothing starts before its materials can have arrived.

mod arrival;
mod batches;
mod chain;
mod conflict;
mod draft;
mod engine;
mod holds;
mod hours;
mod needs;
mod outcome;
mod pace;
mod progress;
mod read_back;
mod resources;
mod rule_words;
mod rules;
mod sections;
mod standing;
mod stands;
mod turns;
mod vapour;
mod why;
mod words;
mod work;

pub use outcome::Activity;
pub use outcome::Batch;
pub use outcome::Done;
pub use outcome::Follows;
pub use outcome::Planned;
pub use outcome::Schedule;
pub use outcome::Worker;
pub use pace::GRID;

use crate::crating::Crating;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::diag::Level;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::exposure::Exposure;
use crate::job::Job;
use crate::rolling::Rolling;
use crate::survey::Survey;
use crate::takeoff::Takeoff;

/// Everything that the schedule is made from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Given<'a> {
    pub(crate) job: &'a Job,
    pub(crate) survey: &'a Survey,
    pub(crate) takeoff: &'a Takeoff,
    pub(crate) rolling: &'a Rolling,
    pub(crate) crating: &'a Crating,
    pub(crate) exposure: &'a Exposure,
}

/// Whoever waits for a schedule.
pub struct Watch<'a> {
    /// Whether the search ends by their clock instead of by count.
    pub by_clock: bool,
    /// Told before each further schedule how many are made, of how many; says whether to end with the best there is.
    pub heard: &'a mut dyn FnMut(u64, u64) -> bool,
}

impl std::fmt::Debug for Watch<'_> {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Watch")
            .field("by_clock", &self.by_clock)
            .finish_non_exhaustive()
    }
}

/// Arranges all work from the first day on.
///
/// A hand-over that cannot be met, and a longest lag that cannot be kept, are warnings that say by how much; what makes any schedule
/// impossible (a skill that nobody has, hours that never open) is an error that names the step. Schedules are tried by count, unless
/// `search` goes by the clock.
pub fn arrange(
    job: &Job,
    survey: &Survey,
    takeoff: &Takeoff,
    rolling: &Rolling,
    crating: &Crating,
    exposure: &Exposure,
    search: &mut Watch<'_>,
    ledger: &mut Ledger,
    problems: &mut Problems,
) -> Schedule {
    let given = Given {
        job,
        survey,
        takeoff,
        rolling,
        crating,
        exposure,
    };
    let known = progress::Known::of(&given, problems);
    let mut drafts = chain::drafts(&given, &known, ledger);
    turns::keep(&given, &mut drafts);
    let planned = drafts.iter().filter_map(planned).collect();
    let mut drafts = sections::split(&given, drafts);
    let calendars = hours::calendars(&given);
    holds::apply(&given, &mut drafts, &calendars, problems);
    standing::set_up(&given, &mut drafts);
    let Some(solved) = engine::solve(&given, &drafts, calendars, search, problems) else {
        return Schedule::default();
    };
    let mut schedule = solved.schedule;
    schedule.planned = planned;
    schedule.done = known.done(&given);
    schedule.air = vapour::courses(&given, &schedule);
    schedule.batches = batches::mix(&given, &schedule);
    schedule.needs = needs::gather(&given, &schedule, ledger);
    stands::hold(&given, &mut schedule, ledger);
    hand_over(job, &schedule, solved.in_the_way, problems);
    record(&schedule, ledger);
    schedule
}

/// A step with all its work; none for a barrier.
fn planned(draft: &draft::Draft<'_>) -> Option<Planned> {
    let (step, _) = draft.step?;
    let (subject, _) = draft.id.rsplit_once('/')?;
    Some(Planned {
        subject: subject.to_owned(),
        panel: draft.panel,
        recipe: draft.recipe.to_owned(),
        step,
        work_minutes: draft.whole,
    })
}

fn hand_over(job: &Job, schedule: &Schedule, in_the_way: Vec<String>, problems: &mut Problems) {
    let Some((day, clear)) = job.hand_over.zip(schedule.wall_clear) else {
        return;
    };
    if schedule.late_minutes > 0 {
        let days = schedule.late_minutes.div_euclid(24 * 60) + 1;
        let mut help = vec![
            "add people with the skills that are waited for (see why each activity starts when it does), add hours or days, start \
             earlier, or agree on a later day; `facelay days JOB --what-if` tries such changes"
                .to_owned(),
        ];
        help.extend(in_the_way);
        problems.push(Problem {
            level: Level::Warning,
            place: None,
            text: format!(
                "the hand-over on {day} is missed: the wall is clear on {}, {} later",
                clear.strftime("%A %Y-%m-%d %H:%M"),
                crate::diag::count(usize::try_from(days).unwrap_or(0), "day")
            ),
            help,
        });
    }
}

fn record(schedule: &Schedule, ledger: &mut Ledger) {
    let Some((finish, bound)) = schedule.finish.zip(schedule.lower_bound_finish) else {
        return;
    };
    ledger.record(
        Derivation::new(
            "schedule/finish",
            "End of the last activity",
            finish.strftime("%Y-%m-%d %H:%M").to_string(),
            "activities placed one by one where they finish earliest, orders improved by a seeded search",
        )
        .input("activities", schedule.activities.len())
        .input("people", schedule.workers.len())
        .input("no plan can finish before", bound.strftime("%Y-%m-%d %H:%M"))
        .input("gap", format!("{:.1} %", schedule.gap_percent))
        .input("schedules tried", schedule.schedules)
        .source(
            "serial schedule generation: R. Kolisch, European Journal of Operational Research 90 (1996) 320-333 (cited from memory)",
        ),
    );
}
