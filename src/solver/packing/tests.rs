//! Packings and bar plans against an independent checker, brute force and published examples.

use proptest::prelude::*;

use super::*;

const PLENTY: u64 = 20_000_000;

/// Every size in exactly one bin, no bin overfull, the bound not above the value.
fn check_packing(sizes: &[u64], capacity: u64, packing: &Packing) {
    let mut seen = vec![0; sizes.len()];
    for bin in &packing.bins {
        assert!(!bin.is_empty());
        assert!(bin.iter().map(|i| sizes[*i]).sum::<u64>() <= capacity);
        for i in bin {
            seen[*i] += 1;
        }
    }
    for i in &packing.unplaced {
        assert!(sizes[*i] > capacity);
        seen[*i] += 1;
    }
    assert!(seen.iter().all(|n| *n == 1));
    assert!(packing.lower_bound <= packing.bins.len() as u64);
}

/// Every piece exactly once, bars long enough with a saw cut between pieces, supply and cost kept.
fn check_bars(bars: &[Bar], pieces: &[(u64, u64)], kerf: u64, plan: &Bars) {
    let mut seen = vec![0_u64; pieces.len()];
    let mut taken = vec![0_u64; bars.len()];
    let mut cost = 0;
    for cut in &plan.cuts {
        let mut end = 0;
        for (k, piece) in cut.pieces.iter().enumerate() {
            end += pieces[*piece].0 + if k > 0 { kerf } else { 0 };
            seen[*piece] += cut.times;
        }
        assert!(!cut.pieces.is_empty() && cut.times > 0);
        assert!(end <= bars[cut.bar].length);
        assert_eq!(cut.left, bars[cut.bar].length.saturating_sub(end + kerf));
        taken[cut.bar] += cut.times;
        cost += cut.times * bars[cut.bar].cost;
    }
    for &(piece, count) in &plan.unplaced {
        seen[piece] += count;
    }
    for (piece, seen) in pieces.iter().zip(seen) {
        assert_eq!(piece.1, seen);
    }
    for (bar, taken) in bars.iter().zip(taken) {
        assert!(bar.supply.is_none_or(|supply| taken <= supply));
    }
    assert_eq!(cost, plan.cost);
    assert!(plan.lower_bound <= plan.cost);
}

/// The least number of bins, by trying every bin for every size.
fn least_bins(sizes: &[u64], capacity: u64) -> usize {
    fn place(sizes: &[u64], capacity: u64, bins: &mut Vec<u64>, best: &mut usize) {
        let Some((&size, rest)) = sizes.split_first() else {
            *best = bins.len().min(*best);
            return;
        };
        for b in 0..bins.len() {
            if bins[b] + size <= capacity {
                bins[b] += size;
                place(rest, capacity, bins, best);
                bins[b] -= size;
            }
        }
        if bins.len() + 1 < *best {
            bins.push(size);
            place(rest, capacity, bins, best);
            bins.pop();
        }
    }
    let mut best = sizes.len() + 1;
    place(sizes, capacity, &mut Vec::new(), &mut best);
    best
}

