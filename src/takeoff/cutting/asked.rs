//! What is asked of the search for a cut plan, and plans kept for when the same is asked again.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::solver::cutting::Piece;
use crate::solver::cutting::Stock;
use crate::units::Length;

use super::steps;
use super::trial;
use super::trial::Best;

/// A plan that was asked for in none of so many jobs is forgotten.
const JOBS_KEPT: u64 = 6;

/// Everything that the plan of one material hangs on and nothing else: who asks the same gets the same.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Asked {
    /// The sizes that whole units come in.
    pub sizes: Vec<Whole>,
    /// Offcuts on the shelf: width, length and how many.
    pub offcuts: Vec<(Length, Length, u64)>,
    /// What a cut takes.
    pub kerf: u64,
    /// Whether it comes on rolls, of which lengths are cut off first.
    pub roll: bool,
    /// What is cut, in the order of sizes.
    pub pieces: Vec<Piece>,
}

/// One size of whole units.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Whole {
    pub width: Length,
    pub length: Length,
    /// What one costs: cents, or 1 where there is no other size, or an area where none has a price.
    pub cost: u64,
    /// How many lie on the shelf.
    pub shelf: u64,
}

impl Asked {
    /// A stock for the cutting engine.
    pub(super) fn stock(
        &self,
        width: Length,
        length: Length,
        cost: u64,
        supply: Option<u64>,
    ) -> Stock {
        Stock {
            width: steps(width),
            length: steps(length),
            cost,
            supply,
            trim: 0,
            first_cut_across: self.roll,
        }
    }
}

/// Cut plans of the last jobs.
#[derive(Clone, Debug, Default)]
pub struct KeptCuts {
    /// The plans, each with the number of the last job that asked for it.
    plans: BTreeMap<Asked, (u64, Arc<Best>)>,
    job: u64,
}

impl KeptCuts {
    /// Answers every question of a job in their order; those that are new are shared out between the cores.
    pub(super) fn answer(&mut self, asked: &[Asked]) -> Vec<Arc<Best>> {
        self.job += 1;
        let job = self.job;
        self.plans.retain(|_, (last, _)| *last + JOBS_KEPT >= job);
        let new: Vec<&Asked> = asked
            .iter()
            .filter(|asked| !self.plans.contains_key(asked))
            .collect();
        let found = crate::solver::on_all_cores(&new, |asked| Arc::new(trial::best(asked)));
        let new: Vec<Asked> = new.into_iter().cloned().collect();
        self.plans.extend(
            new.into_iter()
                .zip(found)
                .map(|(asked, best)| (asked, (job, best))),
        );
        asked
            .iter()
            .filter_map(|asked| {
                let (last, best) = self.plans.get_mut(asked)?;
                *last = job;
                Some(Arc::clone(best))
            })
            .collect()
    }
}
