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

#[cfg(test)]
mod tests {
    use super::*;

    const ONE: Cost = Cost {
        too_near: Length::whole_mm(1),
        stock: 20,
        seams: 300,
        pieces: 4_000,
        lopsided: 1,
        laid: 50_000,
    };

    #[test]
    fn two_layers_cost_the_sum_but_for_their_stock() {
        let other = Cost {
            too_near: Length::whole_mm(2),
            stock: 30,
            seams: 200,
            pieces: 1_000,
            lopsided: 1,
            laid: 10_000,
        };
        let both = Cost {
            too_near: Length::whole_mm(3),
            stock: 45,
            seams: 500,
            pieces: 5_000,
            lopsided: 2,
            laid: 60_000,
        };
        assert_eq!(ONE.plus(other, 45), both);
    }

    /// Each differs in what weighs less, too, the other way round.
    #[test]
    fn the_weightiest_difference_is_the_reason() {
        let worse = |change: fn(&mut Cost)| {
            let mut other = ONE;
            change(&mut other);
            ONE.less_than(other)
        };
        let near = worse(|cost| (cost.too_near, cost.stock) = (Length::whole_mm(2), 19));
        assert_eq!(near, "brings seams nearer to each other than allowed");
        let stock = worse(|cost| (cost.stock, cost.seams) = (21, 299));
        assert_eq!(stock, "takes more stock");
        let seams = worse(|cost| (cost.seams, cost.pieces) = (301, 3_999));
        assert_eq!(seams, "has longer seams");
        let pieces = worse(|cost| (cost.pieces, cost.laid) = (4_001, 49_999));
        assert_eq!(pieces, "has more pieces");
        let none = "leaves less choice to the layers above";
        assert_eq!(worse(|cost| cost.laid = 50_001), none);
        assert_eq!(ONE.less_than(ONE), none);
    }

    #[test]
    fn decimetres_are_begun() {
        let of = |mm: f64| decimetres(Length::mm(mm));
        assert_eq!([0.0, 0.1, 100.0, 100.1, 1_201.0].map(of), [0, 1, 1, 2, 13]);
    }
}
