//! Improves a layout: take some pieces out, put them back better, towards a cost just below the best.
//!
//! The goal-driven ruin and recreate of Gardeyn and Wauters 2025 (arXiv 2508.19306), with late acceptance
//! (Burke and Bykov 2017, "The late acceptance hill-climbing heuristic"): pieces may stay out, and the area that is
//! out is what the search lessens; once nothing is out the goal is lowered.

use std::rc::Rc;

use rand::RngExt;
use rand_chacha::ChaCha8Rng;

use crate::solver::cutting::build::put_on_last;
use crate::solver::cutting::insert::FITS;
use crate::solver::cutting::job::Job;
use crate::solver::cutting::job::Sheet;
use crate::solver::cutting::order::ORDERS;
use crate::solver::cutting::state::State;
use crate::solver::packing::Effort;

/// Length of the memory of late acceptance.
const MEMORY: usize = 120;

/// A goal-driven search on one job.
pub(super) struct Ruin<'a> {
    job: &'a Job,
    chance: &'a mut ChaCha8Rng,
    /// Cost that must not be exceeded.
    goal: (u128, u64),
}

/// Lowers the cost of a complete layout until `bound` is met or the effort ends.
pub(super) fn improve(
    job: &Job,
    start: State,
    bound: (u128, u64),
    chance: &mut ChaCha8Rng,
    effort: &mut Effort<'_>,
) -> State {
    let mut best = start;
    while best.pool.is_empty() && best.cost > bound && effort.is_left() {
        // The next best there could be: as dear with a sheet less, or cheaper.
        let goal = (best.cost.0, best.cost.1.saturating_sub(1));
        let mut ruin = Ruin {
            job,
            chance: &mut *chance,
            goal,
        };
        let mut state = best.clone();
        ruin.drop_to_goal(&mut state);
        match ruin.search(state, effort) {
            Some(found) => best = found,
            None => return best,
        }
    }
    best
}

/// Puts the pool of a layout back without another sheet; `None` when the effort ends first.
pub(super) fn refit(
    job: &Job,
    start: State,
    chance: &mut ChaCha8Rng,
    effort: &mut Effort<'_>,
) -> Option<State> {
    let goal = start.cost;
    Ruin { job, chance, goal }.search(start, effort)
}

impl Ruin<'_> {
    /// Closes the emptiest sheets until the goal is kept.
    fn drop_to_goal(&mut self, state: &mut State) {
        while state.cost > self.goal && !state.sheets.is_empty() {
            let emptiest =
                (0..state.sheets.len()).min_by_key(|sheet| state.sheets[*sheet].tree.area);
            state.close(self.job, emptiest.unwrap_or(0));
        }
    }

    /// Searches until nothing is out; `None` when the effort ends first.
    fn search(&mut self, state: State, effort: &mut Effort<'_>) -> Option<State> {
        let mut now = state;
        self.recreate(&mut now, effort);
        let mut out = now.missing(self.job);
        let mut memory = vec![out; MEMORY];
        for round in 0.. {
            if now.pool.is_empty() {
                return Some(now);
            }
            if !effort.is_left() {
                return None;
            }
            effort.spend(100 + now.sheets.len() as u64);
            let mut next = now.clone();
            self.take_out(&mut next);
            self.recreate(&mut next, effort);
            let missing = next.missing(self.job);
            let slot = &mut memory[round % MEMORY];
            if missing <= out || missing <= *slot {
                (now, out) = (next, missing);
            }
            *slot = out;
        }
        None
    }

    /// Takes pieces off one to three sheets.
    fn take_out(&mut self, state: &mut State) {
        let sheets = state.sheets.len();
        if sheets == 0 {
            return;
        }
        let touched = self.chance.random_range(1..=3_usize).min(sheets);
        let mut out = Vec::new();
        for turn in 0..touched {
            let sheet = self.chance.random_range(0..state.sheets.len());
            let all = turn == 0 && self.chance.random_range(0..2_u8) == 0;
            let keep = if all {
                0
            } else {
                self.chance.random_range(3..9_u32)
            };
            let filled = &state.sheets[sheet];
            let chance = &mut *self.chance;
            out.clear();
            let tree = filled
                .tree
                .thinned(|_| chance.random_range(0..10_u32) < keep, &mut out);
            let kind = filled.kind;
            state.sheets[sheet] = Rc::new(Sheet { kind, tree });
            state.pool.extend(out.iter().map(|laid| laid.part));
        }
        let emptied = (0..state.sheets.len()).rev().filter(|sheet| {
            let tree = &state.sheets[*sheet].tree;
            tree.is_empty() && !tree.is_narrowed()
        });
        for sheet in emptied.collect::<Vec<_>>() {
            state.close(self.job, sheet);
        }
    }

    /// Puts the pool back, piece by piece, in an order and by a fit drawn by chance.
    fn recreate(&mut self, state: &mut State, effort: &mut Effort<'_>) {
        let mut waiting = core::mem::take(&mut state.pool);
        let order = ORDERS[self.chance.random_range(0..ORDERS.len())];
        let fit = FITS[self.chance.random_range(0..FITS.len())];
        let mut keyed: Vec<(u64, u32)> = waiting
            .drain(..)
            .map(|part| {
                let blur = 900 + self.chance.random_range(0..200_u64);
                (order.key(self.job.part(part)).saturating_mul(blur), part)
            })
            .collect();
        keyed.sort_unstable_by(|a, b| b.cmp(a));
        for (_, part) in keyed {
            let chance = &mut *self.chance;
            let place = state.best_place(
                self.job,
                part,
                fit,
                || chance.random_range(0..64_u8) == 0,
                effort,
            );
            if let Some(place) = place {
                state.put(&place);
            } else if let Some(kind) = self.kind_for(state, part) {
                state.open(self.job, kind);
                put_on_last(self.job, state, part, fit);
            } else {
                state.pool.push(part);
            }
        }
    }

    /// A kind that holds the part and keeps the goal: mostly the cheapest for its area, else any.
    fn kind_for(&mut self, state: &State, part: u32) -> Option<usize> {
        let job = self.job;
        let fitting: Vec<usize> = (0..job.kinds.len())
            .filter(|kind| {
                let size = &job.kinds[*kind];
                let cost = (state.cost.0 + u128::from(size.cost), state.cost.1 + 1);
                state.can_open(*kind) && cost <= self.goal && job.part(part).fits(size.w, size.h)
            })
            .collect();
        if fitting.len() > 1 {
            return Some(fitting[self.chance.random_range(0..fitting.len())]);
        }
        fitting.first().copied()
    }
}
