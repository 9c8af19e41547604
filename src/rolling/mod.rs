//! Panels to drums: least diameter from the strain in the paint, tubes, turns, and what goes on a drum.
//!
//! *In*: job, survey, takeoff. *Out*: [`Rolling`]. *Rules*: laminate strain under the paint's limit with its reserve, never
//! under the common-practice floor; a painting is never cut to fit.

mod outcome;

pub use outcome::Bending;
pub use outcome::Drum;
pub use outcome::Flat;
pub use outcome::Governs;
pub use outcome::Rolled;
pub use outcome::Rolling;
pub use outcome::TubeCut;
