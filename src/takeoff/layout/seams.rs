//! Seams: piece edges within the region, and how near those of neighbouring layers come to each other.

use crate::geometry::Rect;
use crate::geometry::Slabs;
use crate::units::Length;

/// A piece's edge that lies within the region.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Seam {
    /// Whether it runs up; otherwise it runs level.
    pub upright: bool,
    /// Its x if it runs up, its y if it runs level.
    pub at: Length,
    /// Where it begins along its run.
    pub from: Length,
    /// Where it ends along its run.
    pub to: Length,
}

impl Seam {
    /// The same seam with x and y exchanged.
    pub(super) const fn turned(self) -> Self {
        Self {
            upright: !self.upright,
            ..self
        }
    }
}

/// The shortest stretch of an edge within the region that counts as a seam.
const LEAST: Length = Length::whole_mm(1);

/// The seams of pieces and their length within the region.
pub(super) fn seams_of(pieces: &[Rect], slabs: &Slabs) -> (Vec<Seam>, Length) {
    let mut seams = Vec::with_capacity(pieces.len() * 2);
    let mut total = Length::ZERO;
    for piece in pieces {
        for at in [piece.x, piece.right()] {
            let inside = slabs.upright_length(at, piece.y, piece.top());
            if inside > LEAST {
                total += inside;
                seams.push(Seam {
                    upright: true,
                    at,
                    from: piece.y,
                    to: piece.top(),
                });
            }
        }
        for at in [piece.y, piece.top()] {
            let inside = slabs.level_length(at, piece.x, piece.right());
            if inside > LEAST {
                total += inside;
                seams.push(Seam {
                    upright: false,
                    at,
                    from: piece.x,
                    to: piece.right(),
                });
            }
        }
    }
    seams.sort_unstable();
    (seams, total)
}

/// How seams of one layer miss their distance from those of another.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Closeness {
    /// The length over which they do, counted once a pair.
    pub length: Length,
    /// The least distance between like seams side by side; none if there are none.
    pub nearest: Option<Length>,
}

/// Measures how near the seams of two layers come to each other, both sorted.
pub(super) fn closeness(these: &[Seam], those: &[Seam], distance: Length) -> Closeness {
    let mut found = Closeness::default();
    if !distance.is_positive() {
        return found;
    }
    for seam in these {
        let near = |other: &Seam| (other.upright, other.at) < (seam.upright, seam.at - distance);
        let first = those.partition_point(near);
        for other in those.get(first..).unwrap_or_default() {
            if (other.upright, other.at) >= (seam.upright, seam.at + distance) {
                break;
            }
            let apart = (other.at - seam.at).abs();
            let shared = other.to.min(seam.to) - other.from.max(seam.from);
            if apart < distance && shared > LEAST {
                found.length += shared;
                found.nearest = Some(found.nearest.map_or(apart, |nearest| nearest.min(apart)));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seam(upright: bool, at: f64, from: f64, to: f64) -> Seam {
        Seam {
            upright,
            at: Length::mm(at),
            from: Length::mm(from),
            to: Length::mm(to),
        }
    }

    fn close(these: &[Seam], those: &[Seam]) -> (f64, Option<f64>) {
        let found = closeness(these, those, Length::mm(50.0));
        (found.length.to_mm(), found.nearest.map(Length::to_mm))
    }

    #[test]
    fn like_seams_side_by_side_under_the_distance_count() {
        let own = [seam(true, 500.0, 0.0, 900.0)];
        let other = |at: f64, from: f64, to: f64| close(&own, &[seam(true, at, from, to)]);
        assert_eq!(other(549.9, 100.0, 400.0), (300.0, Some(49.9)));
        assert_eq!(other(450.1, 800.0, 1_000.0), (100.0, Some(49.9)));
        assert_eq!(
            other(550.0, 100.0, 400.0),
            (0.0, None),
            "the distance is enough"
        );
        assert_eq!(other(450.0, 100.0, 400.0), (0.0, None));
        assert_eq!(other(500.0, 900.0, 1_200.0), (0.0, None), "end to end");
        assert_eq!(
            other(500.0, 899.0, 1_200.0),
            (0.0, None),
            "no more than a mm"
        );
        let crossing = [seam(false, 500.0, 0.0, 900.0)];
        assert_eq!(close(&own, &crossing), (0.0, None), "across each other");
    }

    #[test]
    fn every_pair_counts_and_the_nearest_is_told() {
        let own = [seam(true, 500.0, 0.0, 900.0), seam(true, 560.0, 0.0, 100.0)];
        let others = [seam(true, 480.0, 0.0, 200.0), seam(true, 530.0, 0.0, 900.0)];
        // 200 and 900 mm beside the first, 100 mm beside the second.
        assert_eq!(close(&own, &others), (1_200.0, Some(20.0)));
    }
}
