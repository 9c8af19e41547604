//! One way of laying a layer: columns of pieces, each trimmed to what it covers.

use crate::geometry::Chord;
use crate::geometry::Point;
use crate::geometry::Rect;
use crate::geometry::Slabs;
use crate::units::Length;

use super::cover::Avoid;
use super::cover::Rule;
use super::cover::cover;
use super::seams::Seam;

/// What every piece of a layer keeps to.
#[derive(Clone, Copy, Debug)]
pub(super) struct Terms {
    /// Least overlap of neighbours.
    pub overlap: Length,
    /// What a piece is cut larger than what it covers, on each trimmed side.
    pub trim: Length,
    /// Least distance from like seams of the layer below.
    pub seam_distance: Length,
}

/// A choice of size and phase.
#[derive(Clone, Copy, Debug)]
pub(super) struct Choice {
    /// Width of a column's sheets.
    pub across: Length,
    /// The longest a piece may be along its column.
    pub along: Length,
    /// How much of the first column hangs out to the left.
    pub phase: Length,
    /// How much of each column's first piece hangs out below.
    pub rise: Length,
}

/// Lays a region in columns; every point of it is covered.
///
/// A column is as wide as the sheet and reaches over its neighbours by the overlap. Where an opening interrupts it, the
/// column is laid in runs. A piece is cut down to the bounding box of what lies in its cell; where that falls into
/// two parts side by side, it becomes two pieces. `below` are the seams of the layer below.
pub(super) fn lay(slabs: &Slabs, choice: Choice, terms: Terms, below: &[Seam]) -> Vec<Rect> {
    let beside: Vec<Length> = below
        .iter()
        .filter(|seam| seam.upright)
        .map(|seam| seam.at)
        .collect();
    let avoid = Avoid::new(beside, terms.seam_distance);
    let rule = Rule {
        size: choice.across,
        overlap: terms.overlap,
        phase: choice.phase,
    };
    let mut pieces = Vec::new();
    for columns in cover(&slabs.widths(), rule, &avoid) {
        for (number, column) in columns.iter().enumerate() {
            let before = number.checked_sub(1).and_then(|index| columns.get(index));
            lay_column(
                slabs,
                Lane {
                    column: *column,
                    before,
                    after: columns.get(number + 1),
                },
                choice,
                terms,
                below,
                &mut pieces,
            );
        }
    }
    pieces
}

/// A column with its neighbours.
#[derive(Clone, Copy)]
struct Lane<'a> {
    column: Chord,
    before: Option<&'a Chord>,
    after: Option<&'a Chord>,
}

fn lay_column(
    slabs: &Slabs,
    lane: Lane<'_>,
    choice: Choice,
    terms: Terms,
    below: &[Seam],
    pieces: &mut Vec<Rect>,
) {
    let Chord {
        from: left,
        to: right,
    } = lane.column;
    let level = |seam: &&Seam| !seam.upright && seam.from < right && seam.to > left;
    let avoid = Avoid::new(
        below.iter().filter(level).map(|seam| seam.at).collect(),
        terms.seam_distance,
    );
    let rule = Rule {
        size: choice.along,
        overlap: terms.overlap,
        phase: choice.rise,
    };
    let runs = joined(
        slabs.runs(left, right),
        terms.overlap + terms.trim + terms.trim,
    );
    for spans in cover(&runs, rule, &avoid) {
        for (number, span) in spans.iter().enumerate() {
            let before = number.checked_sub(1).and_then(|index| spans.get(index));
            let cell = Cell {
                lane,
                span: *span,
                before,
                after: spans.get(number + 1),
            };
            cell.cut(slabs, terms, pieces);
        }
    }
}

/// Runs with the gaps between them closed where they are too narrow to be worth two edges.
fn joined(runs: Vec<Chord>, gap: Length) -> Vec<Chord> {
    let mut whole: Vec<Chord> = Vec::new();
    for run in runs {
        match whole.last_mut() {
            Some(last) if run.from - last.to <= gap => last.to = run.to,
            Some(_) | None => whole.push(run),
        }
    }
    whole
}

/// The cell of one whole piece with its neighbours.
struct Cell<'a> {
    lane: Lane<'a>,
    span: Chord,
    before: Option<&'a Chord>,
    after: Option<&'a Chord>,
}

