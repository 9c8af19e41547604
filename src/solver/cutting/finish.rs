//! The public entry: from stock and pieces to a plan that names every piece.

use std::collections::VecDeque;

use crate::solver::cutting::job::Job;
use crate::solver::cutting::job::Sheets;
use crate::solver::cutting::lay_out::LaidOut;
use crate::solver::cutting::lay_out::lay_out;
use crate::solver::cutting::patterns::tally;
use crate::solver::cutting::plan::Piece;
use crate::solver::cutting::plan::Placed;
use crate::solver::cutting::plan::Plan;
use crate::solver::cutting::plan::Stock;
use crate::solver::cutting::plan::Unit;
use crate::solver::cutting::solve::solve;
use crate::solver::packing::Effort;

/// Cuts `pieces` from `stocks`, with a saw that takes `kerf`, at the least cost found.
///
/// Pieces without extent, or larger than every stock, come back in `unplaced`. Lengths count up to 2³¹ − 1 less the
/// saw cut: longer stock is used up to there, longer pieces are not placed. Choose the unit accordingly.
///
/// # Examples
///
/// ```
/// use facelay::solver::cutting::{Effort, Piece, Stock, cut};
///
/// let sheet = Stock { width: 1_000, length: 2_000, cost: 30, supply: None, trim: 0, first_cut_across: false };
/// let pieces = [
///     Piece { width: 497, length: 997, may_turn: false, count: 4 },
///     Piece { width: 3_000, length: 100, may_turn: false, count: 1 },
/// ];
/// let plan = cut(&[sheet], &pieces, 6, &mut Effort::steps(100_000));
/// assert_eq!((plan.cost, plan.lower_bound), (30, 30));
/// assert_eq!(plan.units[0].placed.len(), 4);
/// // One cut parts the sheet, two more free the pieces.
/// assert_eq!(plan.units[0].cuts.len(), 3);
/// assert_eq!(plan.unplaced, [(1, 1)]);
/// ```
///
/// # Sources
/// Named beside each method: insertion into slicing trees (Fleszar 2013), goal-driven ruin and recreate (Gardeyn and
/// Wauters 2025), bounds by dual feasible functions (Fekete and Schepers 2004; Carlier, Clautiaux and Moukrim 2007).
pub fn cut(stocks: &[Stock], pieces: &[Piece], kerf: u64, effort: &mut Effort<'_>) -> Plan {
    let job = Job::new(stocks, pieces, kerf);
    let solved = solve(&job, effort);
    let mut unplaced = job.unplaceable.clone();
    let mut queues: Vec<VecDeque<(usize, u64)>> = job
        .members
        .iter()
        .map(|members| members.iter().copied().collect())
        .collect();
    let units = hand_out(stocks, kerf, &solved.sheets, &mut queues);
    for queue in queues {
        unplaced.extend(queue);
    }
    unplaced.sort_unstable();
    let cost = job.cost(&solved.sheets).0;
    let bound = if solved.over.is_empty() {
        solved.bound.0
    } else {
        0
    };
    Plan {
        units,
        cost: u64::try_from(cost).unwrap_or(u64::MAX),
        lower_bound: u64::try_from(bound).unwrap_or(u64::MAX),
        unplaced,
    }
}

/// Sheets by part as units by piece; one sheet becomes several units where its pieces change along the way.
fn hand_out(
    stocks: &[Stock],
    kerf: u64,
    sheets: &Sheets,
    queues: &mut [VecDeque<(usize, u64)>],
) -> Vec<Unit> {
    let mut units = Vec::new();
    for (sheet, times) in sheets {
        let stock = &stocks[sheet.kind];
        let out = lay_out(
            &sheet.tree,
            stock.width,
            stock.length,
            stock.margin(kerf),
            kerf,
        );
        let tally = tally(&sheet.tree);
        let mut more = *times;
        while more > 0 {
            let repeats = tally
                .iter()
                .map(|&(part, n)| {
                    queues[part as usize]
                        .front()
                        .map_or(1, |head| head.1 / n.max(1))
                        .max(1)
                })
                .fold(more, u64::min);
            units.push(unit(sheet.kind, &out, repeats, kerf, &tally, queues));
            more -= repeats;
        }
    }
    units
}

fn unit(
    stock: usize,
    out: &LaidOut,
    times: u64,
    kerf: u64,
    tally: &[(u32, u64)],
    queues: &mut [VecDeque<(usize, u64)>],
) -> Unit {
    // The pieces of each part on this unit, in the order of the tally.
    let mut taken: Vec<(u32, Vec<usize>)> = Vec::with_capacity(tally.len());
    for &(part, n) in tally {
        taken.push((part, take(&mut queues[part as usize], n, times)));
    }
    let placed = out.placed.iter().map(|&(laid, x, y)| {
        let found = taken.binary_search_by_key(&laid.part, |entry| entry.0);
        let piece = found.ok().and_then(|at| taken[at].1.pop()).unwrap_or(0);
        let (width, length) = (u64::from(laid.w) - kerf, u64::from(laid.h) - kerf);
        Placed {
            piece,
            x,
            y,
            width,
            length,
            turned: laid.turned,
        }
    });
    Unit {
        stock,
        times,
        placed: placed.collect(),
        offcuts: out.offcuts.clone(),
        cuts: out.cuts.clone(),
    }
}

/// Takes `n` pieces, `times` over, off the queue's head; where the head alone does not suffice `times` is one.
fn take(queue: &mut VecDeque<(usize, u64)>, n: u64, times: u64) -> Vec<usize> {
    let mut pieces = Vec::new();
    let mut wanted = n;
    while let Some(head) = queue.front_mut().filter(|_| wanted > 0) {
        let taken = wanted.min(head.1);
        pieces.extend((0..taken).map(|_| head.0));
        head.1 -= if taken == n { n * times } else { taken };
        wanted -= taken;
        if head.1 == 0 {
            queue.pop_front();
        }
    }
    pieces.reverse();
    pieces
}
