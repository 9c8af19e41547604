//! What crating hands on.

use crate::takeoff::CutUnit;
use crate::takeoff::Need;
use crate::units::Length;
use crate::units::Mass;

/// Crates, the cut plans of their boards and timber, and what all of it needs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Crating {
    /// The crates, `K1`, `K2` ….
    pub crates: Vec<Crate>,
    /// How boards (and timber, as strips of its width) are cut.
    pub cuts: Vec<CutUnit>,
    /// Boards, timber, foam, barrier, buffer, fixings and whatever else.
    pub needs: Vec<Need>,
}

/// What is in a crate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Contents {
    /// Drums, indexes of [`crate::rolling::Rolling::drums`].
    Drums(Vec<usize>),
    /// Flat panels on support boards, indexes of the survey.
    Flats(Vec<usize>),
}

/// A crate.
#[derive(Clone, Debug, PartialEq)]
pub struct Crate {
    /// `K1`, `K2` ….
    pub id: String,
    /// What is in it.
    pub contents: Contents,
    /// Length, width and height inside.
    pub inside: [Length; 3],
    /// Length, width and height outside, skids and battens included.
    pub outside: [Length; 3],
    /// Mass of the crate itself.
    pub tare: Mass,
    /// Mass with contents.
    pub gross: Mass,
    /// Mass that freight is charged by: the greater of gross and volume.
    pub charged: Mass,
    /// People needed to carry it by the weight guideline; none where only gear will do.
    pub carriers: Option<u32>,
    /// Each way out.
    pub ways_out: Vec<Passage>,
}

/// A crate or bare drum against one way out.
#[derive(Clone, Debug, PartialEq)]
pub struct Passage {
    /// The way out's name.
    pub way: String,
    /// The place's name.
    pub place: String,
    /// Whether it passes.
    pub fits: bool,
    /// What is spare in the tightest dimension; negative where it is missing.
    pub spare: Length,
    /// The tightest dimension, in words.
    pub tightest: String,
}
