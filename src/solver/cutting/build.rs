//! Builds layouts piece by piece: each where it fits best, a new sheet where it fits nowhere.

use core::cmp::Reverse;

use crate::solver::cutting::insert::FITS;
use crate::solver::cutting::insert::Fit;
use crate::solver::cutting::insert::best_spot;
use crate::solver::cutting::job::Job;
use crate::solver::cutting::leftover::biggest;
use crate::solver::cutting::order::ORDERS;
use crate::solver::cutting::order::Order;
use crate::solver::cutting::state::Place;
use crate::solver::cutting::state::State;
use crate::solver::packing::Effort;

/// Which kind of sheet is opened next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Choice {
    /// Least cost for its area.
    PerArea,
    /// Least cost, then least area.
    Cheapest,
    /// This kind where it can be had, else as `PerArea`.
    Kind(usize),
}

/// The best of all orders, fits and choices: least missing, then cheapest, then the biggest leftover.
pub(super) fn build_best(job: &Job, pool: &[u32], effort: &mut Effort<'_>) -> State {
    let mut best: Option<State> = None;
    for choice in choices(job) {
        for order in ORDERS {
            for fit in FITS {
                if best.is_some() && !effort.is_left() {
                    break;
                }
                let built = build(job, pool, order, fit, choice, effort);
                let key = |state: &State| (state.missing(job), state.cost, Reverse(biggest(state)));
                if best.as_ref().is_none_or(|found| key(&built) < key(found)) {
                    best = Some(built);
                }
            }
        }
    }
    best.unwrap_or_else(|| State::new(job, pool.to_vec()))
}

fn choices(job: &Job) -> Vec<Choice> {
    if job.kinds.len() < 2 {
        return vec![Choice::PerArea];
    }
    let kinds = (0..job.kinds.len().min(6)).map(Choice::Kind);
    [Choice::PerArea, Choice::Cheapest]
        .into_iter()
        .chain(kinds)
        .collect()
}

/// One layout of the parts in `pool`.
pub(super) fn build(
    job: &Job,
    pool: &[u32],
    order: Order,
    fit: Fit,
    choice: Choice,
    effort: &mut Effort<'_>,
) -> State {
    let mut waiting = pool.to_vec();
    order.sort(&job.parts, &mut waiting);
    let mut state = State::new(job, Vec::new());
    for part in waiting {
        if !put_in(job, &mut state, part, fit, choice, effort) {
            state.pool.push(part);
        }
    }
    state
}

fn put_in(
    job: &Job,
    state: &mut State,
    part: u32,
    fit: Fit,
    choice: Choice,
    effort: &mut Effort<'_>,
) -> bool {
    if let Some(place) = state.best_place(job, part, fit, || false, effort) {
        state.put(&place);
        return true;
    }
    let Some(kind) = choose(job, state, part, choice) else {
        return false;
    };
    state.open(job, kind);
    put_on_last(job, state, part, fit)
}

/// Puts a part on the sheet opened last.
pub(super) fn put_on_last(job: &Job, state: &mut State, part: u32, fit: Fit) -> bool {
    let Some(sheet) = state.sheets.len().checked_sub(1) else {
        return false;
    };
    let found = best_spot(&state.sheets[sheet].tree, &job.part(part).ways(part), fit);
    if let Some((_, spot, laid)) = found {
        state.put(&Place { sheet, spot, laid });
    }
    found.is_some()
}

/// The kind to open for a part.
pub(super) fn choose(job: &Job, state: &State, part: u32, choice: Choice) -> Option<usize> {
    let fits = |kind: &usize| {
        let size = &job.kinds[*kind];
        state.can_open(*kind) && job.part(part).fits(size.w, size.h)
    };
    match choice {
        Choice::Kind(kind) if fits(&kind) => return Some(kind),
        Choice::Cheapest => {
            return (0..job.kinds.len())
                .filter(fits)
                .min_by_key(|kind| (job.kinds[*kind].cost, job.kinds[*kind].area()));
        }
        Choice::PerArea | Choice::Kind(_) => {}
    }
    (0..job.kinds.len()).filter(fits).min_by(|a, b| {
        let (a, b) = (&job.kinds[*a], &job.kinds[*b]);
        let (first, second) = (
            u128::from(a.cost) * u128::from(b.area()),
            u128::from(b.cost) * u128::from(a.area()),
        );
        first.cmp(&second).then(a.area().cmp(&b.area()))
    })
}
