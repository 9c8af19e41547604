//! One way of laying a layer: columns of pieces, each trimmed to what it covers.

use crate::geometry::Chord;
use crate::geometry::Point;
use crate::geometry::Rect;
use crate::geometry::Slabs;
use crate::units::Length;

use super::avoid::Avoid;
use super::cover::Rule;
use super::cover::Start;
use super::cover::cover;
use super::seams::Seam;

/// What every piece of a layer keeps to, seen in the direction of its columns.
#[derive(Clone, Copy, Debug)]
pub(super) struct Terms<'a> {
    /// Least overlap of neighbours.
    pub overlap: Length,
    /// What a piece is cut larger than what it covers, on each trimmed side.
    pub trim: Length,
    /// Least distance from like seams of the layer below.
    pub seam_distance: Length,
    /// The seams of the layer below.
    pub below: &'a [Seam],
    /// Least distance from the canvas's own seams.
    pub canvas_distance: Length,
    /// The canvas's own seams.
    pub canvas: &'a [Seam],
    /// The reach from each lift of the scaffold, from side to side of the columns.
    pub bands_across: &'a [Chord],
    /// The same where it lies along the columns.
    pub bands_along: &'a [Chord],
}

/// A choice of size and phase.
#[derive(Clone, Copy, Debug)]
pub(super) struct Choice {
    /// The widest a column's sheets may be.
    pub across: Length,
    /// The longest a piece may be along its column.
    pub along: Length,
    /// Where the columns begin.
    pub start: Start,
    /// Where each column's pieces begin.
    pub rise: Start,
    /// Whether all columns keep to one grid, whatever lies between, as if the region were its bounding box.
    pub plain: bool,
}

/// Lays a region in columns; every point of it is covered.
///
/// A column is as wide as the sheet and reaches over its neighbours by the overlap. Where an opening interrupts it, the
/// column is laid in runs. A piece is cut down to the bounding box of what lies in its cell; where that falls into
/// two parts side by side, it becomes two pieces.
pub(super) fn lay(slabs: &Slabs, choice: Choice, terms: &Terms<'_>) -> Vec<Rect> {
    let beside = |seams: &[Seam], distance| -> Vec<(Length, Length)> {
        let upright = seams.iter().filter(|seam| seam.upright);
        upright.map(|seam| (seam.at, distance)).collect()
    };
    let below = beside(terms.below, terms.seam_distance);
    let canvas = beside(terms.canvas, terms.canvas_distance);
    let avoid = Avoid::new(below.into_iter().chain(canvas));
    let rule = Rule {
        size: choice.across,
        overlap: terms.overlap,
        start: choice.start,
        bands: terms.bands_across,
    };
    let mut widths = slabs.widths();
    if choice.plain {
        widths = whole(&widths);
    }
    let mut pieces = Vec::new();
    for columns in cover(&widths, rule, &avoid) {
        for (number, column) in columns.iter().enumerate() {
            let before = number.checked_sub(1).and_then(|index| columns.get(index));
            let lane = Lane {
                column: *column,
                before,
                after: columns.get(number + 1),
            };
            lay_column(slabs, lane, choice, terms, &mut pieces);
        }
    }
    pieces
}

/// One stretch from the beginning of the first to the end of the last.
fn whole(stretches: &[Chord]) -> Vec<Chord> {
    let ends = stretches.first().zip(stretches.last());
    ends.map(|(first, last)| Chord {
        from: first.from,
        to: last.to,
    })
    .into_iter()
    .collect()
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
    terms: &Terms<'_>,
    pieces: &mut Vec<Rect>,
) {
    let Chord {
        from: left,
        to: right,
    } = lane.column;
    let level = |seam: &&Seam| !seam.upright && seam.from < right && seam.to > left;
    let below = terms.below.iter().filter(level);
    let canvas = terms.canvas.iter().filter(level);
    let avoid = Avoid::new(
        below
            .map(|seam| (seam.at, terms.seam_distance))
            .chain(canvas.map(|seam| (seam.at, terms.canvas_distance))),
    );
    let rule = Rule {
        size: choice.along,
        overlap: terms.overlap,
        start: choice.rise,
        bands: terms.bands_along,
    };
    let runs = if choice.plain {
        whole(&slabs.heights())
    } else {
        let gap = terms.overlap + terms.trim + terms.trim;
        joined(slabs.runs(left, right), gap)
    };
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
    fn cut(&self, slabs: &Slabs, terms: &Terms<'_>, pieces: &mut Vec<Rect>) {
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
    terms: &Terms<'_>,
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

    const TERMS: Terms<'_> = Terms {
        overlap: Length::whole_mm(20),
        trim: Length::whole_mm(5),
        seam_distance: Length::ZERO,
        below: &[],
        canvas_distance: Length::ZERO,
        canvas: &[],
        bands_across: &[],
        bands_along: &[],
    };

    #[test]
    fn a_cut_side_gets_its_trim_and_a_whole_number_of_millimetres() {
        let cut = |covers: (f64, f64), beside| {
            trimmed(
                chord(0.0, 600.0),
                (mm(covers.0), mm(covers.1)),
                beside,
                &TERMS,
            )
        };
        assert_eq!(cut((0.0, 600.0), (None, None)), (mm(0.0), mm(600.0)));
        assert_eq!(cut((0.0, 310.4), (None, None)), (mm(0.0), mm(316.0)));
        assert_eq!(cut((289.6, 600.0), (None, None)), (mm(284.0), mm(600.0)));
        assert_eq!(cut((0.0, 598.0), (None, None)), (mm(0.0), mm(600.0)));
    }

    #[test]
    fn a_lap_on_the_piece_before_is_kept_too() {
        let before = chord(-500.0, 100.0);
        let cut = |from: f64| {
            let covers = (mm(from), mm(600.0));
            trimmed(chord(0.0, 600.0), covers, (Some(&before), None), &TERMS)
        };
        assert_eq!(cut(120.0), (mm(115.0), mm(600.0)), "beyond it: cut to size");
        assert_eq!(
            cut(105.0),
            (mm(80.0), mm(600.0)),
            "on its edge: a whole lap"
        );
        assert_eq!(cut(30.0), (mm(25.0), mm(600.0)));
    }

    #[test]
    fn gaps_not_worth_two_edges_are_closed() {
        let runs = vec![chord(0.0, 100.0), chord(130.0, 200.0), chord(230.5, 300.0)];
        let closed = joined(runs, mm(30.0));
        assert_eq!(closed, [chord(0.0, 200.0), chord(230.5, 300.0)]);
    }

    #[test]
    fn a_lap_is_never_narrower_than_the_overlap() {
        let next = chord(500.0, 1100.0);
        let cut = |to: f64| {
            trimmed(
                chord(0.0, 600.0),
                (mm(0.0), mm(to)),
                (None, Some(&next)),
                &TERMS,
            )
        };
        assert_eq!(cut(480.0), (mm(0.0), mm(485.0)));
        assert_eq!(cut(494.6), (mm(0.0), mm(520.0)));
        assert_eq!(cut(570.0), (mm(0.0), mm(575.0)));
    }
}
