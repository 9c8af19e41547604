//! Shapes and recipes to sheets, solutions and whatever else is used.
//!
//! *In*: job and survey. *Out*: [`Takeoff`]. *Rules*: sheets cover every point with at least the overlap, seams of
//! neighbouring layers keep their distance, stock is counted by cut plans, solution by the area of sheet laid.

mod layout;
mod outcome;
mod region;

pub use outcome::CutPiece;
pub use outcome::CutUnit;
pub use outcome::LaidLayer;
pub use outcome::Need;
pub use outcome::Part;
pub use outcome::Piece;
pub use outcome::SolutionNeed;
pub use outcome::Takeoff;
pub use outcome::Way;
