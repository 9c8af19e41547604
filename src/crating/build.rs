//! What a crate is built from: boards of its six faces, battens, skids and foam, piece by piece.

use crate::catalog::Material;
use crate::job::Job;
use crate::rolling::batten_thickness;
use crate::rolling::board_thickness;
use crate::units::Length;

/// No face, batten or cushion is made of more parts than this: stock that small is a slip of the pen.
pub(super) const MOST_PARTS: i64 = 200;

/// A rectangle to be cut from boards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Part {
    /// What it is, e.g. `K1 side 2`.
    pub(super) id: String,
    /// One side.
    pub(super) width: Length,
    /// The other.
    pub(super) length: Length,
}

/// All pieces of one crate, or of the trays in it.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Build {
    /// Boards.
    pub(super) boards: Vec<Part>,
    /// Boards of the kind that carries flat panels.
    pub(super) supports: Vec<Part>,
    /// Foam.
    pub(super) foam: Vec<Part>,
    /// Area of the holes that are cut into the foam, in m².
    pub(super) holes: f64,
    /// Battens: what each is and its length.
    pub(super) timber: Vec<(String, Length)>,
    /// Skids: what each is and its length.
    pub(super) skids: Vec<(String, Length)>,
    /// Edges that are screwed, joints counted on both sides.
    pub(super) edges: Length,
    /// Edge of the lid that is bolted.
    pub(super) lid: Length,
}

/// Builds a crate's shell.
///
/// Top and bottom lie over sides and ends, sides over the ends. A face that is larger than a board is made of equal parts, jointed
/// on a batten. Frames of four battens run round the crate no further apart than the kit allows, a frame of four stiffens each end,
/// and two skids run under its whole length. The lid is the top: it is bolted where the kit names a bolt, and screwed where not.
///
/// # Sources
/// Common practice for closed plywood cases; EN 15946 asks that the case is designed for its content and route.
pub(super) fn shell(job: &Job, id: &str, inside: [Length; 3]) -> Build {
    let catalog = &job.catalog;
    let board = catalog.materials.get(&catalog.crate_kit.board);
    let mut build = Build::default();
    for (name, width, length) in faces(inside, board_thickness(job)) {
        build.face(&format!("{id} {name}"), (width, length), board);
    }
    build.frames(job, id, inside);
    let [long, wide, high] = inside;
    let round_lid = (long + wide) * 2;
    build.edges += (long + wide + high) * 4;
    if catalog.crate_kit.bolt.is_some() {
        build.edges -= round_lid;
        build.lid = round_lid;
    }
    build
}

