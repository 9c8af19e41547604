//! How boards and timber of all crates are cut.

use std::collections::BTreeMap;
use std::collections::VecDeque;
use std::sync::Arc;

use crate::catalog::Grain;
use crate::catalog::Material;
use crate::solver::cutting;
use crate::solver::cutting::Piece;
use crate::solver::cutting::Placed;
use crate::solver::cutting::Stock;
use crate::solver::packing::Bar;
use crate::solver::packing::Effort;
use crate::solver::packing::cut_lengths;
use crate::takeoff::CutFrom;
use crate::takeoff::CutLine;
use crate::takeoff::CutPiece;
use crate::takeoff::CutUnit;
use crate::units::Length;

use super::build::Part;

/// Search steps for one material.
const STEPS: u64 = 2_000_000;
/// Steps of a length in the tenth of a millimetre that the saw is reckoned in.
const TENTH: i64 = 800;

/// Ids waiting for the pieces of one size.
type Waiting = BTreeMap<(u64, u64), VecDeque<String>>;

/// Cuts rectangles from boards of one material by guillotine cuts; pieces may be turned.
pub(super) fn boards(material: &Material, parts: &[Part], kerf: Length) -> Vec<CutUnit> {
    let (Some(width), Some(length)) = (material.width, material.length) else {
        return Vec::new();
    };
    let mut waiting = Waiting::new();
    for part in parts {
        waiting
            .entry((tenths_up(part.width), tenths_up(part.length)))
            .or_default()
            .push_back(part.id.clone());
    }
    let may_turn = material.grain == Grain::None;
    let sizes: Vec<(u64, u64)> = waiting.keys().copied().collect();
    let pieces: Vec<Piece> = waiting
        .iter()
        .map(|((width, length), ids)| Piece {
            width: *width,
            length: *length,
            may_turn,
            count: len(ids),
        })
        .collect();
    let stock = Stock {
        width: tenths_down(width),
        length: tenths_down(length),
        cost: 1,
        supply: None,
        trim: 0,
        first_cut_across: false,
    };
    let plan = cutting::cut(
        &[stock],
        &pieces,
        tenths_up(kerf),
        &mut Effort::steps(STEPS),
    );
    let sheets = plan
        .units
        .iter()
        .flat_map(|unit| std::iter::repeat_n(unit, usize::try_from(unit.times).unwrap_or(0)));
    let units = (1_u64..).zip(sheets).map(|(stock, unit)| CutUnit {
        material: material.id.clone(),
        stock,
        from: CutFrom::Bought,
        width,
        length,
        pieces: unit
            .placed
            .iter()
            .filter_map(|placed| cut_piece(placed, &sizes, &mut waiting))
            .collect(),
        lines: unit.cuts.iter().map(cut_line).collect(),
        offcuts: Arc::default(),
    });
    units.collect()
}

fn cut_piece(placed: &Placed, sizes: &[(u64, u64)], waiting: &mut Waiting) -> Option<CutPiece> {
    let id = waiting.get_mut(sizes.get(placed.piece)?)?.pop_front()?;
    Some(CutPiece {
        id,
        x: tenths(placed.x),
        y: tenths(placed.y),
        width: tenths(placed.width),
        height: tenths(placed.length),
        turned: placed.turned,
    })
}

/// Cuts lengths from timber of one material; none is longer than the stock.
pub(super) fn timber(
    material: &Material,
    lengths: &[(String, Length)],
    kerf: Length,
) -> Vec<CutUnit> {
    let Some(length) = material.length else {
        return Vec::new();
    };
    let width = material.width.unwrap_or_default();
    let mut waiting: BTreeMap<u64, VecDeque<String>> = BTreeMap::new();
    for (id, length) in lengths {
        waiting
            .entry(tenths_up(*length))
            .or_default()
            .push_back(id.clone());
    }
    let sizes: Vec<u64> = waiting.keys().copied().collect();
    let pieces: Vec<(u64, u64)> = waiting
        .iter()
        .map(|(length, ids)| (*length, len(ids)))
        .collect();
    let bar = Bar {
        length: tenths_down(length),
        cost: 1,
        supply: None,
    };
    let plan = cut_lengths(&[bar], &pieces, tenths_up(kerf), &mut Effort::steps(STEPS));
    let bars = plan
        .cuts
        .iter()
        .flat_map(|cut| std::iter::repeat_n(cut, usize::try_from(cut.times).unwrap_or(0)));
    let units = (1_u64..).zip(bars).map(|(stock, bar)| {
        let mut y = Length::ZERO;
        let mut cut = Vec::new();
        for size in bar.pieces.iter().filter_map(|piece| sizes.get(*piece)) {
            let Some(id) = waiting.get_mut(size).and_then(VecDeque::pop_front) else {
                continue;
            };
            let height = tenths(*size);
            cut.push(CutPiece {
                id,
                x: Length::ZERO,
                y,
                width,
                height,
                turned: false,
            });
            y += height + tenths(tenths_up(kerf));
        }
        CutUnit {
            material: material.id.clone(),
            stock,
            from: CutFrom::Bought,
            width,
            length,
            pieces: cut,
            lines: Arc::default(),
            offcuts: Arc::default(),
        }
    });
    units.collect()
}

fn cut_line(cut: &cutting::Cut) -> CutLine {
    CutLine {
        across: cut.across,
        at: tenths(cut.at),
        from: tenths(cut.from),
        to: tenths(cut.to),
    }
}

fn len(ids: &VecDeque<String>) -> u64 {
    u64::try_from(ids.len()).unwrap_or(u64::MAX)
}

fn tenths_up(length: Length) -> u64 {
    u64::try_from((length.to_steps() + TENTH - 1) / TENTH).unwrap_or(0)
}

fn tenths_down(length: Length) -> u64 {
    u64::try_from(length.to_steps() / TENTH).unwrap_or(0)
}

fn tenths(count: u64) -> Length {
    Length::steps(i64::try_from(count).unwrap_or(0).saturating_mul(TENTH))
}
