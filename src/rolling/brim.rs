//! Given stock tubes filled to the brim, the cheapest first: whatever room is spare gathers in the last of them.
//!
//! Each stock tube in turn takes those paintings that fill it best; in many orders, drawn from a fixed seed, until all paintings lie somewhere
//! at as little cost as can be.
//!
//! # Sources
//! Gupta and Ho 1999, "A new heuristic algorithm for the one-dimensional bin-packing problem", Production Planning & Control 10 (filling one
//! bin after another as well as can be), from memory.

use rand::RngExt;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::units::Length;

use super::assign::Loaded;
use super::market::Lying;
use super::market::Market;
use super::tube::from_i64;
use super::tube::from_u64;

/// Orders that are tried.
const ROUNDS: u64 = 400;

/// A painting to be laid: its roll and its class.
#[derive(Clone, Copy, Debug)]
struct Waiting {
    roll: usize,
    class: usize,
}

/// Puts every painting on a drum of stock tubes that are taken so often; stops at one that costs no more than `enough` cents. Nothing where
/// no order finds room for all.
pub(super) fn fill(market: &Market<'_>, counts: &[u64], enough: f64) -> Option<(f64, Vec<Loaded>)> {
    let mut chance = ChaCha8Rng::seed_from_u64(11);
    let mut best: Option<(f64, Vec<Loaded>)> = None;
    for round in 0..ROUNDS {
        let mut bars = bars(market, counts);
        for bar in &mut bars {
            // The first round goes by cost alone, the others ever less so.
            bar.0 += from_i64(i64::try_from(round).unwrap_or(0)) / 100.0 * chance.random::<f64>();
        }
        bars.sort_by(|a, b| a.0.total_cmp(&b.0));
        let Some(drums) = in_turn(market, &bars, &mut chance) else {
            continue;
        };
        let cost = bought(market, counts) + filled(market, &drums);
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, drums));
        }
        if cost <= enough {
            break;
        }
    }
    best
}

/// What the stock tubes cost, in cents.
fn bought(market: &Market<'_>, counts: &[u64]) -> f64 {
    let each = market.stocks.iter().zip(counts);
    each.map(|(stock, count)| stock.cents * from_u64(*count))
        .sum()
}

/// What drums cost without their tubes, in cents.
fn filled(market: &Market<'_>, drums: &[Loaded]) -> f64 {
    let costs = drums.iter().map(|drum| {
        let made = market
            .drums
            .get(drum.tube)
            .map_or(f64::INFINITY, |made| made.of(drum.face));
        let extra = drum
            .rolls
            .iter()
            .map(|(roll, winding)| market.extra(*roll, winding.along_width));
        made + extra.sum::<f64>()
    });
    costs.sum()
}

/// The stock tubes one by one: what a millimetre of face costs on each in cents, and which stock it is.
fn bars(market: &Market<'_>, counts: &[u64]) -> Vec<(f64, usize)> {
    let each = market.stocks.iter().zip(counts).enumerate();
    each.flat_map(|(index, (stock, count))| {
        let per_mm = market.drums.get(stock.tube).map_or(0.0, |drum| drum.per_mm);
        std::iter::repeat_n((per_mm, index), usize::try_from(*count).unwrap_or(0))
    })
    .collect()
}

/// Fills one stock tube after another; nothing where paintings are left over.
fn in_turn(
    market: &Market<'_>,
    bars: &[(f64, usize)],
    chance: &mut ChaCha8Rng,
) -> Option<Vec<Loaded>> {
    let classes = market.classes.iter().enumerate();
    let mut waiting: Vec<Waiting> = classes
        .flat_map(|(class, known)| {
            known
                .rolls
                .iter()
                .map(move |roll| Waiting { roll: *roll, class })
        })
        .collect();
    let mut drums = Vec::new();
    for (at, (_, stock)) in bars.iter().enumerate() {
        let mut room = market.stocks.get(*stock)?.length;
        while let Some(drum) = best_drum(market, *stock, &mut waiting, (room, chance)) {
            room -= drum.face.to_mm_up() + market.kerf;
            drums.push(drum);
            // A second drum from one stock tube costs more than it spares, unless nothing else takes what is left.
            if at + 1 < bars.len() && chance.random_range(0..4_u32) > 0 {
                break;
            }
        }
    }
    waiting.is_empty().then_some(drums)
}

