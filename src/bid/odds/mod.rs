//! The odds: the job drawn many times with hours, quantities, prices and conditions as they may turn out.
//!
//! *In*: the plan's own schedule, purchase and bid. *Out*: [`Odds`]. *Rules*: every draw has its own stream of random numbers, so that the
//! answer is the same on any number of cores; money stays decimal; nothing starts before its planned day, since people, deliveries and the
//! day's solvent are booked for it; more than is ordered is bought in whole packs, and less is not given back.

mod chance;
mod clock;
mod cost;
mod days;
mod draw;
mod outcome;
mod summary;

pub use outcome::Class;
pub use outcome::Driver;
pub use outcome::LEVELS;
pub use outcome::Level;
pub use outcome::Odds;

use crate::job::Job;
use crate::purchase::Purchase;
use crate::schedule::Schedule;
use crate::survey::Survey;
use crate::units::Money;

use super::Bid;
use cost::Model;
use draw::Counts;
use draw::Draw;

/// No more work than about this many activities and factors, drawn together: a second or two of a core.
const MOST_WORK: u64 = 60_000_000;
/// Fewer draws than this say little of the far ends.
const FEWEST_DRAWS: u32 = 200;

/// One draw's answer.
#[derive(Clone, Debug)]
pub(super) struct Drawn {
    pub(super) cost: Money,
    pub(super) finish: i64,
    pub(super) wall_clear: i64,
    pub(super) too_long: bool,
    pub(super) drivers: Vec<f64>,
}

/// Draws the job as often as its terms say, less often where it is very large; none where nothing is scheduled.
pub fn odds(
    job: &Job,
    survey: &Survey,
    schedule: &Schedule,
    purchase: &Purchase,
    bid: &Bid,
) -> Option<Odds> {
    if schedule.activities.is_empty() {
        return None;
    }
    let panels = survey.panels.len();
    let model = Model::of(job, schedule, purchase, bid);
    let counts = model.counts(panels);
    let draws = affordable(job.odds.draws, &model, counts);
    let drawn = all(job, &model, counts, panels, draws);
    Some(summary::of(job, bid, &model.chain, &drawn))
}

fn affordable(asked: u32, model: &Model<'_>, counts: Counts) -> u32 {
    let one = model.chain.links.len() + counts.panels * 2 + counts.materials;
    let most = MOST_WORK / u64::try_from(one).unwrap_or(u64::MAX).max(1);
    asked.min(u32::try_from(most).unwrap_or(u32::MAX).max(FEWEST_DRAWS))
}

/// All draws, shared out between the cores; the answer does not depend on how many there are.
fn all(job: &Job, model: &Model<'_>, counts: Counts, panels: usize, draws: u32) -> Vec<Drawn> {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let share = usize::try_from(draws)
        .unwrap_or(usize::MAX)
        .div_ceil(cores)
        .max(1);
    let numbers: Vec<u64> = (0..u64::from(draws)).collect();
    std::thread::scope(|scope| {
        let workers: Vec<_> = numbers
            .chunks(share)
            .map(|numbers| {
                scope.spawn(move || {
                    let draw = |number: &u64| one(job, model, counts, panels, *number);
                    numbers.iter().map(draw).collect::<Vec<_>>()
                })
            })
            .collect();
        // Odds of some of the draws would be wrong odds: a fault in one worker is a fault of all.
        workers
            .into_iter()
            .flat_map(|worker| match worker.join() {
                Ok(drawn) => drawn,
                Err(fault) => std::panic::resume_unwind(fault),
            })
            .collect()
    })
}

fn one(job: &Job, model: &Model<'_>, counts: Counts, panels: usize, number: u64) -> Drawn {
    let draw = Draw::of(&job.odds, counts, number);
    let run = model.run(&draw, panels);
    Drawn {
        cost: model.cost(&draw, &run, panels),
        finish: run.finish,
        wall_clear: run.wall_clear,
        too_long: run.too_long,
        drivers: draw.drivers,
    }
}
