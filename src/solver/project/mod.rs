//! Projects: activities that share resources, planned as short as possible, in integer times and without a calendar.
//!
//! *In*: a [`Problem`] and an [`Effort`]. *Out*: a [`Solution`] with a lower bound. A project whose lags only say
//! "not before" is planned by evolution of serial schedules; one with longest lags by a search that learns from dead ends.

mod blocks;
mod bound;
mod check;
mod dice;
mod distances;
mod evolve;
mod incumbent;
mod lags;
mod learn;
mod network;
mod problem;
mod profile;
mod sample;
mod serial;
mod solve;
#[cfg(test)]
mod tests;
mod windows;

pub use check::Broken;
pub use check::broken_rule;
pub use problem::Activity;
pub use problem::Lag;
pub use problem::Problem;
pub use problem::ProblemError;
pub use solve::Effort;
pub use solve::NoPlan;
pub use solve::Solution;
pub use solve::solve;
