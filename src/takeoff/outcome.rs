//! What the takeoff hands on.

use std::sync::Arc;

use crate::geometry::Chord;
use crate::geometry::Rect;
use crate::geometry::Region;
use crate::job::Offcut;
use crate::recipe::Laying;
use crate::units::Area;
use crate::units::Length;
use crate::units::Mass;
use crate::units::Money;
use crate::units::Volume;

/// Every layer laid, every stock unit cut, every solution mixed, everything else used.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Takeoff {
    /// The layers, by panel and then from the paint outwards.
    pub layers: Vec<LaidLayer>,
    /// The stock units cut, by material and number.
    pub cuts: Vec<CutUnit>,
    /// What each cut plan comes to, by the material laid.
    pub cut_totals: Vec<CutTotal>,
    /// Offcuts worth keeping that are on the shelf afterwards, those not used among them.
    pub offcuts: Vec<Offcut>,
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
    /// Where it comes from.
    pub from: CutFrom,
    /// Width of the stock unit.
    pub width: Length,
    /// Length of the stock unit.
    pub length: Length,
    /// The pieces, in cutting order.
    pub pieces: Vec<CutPiece>,
    /// The cuts in the order in which they can be made, each from edge to edge of the part in hand.
    pub lines: Arc<[CutLine]>,
    /// What is left of it and worth keeping, the largest first.
    pub offcuts: Arc<[Rect]>,
}

/// Where a stock unit comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutFrom {
    /// An offcut on the shelf.
    Offcut,
    /// A whole unit on the shelf.
    Shelf,
    /// A whole unit to be bought.
    Bought,
}

impl CutFrom {
    /// The word in files and reports.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Offcut => "offcut",
            Self::Shelf => "shelf",
            Self::Bought => "bought",
        }
    }
}

/// A straight cut on a stock unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CutLine {
    /// Whether it runs across the width; else along the length.
    pub across: bool,
    /// Where its near side is: along the length of a cut across, across the width of one along.
    pub at: Length,
    /// Where it begins on the other axis.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
}

/// What the cut plan of a material comes to, in all its sizes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutTotal {
    /// The material that recipes name.
    pub material: String,
    /// Offcuts used from the shelf.
    pub offcuts: u64,
    /// Whole units used from the shelf.
    pub shelf: u64,
    /// Whole units to be bought.
    pub bought: u64,
    /// No plan buys fewer units.
    pub least_bought: u64,
    /// Where the material comes in several sizes with prices: what is bought at the least price of each, and what no
    /// plan can cost less than.
    pub cost: Option<(Money, Money)>,
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
