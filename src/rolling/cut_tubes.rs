//! How drum faces are cut from stock tubes.

use std::collections::BTreeMap;
use std::collections::VecDeque;

use crate::job::Job;
use crate::solver::packing::Bar;
use crate::solver::packing::BarCut;
use crate::solver::packing::Effort;
use crate::solver::packing::cut_lengths;
use crate::units::Length;

use super::outcome::Drum;
use super::outcome::TubeCut;
use super::tube::Tube;

/// Search steps for the cut plan of one tube.
const STEPS: u64 = 4_000_000;

/// Returns the stock tubes with the faces cut from each, as few as may be; those on the shelf are of the same length, so they change nothing here.
///
/// Faces and the saw cut are whole millimetres, rounded up; stock lengths rounded down.
pub(super) fn cut_tubes(job: &Job, drums: &[Drum], tubes: &[Tube<'_>]) -> Vec<TubeCut> {
    let kerf = whole_mm_up(job.catalog.drum_kit.kerf);
    let mut cuts = Vec::new();
    for tube in tubes {
        let mut faces: BTreeMap<Length, VecDeque<String>> = BTreeMap::new();
        for drum in drums.iter().filter(|drum| drum.tube == tube.id) {
            faces
                .entry(drum.face)
                .or_default()
                .push_back(drum.id.clone());
        }
        if !faces.is_empty() {
            cuts.extend(cut(tube, faces, kerf));
        }
    }
    cuts
}

fn cut(tube: &Tube<'_>, mut faces: BTreeMap<Length, VecDeque<String>>, kerf: u64) -> Vec<TubeCut> {
    let lengths: Vec<Length> = faces.keys().copied().collect();
    let count = |queue: &VecDeque<String>| u64::try_from(queue.len()).unwrap_or(u64::MAX);
    let pieces: Vec<(u64, u64)> = faces
        .iter()
        .map(|(face, ids)| (whole_mm_up(*face), count(ids)))
        .collect();
    let length =
        u64::try_from(tube.length.to_steps() / Length::whole_mm(1).to_steps()).unwrap_or(0);
    let bar = Bar {
        length,
        cost: 1,
        supply: None,
    };
    let plan = cut_lengths(&[bar], &pieces, kerf, &mut Effort::steps(STEPS));
    let mut cuts = Vec::new();
    for (stock, bar) in (1_u64..).zip(plan.cuts.iter().flat_map(each)) {
        let sawn = bar.pieces.iter().filter_map(|piece| {
            let face = *lengths.get(*piece)?;
            Some((faces.get_mut(&face)?.pop_front()?, face))
        });
        cuts.push(TubeCut {
            material: tube.id.to_owned(),
            stock,
            length: tube.length,
            pieces: sawn.collect(),
        });
    }
    cuts
}

/// One entry a bar that is cut alike.
fn each(cut: &BarCut) -> impl Iterator<Item = &BarCut> {
    std::iter::repeat_n(cut, usize::try_from(cut.times).unwrap_or(0))
}

/// Whole millimetres, rounded up; nothing below nothing.
fn whole_mm_up(length: Length) -> u64 {
    u64::try_from(length.to_mm_up()).unwrap_or(0)
}
