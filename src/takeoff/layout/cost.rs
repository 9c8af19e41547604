//! What a layout costs.

use crate::units::Length;

/// What a layout costs; the earlier fields weigh infinitely more than the later.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cost {
    /// Length over which seams come nearer than allowed to those of the layer below or to the canvas's own.
    pub too_near: Length,
    /// Sheets, or millimetres of roll.
    pub stock: i64,
    /// Seams within the region in decimetres begun: nobody sees less.
    pub seams: i64,
    /// Number of pieces.
    pub pieces: usize,
    /// Layers that are not alike on both sides though their panel is.
    pub lopsided: usize,
    /// Area laid in square centimetres: sheet and resin.
    pub laid: i64,
}

impl Cost {
    /// The cost of two layers together, but for the stock that they may share.
    pub(super) fn plus(self, other: Self, stock: i64) -> Self {
        Self {
            too_near: self.too_near + other.too_near,
            stock,
            seams: self.seams.saturating_add(other.seams),
            pieces: self.pieces.saturating_add(other.pieces),
            lopsided: self.lopsided + other.lopsided,
            laid: self.laid.saturating_add(other.laid),
        }
    }

    /// Why a layout costs less than another: by the first of the costs in which they differ.
    pub(super) fn less_than(self, other: Self) -> &'static str {
        if self.too_near < other.too_near {
            "brings seams nearer to each other than allowed"
        } else if self.stock < other.stock {
            "takes more stock"
        } else if self.seams < other.seams {
            "has longer seams"
        } else if self.pieces < other.pieces {
            "has more pieces"
        } else {
            "leaves less choice to the layers above"
        }
    }
}

/// Decimetres begun.
pub(super) const fn decimetres(length: Length) -> i64 {
    (length.to_mm_up() + 99).div_euclid(100)
}
