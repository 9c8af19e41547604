//! How boards and timber of all crates are cut.

use std::collections::BTreeMap;
use std::collections::VecDeque;
use std::sync::Arc;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Grain;
use crate::catalog::Material;
use crate::geometry::Rect;
use crate::job::Job;
use crate::solver::cutting;
use crate::solver::cutting::Piece;
use crate::solver::cutting::Placed;
use crate::solver::cutting::Plan;
use crate::solver::cutting::Stock;
use crate::solver::cutting::Unit;
use crate::solver::packing::Bar;
use crate::solver::packing::BarCut;
use crate::solver::packing::Effort;
use crate::solver::packing::cut_lengths;
use crate::takeoff::CutFrom;
use crate::takeoff::CutLine;
use crate::takeoff::CutPiece;
use crate::takeoff::CutUnit;
use crate::units::Length;
use crate::units::Money;

use super::build::Part;
use super::outcome::CutBound;
use super::price::Prices;
use super::rests::Rests;

/// Search steps for one material.
const STEPS: u64 = 2_000_000;
/// Search steps for timber: filling one bar takes steps for every millimetre and every length wanted.
const TIMBER_STEPS: u64 = 50_000_000;
/// Steps of a length in the tenth of a millimetre that the saw is reckoned in.
const TENTH: i64 = 800;

/// Ids waiting for the pieces of one size.
type Waiting = BTreeMap<(u64, u64), VecDeque<String>>;

