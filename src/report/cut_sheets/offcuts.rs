//! What is left of a stock unit after its cuts, as rectangles that come off by cuts right across.

use crate::takeoff::CutUnit;
use crate::units::Length;

/// A rectangle of a stock unit: x across, y along, size across, size along.
type Part = (Length, Length, Length, Length);

/// Beyond so many pieces only the end of the unit is looked at, which is what matters on a roll.
const MOST: usize = 60;

/// The offcuts of a unit that are at least so large both ways.
pub(super) fn of(unit: &CutUnit, least: Length) -> Vec<Part> {
    let pieces: Vec<Part> = unit
        .pieces
        .iter()
        .map(|piece| (piece.x, piece.y, piece.width, piece.height))
        .collect();
    let whole = (Length::ZERO, Length::ZERO, unit.width, unit.length);
    let mut found = Vec::new();
    if pieces.len() > MOST {
        let used = super::bands::used(unit);
        found.push((Length::ZERO, used, unit.width, unit.length - used));
    } else {
        part(whole, &pieces, &mut found);
    }
    found.retain(|(_, _, width, height)| *width >= least && *height >= least);
    found
}

/// Cuts right across next to pieces, the cut first that frees the largest empty part.
fn part(whole: Part, pieces: &[Part], found: &mut Vec<Part>) {
    if pieces.is_empty() {
        found.push(whole);
        return;
    }
    let across = pieces.iter().flat_map(|p| [(p.0, true), (p.0 + p.2, true)]);
    let along = pieces
        .iter()
        .flat_map(|p| [(p.1, false), (p.1 + p.3, false)]);
    let best = across
        .chain(along)
        .filter_map(|(at, across)| {
            let (one, other) = split(whole, at, across)?;
            let clear = pieces
                .iter()
                .all(|piece| inside(piece, &one) || inside(piece, &other));
            let empty = |part: &Part| {
                if pieces.iter().any(|piece| inside(piece, part)) {
                    0.0
                } else {
                    part.2.to_mm() * part.3.to_mm()
                }
            };
            clear.then(|| (empty(&one).max(empty(&other)), one, other))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((_, one, other)) = best {
        for half in [one, other] {
            let within: Vec<Part> = pieces
                .iter()
                .copied()
                .filter(|piece| inside(piece, &half))
                .collect();
            part(half, &within, found);
        }
    }
}

fn split(whole: Part, at: Length, across: bool) -> Option<(Part, Part)> {
    let (x, y, width, height) = whole;
    if across {
        let first = at - x;
        (first.is_positive() && at < x + width)
            .then(|| ((x, y, first, height), (at, y, x + width - at, height)))
    } else {
        let first = at - y;
        (first.is_positive() && at < y + height)
            .then(|| ((x, y, width, first), (x, at, width, y + height - at)))
    }
}

fn inside(piece: &Part, whole: &Part) -> bool {
    piece.0 >= whole.0
        && piece.1 >= whole.1
        && piece.0 + piece.2 <= whole.0 + whole.2
        && piece.1 + piece.3 <= whole.1 + whole.3
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::takeoff::CutPiece;

    #[test]
    fn what_is_left_beside_two_pieces_is_found() {
        let piece = |x: i64, y: i64, width: i64, height: i64| CutPiece {
            id: String::new(),
            x: Length::whole_mm(x),
            y: Length::whole_mm(y),
            width: Length::whole_mm(width),
            height: Length::whole_mm(height),
            turned: false,
        };
        let unit = CutUnit {
            material: "paper".into(),
            stock: 1,
            from: crate::takeoff::CutFrom::Bought,
            lines: std::sync::Arc::default(),
            offcuts: std::sync::Arc::default(),
            width: Length::whole_mm(640),
            length: Length::whole_mm(970),
            pieces: vec![piece(0, 0, 400, 500), piece(0, 500, 640, 300)],
        };
        let found = of(&unit, Length::whole_mm(50));
        let mm = |part: &Part| [part.0, part.1, part.2, part.3].map(|side| side.to_mm().round());
        let found: Vec<_> = found.iter().map(mm).collect();
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found.contains(&[0.0, 800.0, 640.0, 170.0]), "{found:?}");
        assert!(found.contains(&[400.0, 0.0, 240.0, 500.0]), "{found:?}");
    }
}
