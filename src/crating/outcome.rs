//! What crating hands on.

use crate::job::Offcut;
use crate::takeoff::CutUnit;
use crate::takeoff::Need;
use crate::units::Length;
use crate::units::Mass;
use crate::units::Money;

/// Crates, the cut plans of their boards and timber, and what all of it needs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Crating {
    /// The crates, `K1`, `K2` ….
    pub crates: Vec<Crate>,
    /// Every drum, then every flat panel on its tray, as it is carried without a crate.
    pub bare: Vec<Bare>,
    /// How boards (and timber, as strips of its width) are cut.
    pub cuts: Vec<CutUnit>,
    /// What each cut plan costs, and the least it could.
    pub cut_bounds: Vec<CutBound>,
    /// Rests of boards and timber worth keeping that are on the shelf afterwards, those not used among them.
    pub offcuts: Vec<Offcut>,
    /// Boards, timber, foam, barrier, buffer, fixings and whatever else.
    pub needs: Vec<Need>,
}

/// What is in a crate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Contents {
    /// Drums, indexes of [`crate::rolling::Rolling::drums`].
    Drums(Vec<usize>),
    /// Flat panels on trays, indexes of the survey.
    Flats(Vec<usize>),
}

/// A drum or a flat panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Content {
    /// A drum, an index of [`crate::rolling::Rolling::drums`].
    Drum(usize),
    /// A flat panel on its tray, an index of the survey.
    Flat(usize),
}

/// A drum, or a flat panel on its tray, as it is carried without a crate.
#[derive(Clone, Debug, PartialEq)]
pub struct Bare {
    /// Which it is.
    pub content: Content,
    /// Length, width and height.
    pub size: [Length; 3],
    /// Its mass.
    pub mass: Mass,
    /// People needed to carry it by the weight guidelines; none where only gear will do.
    pub carriers: Option<u32>,
    /// Each way out.
    pub ways_out: Vec<Passage>,
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
    /// Centre of mass from the left, front, lower corner outside; along, across, up.
    pub centre: [Length; 3],
    /// People needed to carry it by the weight guidelines; none where only gear will do.
    pub carriers: Option<u32>,
    /// How hard the foam is pressed under each drum or tray, in the order of the contents.
    pub presses: Vec<Press>,
    /// What its materials cost by amount at the least price of each, packs not rounded, with the work of building and packing it.
    pub estimate: Money,
    /// What is written on it.
    pub marks: Vec<String>,
    /// Its pieces, alike ones together.
    pub pieces: Vec<CratePiece>,
    /// Each way out.
    pub ways_out: Vec<Passage>,
}

/// Foam under a drum's ends or a tray's edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Press {
    /// Length of foam that bears: along the drum at each end, or along the tray in all.
    pub length: Length,
    /// Pressure at rest, in kPa.
    pub pressure: f64,
    /// The most that the foam bears for good, in kPa, where the catalogue says so.
    pub limit: Option<f64>,
}

/// Pieces of a crate that are alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CratePiece {
    /// What they are.
    pub part: String,
    /// The material's id.
    pub material: String,
    /// Width.
    pub width: Length,
    /// Length.
    pub length: Length,
    /// How many.
    pub count: u32,
}

/// What the cut plan of a board or timber costs at the least price of each stock size, and what no plan costs less than.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutBound {
    /// The material that the crates ask for.
    pub material: String,
    /// Stock units cut, of all sizes of it.
    pub units: u64,
    /// What they cost.
    pub cost: Money,
    /// No plan costs less.
    pub least: Money,
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