/// Cuts rectangles from boards of one material by guillotine cuts; pieces may be turned. Rests on the shelf cost nothing and are used where
/// that makes the plan cheaper. Beside the units stands the plan's bound.
pub(super) fn boards(
    material: &Material,
    parts: &[Part],
    kerf: Length,
    (prices, rests): (&Prices<'_>, &mut Rests),
) -> (Vec<CutUnit>, Option<CutBound>) {
    let (Some(width), Some(length)) = (material.width, material.length) else {
        return (Vec::new(), None);
    };
    let mut waiting = Waiting::new();
    for part in parts {
        waiting
            .entry((tenths_up(part.width), tenths_up(part.length)))
            .or_default()
            .push_back(part.id.clone());
    }
    let sizes: Vec<(u64, u64)> = waiting.keys().copied().collect();
    let pieces: Vec<Piece> = waiting
        .iter()
        .map(|((width, length), ids)| Piece {
            width: *width,
            length: *length,
            may_turn: material.grain == Grain::None,
            count: len(ids),
        })
        .collect();
    let whole = (width, length, CutFrom::Bought);
    let shelf = rests.of_material(&material.id);
    let from: Vec<(Length, Length, CutFrom)> = std::iter::once(whole)
        .chain(shelf.iter().map(|(w, l, _)| (*w, *l, CutFrom::Offcut)))
        .collect();
    let bought = stock(width, length, (cents(prices, &material.id), None));
    let lying = shelf
        .iter()
        .map(|(w, l, count)| stock(*w, *l, (0, Some(*count))));
    let stocks: Vec<Stock> = std::iter::once(bought).chain(lying).collect();
    let plan = cheapest(&stocks, &pieces, tenths_up(kerf));
    let mut sheets: Vec<&Unit> = plan
        .units
        .iter()
        .flat_map(|unit| std::iter::repeat_n(unit, usize::try_from(unit.times).unwrap_or(0)))
        .collect();
    sheets.sort_by_key(|unit| unit.stock == 0);
    let mut units = Vec::new();
    for (number, unit) in (1_u64..).zip(sheets) {
        let Some((width, length, from)) = from.get(unit.stock).copied() else {
            continue;
        };
        let left = unit.offcuts.iter().map(|rest| Rect {
            x: tenths(rest.x),
            y: tenths(rest.y),
            width: tenths(rest.width),
            height: tenths(rest.length),
        });
        let left: Arc<[Rect]> = left
            .filter(|rest| rests.keeps(&[rest.width, rest.height]))
            .collect();
        if from == CutFrom::Offcut {
            rests.take(&material.id, width, length);
        }
        for rest in left.iter() {
            rests.keep(&material.id, rest.width, rest.height);
        }
        let pieces = unit.placed.iter();
        units.push(CutUnit {
            material: material.id.clone(),
            stock: number,
            from,
            width,
            length,
            pieces: pieces
                .filter_map(|placed| cut_piece(placed, &sizes, &mut waiting))
                .collect(),
            lines: unit.cuts.iter().map(cut_line).collect(),
            offcuts: left,
        });
    }
    let bound = bound(&material.id, &units, plan.cost, plan.lower_bound);
    (units, Some(bound))
}

/// A board to cut from; what lies on the shelf costs nothing, and there are only so many of it.
fn stock(width: Length, length: Length, (cost, supply): (u64, Option<u64>)) -> Stock {
    Stock {
        width: tenths_down(width),
        length: tenths_down(length),
        cost,
        supply,
        trim: 0,
        first_cut_across: false,
    }
}

/// The cheaper of two plans: from rests and whole boards, and from whole boards alone, so that rests never make a plan dearer.
fn cheapest(stocks: &[Stock], pieces: &[Piece], kerf: u64) -> Plan {
    let plan = |stocks| cutting::cut(stocks, pieces, kerf, &mut Effort::steps(STEPS));
    let all = plan(stocks);
    match stocks {
        [whole, _, ..] => {
            let mut alone = plan(std::slice::from_ref(whole));
            if alone.cost < all.cost || !all.unplaced.is_empty() {
                alone.lower_bound = all.lower_bound.min(alone.cost);
                alone
            } else {
                all
            }
        }
        _ => all,
    }
}

/// The price of a unit in whole cents, at least one, so that plans can be told apart where nothing is offered.
fn cents(prices: &Prices<'_>, id: &str) -> u64 {
    let cents = prices
        .each(id)
        .and_then(|price| (price * 100.0).ceil().to_u64());
    cents.unwrap_or(1).max(1)
}

fn bound(material: &str, units: &[CutUnit], cost: u64, least: u64) -> CutBound {
    let money = |cents: u64| {
        Money::new(
            Decimal::from(cents)
                .checked_div(Decimal::ONE_HUNDRED)
                .unwrap_or_default(),
        )
    };
    CutBound {
        material: material.to_owned(),
        units: u64::try_from(units.len()).unwrap_or(u64::MAX),
        cost: money(cost),
        least: money(least),
    }
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

/// All stock lengths of a timber: every timber of its section and density that is offered, and itself.
fn lengths<'a>(job: &'a Job, id: &str) -> Vec<&'a Material> {
    let Some(named) = job.catalog.materials.get(id) else {
        return Vec::new();
    };
    let offered = |material: &Material| {
        let mut offers = job.catalog.offers.iter();
        offers.any(|offer| offer.material == material.id)
    };
    let alike = |material: &Material| {
        material.kind == named.kind
            && (material.width, material.thickness) == (named.width, named.thickness)
            && material.density.map(f64::to_bits) == named.density.map(f64::to_bits)
            && material.length.is_some_and(Length::is_positive)
            && (material.id == named.id || offered(material))
    };
    let all = job.catalog.materials.values();
    all.filter(|material| alike(material)).collect()
}

/// The longest stock length of a timber.
pub(super) fn longest(job: &Job, id: &str) -> Option<Length> {
    lengths(job, id)
        .iter()
        .filter_map(|material| material.length)
        .max()
}

