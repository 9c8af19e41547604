//! The whole way from job to plan: whole sheets, repeated patterns, first fit, then search on what is small enough.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::solver::cutting::bound::least_cost;
use crate::solver::cutting::build::build_best;
use crate::solver::cutting::first_fit::first_fit;
use crate::solver::cutting::insert::Fit;
use crate::solver::cutting::job::Job;
use crate::solver::cutting::job::Sheet;
use crate::solver::cutting::job::Sheets;
use crate::solver::cutting::leftover::enlarge_leftover;
use crate::solver::cutting::openings::Openings;
use crate::solver::cutting::openings::roll_up;
use crate::solver::cutting::order::Order;
use crate::solver::cutting::patterns::repeat;
use crate::solver::cutting::ruin::improve;
use crate::solver::cutting::state::State;
use crate::solver::cutting::windows::improve_windows;
use crate::solver::packing::Effort;

/// Pieces up to which the whole job is searched at once.
pub(super) const SMALL: u64 = 300;

/// A solved job.
#[derive(Debug, Default)]
pub(super) struct Solved {
    pub(super) sheets: Sheets,
    /// Parts for which the supply did not suffice.
    pub(super) over: Vec<(u32, u64)>,
    /// Least money, least number of sheets.
    pub(super) bound: (u128, u64),
}

/// Sheets, and the parts that found no place.
type Spread = (Sheets, Vec<(u32, u64)>);

/// Solves a job.
pub(super) fn solve(job: &Job, effort: &mut Effort<'_>) -> Solved {
    let bound = least_cost(job);
    let mut openings = Openings::new(job);
    let mut counts = job.counts.clone();
    let mut sheets = alone(job, &mut counts, &mut openings);
    if total(&counts) > SMALL {
        let repeated = repeat(job, &mut counts, SMALL, &mut openings, effort);
        let (whole, over) = roll_up(job, repeated, &mut openings, effort);
        give_back(&over, &mut counts);
        sheets.extend(whole);
    }
    let spent = job.cost(&sheets);
    let rest = (
        bound.0.saturating_sub(spent.0),
        bound.1.saturating_sub(spent.1),
    );
    let (more, over) = if total(&counts) <= SMALL {
        search(job, &counts, &openings, rest, effort)
    } else {
        spread(job, &counts, &mut openings, effort)
    };
    sheets.extend(more);
    Solved {
        sheets,
        over,
        bound,
    }
}

/// Parts that share a sheet with no other, on whatever kind they fit: one a sheet.
fn alone(job: &Job, counts: &mut [u64], openings: &mut Openings) -> Sheets {
    let shortest = job
        .parts
        .iter()
        .map(|part| part.w.min(part.h))
        .min()
        .unwrap_or(0);
    let mut sheets = Sheets::new();
    for (n, part) in (0_u32..).zip(&job.parts) {
        let mut kinds: Vec<usize> = (0..job.kinds.len())
            .filter(|k| part.fits(job.kinds[*k].w, job.kinds[*k].h))
            .collect();
        let no_room = |k: &usize| {
            let kind = &job.kinds[*k];
            part.ways(n)
                .within(kind.w, kind.h)
                .all(|laid| kind.w - laid.w < shortest && kind.h - laid.h < shortest)
        };
        if !kinds.iter().all(no_room) {
            continue;
        }
        kinds.sort_by_key(|k| (job.kinds[*k].cost, job.kinds[*k].area()));
        for k in kinds {
            let kind = &job.kinds[k];
            let times = counts[n as usize].min(openings.left(k));
            let laid = part.ways(n).within(kind.w, kind.h).next();
            let Some(laid) = laid.filter(|_| times > 0) else {
                continue;
            };
            let mut tree = kind.empty();
            let spot = tree.spots().first().copied();
            if let Some(spot) = spot {
                tree.insert(spot, laid);
            }
            counts[n as usize] -= times;
            openings.take(job, k, times);
            sheets.push((Sheet { kind: k, tree }, times));
        }
    }
    sheets
}

