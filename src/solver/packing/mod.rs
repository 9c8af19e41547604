//! Packs lengths into as few bins as possible, and cuts lengths from bars at least cost.
//!
//! Everything is whole numbers and every search is counted in steps ([`Effort`]), so the same input gives the
//! same answer on any machine. Beside each answer stands a lower bound that no answer can beat.

mod bars;
mod bins;
mod bound;
mod column;
mod dive;
mod effort;
mod fill;
mod group;
mod job;
mod knapsack;
mod master;
mod tail;
#[cfg(test)]
mod tests;

pub use bars::Bar;
pub use bars::BarCut;
pub use bars::Bars;
pub use bars::cut_lengths;
pub use bins::Packing;
pub use bins::pack;
pub use effort::Effort;
