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
/// Flammable liquid kept in one place: up to ten cubic metres.
pub(super) const FLAMMABLE: Bound =
    bound("the limit for flammable liquid", 0.0, 10_000_000.0, "ml");
/// How much longer drying takes than free evaporation gives.
pub(super) const DRYING_FACTOR: Bound = bound("the drying factor", 0.1, 1_000.0, "");
/// A release rate from a test patch.
pub(super) const RELEASE_RATE: Bound = bound("a release rate", 0.001, 1_000.0, "m2/h");
/// Working days that materials lie ready.
pub(super) const DAYS_IN_HAND: Bound = bound("days in hand", 0.0, 365.0, "working days");
/// What one unit of another currency is worth in the job's.
pub(super) const EXCHANGE: Bound = bound("a rate of exchange", 0.000_001, 1_000_000.0, "");
/// What is on the shelf, in the material's unit.
pub(super) const STOCK: Bound = bound("a quantity in stock", 0.0, 1_000_000_000.0, "");
