//! From the engine's plan to stock units whose pieces have names and whose cuts have an order.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::geometry::Rect;
use crate::solver::cutting;
use crate::solver::cutting::Unit;
use crate::takeoff::outcome::CutFrom;
use crate::takeoff::outcome::CutLine;
use crate::takeoff::outcome::CutPiece;
use crate::takeoff::outcome::CutUnit;
use crate::units::Length;

use super::Sizes;
use super::family::Family;
use super::length;
use super::trial::Lot;

/// Hands out the names of pieces, size by size.
pub(super) struct Names<'a> {
    family: &'a Family<'a>,
    left: Vec<std::slice::Iter<'a, (&'a str, bool)>>,
    /// Whole units on the shelf that are not used yet, and the last number given, by material.
    shelf: Vec<u64>,
    numbers: BTreeMap<&'a str, u64>,
}

impl<'a> Names<'a> {
    pub(super) fn new(family: &'a Family<'a>, sizes: &'a Sizes<'a>) -> Self {
        Self {
            family,
            left: sizes.values().map(|ids| ids.iter()).collect(),
            shelf: family.sizes.iter().map(|size| size.shelf).collect(),
            numbers: BTreeMap::new(),
        }
    }

    /// The units in cutting order: offcuts, then what is on the shelf, then what is bought.
    pub(super) fn units(mut self, lots: &'a [(Lot, Unit)]) -> Vec<CutUnit> {
        let is_part = |lot: &Lot| matches!(lot, Lot::Part(_));
        let parts = lots.iter().filter(|(lot, _)| is_part(lot));
        let whole = lots.iter().filter(|(lot, _)| !is_part(lot));
        let mut units = Vec::new();
        for (lot, unit) in parts.chain(whole) {
            let lines: Arc<[CutLine]> = unit.cuts.iter().map(line).collect();
            let offcuts: Arc<[Rect]> = self.offcuts(unit);
            for _ in 0..unit.times {
                units.extend(self.unit(*lot, unit, &lines, &offcuts));
            }
        }
        units
    }

    fn unit(
        &mut self,
        lot: Lot,
        unit: &Unit,
        lines: &Arc<[CutLine]>,
        offcuts: &Arc<[Rect]>,
    ) -> Option<CutUnit> {
        let (material, width, along) = match lot {
            Lot::Whole(index) => self
                .family
                .sizes
                .get(index)
                .map(|size| (size.material, size.width, size.length)),
            Lot::Part(index) => self
                .family
                .offcuts
                .get(index)
                .map(|part| (part.material, part.width, part.length)),
        }?;
        let from = self.from(lot);
        let number = self.numbers.entry(material).or_default();
        *number += 1;
        Some(CutUnit {
            material: material.to_owned(),
            stock: *number,
            from,
            width,
            length: along,
            pieces: unit
                .placed
                .iter()
                .filter_map(|placed| self.piece(placed))
                .collect(),
            lines: lines.clone(),
            offcuts: offcuts.clone(),
        })
    }

    fn from(&mut self, lot: Lot) -> CutFrom {
        let Lot::Whole(index) = lot else {
            return CutFrom::Offcut;
        };
        match self.shelf.get_mut(index) {
            Some(left) if *left > 0 => {
                *left -= 1;
                CutFrom::Shelf
            }
            _ => CutFrom::Bought,
        }
    }

    /// The next piece of a placed size, where it lies.
    fn piece(&mut self, placed: &cutting::Placed) -> Option<CutPiece> {
        let (id, crosses) = self.left.get_mut(placed.piece)?.next()?;
        Some(CutPiece {
            id: (*id).to_owned(),
            x: length(placed.x),
            y: length(placed.y),
            width: length(placed.width),
            height: length(placed.length),
            turned: *crosses != placed.turned,
        })
    }

    fn offcuts(&self, unit: &Unit) -> Arc<[Rect]> {
        let kept = unit
            .offcuts
            .iter()
            .filter(|rect| self.family.keeps(rect.width, rect.length));
        kept.map(|kept| rect([kept.x, kept.y, kept.width, kept.length].map(length)))
            .collect()
    }
}

const fn rect([x, y, width, height]: [Length; 4]) -> Rect {
    Rect {
        x,
        y,
        width,
        height,
    }
}

fn line(cut: &cutting::Cut) -> CutLine {
    CutLine {
        across: cut.across,
        at: length(cut.at),
        from: length(cut.from),
        to: length(cut.to),
    }
}
