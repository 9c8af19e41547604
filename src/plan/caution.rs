//! Cautions beside the figures.

/// What to be careful of, why, and about what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// The caution.
    pub text: String,
    /// What in the plan calls for it.
    pub why: String,
    /// The step, panel, drum, crate or place it is about.
    pub about: String,
}
