//! In which order the pieces of a layer are laid.

use crate::geometry::Point;
use crate::geometry::Rect;
use crate::recipe::Laying;
use crate::units::Length;

/// Puts pieces into laying order.
///
/// Top down: by their top edges from the highest, those of one height from left to right. From the middle out: by the
/// distance of their middle from the middle of all of them together, those equally far off top down.
pub(super) fn in_laying_order(mut pieces: Vec<Rect>, laying: Laying) -> Vec<Rect> {
    pieces.sort_unstable_by_key(|piece| (-piece.top(), piece.x, piece.y));
    if laying == Laying::MiddleOut
        && let Some(middle) = middle(&pieces)
    {
        pieces.sort_by_key(|piece| {
            let own = twice_the_middle(piece);
            let (x, y) = (own.x - middle.x, own.y - middle.y);
            let square = |length: Length| i128::from(length.to_steps()).pow(2);
            square(x) + square(y)
        });
    }
    pieces
}

/// Twice the middle of the box round all pieces.
fn middle(pieces: &[Rect]) -> Option<Point> {
    let left = pieces.iter().map(|piece| piece.x).min()?;
    let right = pieces.iter().map(Rect::right).max()?;
    let bottom = pieces.iter().map(|piece| piece.y).min()?;
    let top = pieces.iter().map(Rect::top).max()?;
    Some(Point::new(left + right, bottom + top))
}

/// Twice, since half a step is no length.
fn twice_the_middle(piece: &Rect) -> Point {
    Point::new(piece.x + piece.right(), piece.y + piece.top())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn top_down_or_from_the_middle_out() {
        let mm = Length::whole_mm;
        let piece = |x: i64, y: i64| Rect {
            x: mm(x),
            y: mm(y),
            width: mm(100),
            height: mm(100),
        };
        let grid = || vec![piece(0, 0), piece(90, 0), piece(180, 0), piece(90, 90)];
        let order = |laying| -> Vec<(f64, f64)> {
            in_laying_order(grid(), laying)
                .iter()
                .map(|piece| (piece.x.to_mm(), piece.y.to_mm()))
                .collect()
        };
        assert_eq!(
            order(Laying::TopDown),
            [(90.0, 90.0), (0.0, 0.0), (90.0, 0.0), (180.0, 0.0)]
        );
        assert_eq!(
            order(Laying::MiddleOut),
            [(90.0, 90.0), (90.0, 0.0), (0.0, 0.0), (180.0, 0.0)]
        );
    }
}
