//! The kinds of step, one file each; [`StepKind::ALL`] gives the order people see.

mod clean;
mod coat;
mod crating;
mod labour;
mod layer;
mod marks;
mod release;
mod remount;
mod remove_facing;
mod reverse;
mod roll;

/// What a kind of step takes and how the planner treats it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StepRule {
    /// The word in recipes.
    pub name: &'static str,
    /// What it is, in a sentence.
    pub about: &'static str,
    /// Whether it lays a sheet or roll material.
    pub lays: bool,
    /// Whether it takes a solution and a spread.
    pub brushes: bool,
    /// Whether the removal multiplier of paint and adhesive applies to its work.
    pub multiplied: bool,
    /// Whether it loads the facing, so that every layer before it must have cured.
    pub loads_facing: bool,
    /// What it is done to.
    pub subject: Subject,
    /// The cautions shown beside it.
    pub cautions: &'static [&'static str],
}

/// What a step is done to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// Each panel.
    Panel,
    /// Each crate, once all its drums are ready.
    Crate,
}

/// A kind of step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum StepKind {
    /// Registration marks.
    Marks,
    /// Cleaning before facing.
    Clean,
    /// A layer of sheet with solution.
    Layer,
    /// A coat of solution alone.
    Coat,
    /// Detaching the canvas from the wall.
    Release,
    /// Taking up on the drum.
    Roll,
    /// Cleaning the reverse.
    Reverse,
    /// Crating.
    Crate,
    /// Taking the facing off.
    RemoveFacing,
    /// Putting the painting back.
    Remount,
    /// Any other work.
    Labour,
}

impl StepKind {
    /// Every kind.
    pub const ALL: &'static [Self] = &[
        Self::Marks,
        Self::Clean,
        Self::Layer,
        Self::Coat,
        Self::Release,
        Self::Roll,
        Self::Reverse,
        Self::Crate,
        Self::RemoveFacing,
        Self::Remount,
        Self::Labour,
    ];

    /// The kind's rule.
    pub const fn rule(self) -> &'static StepRule {
        match self {
            Self::Marks => &marks::RULE,
            Self::Clean => &clean::RULE,
            Self::Layer => &layer::RULE,
            Self::Coat => &coat::RULE,
            Self::Release => &release::RULE,
            Self::Roll => &roll::RULE,
            Self::Reverse => &reverse::RULE,
            Self::Crate => &crating::RULE,
            Self::RemoveFacing => &remove_facing::RULE,
            Self::Remount => &remount::RULE,
            Self::Labour => &labour::RULE,
        }
    }

    /// Finds the kind that a word names.
    pub fn from_name(word: &str) -> Option<Self> {
        let word = word.trim().to_lowercase();
        Self::ALL
            .iter()
            .copied()
            .find(|kind| kind.rule().name == word)
    }
}