/// The least cost of bars, by trying every set of bars up to five with every piece on every bar.
fn least_cost(bars: &[Bar], pieces: &[u64], kerf: u64) -> Option<u64> {
    fn place(pieces: &[u64], rooms: &mut [u64], kerf: u64) -> bool {
        let Some((&piece, rest)) = pieces.split_first() else {
            return true;
        };
        (0..rooms.len()).any(|b| {
            if rooms[b] < piece + kerf {
                return false;
            }
            rooms[b] -= piece + kerf;
            let done = place(rest, rooms, kerf);
            rooms[b] += piece + kerf;
            done
        })
    }
    let most = |bar: &Bar| bar.supply.unwrap_or(5).min(5);
    let mut best = None;
    for a in 0..=most(&bars[0]) {
        for b in 0..=most(&bars[1]) {
            let cost = a * bars[0].cost + b * bars[1].cost;
            let mut rooms = vec![bars[0].length + kerf; usize::try_from(a).unwrap()];
            rooms.extend(vec![bars[1].length + kerf; usize::try_from(b).unwrap()]);
            if best.is_none_or(|least| cost < least) && place(pieces, &mut rooms, kerf) {
                best = Some(cost);
            }
        }
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn packs_tiny_lists_best(sizes in prop::collection::vec(0_u64..60, 1..9), capacity in 30_u64..70) {
        let packing = pack(&sizes, capacity, &mut Effort::steps(PLENTY));
        check_packing(&sizes, capacity, &packing);
        let fitting: Vec<u64> = sizes.iter().copied().filter(|size| *size <= capacity).collect();
        let least = if fitting.is_empty() { 0 } else { least_bins(&fitting, capacity) };
        prop_assert_eq!(packing.bins.len(), least);
    }

    #[test]
    fn packs_longer_lists_soundly(sizes in prop::collection::vec(1_u64..1_000, 1..80), steps in 0_u64..200_000) {
        let packing = pack(&sizes, 1_000, &mut Effort::steps(steps));
        check_packing(&sizes, 1_000, &packing);
        prop_assert_eq!(&packing, &pack(&sizes, 1_000, &mut Effort::steps(steps)));
    }

    #[test]
    fn cuts_tiny_jobs_best(
        pieces in prop::collection::vec(1_u64..50, 1..6),
        lengths in (40_u64..80, 20_u64..120),
        costs in (1_u64..9, 0_u64..9),
        supply in 0_u64..3,
        kerf in 0_u64..4,
    ) {
        let bars = [
            Bar { length: lengths.0.max(50), cost: costs.0, supply: None },
            Bar { length: lengths.1, cost: costs.1, supply: Some(supply) },
        ];
        let counted: Vec<(u64, u64)> = pieces.iter().map(|piece| (*piece, 1)).collect();
        let plan = cut_lengths(&bars, &counted, kerf, &mut Effort::steps(PLENTY));
        check_bars(&bars, &counted, kerf, &plan);
        prop_assert_eq!(Some(plan.cost), least_cost(&bars, &pieces, kerf));
    }

    #[test]
    fn cuts_from_limited_stock_soundly(
        pieces in prop::collection::vec((0_u64..90, 0_u64..20), 1..8),
        bars in prop::collection::vec((1_u64..100, 0_u64..9, prop::option::of(0_u64..9)), 0..4),
        kerf in 0_u64..4,
    ) {
        let bars: Vec<Bar> = bars.into_iter().map(|(length, cost, supply)| Bar { length, cost, supply }).collect();
        let plan = cut_lengths(&bars, &pieces, kerf, &mut Effort::steps(300_000));
        check_bars(&bars, &pieces, kerf, &plan);
    }
}

/// Source: Falkenauer 1996, "A hybrid grouping genetic algorithm for bin packing", set "triplets": instance `t60_02` of
/// the OR-Library file `binpack5` (sizes in tenths, capacity 100.0). Made of 20 full bins, so 20 is best.
#[test]
fn triplets_of_falkenauer_fill_twenty_bins() {
    let packing = pack(&TRIPLETS, 1_000, &mut Effort::steps(PLENTY));
    check_packing(&TRIPLETS, 1_000, &packing);
    assert_eq!((packing.bins.len(), packing.lower_bound), (20, 20));
}

#[rustfmt::skip]
const TRIPLETS: [u64; 60] = [
    498, 498, 494, 482, 482, 479, 476, 464, 459, 436, 430, 429, 401, 400, 398, 390, 378, 369,
    367, 362, 354, 352, 350, 350, 345, 339, 328, 326, 308, 305, 288, 288, 284, 281, 280, 279,
    277, 276, 271, 268, 267, 267, 267, 266, 263, 262, 261, 261, 260, 260, 259, 256, 254, 252,
    252, 251, 251, 250, 250, 250,
];

/// Source: the paper-mill example of the encyclopedia article "Cutting stock problem" (Wikipedia): master rolls of
/// 5,600 mm, thirteen widths, 73 rolls needed; figures from memory of the article.
#[test]
fn a_paper_mill_needs_seventy_three_rolls() {
    let widths = [
        (1_380, 22),
        (1_520, 25),
        (1_560, 12),
        (1_710, 14),
        (1_820, 18),
        (1_880, 18),
        (1_930, 20),
        (2_000, 10),
        (2_050, 12),
        (2_100, 14),
        (2_140, 16),
        (2_150, 18),
        (2_200, 20),
    ];
    let bars = [Bar {
        length: 5_600,
        cost: 1,
        supply: None,
    }];
    let plan = cut_lengths(&bars, &widths, 0, &mut Effort::steps(PLENTY));
    check_bars(&bars, &widths, 0, &plan);
    assert_eq!((plan.cost, plan.lower_bound), (73, 73));
}

#[test]
fn what_is_on_hand_goes_first() {
    let bars = [
        Bar {
            length: 3_000,
            cost: 7,
            supply: None,
        },
        Bar {
            length: 3_000,
            cost: 0,
            supply: Some(2),
        },
    ];
    let plan = cut_lengths(&bars, &[(1_400, 6)], 4, &mut Effort::steps(PLENTY));
    check_bars(&bars, &[(1_400, 6)], 4, &plan);
    assert_eq!((plan.cost, plan.lower_bound), (7, 7));
}

#[test]
fn the_saw_cut_can_cost_a_bar() {
    let bars = [Bar {
        length: 3_000,
        cost: 1,
        supply: None,
    }];
    assert_eq!(
        cut_lengths(&bars, &[(1_000, 3)], 0, &mut Effort::steps(PLENTY)).cost,
        1
    );
    assert_eq!(
        cut_lengths(&bars, &[(1_000, 3)], 3, &mut Effort::steps(PLENTY)).cost,
        2
    );
}

#[test]
fn hundred_thousand_pieces_in_few_lengths_take_no_more_steps_than_a_thousand() {
    let bars = [
        Bar {
            length: 6_000,
            cost: 3,
            supply: None,
        },
        Bar {
            length: 4_200,
            cost: 2,
            supply: None,
        },
    ];
    let steps = |count: u64| {
        let pieces = [
            (2_450, count),
            (1_730, 2 * count),
            (1_115, 3 * count),
            (680, 4 * count),
        ];
        let mut effort = Effort::steps(PLENTY);
        let plan = cut_lengths(&bars, &pieces, 3, &mut effort);
        check_bars(&bars, &pieces, 3, &plan);
        assert!(plan.cost * 100 <= plan.lower_bound * 101 + 300);
        effort.spent()
    };
    let (few, many) = (steps(100), steps(10_000));
    assert!(
        many <= 3 * few,
        "{few} steps for a thousand pieces, {many} for a hundred thousand"
    );
}

/// First fit must not look at every bin for every piece.
#[test]
fn greedy_steps_grow_with_the_number_of_sizes() {
    let steps = |count: u64| {
        let sizes: Vec<u64> = (0..count).map(|i| 1_000 + i * 7_919 % 60_000).collect();
        let mut effort = Effort::steps(1);
        check_packing(&sizes, 100_000, &pack(&sizes, 100_000, &mut effort));
        effort.spent()
    };
    let (some, more) = (steps(2_000), steps(8_000));
    assert!(
        more <= 6 * some,
        "{some} steps for 2,000 sizes, {more} for 8,000"
    );
}

#[test]
fn extreme_numbers_do_no_harm() {
    let packing = pack(&[u64::MAX, 1, 0], u64::MAX, &mut Effort::steps(1_000));
    assert_eq!(packing.bins.len(), 2);
    assert_eq!(pack(&[], 0, &mut Effort::steps(1)), Packing::default());
    let bars = [Bar {
        length: u64::MAX,
        cost: u64::MAX,
        supply: None,
    }];
    let plan = cut_lengths(
        &bars,
        &[(u64::MAX, 3), (1, 1)],
        1,
        &mut Effort::steps(1_000),
    );
    assert!(plan.cost == u64::MAX && plan.lower_bound <= plan.cost);
}
