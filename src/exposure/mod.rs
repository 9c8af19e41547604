//! Vapour, fire and storage: estimates from the solvents that steps give off, and the limits they put on a day.
//!
//! *In*: job, survey, takeoff. *Out*: [`Exposure`]. *Rules*: additive exposure limits with a mixing factor, a fraction of the
//! lower explosive limit, drying by evaporation driving force. Every figure is an estimate: local rules and a competent person decide.

mod outcome;

pub use outcome::Drying;
pub use outcome::Exposure;
pub use outcome::PlaceAir;
pub use outcome::Vapour;
