//! Limits that only a job's own keys and columns have.

use crate::units::Bound;

const fn bound(name: &'static str, least: f64, most: f64, unit: &'static str) -> Bound {
    Bound {
        name,
        least,
        most,
        unit,
    }
}

/// Panels of a job, counts included: many times the largest job that we know of.
pub(super) const MOST_PANELS: usize = 50_000;
/// Doors, corridors, lift cars and vehicles.
pub(super) const WAY_OUT: Bound = bound("a way out", 100.0, 100_000.0, "mm");
/// Where something stands on the wall.
pub(super) const POSITION: Bound = bound("a position on the wall", 0.0, 120_000.0, "mm");
/// How far hands reach past the boundary of a scaffold lift.
pub(super) const REACH: Bound = bound("the reach past a scaffold lift", 0.0, 2_000.0, "mm");
/// Flammable liquid kept in one place: up to ten cubic metres.
pub(super) const FLAMMABLE: Bound =
    bound("the limit for flammable liquid", 0.0, 10_000_000.0, "ml");
/// How much longer drying takes than free evaporation gives.
pub(super) const DRYING_FACTOR: Bound = bound("the drying factor", 0.1, 1_000.0, "");
/// Days on the road between two places.
pub(super) const TRAVEL_DAYS: Bound = bound("days of travel", 0.0, 30.0, "");
/// Minutes to move a piece of equipment.
pub(super) const MOVING: Bound = bound("moving a piece of equipment", 0.0, 2_880.0, "minutes");
/// Thickness of a paint layer.
pub(super) const PAINT_THICKNESS: Bound = bound("thickness of the paint", 0.005, 20.0, "mm");
/// A release rate from a test patch.
pub(super) const RELEASE_RATE: Bound = bound("a release rate", 0.001, 1_000.0, "m2/h");
/// Working days that materials lie ready.
pub(super) const DAYS_IN_HAND: Bound = bound("days in hand", 0.0, 365.0, "working days");
/// What one unit of another currency is worth in the job's.
pub(super) const EXCHANGE: Bound = bound("a rate of exchange", 0.000_001, 1_000_000.0, "");
/// The least side of an offcut that is kept.
pub(super) const USEFUL_OFFCUT: Bound =
    bound("the least useful side of an offcut", 1.0, 10_000.0, "mm");
/// The order of return to the wall.
pub(super) const RETURN_ORDER: Bound = bound("the order of return", 1.0, 10_000.0, "");
/// How far quantities stray from what is planned.
pub(super) const STRAY: Bound = bound("how far quantities stray", 0.0, 200.0, "%");
/// What is on the shelf or ordered, in the material's unit.
pub(super) const STOCK: Bound = bound("a quantity of material", 0.0, 1_000_000_000.0, "");
/// How many of an own cost line.
pub(super) const OWN_QUANTITY: Bound = bound("a quantity", 0.0, 1_000_000_000.0, "");
/// The removal factor of a case: common practice knows one to thirty.
pub(super) const REMOVAL_FACTOR: Bound = bound("a removal factor", 0.1, 100.0, "");
/// A point of a three-point estimate, or what a condition adds.
pub(super) const SPREAD: Bound = bound("a share of what is planned", 0.0, 1_000.0, "%");
/// A probability.
pub(super) const CHANCE: Bound = bound("a chance", 0.0, 100.0, "%");
/// Working days that a condition takes away.
pub(super) const DAYS_LOST: Bound = bound("days lost", 0.0, 365.0, "days");
/// How often the job is drawn.
pub(super) const DRAWS: Bound = bound("the number of draws", 100.0, 1_000_000.0, "");
/// Where random numbers start.
pub(super) const SEED: Bound = bound("a seed", 0.0, 4_294_967_295.0, "");
/// Packs of an order line.
pub(super) const PACKS: Bound = bound("the number of packs", 0.0, 1_000_000.0, "packs");
/// Person-hours that a step really took.
pub(super) const HOURS_TAKEN: Bound = bound("the actual hours", 0.0, 100_000.0, "hours");
/// What a step really used, in grams of solution.
pub(super) const USED: Bound = bound("the actual solution", 0.0, 100_000_000.0, "g");
