//! How drum faces are cut from stock tubes.

use std::collections::BTreeMap;
use std::collections::VecDeque;

use crate::job::Job;
use crate::solver::packing::Bar;
use crate::solver::packing::BarCut;
use crate::solver::packing::Effort;
use crate::solver::packing::cut_lengths;
use crate::units::Length;

use super::outcome::TubeCut;
use super::tube::StockTube;
use super::tube::Tube;
use super::tube::from_u64;

/// Search steps for the cut plan of one tube.
const STEPS: u64 = 2_000_000;

/// Drum ids waiting for a face of one length.
type Waiting<'a> = BTreeMap<Length, VecDeque<&'a str>>;

/// Returns the stock tubes with the faces cut from each, at least cost over all stock lengths of a tube; what lies on the shelf costs
/// nothing and is used first. Each face is a drum's id, the index of its tube, and its length.
///
/// Faces and the saw cut are whole millimetres, rounded up; stock lengths rounded down.
pub(super) fn cut_tubes(
    job: &Job,
    faces: &[(&str, usize, Length)],
    tubes: &[Tube<'_>],
) -> Vec<TubeCut> {
    let kerf = whole_mm_up(job.catalog.drum_kit.kerf);
    let mut waiting: BTreeMap<usize, Waiting<'_>> = BTreeMap::new();
    for (id, tube, face) in faces {
        waiting
            .entry(*tube)
            .or_default()
            .entry(*face)
            .or_default()
            .push_back(*id);
    }
    let mut cuts: Vec<TubeCut> = Vec::new();
    for (tube, faces) in waiting {
        cuts.extend(
            tubes
                .get(tube)
                .map_or_else(Vec::new, |tube| cut(tube, faces, kerf)),
        );
    }
    number(&mut cuts);
    cuts
}

/// What the stock tubes cost in cents from which faces of a tube are cut, each with how often it is wanted.
pub(super) fn cost(tube: &Tube<'_>, faces: &BTreeMap<Length, u64>, kerf: Length) -> f64 {
    let pieces: Vec<(u64, u64)> = faces
        .iter()
        .map(|(face, count)| (whole_mm_up(*face), *count))
        .collect();
    let bars: Vec<Bar> = tube
        .stocks
        .iter()
        .flat_map(bars)
        .map(|(bar, _)| bar)
        .collect();
    let plan = cut_lengths(&bars, &pieces, whole_mm_up(kerf), &mut Effort::steps(STEPS));
    let bought = plan.cuts.iter().filter_map(|cut| {
        let bar = bars.get(cut.bar)?;
        Some(from_u64(bar.cost) * from_u64(cut.times))
    });
    bought.sum()
}

/// Cuts the faces of one tube.
fn cut(tube: &Tube<'_>, mut faces: Waiting<'_>, kerf: u64) -> Vec<TubeCut> {
    let lengths: Vec<Length> = faces.keys().copied().collect();
    let count = |queue: &VecDeque<&str>| u64::try_from(queue.len()).unwrap_or(u64::MAX);
    let pieces: Vec<(u64, u64)> = faces
        .iter()
        .map(|(face, ids)| (whole_mm_up(*face), count(ids)))
        .collect();
    let stocks: Vec<(Bar, &StockTube<'_>)> = tube.stocks.iter().flat_map(bars).collect();
    let bars: Vec<Bar> = stocks.iter().map(|(bar, _)| bar.clone()).collect();
    let plan = cut_lengths(&bars, &pieces, kerf, &mut Effort::steps(STEPS));
    let mut cuts = Vec::new();
    for bar in plan.cuts.iter().flat_map(each) {
        let Some((_, stock)) = stocks.get(bar.bar) else {
            continue;
        };
        let sawn = bar.pieces.iter().filter_map(|piece| {
            let face = *lengths.get(*piece)?;
            Some((faces.get_mut(&face)?.pop_front()?.to_owned(), face))
        });
        let pieces = sawn.collect();
        cuts.push(TubeCut {
            material: stock.id.to_owned(),
            stock: 0,
            length: stock.length,
            pieces,
        });
    }
    cuts
}

/// What lies on the shelf, and what can be bought.
fn bars<'a>(stock: &'a StockTube<'a>) -> impl Iterator<Item = (Bar, &'a StockTube<'a>)> {
    let length = whole_mm_up(stock.usable());
    let shelf = Bar {
        length,
        cost: 0,
        supply: Some(stock.shelf),
    };
    let bought = Bar {
        length,
        cost: stock.cents.max(1),
        supply: None,
    };
    let bars = [(stock.shelf > 0).then_some(shelf), Some(bought)];
    bars.into_iter().flatten().map(move |bar| (bar, stock))
}

/// Numbers the stock of each material from 1.
fn number(cuts: &mut [TubeCut]) {
    cuts.sort_by(|a, b| a.material.cmp(&b.material));
    let mut last = (String::new(), 0);
    for cut in cuts {
        let number = if cut.material == last.0 {
            last.1 + 1
        } else {
            1
        };
        cut.stock = number;
        last = (cut.material.clone(), number);
    }
}

/// One entry a bar that is cut alike.
fn each(cut: &BarCut) -> impl Iterator<Item = &BarCut> {
    std::iter::repeat_n(cut, usize::try_from(cut.times).unwrap_or(0))
}

/// Whole millimetres, rounded up; nothing below nothing.
fn whole_mm_up(length: Length) -> u64 {
    u64::try_from(length.to_mm_up()).unwrap_or(0)
}
