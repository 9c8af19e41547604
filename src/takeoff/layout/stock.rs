//! How much stock a set of pieces takes, quickly estimated to compare layouts; the cut plan counts it in the end.

use crate::catalog::Grain;
use crate::catalog::MaterialKind;
use crate::geometry::Rect;
use crate::job::Job;
use crate::takeoff::Way;
use crate::units::Length;

/// The stock that a layer is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::takeoff) struct Form {
    /// Width of a sheet or roll.
    pub width: Length,
    /// Length of a sheet or roll.
    pub length: Length,
    /// Whether it comes in rolls.
    pub roll: bool,
    /// Whether pieces may be turned when they are cut.
    pub turns: bool,
}

/// Estimates the stock that pieces take: sheets, or millimetres of roll.
///
/// Pieces are placed from the largest down, each into the smallest free rectangle that holds it, else into a new sheet
/// or a new stretch of roll; what is left of the rectangle is cut along its longer side.
pub(super) fn estimate(pieces: &[(Rect, Way)], form: Form) -> i64 {
    let mut sized: Vec<(Length, Length)> = pieces
        .iter()
        .map(|(rect, way)| form.lies(rect.width, rect.height, *way))
        .collect();
    sized.sort_unstable_by_key(|(across, along)| (-*along, -*across));
    let least = sized
        .iter()
        .map(|(across, along)| *across.min(along))
        .min()
        .unwrap_or_default();
    let mut free: Vec<(Length, Length)> = Vec::new();
    let mut used = 0;
    for (across, along) in sized {
        let place = best(&free, (across, along), form.turns);
        let (room, piece) = match place {
            Some((index, piece)) => (free.swap_remove(index), piece),
            None if form.roll => {
                used += along.to_mm_up();
                ((form.width, along), (across, along))
            }
            None => {
                used += 1;
                ((form.width, form.length), (across, along))
            }
        };
        split(room, piece, least, &mut free);
    }
    used
}

impl Form {
    /// The stock of a material; none where it has no size.
    pub(in crate::takeoff) fn of(job: &Job, id: &str) -> Option<Self> {
        let material = job.catalog.materials.get(id)?;
        let (width, length) = material.width.zip(material.length)?;
        Some(Self {
            width,
            length,
            roll: material.kind == MaterialKind::Roll,
            turns: material.grain == Grain::None,
        })
    }

    /// A piece's size across and along the stock, as it lies there unturned.
    pub(in crate::takeoff) fn lies(
        self,
        width: Length,
        height: Length,
        way: Way,
    ) -> (Length, Length) {
        if self.crosses(way) {
            (height, width)
        } else {
            (width, height)
        }
    }

    /// Whether a piece's height on the wall lies across the stock.
    pub(in crate::takeoff) fn crosses(self, way: Way) -> bool {
        // Of a sheet the longer side runs the way it is laid, whichever side the catalogue calls its length.
        (way == Way::Level) != (!self.roll && self.width > self.length)
    }
}

/// The free rectangle that holds a piece with the least left over, and the piece as it lies in it.
fn best(
    free: &[(Length, Length)],
    piece: (Length, Length),
    turns: bool,
) -> Option<(usize, (Length, Length))> {
    let turned = (piece.1, piece.0);
    let fits =
        |room: &(Length, Length), piece: (Length, Length)| piece.0 <= room.0 && piece.1 <= room.1;
    let candidates = free.iter().enumerate().filter_map(|(index, room)| {
        let lies = [piece, turned]
            .into_iter()
            .take(if turns { 2 } else { 1 })
            .filter(|lie| fits(room, *lie));
        lies.map(|lie| ((room.0 - lie.0).min(room.1 - lie.1), index, lie))
            .min()
    });
    candidates.min().map(|(_, index, lie)| (index, lie))
}

fn split(
    room: (Length, Length),
    piece: (Length, Length),
    least: Length,
    free: &mut Vec<(Length, Length)>,
) {
    let (beside, above) = (room.0 - piece.0, room.1 - piece.1);
    let rests = if beside > above {
        [(beside, room.1), (piece.0, above)]
    } else {
        [(beside, piece.1), (room.0, above)]
    };
    free.extend(
        rests
            .into_iter()
            .filter(|rest| rest.0.min(rest.1) >= least && rest.0.min(rest.1).is_positive()),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(width: i64, height: i64) -> (Rect, Way) {
        let mm = Length::whole_mm;
        (
            Rect {
                x: mm(0),
                y: mm(0),
                width: mm(width),
                height: mm(height),
            },
            Way::Upright,
        )
    }

    #[test]
    fn the_longer_side_of_a_sheet_runs_the_way_it_is_laid() {
        let form = |width: i64, length: i64, roll: bool| Form {
            width: Length::whole_mm(width),
            length: Length::whole_mm(length),
            roll,
            turns: false,
        };
        for (form, crosses_upright) in [
            (form(600, 900, false), false),
            (form(900, 600, false), true),
            (form(600, 600, false), false),
            (form(900, 600, true), false),
        ] {
            assert_eq!(form.crosses(Way::Upright), crosses_upright, "{form:?}");
            assert_eq!(form.crosses(Way::Level), !crosses_upright, "{form:?}");
        }
    }

    /// The tightest room that holds it: 20 mm are left over one way in the second, 30 mm at least in the others.
    #[test]
    fn a_piece_takes_the_room_that_it_fills_best() {
        let size = |width: i64, height: i64| (Length::whole_mm(width), Length::whole_mm(height));
        let free = [
            size(430, 350),
            size(500, 320),
            size(330, 430),
            size(299, 1_000),
        ];
        let piece = size(400, 300);
        assert_eq!(best(&free, piece, false), Some((1, piece)));
        assert_eq!(best(&free[2..], piece, false), None);
        assert_eq!(best(&free[2..], piece, true), Some((0, size(300, 400))));
    }

    /// The cut runs along the longer rest, and slivers under the smallest piece are given up.
    #[test]
    fn what_is_left_is_cut_along_its_longer_side() {
        let size = |width: i64, height: i64| (Length::whole_mm(width), Length::whole_mm(height));
        let rests = |room, piece, least: i64| {
            let mut free = Vec::new();
            split(room, piece, Length::whole_mm(least), &mut free);
            free
        };
        let (room, piece) = (size(600, 900), size(400, 800));
        assert_eq!(rests(room, piece, 100), [size(200, 900), size(400, 100)]);
        assert_eq!(rests(room, piece, 101), [size(200, 900)]);
        let (room, piece) = (size(600, 900), size(500, 600));
        assert_eq!(rests(room, piece, 0), [size(100, 600), size(600, 300)]);
        assert_eq!(rests(room, room, 0), []);
    }

    #[test]
    fn halves_share_a_sheet_and_strips_lie_side_by_side() {
        let sheet = Form {
            width: Length::whole_mm(600),
            length: Length::whole_mm(900),
            roll: false,
            turns: false,
        };
        assert_eq!(
            estimate(&[piece(600, 450), piece(600, 450), piece(600, 900)], sheet),
            2
        );
        assert_eq!(
            estimate(
                &[piece(900, 300)],
                Form {
                    turns: true,
                    ..sheet
                }
            ),
            1
        );
        let roll = Form {
            width: Length::whole_mm(1500),
            length: Length::m(50.0),
            roll: true,
            turns: false,
        };
        assert_eq!(
            estimate(
                &[piece(700, 2000), piece(700, 1900), piece(1500, 100)],
                roll
            ),
            2100
        );
    }
}
