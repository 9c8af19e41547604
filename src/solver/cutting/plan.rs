//! What goes in and what comes out: stock, pieces and the cutting plan.

/// A kind of sheet or roll that can be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stock {
    /// Across, along x.
    pub width: u64,
    /// Along y; for a roll its whole length.
    pub length: u64,
    /// What one costs; nought for what is on hand, which is then used first.
    pub cost: u64,
    /// How many there are; `None` for as many as wanted.
    pub supply: Option<u64>,
    /// Taken off each of the four edges before anything else, at least one saw cut wide; nought for none.
    pub trim: u64,
    /// A roll: lengths are cut off across the whole width first, and only then parted.
    pub first_cut_across: bool,
}

impl Stock {
    /// What is really taken off each edge.
    pub(super) fn margin(&self, kerf: u64) -> u64 {
        if self.trim == 0 {
            0
        } else {
            self.trim.max(kerf)
        }
    }
}

/// Equal rectangles to be cut.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Piece {
    /// Across the stock's width, unless turned.
    pub width: u64,
    /// Along the stock's length, unless turned.
    pub length: u64,
    /// Whether it may lie the other way; false where the grain binds.
    pub may_turn: bool,
    /// How many.
    pub count: u64,
}

/// A cutting plan.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// Sheets and rolls to cut.
    pub units: Vec<Unit>,
    /// What they cost together.
    pub cost: u64,
    /// No plan costs less; nought where the supply does not suffice for all pieces.
    pub lower_bound: u64,
    /// Pieces no stock can hold, and what the supply does not suffice for: (index, count).
    pub unplaced: Vec<(usize, u64)>,
}

/// Sheets or rolls that are all cut the same way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unit {
    /// Index of the stock.
    pub stock: usize,
    /// How many are cut so.
    pub times: u64,
    /// The pieces and where they lie.
    pub placed: Vec<Placed>,
    /// What is left over, the biggest first; slivers that the saw eats are not listed.
    pub offcuts: Vec<Rect>,
    /// The cuts in the order in which they can be made, each from edge to edge of the part in hand.
    pub cuts: Vec<Cut>,
}

/// A piece on a unit; `x` across the width and `y` along the length, both from the start corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    /// Index of the piece.
    pub piece: usize,
    /// Distance from the left edge.
    pub x: u64,
    /// Distance from the start.
    pub y: u64,
    /// Extent along x as it lies.
    pub width: u64,
    /// Extent along y as it lies.
    pub length: u64,
    /// Whether it lies the other way than it was given.
    pub turned: bool,
}

/// A rectangle on a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rect {
    /// Distance from the left edge.
    pub x: u64,
    /// Distance from the start.
    pub y: u64,
    /// Extent along x.
    pub width: u64,
    /// Extent along y.
    pub length: u64,
}

/// A straight cut from edge to edge of the part in hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// True for a cut across the width, at `y = at`; false for one along the length, at `x = at`.
    pub across: bool,
    /// Where the saw's near side runs; it takes from there to `at + kerf`.
    pub at: u64,
    /// Where the cut begins on the other axis.
    pub from: u64,
    /// Where it ends.
    pub to: u64,
}
