//! What the odds hand on.

use jiff::civil::DateTime;

use crate::units::Money;

/// How the sum of the cost lines and the days may turn out.
#[derive(Clone, Debug, PartialEq)]
pub struct Odds {
    /// How many times the job was drawn: fewer than [`OddsTerms::draws`](crate::job::OddsTerms::draws) where it is very large.
    pub draws: u32,
    /// Where the random numbers started.
    pub seed: u64,
    /// The sum of the cost lines, before contingency, overhead, markup and tax, at each level of [`LEVELS`].
    pub cost: [Level<Money>; 4],
    /// The price with tax at each level: overhead, markup and tax on the drawn cost, and no contingency.
    pub price: [Money; 4],
    /// The end of the last activity at each level.
    pub finish: [Level<DateTime>; 4],
    /// Mean of the drawn costs, to the cent.
    pub mean: Money,
    /// Share of draws in which the cost lines and their contingency are enough.
    pub enough: f64,
    /// Share of draws in which the wall is clear by the hand-over; none if the job has none.
    pub in_time: Option<f64>,
    /// Share of draws in which a longest time between two steps is exceeded.
    pub too_long: f64,
    /// What drives the cost, the strongest first.
    pub drivers: Vec<Driver>,
    /// The drawn costs in classes of equal width, from the least to the most.
    pub classes: Vec<Class>,
}

/// The shares of draws that stay at or below the levels shown, in percent.
pub const LEVELS: [u32; 4] = [10, 50, 80, 90];

/// A value that a share of the draws stays at or below, with the range that sampling leaves open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Level<T> {
    /// The value.
    pub value: T,
    /// The value lies above this with about 97.5 % certainty, as far as the drawing goes.
    pub from: T,
    /// The value lies below this with about 97.5 % certainty, as far as the drawing goes.
    pub to: T,
}

/// Something that drives the cost.
#[derive(Clone, Debug, PartialEq)]
pub struct Driver {
    /// The spread's or condition's name.
    pub name: String,
    /// Rank correlation with the cost, from −1 to 1.
    pub correlation: f64,
    /// Its part of the squared rank correlations of all drivers, from 0 to 1.
    pub share: f64,
    /// Mean cost where it is worst (its highest tenth, or where the condition holds) less mean cost where it is best.
    pub swing: Money,
}

/// A class of drawn costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Class {
    /// Its lower end.
    pub from: Money,
    /// Its upper end.
    pub to: Money,
    /// How many draws fall into it.
    pub count: u32,
    /// Share of draws at or below its upper end.
    pub up_to: f64,
}
