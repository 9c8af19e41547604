//! Labour: how long a unit of work takes, and how much harder a bad adhesive makes removal.

use super::condition::Adhesive;
use super::condition::Paint;
use super::kit::Per;

/// How long a unit of work takes one person.
#[derive(Clone, Debug, PartialEq)]
pub struct Rate {
    /// The id that recipes use.
    pub id: String,
    /// What is done, in words.
    pub name: String,
    /// Person-minutes a unit.
    pub minutes: f64,
    /// The unit.
    pub per: Per,
    /// Where the value comes from.
    pub source: String,
}

/// How many times longer removal takes than the easiest, for a paint and adhesive.
#[derive(Clone, Debug, PartialEq)]
pub struct Multiplier {
    /// The state of the paint.
    pub paint: Paint,
    /// What holds the canvas.
    pub adhesive: Adhesive,
    /// The factor on the person-minutes of release and reverse cleaning; 1 is the easiest.
    pub factor: f64,
    /// Where the value comes from.
    pub source: String,
}
