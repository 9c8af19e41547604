//! Long stock units parted into rows of a page, always where a cut goes right across.

use crate::takeoff::CutPiece;
use crate::takeoff::CutUnit;
use crate::units::Length;

use super::page::Scale;

/// A stretch of a stock unit with the pieces in it and their order of cutting.
#[derive(Clone, Debug)]
pub(super) struct Row<'a> {
    /// Where it begins along the unit.
    pub(super) from: Length,
    /// Where it ends.
    pub(super) to: Length,
    /// Its pieces, each with its number in the order of cutting.
    pub(super) pieces: Vec<(usize, &'a CutPiece)>,
    /// Whether it is the whole unit.
    pub(super) whole: bool,
    /// Whether the unit goes on beyond what is drawn of it.
    pub(super) goes_on: bool,
}

impl<'a> Row<'a> {
    /// A row that is the whole unit.
    pub(super) fn whole(unit: &'a CutUnit) -> Self {
        Self {
            from: Length::ZERO,
            to: unit.length,
            pieces: (1..).zip(&unit.pieces).collect(),
            whole: true,
            goes_on: false,
        }
    }
}

/// The length of a unit up to the end of its last piece.
pub(super) fn used(unit: &CutUnit) -> Length {
    let ends = unit.pieces.iter().map(|piece| piece.y + piece.height);
    ends.max().unwrap_or(unit.length)
}

/// The longest stretch that cannot be parted.
pub(super) fn longest(unit: &CutUnit) -> Length {
    let lengths = bands(unit).into_iter().map(|band| band.to - band.from);
    lengths.max().unwrap_or_default()
}

/// Parts a unit into rows that fit a page's width; a band that is wider alone stands alone.
pub(super) fn rows(unit: &CutUnit, scale: Scale, room: f64) -> Vec<Row<'_>> {
    let mut rows: Vec<Row<'_>> = Vec::new();
    for band in bands(unit) {
        match rows.last_mut() {
            Some(row) if scale.paper(band.to - row.from) <= room => {
                row.to = band.to;
                row.pieces.extend(band.pieces);
            }
            Some(_) | None => rows.push(band),
        }
    }
    if let Some(last) = rows.last_mut() {
        let whole = unit.length;
        if scale.paper(whole - last.from) <= room {
            last.to = whole;
        } else {
            let shown = Length::mm((room - 4.0) * scale.0).max(Length::ZERO);
            last.goes_on = last.to < whole;
            last.to = last.to.max(last.from + shown).min(whole);
        }
    }
    rows
}

/// The least stretches between cuts that go right across.
fn bands(unit: &CutUnit) -> Vec<Row<'_>> {
    let mut pieces: Vec<(usize, &CutPiece)> = (1..).zip(&unit.pieces).collect();
    pieces.sort_by_key(|(_, piece)| piece.y);
    let mut bands: Vec<Row<'_>> = Vec::new();
    for (order, piece) in pieces {
        let end = piece.y + piece.height;
        match bands.last_mut() {
            Some(band) if piece.y < band.to => {
                band.to = band.to.max(end);
                band.pieces.push((order, piece));
            }
            last => {
                let from = last.map_or(Length::ZERO, |band| band.to);
                bands.push(Row {
                    from,
                    to: end,
                    pieces: vec![(order, piece)],
                    whole: false,
                    goes_on: false,
                });
            }
        }
    }
    bands
}
