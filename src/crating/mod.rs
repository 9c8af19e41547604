//! Drums and flat panels to crates: boards, timber, foam, fixings, mass, and whether each gets out of the building.
//!
//! *In*: job, survey, rolling. *Out*: [`Crating`]. *Rules*: the roll carries no load on paint; boards by guillotine plan, timber by
//! stock length; each crate against each way out.

mod outcome;

pub use outcome::Contents;
pub use outcome::Crate;
pub use outcome::Crating;
pub use outcome::Passage;