/// Search on a small rest.
fn search(
    job: &Job,
    counts: &[u64],
    openings: &Openings,
    bound: (u128, u64),
    effort: &mut Effort<'_>,
) -> Spread {
    let pool: Vec<u32> = (0_u32..)
        .zip(counts)
        .flat_map(|(n, count)| (0..*count).map(move |_| n))
        .collect();
    if pool.is_empty() {
        return Spread::default();
    }
    let rest = openings.job_left(job);
    let mut chance = ChaCha8Rng::seed_from_u64(1);
    let built = build_best(&rest, &pool, effort);
    let reserve = effort.left() / 5;
    let for_cost = effort.left() - reserve;
    let state = effort.share(for_cost, |effort| {
        improve(&rest, built, bound, &mut chance, effort)
    });
    let state = enlarge_leftover(&rest, state, &mut chance, effort);
    let sheets = state
        .sheets
        .iter()
        .filter(|sheet| !sheet.tree.is_empty())
        .map(|sheet| ((**sheet).clone(), 1));
    let over = state.pool.iter().map(|part| (*part, 1)).collect();
    (sheets.collect(), over)
}

/// First fit in several orders for a large rest, then search on a few sheets at a time.
fn spread(job: &Job, counts: &[u64], openings: &mut Openings, effort: &mut Effort<'_>) -> Spread {
    let mut best: Option<(Spread, Openings)> = None;
    let trials = [
        (Order::Area, Fit::ShortSide),
        (Order::LongestSide, Fit::ShortSide),
        (Order::Length, Fit::Flush),
        (Order::Width, Fit::ShortSide),
    ];
    for (order, fit) in trials {
        let mut left = openings.clone();
        let tried = once(job, counts, order, fit, &mut left, effort);
        let key = |(sheets, over): &Spread| {
            (
                over.iter().map(|part| part.1).sum::<u64>(),
                job.cost(sheets),
            )
        };
        if best
            .as_ref()
            .is_none_or(|found| key(&tried) < key(&found.0))
        {
            best = Some((tried, left));
        }
    }
    let Some(((sheets, over), left)) = best else {
        return Spread::default();
    };
    *openings = left;
    (improve_windows(job, sheets, openings, effort), over)
}

/// First fit; strips for which there is no roll are tried again on what is left.
fn once(
    job: &Job,
    counts: &[u64],
    order: Order,
    fit: Fit,
    openings: &mut Openings,
    effort: &mut Effort<'_>,
) -> Spread {
    let mut counts = counts.to_vec();
    let mut all = Sheets::new();
    loop {
        let (filled, over) = first_fit(job, &counts, order, fit, openings, effort);
        let filled = filled.into_iter().map(|sheet| (sheet, 1)).collect();
        let (whole, strips) = roll_up(job, filled, openings, effort);
        let stuck = whole.is_empty();
        all.extend(whole);
        if strips.is_empty() {
            return (all, over);
        }
        counts.fill(0);
        for (part, count) in over {
            counts[part as usize] += count;
        }
        give_back(&strips, &mut counts);
        if stuck {
            let over = (0_u32..).zip(counts).filter(|part| part.1 > 0).collect();
            return (all, over);
        }
    }
}

fn total(counts: &[u64]) -> u64 {
    counts.iter().copied().fold(0, u64::saturating_add)
}

fn give_back(sheets: &Sheets, counts: &mut [u64]) {
    for (sheet, times) in sheets {
        for laid in sheet.tree.laid() {
            counts[laid.part as usize] += times;
        }
    }
}

impl State {
    /// A state made of finished sheets.
    pub(super) fn of(job: &Job, sheets: &[Sheet]) -> Self {
        let mut state = Self::new(job, Vec::new());
        for sheet in sheets {
            state.open(job, sheet.kind);
            state.sheets.pop();
            state.sheets.push(std::rc::Rc::new(sheet.clone()));
        }
        state
    }
}
