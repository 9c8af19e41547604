//! Stock tubes filled whole with paintings, a drum each: where paintings are small beside their drums, hardly anything is left over.

use std::collections::BTreeMap;

use rust_decimal::prelude::FromPrimitive;
use rust_decimal::prelude::ToPrimitive;

use crate::solver::packing::Bar;
use crate::solver::packing::Effort;
use crate::solver::packing::cut_lengths;
use crate::units::Length;

use super::assign::Loaded;
use super::assign::Shop;
use super::market::Market;
use super::serve;
use super::serve::Winding;

/// Search steps for the paintings of one tube.
const STEPS: u64 = 2_000_000;

/// Puts rolls on drums as long as their stock tubes allow: roll, tube, winding.
pub(super) fn fill(
    shop: &Shop<'_>,
    market: &Market<'_>,
    lying: Vec<(usize, usize, Winding)>,
) -> Vec<Loaded> {
    let mut drums = Vec::new();
    shop.each_group(lying, |group| fill_group(shop, market, group, &mut drums));
    drums
}

/// One kin on one tube: paintings are cut from stock tubes like lengths.
fn fill_group(
    shop: &Shop<'_>,
    market: &Market<'_>,
    group: &[(usize, usize, Winding)],
    drums: &mut Vec<Loaded>,
) {
    let Some((_, tube, _)) = group.first() else {
        return;
    };
    let (tube, margin) = (*tube, market.margin);
    let longest = longest(shop, tube, group);
    let mut waiting: BTreeMap<u64, Vec<&(usize, usize, Winding)>> = BTreeMap::new();
    for lying in group {
        let width = shop.dressing.width(lying.2.across);
        waiting.entry(whole(width)).or_default().push(lying);
    }
    let widths: Vec<u64> = waiting.keys().copied().collect();
    let pieces: Vec<(u64, u64)> = waiting
        .iter()
        .map(|(width, lying)| (*width, u64::try_from(lying.len()).unwrap_or(u64::MAX)))
        .collect();
    let plan = cut_lengths(
        &bars(market, tube, longest - margin),
        &pieces,
        0,
        &mut Effort::steps(STEPS),
    );
    for cut in &plan.cuts {
        for _ in 0..cut.times {
            let mut drum = Loaded::empty(tube, Length::whole_mm(margin));
            for piece in &cut.pieces {
                let width = widths.get(*piece).copied().unwrap_or(0);
                if let Some((roll, _, winding)) = waiting.get_mut(&width).and_then(Vec::pop) {
                    let more = shop.dressing.width(winding.across);
                    drum.put(*roll, *winding, Length::whole_mm(more));
                }
            }
            drums.push(drum);
        }
    }
    // What is wider than a face that all of them could share lies by itself.
    let left: Vec<(usize, usize, Winding)> = waiting.into_values().flatten().copied().collect();
    shop.load_group(&left, drums);
}

/// The stock tubes of a tube, cut off where a face may be no longer, each with what a drum costs besides.
fn bars(market: &Market<'_>, tube: usize, room: i64) -> Vec<Bar> {
    let each = market.opened(tube);
    let stocks = market.stocks.iter().filter(|stock| stock.tube == tube);
    stocks
        .map(|stock| Bar {
            length: whole((stock.length - market.margin).min(room)),
            cost: rust_decimal::Decimal::from_f64(stock.cents + each)
                .and_then(|cents| cents.round().to_u64())
                .unwrap_or(1),
            supply: stock.supply,
        })
        .collect()
}

/// The longest face on which any of a group may lie together, in whole mm.
fn longest(shop: &Shop<'_>, tube: usize, group: &[(usize, usize, Winding)]) -> i64 {
    let heaviest = group
        .iter()
        .map(|(_, _, winding)| serve::line_load(winding))
        .fold(0.0, f64::max);
    let shared = shop.longest_shared(tube, group).unwrap_or_default();
    let bears = |face: i64| {
        shop.tubes.get(tube).is_some_and(|tube| {
            serve::bear(tube, Length::whole_mm(face), heaviest, shop.dressing).is_ok()
        })
    };
    let (mut holds, mut fails) = (0, shared.to_mm_up() + 1);
    while fails - holds > 1 {
        let middle = i64::midpoint(holds, fails);
        if bears(middle) {
            holds = middle;
        } else {
            fails = middle;
        }
    }
    holds
}

/// Whole millimetres; nothing below nothing.
fn whole(mm: i64) -> u64 {
    u64::try_from(mm).unwrap_or(0)
}
