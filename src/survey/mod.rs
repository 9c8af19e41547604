//! Measured panels to net shapes: one entry a physical panel.
//!
//! *In*: panel rows. *Out*: [`Survey`]. *Rules*: outlines and openings within them; counts expanded.

mod outcome;

pub use outcome::Panel;
pub use outcome::Survey;