/// Cuts lengths from a timber in all its stock lengths at least cost; no piece is longer than the longest. Pieces and saw cut are whole
/// millimetres, rounded up; stock lengths rounded down. Rests on the shelf cost nothing.
pub(super) fn timber(
    job: &Job,
    id: &str,
    pieces: &[(String, Length)],
    (prices, rests): (&Prices<'_>, &mut Rests),
) -> (Vec<CutUnit>, Option<CutBound>) {
    let stocks = lengths(job, id);
    let kerf = whole_mm_up(job.catalog.crate_kit.kerf);
    let mut waiting: BTreeMap<u64, VecDeque<String>> = BTreeMap::new();
    for (id, length) in pieces {
        waiting
            .entry(whole_mm_up(*length))
            .or_default()
            .push_back(id.clone());
    }
    let sizes: Vec<u64> = waiting.keys().copied().collect();
    let pieces: Vec<(u64, u64)> = waiting
        .iter()
        .map(|(length, ids)| (*length, len(ids)))
        .collect();
    let mut bars = Vec::new();
    let mut from = Vec::new();
    for material in &stocks {
        let width = material.width.unwrap_or_default();
        let length = material.length.unwrap_or_default();
        bars.push(Bar {
            length: whole_mm_down(length),
            cost: cents(prices, &material.id),
            supply: None,
        });
        from.push((*material, width, length, CutFrom::Bought));
        for (width, length, count) in rests.of_material(&material.id) {
            bars.push(Bar {
                length: whole_mm_down(length),
                cost: 0,
                supply: Some(count),
            });
            from.push((*material, width, length, CutFrom::Offcut));
        }
    }
    let plan = cut_lengths(&bars, &pieces, kerf, &mut Effort::steps(TIMBER_STEPS));
    let mut cuts: Vec<&BarCut> = plan
        .cuts
        .iter()
        .flat_map(|cut| std::iter::repeat_n(cut, usize::try_from(cut.times).unwrap_or(0)))
        .collect();
    let is_whole = |cut: &&BarCut| from.get(cut.bar).is_none_or(|bar| bar.3 != CutFrom::Offcut);
    cuts.sort_by_key(is_whole);
    let mut numbers: BTreeMap<&str, u64> = BTreeMap::new();
    let mut units = Vec::new();
    for cut in cuts {
        let Some((material, width, length, from)) = from.get(cut.bar).copied() else {
            continue;
        };
        let number = numbers.entry(&material.id).or_default();
        *number += 1;
        let lengths = cut.pieces.iter().filter_map(|piece| sizes.get(*piece));
        if from == CutFrom::Offcut {
            rests.take(&material.id, width, length);
        }
        let pieces = sawn(material, lengths, kerf, &mut waiting);
        let left =
            rest_of_bar(&pieces, (width, length), kerf).filter(|rest| rests.keeps(&[rest.height]));
        if let Some(rest) = &left {
            rests.keep(&material.id, rest.width, rest.height);
        }
        units.push(CutUnit {
            material: material.id.clone(),
            stock: *number,
            width,
            length,
            pieces,
            from,
            lines: Arc::default(),
            offcuts: left.into_iter().collect(),
        });
    }
    units.sort_by(|a, b| (&a.material, a.stock).cmp(&(&b.material, b.stock)));
    let bound = bound(id, &units, plan.cost, plan.lower_bound);
    (units, Some(bound))
}

/// What is left of a bar behind its last piece and that piece's saw cut.
fn rest_of_bar(pieces: &[CutPiece], (width, length): (Length, Length), kerf: u64) -> Option<Rect> {
    let end = pieces.iter().map(|piece| piece.y + piece.height).max()?;
    let start = end + millimetres(kerf);
    (start < length).then(|| Rect {
        x: Length::ZERO,
        y: start,
        width,
        height: length - start,
    })
}

/// The pieces of one bar, one behind the other.
fn sawn<'a>(
    material: &Material,
    lengths: impl Iterator<Item = &'a u64>,
    kerf: u64,
    waiting: &mut BTreeMap<u64, VecDeque<String>>,
) -> Vec<CutPiece> {
    let mut y = Length::ZERO;
    let mut pieces = Vec::new();
    for length in lengths {
        let Some(id) = waiting.get_mut(length).and_then(VecDeque::pop_front) else {
            continue;
        };
        let height = millimetres(*length);
        pieces.push(CutPiece {
            id,
            x: Length::ZERO,
            y,
            width: material.width.unwrap_or_default(),
            height,
            turned: false,
        });
        y += height + millimetres(kerf);
    }
    pieces
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

fn whole_mm_up(length: Length) -> u64 {
    u64::try_from(length.to_mm_up()).unwrap_or(0)
}

fn whole_mm_down(length: Length) -> u64 {
    u64::try_from(length.to_steps() / Length::whole_mm(1).to_steps()).unwrap_or(0)
}

fn millimetres(count: u64) -> Length {
    Length::steps(
        i64::try_from(count)
            .unwrap_or(0)
            .saturating_mul(Length::whole_mm(1).to_steps()),
    )
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
