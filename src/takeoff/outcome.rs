//! What the takeoff hands on.

use std::sync::Arc;

use crate::geometry::Chord;
use crate::geometry::Region;
use crate::recipe::Laying;
use crate::units::Area;
use crate::units::Length;
use crate::units::Mass;
use crate::units::Volume;

/// Every layer laid, every stock unit cut, every solution mixed, everything else used.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Takeoff {
    /// The layers, by panel and then from the paint outwards.
    pub layers: Vec<LaidLayer>,
    /// The stock units cut, by material and number.
    pub cuts: Vec<CutUnit>,
    /// Cut plans' lower bounds: material, stock units counted, least possible.
    pub cut_bounds: Vec<(String, u64, u64)>,
    /// The solutions brushed on, by panel and step.
    pub solutions: Vec<SolutionNeed>,
    /// Whatever is used by area, edge, panel or job.
    pub needs: Vec<Need>,
}

/// Which way sheets run: the long side up or across.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// Long side up.
    Upright,
    /// Long side across.
    Level,
}

impl Way {
    /// The word in files and reports.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Upright => "upright",
            Self::Level => "level",
        }
    }
}

/// One layer on one panel.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidLayer {
    /// The panel, an index of the survey.
    pub panel: usize,
    /// The step, an index of the panel's recipe.
    pub step: usize,
    /// 1 is next to the paint.
    pub layer: u32,
    /// The sheet or roll material's id.
    pub material: String,
    /// Which way its sheets run.
    pub way: Way,
    /// Least overlap of outer edges: the recipe's, and both feathered edges where the material is torn.
    pub overlap: Length,
    /// Least distance from like seams of the layer below.
    pub seam_distance: Length,
    /// Least distance of upright seams from the canvas's own.
    pub canvas_seam_distance: Length,
    /// The longest that a piece may be, if the recipe says so.
    pub longest_piece: Option<Length>,
    /// In which order the pieces are laid.
    pub laying: Laying,
    /// The reach from each lift of the scaffold in the panel's heights, from below; each piece lies within one. None
    /// where one reaches everything.
    pub bands: Arc<[Chord]>,
    /// What is covered; panels laid alike share it.
    pub region: Arc<Region>,
    /// The pieces in laying order.
    pub pieces: Vec<Piece>,
    /// Area of the pieces together, overlaps twice.
    pub laid: Area,
}

/// A piece of sheet on the wall, an upright rectangle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Unique in the job, e.g. `N1-2-07`: panel, layer, laying order.
    pub id: String,
    /// Left edge.
    pub x: Length,
    /// Bottom edge.
    pub y: Length,
    /// Size to the right.
    pub width: Length,
    /// Size upwards.
    pub height: Length,
}

/// One stock unit and the pieces cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutUnit {
    /// The material's id.
    pub material: String,
    /// Its number within the material, from 1.
    pub stock: u64,
    /// Width of the stock unit.
    pub width: Length,
    /// Length of the stock unit.
    pub length: Length,
    /// The pieces, in cutting order.
    pub pieces: Vec<CutPiece>,
}

/// A piece within a stock unit: x across its width, y along its length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutPiece {
    /// The piece's id.
    pub id: String,
    /// Across the stock's width.
    pub x: Length,
    /// Along the stock's length.
    pub y: Length,
    /// Size across.
    pub width: Length,
    /// Size along.
    pub height: Length,
    /// Whether the piece's height on the wall lies across the stock.
    pub turned: bool,
}

/// Solution for one step on one panel.
#[derive(Clone, Debug, PartialEq)]
pub struct SolutionNeed {
    /// The panel, an index of the survey.
    pub panel: usize,
    /// The step, an index of the panel's recipe.
    pub step: usize,
    /// The solution's id within the recipe.
    pub solution: String,
    /// Mass of solution, waste included.
    pub mass: Mass,
    /// What it is mixed from.
    pub parts: Vec<Part>,
}

/// One part of a solution.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// The material's id.
    pub material: String,
    /// Its mass.
    pub mass: Mass,
    /// Its volume at 20 °C; none for what is weighed dry without a known density.
    pub volume: Option<Volume>,
}

/// An amount of a material that something needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// The material's id.
    pub material: String,
    /// How much in the material's unit, unrounded, waste included.
    pub amount: f64,
    /// The panel, an index of the survey; none for the whole job, a drum or a crate.
    pub panel: Option<usize>,
    /// The step, an index of the panel's recipe.
    pub step: Option<usize>,
    /// The derivation that explains it.
    pub because: String,
}
