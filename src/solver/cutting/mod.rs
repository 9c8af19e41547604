//! Cuts rectangles from stock sheets and rolls with guillotine cuts.
//!
//! Every cut runs straight from edge to edge of the part in hand. The plan costs as little as the effort finds;
//! of equal cost, it has the fewest units, and then the biggest single leftover. Beside it stands a lower bound.
//! Whole numbers only, and searches counted in steps: the same input gives the same plan.

mod bound;
mod build;
mod cover;
mod finish;
mod first_fit;
mod insert;
mod job;
mod lay_out;
mod leftover;
mod openings;
mod order;
mod patterns;
mod plan;
mod ruin;
mod solve;
mod state;
#[cfg(test)]
mod tests;
mod tree;
mod windows;

pub use crate::solver::packing::Effort;
pub use finish::cut;
pub use plan::Cut;
pub use plan::Piece;
pub use plan::Placed;
pub use plan::Plan;
pub use plan::Rect;
pub use plan::Stock;
pub use plan::Unit;
