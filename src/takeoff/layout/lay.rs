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
    let beside: Vec<Length> = below.iter().filter(|seam| seam.upright).map(|seam| seam.at).collect();
    let avoid = Avoid::new(beside, terms.seam_distance);
    let rule = Rule { size: choice.across, overlap: terms.overlap, phase: choice.phase };
    let mut pieces = Vec::new();
    for columns in cover(&slabs.widths(), rule, &avoid) {
        for (number, column) in columns.iter().enumerate() {
            let before = number.checked_sub(1).and_then(|index| columns.get(index));
            lay_column(slabs, Lane { column: *column, before, after: columns.get(number + 1) }, choice, terms, below, &mut pieces);
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

fn lay_column(slabs: &Slabs, lane: Lane<'_>, choice: Choice, terms: Terms, below: &[Seam], pieces: &mut Vec<Rect>) {
    let Chord { from: left, to: right } = lane.column;
    let level = |seam: &&Seam| !seam.upright && seam.from < right && seam.to > left;
    let avoid = Avoid::new(below.iter().filter(level).map(|seam| seam.at).collect(), terms.seam_distance);
    let rule = Rule { size: choice.along, overlap: terms.overlap, phase: choice.rise };
    let runs = joined(slabs.runs(left, right), terms.overlap + terms.trim + terms.trim);
    for spans in cover(&runs, rule, &avoid) {
        for (number, span) in spans.iter().enumerate() {
            let before = number.checked_sub(1).and_then(|index| spans.get(index));
            let cell = Cell { lane, span: *span, before, after: spans.get(number + 1) };
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
            Point::new(self.lane.before.map_or(column.from, |before| before.to), self.before.map_or(span.from, |before| before.to)),
            Point::new(column.to, span.to),
        );
        if slabs.bounds(&own).is_none() {
            return;
        }
        let cell = Rect::between(Point::new(column.from, span.from), Point::new(column.to, span.to));
        // Two pieces instead of one only where that spares more than the trimmed edges take.
        let gap = terms.trim + terms.trim + terms.overlap + Length::whole_mm(20);
        for part in slabs.parts(&cell, gap) {
            let (left, right) = trimmed(column, (part.x, part.right()), (self.lane.before, self.lane.after), terms);
            let (bottom, top) = trimmed(span, (part.y, part.top()), (self.before, self.after), terms);
            pieces.push(Rect::between(Point::new(left, bottom), Point::new(right, top)));
        }
    }
}

/// Cuts a span to what it must cover plus the trim, to whole millimetres where it is cut, and never so that a lap on a
/// neighbour is narrower than the overlap.
fn trimmed(span: Chord, covers: (Length, Length), beside: (Option<&Chord>, Option<&Chord>), terms: Terms) -> (Length, Length) {
    let (mut from, mut to) = (span.from, span.to);
    if covers.0 > span.from {
        let lapped = beside.0.filter(|before| covers.0 - terms.trim < before.to).map(|before| before.to - terms.overlap);
        from = lapped.map_or(covers.0 - terms.trim, |lap| lap.min(covers.0 - terms.trim)).max(span.from);
    }
    if covers.1 < span.to {
        let lapped = beside.1.filter(|after| covers.1 + terms.trim > after.from).map(|after| after.from + terms.overlap);
        to = lapped.map_or(covers.1 + terms.trim, |lap| lap.max(covers.1 + terms.trim)).min(span.to);
    }
    let spare = Length::whole_mm((to - from).to_mm_up()) - (to - from);
    if to < span.to {
        to = (to + spare).min(span.to);
    } else if from > span.from {
        from = (from - spare).max(span.from);
    }
    (from, to)
}
