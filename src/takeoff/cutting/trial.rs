//! The cut plans tried, and the best of them.

use std::cmp::Reverse;

use crate::solver::cutting;
use crate::solver::cutting::Effort;
use crate::solver::cutting::Piece;
use crate::solver::cutting::Stock;
use crate::solver::cutting::Unit;

use super::asked::Asked;

/// Steps of search for a piece, and the most for a plan: it is then as good as it soon gets.
const STEPS_PER_PIECE: u64 = 100_000;
const MOST_STEPS: u64 = 20_000_000;

/// What a unit is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lot {
    /// A whole unit, an index of the family's sizes.
    Whole(usize),
    /// An offcut, an index of the family's offcuts.
    Part(usize),
}

/// The plan taken.
#[derive(Clone, Debug)]
pub(super) struct Best {
    /// What is cut, and how.
    pub lots: Vec<(Lot, Unit)>,
    /// What the bought units cost by the family's measure, and the least that they can cost.
    pub cost: u64,
    pub least_cost: u64,
    /// No plan buys fewer units.
    pub least_bought: u64,
    /// Pieces that no stock holds.
    pub unplaced: u64,
}

/// Units with what each is cut from, and what found no place.
#[derive(Clone, Debug, Default)]
struct Trial {
    lots: Vec<(Lot, Unit)>,
    unplaced: u64,
}

/// Tries to cut the pieces and takes the plan that buys least; of those the one that breaks the fewest whole units, and
/// then the one that uses most of the offcuts.
///
/// With offcuts on the shelf three plans are compared: all stock at once, offcuts filled first and whole units for the
/// rest, and whole units alone. So stock on the shelf never makes a plan dearer.
pub(super) fn best(asked: &Asked) -> Best {
    let pieces = &asked.pieces;
    let (offcuts, whole, new) = (parts(asked), whole(asked), bought(asked));
    let together: Kinds = offcuts.iter().chain(&whole).cloned().collect();
    let (all, bound) = run(asked, &together, pieces);
    let bound = bound.max(bound_of_large(asked, &offcuts, &whole, pieces));
    let mut trials = vec![all];
    if !offcuts.is_empty() {
        trials.push(run(asked, &whole, pieces).0);
        trials.push(parts_first(asked, &offcuts, &whole, pieces));
    }
    if new.len() < whole.len() {
        trials.push(run(asked, &new, pieces).0);
    }
    let best = trials
        .into_iter()
        .min_by_key(|trial| score(asked, trial))
        .unwrap_or_default();
    Best {
        cost: cost(asked, &best),
        least_cost: bound.saturating_sub(shelf_cost(asked)),
        least_bought: least_bought(asked, &offcuts, bound, pieces),
        unplaced: best.unplaced,
        lots: best.lots,
    }
}

/// Stocks with the lot that each stands for.
type Kinds = Vec<(Lot, Stock)>;

/// The offcuts that hold any piece, which cost nothing.
fn parts(asked: &Asked) -> Kinds {
    let parts = asked.offcuts.iter().enumerate();
    let parts = parts.map(|(index, &(width, length, count))| {
        let stock = asked.stock(width, length, 0, Some(count));
        (Lot::Part(index), stock)
    });
    parts
        .filter(|(_, stock)| asked.pieces.iter().any(|piece| holds(stock, piece)))
        .collect()
}

fn holds(stock: &Stock, piece: &Piece) -> bool {
    let fits = |width, length| width <= stock.width && length <= stock.length;
    fits(piece.width, piece.length) || piece.may_turn && fits(piece.length, piece.width)
}

/// The bound on pieces that no offcut holds, which are cut from whole units in any plan.
fn bound_of_large(asked: &Asked, offcuts: &Kinds, whole: &Kinds, pieces: &[Piece]) -> u64 {
    if offcuts.is_empty() {
        return 0;
    }
    run_with(asked, whole, &large(offcuts, pieces), 0).2
}

fn large(offcuts: &Kinds, pieces: &[Piece]) -> Vec<Piece> {
    let fits_none = |piece: &&Piece| !offcuts.iter().any(|(_, stock)| holds(stock, piece));
    pieces.iter().filter(fits_none).cloned().collect()
}

/// Whole units to be bought.
fn bought(asked: &Asked) -> Kinds {
    let sizes = asked.sizes.iter().enumerate();
    let sizes = sizes.map(|(index, size)| {
        let stock = asked.stock(size.width, size.length, size.cost, None);
        (Lot::Whole(index), stock)
    });
    sizes.collect()
}

/// Whole units, those on the shelf for nothing where sizes compete; a lone size needs no such distinction.
fn whole(asked: &Asked) -> Kinds {
    let mut kinds = bought(asked);
    if kinds.len() > 1 {
        let sizes = asked
            .sizes
            .iter()
            .enumerate()
            .filter(|(_, size)| size.shelf > 0);
        kinds.extend(sizes.map(|(index, size)| {
            let stock = asked.stock(size.width, size.length, 0, Some(size.shelf));
            (Lot::Whole(index), stock)
        }));
    }
    kinds
}

