//! States and solves mixed-integer linear programs.
//!
//! [`Model`] is ours; `HiGHS` answers it (feature `highs`), microlp where `HiGHS` is not built in or its answer does
//! not hold. Every answer is rounded to whole numbers and checked row by row against the model before anybody sees
//! it.

mod model;
mod solve;
#[cfg(feature = "highs")]
mod with_highs;
mod with_microlp;

pub use model::Model;
pub use model::Var;
pub use solve::Answer;
pub use solve::Effort;
pub use solve::Status;
pub use solve::solve;
