//! What we tell people: problems with their place and remedy, and how each figure came about.

mod derivation;
mod place;
mod problem;
mod words;

pub use derivation::Derivation;
pub use derivation::Input;
pub use derivation::Ledger;
pub use place::Place;
pub use place::cell_name;
pub use problem::Level;
pub use problem::Problem;
pub use problem::Problems;
pub use words::count;
pub use words::list;
pub use words::nearest;