fn run(asked: &Asked, kinds: &Kinds, pieces: &[Piece]) -> (Trial, u64) {
    let all = pieces
        .iter()
        .map(|piece| piece.count)
        .fold(0, u64::saturating_add);
    let steps = all.saturating_mul(STEPS_PER_PIECE).min(MOST_STEPS);
    let (trial, rest, bound) = run_with(asked, kinds, pieces, steps);
    let unplaced = rest.iter().map(|(_, count)| count).sum();
    (Trial { unplaced, ..trial }, bound)
}

/// Runs the engine; answers units, pieces left over by index, and the lower bound.
fn run_with(
    asked: &Asked,
    kinds: &Kinds,
    pieces: &[Piece],
    steps: u64,
) -> (Trial, Vec<(usize, u64)>, u64) {
    let stocks: Vec<Stock> = kinds.iter().map(|(_, stock)| stock.clone()).collect();
    let plan = cutting::cut(&stocks, pieces, asked.kerf, &mut Effort::steps(steps));
    let lots = plan.units.into_iter().filter_map(|unit| {
        let (lot, _) = kinds.get(unit.stock)?;
        Some((*lot, unit))
    });
    let trial = Trial {
        lots: lots.collect(),
        unplaced: 0,
    };
    (trial, plan.unplaced, plan.lower_bound)
}

/// Fills the offcuts as far as pieces fit them, and cuts the rest from whole units.
fn parts_first(asked: &Asked, offcuts: &Kinds, whole: &Kinds, pieces: &[Piece]) -> Trial {
    let (mut trial, rest, _) = run_with(asked, offcuts, pieces, MOST_STEPS / 4);
    let mut left: Vec<Piece> = pieces
        .iter()
        .map(|piece| Piece {
            count: 0,
            ..piece.clone()
        })
        .collect();
    for (index, count) in rest {
        if let Some(piece) = left.get_mut(index) {
            piece.count = piece.count.saturating_add(count);
        }
    }
    let (second, _) = run(asked, whole, &left);
    trial.lots.extend(second.lots);
    trial.unplaced = second.unplaced;
    trial
}

/// What cannot be placed, what is bought, whole units used, and area of offcuts used: less is better.
fn score(asked: &Asked, trial: &Trial) -> (u64, u64, u64, Reverse<u128>) {
    let (mut units, mut area) = (0_u64, 0_u128);
    for (lot, unit) in &trial.lots {
        match lot {
            Lot::Whole(_) => units = units.saturating_add(unit.times),
            Lot::Part(_) => {
                let placed = unit.placed.iter();
                let used: u128 = placed
                    .map(|piece| u128::from(piece.width) * u128::from(piece.length))
                    .sum();
                area = area.saturating_add(used.saturating_mul(u128::from(unit.times)));
            }
        }
    }
    (trial.unplaced, cost(asked, trial), units, Reverse(area))
}

/// What is bought, once the shelf's units are taken off.
fn cost(asked: &Asked, trial: &Trial) -> u64 {
    let sizes = asked.sizes.iter().enumerate();
    let costs = sizes.map(|(index, size)| {
        let units = trial
            .lots
            .iter()
            .filter(|(lot, _)| *lot == Lot::Whole(index));
        let count = units
            .map(|(_, unit)| unit.times)
            .fold(0, u64::saturating_add);
        size.cost.saturating_mul(count.saturating_sub(size.shelf))
    });
    costs.fold(0, u64::saturating_add)
}

/// What the shelf saves at most, where the engine did not know of it.
fn shelf_cost(asked: &Asked) -> u64 {
    match asked.sizes.as_slice() {
        [lone] => lone.cost.saturating_mul(lone.shelf),
        _ => 0,
    }
}

/// The least number of units to buy: with one size the bound itself, with several that of a count by units.
fn least_bought(asked: &Asked, offcuts: &Kinds, bound: u64, pieces: &[Piece]) -> u64 {
    let shelf = asked
        .sizes
        .iter()
        .map(|size| size.shelf)
        .fold(0, u64::saturating_add);
    let units = if asked.sizes.len() < 2 {
        bound
    } else {
        let each = bought(asked)
            .into_iter()
            .map(|(lot, stock)| (lot, Stock { cost: 1, ..stock }));
        let each: Kinds = each.collect();
        let all: Kinds = offcuts.iter().chain(&each).cloned().collect();
        let together = run_with(asked, &all, pieces, 0).2;
        together.max(bound_of_large(asked, offcuts, &each, pieces))
    };
    units.saturating_sub(shelf)
}