/// The drum of one kin that leaves least room, and takes its paintings off those waiting.
fn best_drum(
    market: &Market<'_>,
    stock: usize,
    waiting: &mut Vec<Waiting>,
    (room, chance): (i64, &mut ChaCha8Rng),
) -> Option<Loaded> {
    let tube = market.stocks.get(stock)?.tube;
    shuffle(waiting, chance);
    let mut kins: Vec<_> = waiting
        .iter()
        .filter_map(|one| Some(market.classes.get(one.class)?.kin))
        .collect();
    kins.sort();
    kins.dedup();
    let mut best: Option<(i64, Vec<(usize, Lying)>)> = None;
    for kin in kins {
        let of_kin = |one: &&Waiting| {
            market
                .classes
                .get(one.class)
                .is_some_and(|class| class.kin == kin)
        };
        let able: Vec<(usize, Lying)> = waiting
            .iter()
            .filter(of_kin)
            .filter_map(|one| Some((one.roll, market.narrowest(one.class, tube)?.1)))
            .collect();
        let most = longest(market, tube, &able).min(room) - market.margin;
        let must = chance.random_range(0..3_u32) == 0;
        let (full, taken) = fullest(&able, most, must);
        if full > best.as_ref().map_or(0, |(full, _)| *full) {
            best = Some((full, taken));
        }
    }
    let (_, taken) = best?;
    let mut drum = Loaded::empty(tube, Length::whole_mm(market.margin));
    for (roll, lying) in taken {
        drum.put(roll, lying.winding, Length::whole_mm(lying.width));
        waiting.retain(|one| one.roll != roll);
    }
    Some(drum)
}

/// The longest face on which any of them may lie together, in whole mm; at least what the widest needs alone.
fn longest(market: &Market<'_>, tube: usize, able: &[(usize, Lying)]) -> i64 {
    let heaviest = able.iter().map(|(_, lying)| lying.load).fold(0.0, f64::max);
    let thickest = able.iter().map(|(_, lying)| lying.winding.outside).max();
    let thickest = thickest.unwrap_or_default();
    let holds = market.longest(tube, (heaviest, thickest));
    let alone = able
        .iter()
        .map(|(_, lying)| lying.width + market.margin)
        .max();
    holds.max(alone.unwrap_or(0))
}

/// No painting has reached a length.
const NONE: u32 = u32::MAX;

/// Those that fill most of a room, of which perhaps the widest must be one; how much they fill, and which they are.
fn fullest(able: &[(usize, Lying)], room: i64, with_widest: bool) -> (i64, Vec<(usize, Lying)>) {
    let Ok(size) = usize::try_from(room) else {
        return (0, Vec::new());
    };
    let fitting = |one: &&(usize, Lying)| (1..=room).contains(&one.1.width);
    let widest = able.iter().filter(fitting).max_by_key(|one| one.1.width);
    let first: Vec<(usize, Lying)> = widest
        .filter(|_| with_widest)
        .into_iter()
        .copied()
        .collect();
    let from: i64 = first.iter().map(|one| one.1.width).sum();
    // By length beyond the first: which painting first reached it; the start is reached by whichever comes after all.
    let mut reached = vec![NONE; size + 1 - whole(from).min(size)];
    let start = u32::try_from(able.len()).unwrap_or(NONE - 1);
    if let Some(slot) = reached.first_mut() {
        *slot = start;
    }
    for (index, one) in (0_u32..).zip(able) {
        if !fitting(&one) || first.iter().any(|taken| taken.0 == one.0) {
            continue;
        }
        let before = reached.clone();
        for (to, at) in reached.iter_mut().skip(whole(one.1.width)).zip(before) {
            if *to == NONE && at != NONE {
                *to = index;
            }
        }
    }
    let full = reached.iter().rposition(|by| *by != NONE).unwrap_or(0);
    let (mut at, mut taken) = (full, first);
    while let Some(by) = reached.get(at).filter(|by| **by < start) {
        let Some(one) = usize::try_from(*by).ok().and_then(|by| able.get(by)) else {
            break;
        };
        taken.push(*one);
        at = at.saturating_sub(whole(one.1.width));
    }
    (from + i64::try_from(full).unwrap_or(0), taken)
}

/// Whole millimetres as a place in a list.
fn whole(mm: i64) -> usize {
    usize::try_from(mm).unwrap_or(0)
}

/// Puts them in any order.
fn shuffle(waiting: &mut [Waiting], chance: &mut ChaCha8Rng) {
    for at in (1..waiting.len()).rev() {
        waiting.swap(at, chance.random_range(0..=at));
    }
}