impl Cell<'_> {
    /// Cuts the cell's sheet to what it covers; nothing where its neighbours cover it all.
    fn cut(&self, slabs: &Slabs, terms: Terms, pieces: &mut Vec<Rect>) {
        let (column, span) = (self.lane.column, self.span);
        let own = Rect::between(
            Point::new(
                self.lane.before.map_or(column.from, |before| before.to),
                self.before.map_or(span.from, |before| before.to),
            ),
            Point::new(column.to, span.to),
        );
        let lapped = self.before.is_some() || self.lane.before.is_some();
        if lapped && !slabs.reaches(&own) {
            return;
        }
        let cell = Rect::between(
            Point::new(column.from, span.from),
            Point::new(column.to, span.to),
        );
        // Two pieces instead of one only where that spares more than the trimmed edges take.
        let gap = terms.trim + terms.trim + terms.overlap + Length::whole_mm(20);
        for part in slabs.parts(&cell, gap) {
            let (left, right) = trimmed(
                column,
                (part.x, part.right()),
                (self.lane.before, self.lane.after),
                terms,
            );
            let (bottom, top) =
                trimmed(span, (part.y, part.top()), (self.before, self.after), terms);
            pieces.push(Rect::between(
                Point::new(left, bottom),
                Point::new(right, top),
            ));
        }
    }
}

/// Cuts a span to what it must cover plus the trim, to whole millimetres where it is cut, and never so that a lap on a
/// neighbour is narrower than the overlap.
fn trimmed(
    span: Chord,
    covers: (Length, Length),
    (before, after): (Option<&Chord>, Option<&Chord>),
    terms: Terms,
) -> (Length, Length) {
    let cut_from = covers.0 > span.from;
    let cut_to = covers.1 < span.to;
    let mut from = if cut_from {
        (covers.0 - terms.trim).max(span.from)
    } else {
        span.from
    };
    let mut to = if cut_to {
        (covers.1 + terms.trim).min(span.to)
    } else {
        span.to
    };
    let spare = Length::whole_mm((to - from).to_mm_up()) - (to - from);
    if cut_to {
        to = (to + spare).min(span.to);
    } else if cut_from {
        from = (from - spare).max(span.from);
    }
    if let Some(before) = before.filter(|before| from <= before.to) {
        from = from.min(before.to - terms.overlap).max(span.from);
    }
    if let Some(after) = after.filter(|after| to >= after.from) {
        to = to.max(after.from + terms.overlap).min(span.to);
    }
    (from, to)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> Length {
        Length::mm(value)
    }

    fn chord(from: f64, to: f64) -> Chord {
        Chord {
            from: mm(from),
            to: mm(to),
        }
    }

    #[test]
    fn a_cut_side_gets_its_trim_and_a_whole_number_of_millimetres() {
        let terms = Terms {
            overlap: mm(20.0),
            trim: mm(5.0),
            seam_distance: Length::ZERO,
        };
        let cut = |covers: (f64, f64), beside| {
            trimmed(
                chord(0.0, 600.0),
                (mm(covers.0), mm(covers.1)),
                beside,
                terms,
            )
        };
        assert_eq!(cut((0.0, 600.0), (None, None)), (mm(0.0), mm(600.0)));
        assert_eq!(cut((0.0, 310.4), (None, None)), (mm(0.0), mm(316.0)));
        assert_eq!(cut((289.6, 600.0), (None, None)), (mm(284.0), mm(600.0)));
        assert_eq!(cut((0.0, 598.0), (None, None)), (mm(0.0), mm(600.0)));
    }

    #[test]
    fn a_lap_is_never_narrower_than_the_overlap() {
        let terms = Terms {
            overlap: mm(20.0),
            trim: mm(5.0),
            seam_distance: Length::ZERO,
        };
        let next = chord(500.0, 1100.0);
        let cut = |to: f64| {
            trimmed(
                chord(0.0, 600.0),
                (mm(0.0), mm(to)),
                (None, Some(&next)),
                terms,
            )
        };
        assert_eq!(cut(480.0), (mm(0.0), mm(485.0)));
        assert_eq!(cut(494.6), (mm(0.0), mm(520.0)));
        assert_eq!(cut(570.0), (mm(0.0), mm(575.0)));
    }
}
