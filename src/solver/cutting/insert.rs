//! Puts a piece where it fits best.

use crate::solver::cutting::job::Ways;
use crate::solver::cutting::tree::Laid;
use crate::solver::cutting::tree::Shape;
use crate::solver::cutting::tree::Spot;
use crate::solver::cutting::tree::Tree;

/// What counts as a good fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fit {
    /// Least left over on the tighter side.
    ShortSide,
    /// Least left over on the wider side.
    LongSide,
    /// Least area left over.
    Area,
    /// Flush with what it lies beside.
    Flush,
}

/// All of them.
pub(super) const FITS: [Fit; 4] = [Fit::ShortSide, Fit::Area, Fit::Flush, Fit::LongSide];

/// The best spot in a tree for a piece in any of its ways, with its rating (less is better).
pub(super) fn best_spot(tree: &Tree, ways: &Ways, fit: Fit) -> Option<(u64, Spot, Laid)> {
    let mut best: Option<(u64, Spot, Laid)> = None;
    if !ways.iter().any(|laid| tree.free.may_hold(laid)) {
        return None;
    }
    for &spot in tree.spots() {
        for laid in ways.iter() {
            if laid.w > spot.w || laid.h > spot.h {
                continue;
            }
            let rating = rate(spot, laid, fit);
            if best.as_ref().is_none_or(|found| rating < found.0) {
                best = Some((rating, spot, laid));
            }
        }
    }
    best
}

/// How well a piece lies at a spot that holds it.
pub(super) fn rate(spot: Spot, laid: Laid, fit: Fit) -> u64 {
    let (over_w, over_h) = (u64::from(spot.w - laid.w), u64::from(spot.h - laid.h));
    match fit {
        Fit::ShortSide => (over_w.min(over_h) << 31) | over_w.max(over_h),
        Fit::LongSide => (over_w.max(over_h) << 31) | over_w.min(over_h),
        Fit::Area => u64::from(spot.w) * u64::from(spot.h) - u64::from(laid.w) * u64::from(laid.h),
        Fit::Flush => flush(spot, laid),
    }
}

/// Area spoilt between the piece and its neighbour, then the tighter side.
fn flush(spot: Spot, laid: Laid) -> u64 {
    let along = match spot.shape {
        Shape::Row => laid.h,
        Shape::Stack => laid.w,
        Shape::Leaf => 0,
    };
    let step = u64::from(along.abs_diff(spot.flush));
    let over = u64::from(spot.w - laid.w).min(u64::from(spot.h - laid.h));
    (step.min(over) << 31) | step.max(over)
}
