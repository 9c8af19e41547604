//! What the stock must cost at least: area, weighed so that big pieces count for what they block.
//!
//! Widths and lengths go through dual feasible functions; pieces so changed still fit where they fitted, so their
//! changed area is a bound. The functions are maximal, hence superadditive, and serve stock of every size at once.
//!
//! # Sources
//! - Fekete and Schepers 2004, "A general framework for bounds for higher-dimensional orthogonal packing problems".
//! - Carlier, Clautiaux and Moukrim 2007, "New reduction procedures and lower bounds for the two-dimensional bin
//!   packing problem with fixed orientation".

use std::collections::BTreeSet;

use crate::solver::cutting::cover::Offer;
use crate::solver::cutting::cover::in_parts;
use crate::solver::cutting::cover::in_whole;
use crate::solver::cutting::cover::sorted;
use crate::solver::cutting::job::Job;
use crate::solver::cutting::job::Part;

/// Products of a piece's two measures the bound may look at.
const LOOKS: usize = 6_000_000;

/// A dual feasible function on lengths up to `all`.
#[derive(Clone, Copy, Debug)]
enum Measure {
    Plain,
    /// Under `small` counts as nothing, over `all - small` as all.
    DropSmall {
        small: u64,
        all: u64,
    },
    /// In whole steps of `small`, the big half from above.
    Steps {
        small: u64,
        all: u64,
    },
}

impl Measure {
    fn of(self, length: u64) -> u64 {
        match self {
            Self::Plain => length,
            Self::DropSmall { small, all } if length > all - small => all,
            Self::DropSmall { small, .. } => {
                if length < small {
                    0
                } else {
                    length
                }
            }
            Self::Steps { small, all } => match (2 * length).cmp(&all) {
                core::cmp::Ordering::Less => 2 * (length / small),
                core::cmp::Ordering::Equal => all / small,
                core::cmp::Ordering::Greater => 2 * (all / small - (all - length) / small),
            },
        }
    }
}

/// The least money and, apart from it, the least number of sheets.
pub(super) fn least_cost(job: &Job) -> (u128, u64) {
    let kinds = job.kinds.iter().filter(|kind| kind.supply != Some(0));
    let (all_w, all_h) = kinds.fold((0, 0), |(w, h), kind| (kind.w.max(w), kind.h.max(h)));
    let each = measures_each(job.parts.len());
    let across = measures(job, u64::from(all_w), each, |part| {
        [Some(part.w), part.turns.then_some(part.h)]
    });
    let along = measures(job, u64::from(all_h), each, |part| {
        [Some(part.h), part.turns.then_some(part.w)]
    });
    let wide = table(job, &across);
    let long = table(job, &along);
    let mut best = (0, 0);
    // The pair of measures that binds most, in whole sheets later.
    let mut binding = (Vec::new(), 0);
    for (x, wide) in across.iter().zip(&wide) {
        for (y, long) in along.iter().zip(&long) {
            let demand = demand(job, wide, long, all_w, all_h);
            let offers = |priced: bool| {
                sorted(job.kinds.iter().map(|kind| Offer {
                    price: if priced { u128::from(kind.cost) } else { 1 },
                    room: u128::from(x.of_side(kind.w)) * u128::from(y.of_side(kind.h)),
                    supply: kind.supply,
                }))
            };
            let priced = offers(true);
            let cost = in_parts(&priced, demand);
            if cost > best.0 || binding.0.is_empty() {
                binding = (priced, demand);
            }
            best.0 = best.0.max(cost);
            best.1 = best.1.max(in_parts(&offers(false), demand));
        }
    }
    best.0 = best.0.max(in_whole(&binding.0, binding.1).unwrap_or(0));
    let step = job
        .kinds
        .iter()
        .map(|kind| u128::from(kind.cost))
        .fold(0, gcd);
    if step > 0 {
        best.0 = best.0.div_ceil(step) * step;
    }
    (best.0, u64::try_from(best.1).unwrap_or(u64::MAX))
}

