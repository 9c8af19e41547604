//! Day sections: where a layer is more than a day's work, it is parted along the seams of its sheets.

use std::ops::Range;

use crate::units::Area;

use super::outcome::LaidLayer;
use super::outcome::Piece;

/// Pieces that follow one another in laying order, to be laid in one go.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// The pieces, as indices of the layer's.
    pub pieces: Range<usize>,
    /// Their area together, overlaps twice.
    pub laid: Area,
}

impl LaidLayer {
    /// Parts the layer into as few sections as can be, none of them more than a share of its area and the largest as
    /// small as whole pieces in laying order allow.
    ///
    /// A piece that is more than the share by itself makes a section of its own. A share of 1 or more is one section.
    pub fn sections(&self, share: f64) -> Vec<Section> {
        let areas: Vec<Area> = self.pieces.iter().map(area).collect();
        let total = areas.iter().copied().sum::<Area>().to_m2();
        // A millionth more, for the noise of sums of fractions.
        let most = total * share.max(0.0) * (1.0 + 1e-6);
        let wanted = filled(&areas, most).len();
        let (mut too_little, mut enough) = (0.0, most);
        for _ in 0..40 {
            let middle = f64::midpoint(too_little, enough);
            let fits = filled(&areas, middle).len() <= wanted;
            *(if fits { &mut enough } else { &mut too_little }) = middle;
        }
        filled(&areas, enough)
    }
}

fn area(piece: &Piece) -> Area {
    piece.width * piece.height
}

/// Fills section after section, none over `most` m² unless by a single piece.
fn filled(areas: &[Area], most: f64) -> Vec<Section> {
    let mut sections: Vec<Section> = Vec::new();
    for (index, area) in areas.iter().enumerate() {
        match sections.last_mut() {
            Some(last) if last.laid.to_m2() + area.to_m2() <= most => {
                last.pieces.end = index + 1;
                last.laid += *area;
            }
            Some(_) | None => sections.push(Section {
                pieces: index..index + 1,
                laid: *area,
            }),
        }
    }
    sections
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use crate::recipe::Laying;
    use crate::takeoff::Way;
    use crate::units::Length;

    use super::*;

    /// Where the sections end.
    fn sections(heights: &[i64], share: f64) -> Vec<usize> {
        let piece = |&height: &i64| Piece {
            id: String::new(),
            x: Length::ZERO,
            y: Length::ZERO,
            width: Length::whole_mm(1000),
            height: Length::whole_mm(height),
        };
        let layer = LaidLayer {
            pieces: heights.iter().map(piece).collect(),
            panel: 0,
            step: 0,
            layer: 1,
            material: String::new(),
            way: Way::Upright,
            overlap: Length::ZERO,
            seam_distance: Length::ZERO,
            canvas_seam_distance: Length::ZERO,
            longest_piece: None,
            laying: Laying::TopDown,
            bands: Arc::from([]),
            region: Arc::default(),
            laid: Area::ZERO,
        };
        let found = layer.sections(share);
        found.iter().map(|section| section.pieces.end).collect()
    }

    #[test]
    fn as_few_as_can_be_and_even() {
        assert_eq!(sections(&[900; 10], 1.0), [10]);
        assert_eq!(sections(&[900; 10], 0.5), [5, 10]);
        // Four tenths of ten pieces a day: three days, as even as whole pieces go.
        assert_eq!(sections(&[900; 10], 0.4), [4, 8, 10]);
        assert_eq!(sections(&[900, 100, 100, 900, 100], 0.6), [3, 5]);
    }

    #[test]
    fn a_piece_too_large_stands_alone_and_nothing_is_nothing() {
        assert_eq!(sections(&[3000, 500, 500, 500], 0.2), [1, 2, 3, 4]);
        assert_eq!(sections(&[3000, 100, 100], 0.2), [1, 3]);
        assert!(sections(&[], 0.2).is_empty());
    }
}