/// The six faces, sizes over the boards that they cover.
fn faces([long, wide, high]: [Length; 3], board: Length) -> [(&'static str, Length, Length); 6] {
    let (over_long, over_wide) = (long + board + board, wide + board + board);
    [
        ("top", over_wide, over_long),
        ("bottom", over_wide, over_long),
        ("side 1", high, over_long),
        ("side 2", high, over_long),
        ("end 1", wide, high),
        ("end 2", wide, high),
    ]
}

impl Build {
    /// Adds a face of one board or several, with battens on its joints.
    fn face(&mut self, id: &str, size: (Length, Length), board: Option<&Material>) {
        let (parts, joints) = split(id, size, board);
        self.boards.extend(parts);
        for (number, joint) in (1_usize..).zip(joints) {
            self.edges += joint + joint;
            self.timber.push((format!("{id} joint {number}"), joint));
        }
    }

    /// Adds a support of one board or several, without battens: those of its frame are there already.
    pub(super) fn support(&mut self, id: &str, size: (Length, Length), board: Option<&Material>) {
        self.supports.extend(split(id, size, board).0);
    }

    /// Adds a piece of foam, in parts where a board is smaller.
    pub(super) fn foam(&mut self, id: &str, size: (Length, Length), foam: Option<&Material>) {
        self.foam.extend(split(id, size, foam).0);
    }

    /// Adds a batten, if anything is left of it.
    pub(super) fn batten(&mut self, id: String, length: Length) {
        if length.is_positive() {
            self.timber.push((id, length));
        }
    }

    /// Adds frames, end frames and skids.
    fn frames(&mut self, job: &Job, id: &str, inside: [Length; 3]) {
        let (board, thick) = (board_thickness(job), batten_thickness(job));
        let broad = job
            .catalog
            .materials
            .get(&job.catalog.crate_kit.batten)
            .and_then(|batten| batten.width)
            .unwrap_or_default();
        let [long, wide, high] = inside.map(|side| side + board + board);
        let spacing = job.catalog.crate_kit.batten_spacing;
        let bays = if spacing.is_positive() {
            parts_of(long, spacing).clamp(1, MOST_PARTS)
        } else {
            1
        };
        for frame in 1..=bays + 1 {
            for (piece, length) in [
                (1, wide + thick + thick),
                (2, wide + thick + thick),
                (3, high),
                (4, high),
            ] {
                self.batten(format!("{id} frame {frame}.{piece}"), length);
            }
        }
        for end in 1..=2 {
            for (piece, length) in [
                (1, wide),
                (2, wide),
                (3, high - broad - broad),
                (4, high - broad - broad),
            ] {
                self.batten(format!("{id} end frame {end}.{piece}"), length);
            }
        }
        for skid in 1..=2 {
            self.skids
                .push((format!("{id} skid {skid}"), long + thick + thick));
        }
    }
}

/// How many pieces no longer than `most` make up a length.
pub(super) fn parts_of(length: Length, most: Length) -> i64 {
    if !most.is_positive() {
        return 1;
    }
    let (length, most) = (length.to_steps(), most.to_steps());
    length / most + i64::from(length % most > 0)
}

/// Splits a rectangle into as few equal parts as fit on a board, either way round; returns them with the lengths of the joints.
/// Nothing comes of boards whose size is not known, or so small that hundreds would be needed.
fn split(
    id: &str,
    (width, length): (Length, Length),
    board: Option<&Material>,
) -> (Vec<Part>, Vec<Length>) {
    let Some((broad, long)) = board.and_then(|board| Some((board.width?, board.length?))) else {
        return (Vec::new(), Vec::new());
    };
    if !(width.is_positive() && length.is_positive()) {
        return (Vec::new(), Vec::new());
    }
    let grid = |a: Length, b: Length| (parts_of(width, a), parts_of(length, b));
    let (straight, turned) = (grid(broad, long), grid(long, broad));
    let (columns, rows) =
        if turned.0.saturating_mul(turned.1) < straight.0.saturating_mul(straight.1) {
            turned
        } else {
            straight
        };
    let count = columns.saturating_mul(rows);
    if count > MOST_PARTS {
        return (Vec::new(), Vec::new());
    }
    let part = |number: i64| Part {
        id: if count == 1 {
            id.to_owned()
        } else {
            format!("{id} {number}/{count}")
        },
        width: share(width, columns),
        length: share(length, rows),
    };
    let joints = (1..columns).map(|_| length).chain((1..rows).map(|_| width));
    ((1..=count).map(part).collect(), joints.collect())
}

/// An equal share of a length, rounded down to a step.
const fn share(length: Length, count: i64) -> Length {
    Length::steps(length.to_steps() / count)
}

/// Splits a batten that is longer than the timber it comes from into equal parts.
pub(super) fn split_timber(
    (id, length): &(String, Length),
    stock: Length,
) -> Vec<(String, Length)> {
    let count = parts_of(*length, stock).min(MOST_PARTS);
    let name = |number: i64| {
        if count == 1 {
            id.clone()
        } else {
            format!("{id} {number}/{count}")
        }
    };
    (1..=count)
        .map(|number| (name(number), share(*length, count)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::MaterialKind;

    fn plywood() -> Material {
        Material {
            width: Some(Length::mm(1_220.0)),
            length: Some(Length::mm(2_440.0)),
            thickness: Some(Length::mm(12.0)),
            density: Some(0.64),
            ..Material::bare("plywood", MaterialKind::Board)
        }
    }

    fn area(parts: &[(Length, Length)]) -> f64 {
        parts
            .iter()
            .map(|(width, length)| (*width * *length).to_m2())
            .sum()
    }

    /// Source: trade.md section 9.2, C-1: six faces of 3200 × 800 × 800 mm are 11.52 m², or 3.870 sheets before nesting.
    #[test]
    fn six_faces_of_a_case() {
        let found = faces([3_200.0, 800.0, 800.0].map(Length::mm), Length::ZERO);
        let sizes: Vec<_> = found
            .iter()
            .map(|(_, width, length)| (*width, *length))
            .collect();
        assert!((area(&sizes) - 11.52).abs() < 1e-9);
        assert!((area(&sizes) / (1.22 * 2.44) - 3.870).abs() < 1e-3);
    }

    #[test]
    fn boards_close_the_case_without_a_gap() {
        let found = faces([1_000.0, 500.0, 400.0].map(Length::mm), Length::mm(12.0));
        assert_eq!(found[0], ("top", Length::mm(524.0), Length::mm(1_024.0)));
        assert_eq!(found[2], ("side 1", Length::mm(400.0), Length::mm(1_024.0)));
        assert_eq!(found[4], ("end 1", Length::mm(500.0), Length::mm(400.0)));
    }

    #[test]
    fn a_face_larger_than_a_board_is_jointed() {
        let board = plywood();
        let case = |width: f64, length: f64| {
            let (parts, joints) = split(
                "K1 top",
                (Length::mm(width), Length::mm(length)),
                Some(&board),
            );
            (
                parts.len(),
                parts[0].width.to_mm(),
                parts[0].length.to_mm(),
                joints.iter().map(|joint| joint.to_mm()).collect::<Vec<_>>(),
            )
        };
        assert_eq!(case(1_220.0, 2_440.0), (1, 1_220.0, 2_440.0, vec![]));
        assert_eq!(case(800.0, 3_200.0), (2, 800.0, 1_600.0, vec![800.0]));
        assert_eq!(case(2_400.0, 1_000.0), (1, 2_400.0, 1_000.0, vec![]));
        assert_eq!(
            case(2_000.0, 3_600.0),
            (3, 2_000.0, 1_200.0, vec![2_000.0, 2_000.0])
        );
    }

    #[test]
    fn a_batten_longer_than_its_timber_is_made_of_equal_parts() {
        let parts = split_timber(
            &("K1 skid 1".to_owned(), Length::mm(5_000.0)),
            Length::mm(2_400.0),
        );
        assert_eq!(parts.len(), 3);
        assert!(
            parts
                .iter()
                .all(|(_, length)| *length <= Length::mm(2_400.0))
        );
    }
}
