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

use std::sync::mpsc;

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
/// A worker tells of its progress after so many draws.
const TOLD_AT_ONCE: usize = 100;
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
///
/// `heard` is told again and again how many draws are done, of how many.
pub fn odds(
    job: &Job,
    survey: &Survey,
    schedule: &Schedule,
    purchase: &Purchase,
    bid: &Bid,
    heard: &mut dyn FnMut(u64, u64),
) -> Option<Odds> {
    if schedule.activities.is_empty() {
        return None;
    }
    let panels = survey.panels.len();
    let model = Model::of(job, schedule, purchase, bid);
    let counts = model.counts(panels);
    let draws = affordable(job.odds.draws, &model, counts);
    let one = |number| one(job, &model, counts, panels, number);
    let drawn = all(draws, &one, heard);
    Some(summary::of(job, bid, &model.chain, &drawn))
}

fn affordable(asked: u32, model: &Model<'_>, counts: Counts) -> u32 {
    let one = model.chain.links.len() + counts.panels * 2 + counts.materials;
    let most = MOST_WORK / u64::try_from(one).unwrap_or(u64::MAX).max(1);
    asked.min(u32::try_from(most).unwrap_or(u32::MAX).max(FEWEST_DRAWS))
}

/// All draws, shared out between the cores; the answer does not depend on how many there are.
fn all(
    draws: u32,
    one: &(dyn Fn(u64) -> Drawn + Sync),
    heard: &mut dyn FnMut(u64, u64),
) -> Vec<Drawn> {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let share = usize::try_from(draws)
        .unwrap_or(usize::MAX)
        .div_ceil(cores)
        .max(1);
    let numbers: Vec<u64> = (0..u64::from(draws)).collect();
    let (tell, told) = mpsc::channel();
    std::thread::scope(|scope| {
        let workers: Vec<_> = numbers
            .chunks(share)
            .map(|numbers| {
                let tell = tell.clone();
                scope.spawn(move || some(numbers, one, &tell))
            })
            .collect();
        drop(tell);
        let mut done = 0;
        for more in told {
            done += more;
            heard(done, draws.into());
        }
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

/// One worker's draws; it tells how many more are done each time.
fn some(
    numbers: &[u64],
    one: &(dyn Fn(u64) -> Drawn + Sync),
    tell: &mpsc::Sender<u64>,
) -> Vec<Drawn> {
    let mut drawn = Vec::with_capacity(numbers.len());
    for few in numbers.chunks(TOLD_AT_ONCE) {
        drawn.extend(few.iter().map(|number| one(*number)));
        let more = u64::try_from(few.len()).unwrap_or(0);
        // Whoever listens does so until every worker is done.
        if tell.send(more).is_err() {
            break;
        }
    }
    drawn
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