/// How many measures each axis may have so that all pairs stay within `LOOKS`.
fn measures_each(parts: usize) -> usize {
    let pairs = LOOKS / parts.max(1);
    (1..=160).rev().find(|n| n * n <= pairs).unwrap_or(1)
}

fn measures(
    job: &Job,
    all: u64,
    most: usize,
    sides: impl Fn(&Part) -> [Option<u32>; 2],
) -> Vec<Measure> {
    let mut smalls = BTreeSet::new();
    for side in job
        .parts
        .iter()
        .flat_map(|part| sides(part).into_iter().flatten())
    {
        let side = u64::from(side);
        for small in [side, side + 1, (all + 1).saturating_sub(side)] {
            if small > 0 && 2 * small <= all {
                smalls.insert(small);
            }
        }
    }
    let step = (2 * smalls.len()).div_ceil(most.max(1)).max(1);
    let some = smalls.into_iter().step_by(step);
    let changed = some.flat_map(|small| {
        [
            Measure::DropSmall { small, all },
            Measure::Steps { small, all },
        ]
    });
    core::iter::once(Measure::Plain).chain(changed).collect()
}

/// For each measure the measured width and length of every part.
fn table(job: &Job, measures: &[Measure]) -> Vec<Vec<(u64, u64)>> {
    let both = |measure: &Measure, part: &Part| (measure.of_side(part.w), measure.of_side(part.h));
    measures
        .iter()
        .map(|measure| job.parts.iter().map(|part| both(measure, part)).collect())
        .collect()
}

impl Measure {
    /// A side may exceed `all`: of a part on the axis on which it cannot lie, of a kind that is not to be had.
    fn of_side(self, side: u32) -> u64 {
        let side = u64::from(side);
        match self {
            Self::DropSmall { all, .. } | Self::Steps { all, .. } => self.of(side.min(all)),
            Self::Plain => side,
        }
    }
}

fn demand(job: &Job, wide: &[(u64, u64)], long: &[(u64, u64)], all_w: u32, all_h: u32) -> u128 {
    let mut total = 0_u128;
    for (i, part) in job.parts.iter().enumerate() {
        let straight = u128::from(wide[i].0) * u128::from(long[i].1);
        let turned = u128::from(wide[i].1) * u128::from(long[i].0);
        let least = match (
            part.w <= all_w && part.h <= all_h,
            part.turns && part.h <= all_w && part.w <= all_h,
        ) {
            (true, true) => straight.min(turned),
            (false, true) => turned,
            _ => straight,
        };
        total = total.saturating_add(least.saturating_mul(u128::from(job.counts[i])));
    }
    total
}

fn gcd(a: u128, b: u128) -> u128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solver::cutting::plan::Piece;
    use crate::solver::cutting::plan::Stock;

    fn bound(sheet: (u64, u64), pieces: &[(u64, u64, u64)], may_turn: bool) -> u64 {
        let stock = Stock {
            width: sheet.0,
            length: sheet.1,
            cost: 1,
            supply: None,
            trim: 0,
            first_cut_across: false,
        };
        let pieces: Vec<Piece> = pieces
            .iter()
            .map(|&(width, length, count)| Piece {
                width,
                length,
                may_turn,
                count,
            })
            .collect();
        least_cost(&Job::new(&[stock], &pieces, 0)).1
    }

    #[test]
    fn pieces_over_half_each_way_need_a_sheet_each() {
        assert_eq!(bound((10, 10), &[(6, 6, 4)], true), 4);
    }

    #[test]
    fn thirds_that_do_not_go_in_threes() {
        // Width 4 goes twice into 10, length 4 twice: four a sheet, by area six.
        assert_eq!(bound((10, 10), &[(4, 4, 9)], false), 3);
    }

    #[test]
    fn the_bound_by_area_counts_turned_pieces_once() {
        assert_eq!(bound((10, 20), &[(20, 10, 3)], true), 3);
    }
}
