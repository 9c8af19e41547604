//! Plans against an independent checker, brute force and published examples.

use proptest::prelude::*;

use super::*;

const PLENTY: u64 = 600_000;

type Box2 = (u64, u64, u64, u64); // x, y, width, length

fn stock(width: u64, length: u64, cost: u64) -> Stock {
    Stock {
        width,
        length,
        cost,
        supply: None,
        trim: 0,
        first_cut_across: false,
    }
}

fn piece(width: u64, length: u64, count: u64) -> Piece {
    Piece {
        width,
        length,
        may_turn: false,
        count,
    }
}

/// Everything a plan promises, checked without the planner's own code.
fn check(stocks: &[Stock], pieces: &[Piece], kerf: u64, plan: &Plan) {
    let mut seen = vec![0_u64; pieces.len()];
    let mut taken = vec![0_u64; stocks.len()];
    for unit in &plan.units {
        assert!(unit.times > 0 && !unit.placed.is_empty());
        taken[unit.stock] += unit.times;
        for placed in &unit.placed {
            seen[placed.piece] += unit.times;
        }
        check_unit(&stocks[unit.stock], pieces, kerf, unit);
    }
    for &(piece, count) in &plan.unplaced {
        seen[piece] += count;
    }
    for (piece, seen) in pieces.iter().zip(&seen) {
        assert_eq!(piece.count, *seen);
    }
    let mut cost = 0;
    for (stock, taken) in stocks.iter().zip(&taken) {
        assert!(stock.supply.is_none_or(|supply| *taken <= supply));
        cost += stock.cost * taken;
    }
    assert_eq!(cost, plan.cost);
    assert!(plan.lower_bound <= plan.cost);
}

fn check_unit(stock: &Stock, pieces: &[Piece], kerf: u64, unit: &Unit) {
    let mut boxes: Vec<Box2> = Vec::new();
    for placed in &unit.placed {
        let piece = &pieces[placed.piece];
        assert!(!placed.turned || piece.may_turn);
        let given = if placed.turned {
            (piece.length, piece.width)
        } else {
            (piece.width, piece.length)
        };
        assert_eq!(given, (placed.width, placed.length));
        assert!(placed.x >= stock.trim && placed.x + placed.width + stock.trim <= stock.width);
        assert!(placed.y >= stock.trim && placed.y + placed.length + stock.trim <= stock.length);
        boxes.push((placed.x, placed.y, placed.width, placed.length));
    }
    for (i, a) in boxes.iter().enumerate() {
        for b in &boxes[..i] {
            let beside = a.0 + a.2 + kerf <= b.0 || b.0 + b.2 + kerf <= a.0;
            let behind = a.1 + a.3 + kerf <= b.1 || b.1 + b.3 + kerf <= a.1;
            assert!(
                beside || behind,
                "{a:?} and {b:?} are closer than the saw cut"
            );
        }
    }
    if stock.first_cut_across {
        assert!(
            split(&boxes, kerf, true)
                .iter()
                .all(|strip| is_guillotine(strip, kerf))
        );
    } else {
        assert!(is_guillotine(&boxes, kerf));
    }
    let parts = saw(stock, kerf, &unit.cuts);
    for rect in boxes
        .iter()
        .copied()
        .chain(unit.offcuts.iter().map(|o| (o.x, o.y, o.width, o.length)))
    {
        assert_eq!(
            parts.iter().filter(|part| **part == rect).count(),
            1,
            "{rect:?} is not cut free once"
        );
    }
    for pair in unit.offcuts.windows(2) {
        assert!(pair[0].width * pair[0].length >= pair[1].width * pair[1].length);
    }
}

/// Groups of boxes that straight cuts in one direction part, as many as there are.
fn split(boxes: &[Box2], kerf: u64, across: bool) -> Vec<Vec<Box2>> {
    let span = |b: &Box2| {
        if across {
            (b.1, b.1 + b.3)
        } else {
            (b.0, b.0 + b.2)
        }
    };
    let mut sorted = boxes.to_vec();
    sorted.sort_by_key(span);
    let mut groups: Vec<Vec<Box2>> = Vec::new();
    let mut end = 0;
    for b in sorted {
        let (from, to) = span(&b);
        match groups.last_mut() {
            Some(group) if from < end + kerf || (kerf == 0 && from < end) => group.push(b),
            _ => groups.push(vec![b]),
        }
        end = end.max(to);
    }
    groups
}

fn is_guillotine(boxes: &[Box2], kerf: u64) -> bool {
    if boxes.len() < 2 {
        return true;
    }
    [true, false].into_iter().any(|across| {
        let groups = split(boxes, kerf, across);
        groups.len() > 1 && groups.iter().all(|group| is_guillotine(group, kerf))
    })
}

/// Makes the cuts one after another; each must run from edge to edge of one part.
fn saw(stock: &Stock, kerf: u64, cuts: &[Cut]) -> Vec<Box2> {
    let mut parts: Vec<Box2> = vec![(0, 0, stock.width, stock.length)];
    for (n, cut) in cuts.iter().enumerate() {
        let hit = parts.iter().position(|&(x, y, w, l)| {
            let (from, to, low, high) = if cut.across {
                (x, x + w, y, y + l)
            } else {
                (y, y + l, x, x + w)
            };
            cut.from == from && cut.to == to && cut.at >= low && cut.at < high
        });
        let (x, y, w, l) = parts.swap_remove(
            hit.unwrap_or_else(|| panic!("cut {n} {cut:?} hits no part of {parts:?}")),
        );
        let (low, high) = if cut.across { (y, y + l) } else { (x, x + w) };
        let whole = l == stock.length
            && cuts
                .iter()
                .any(|c| c.across && (c.from, c.to) == (0, stock.width));
        assert!(
            !stock.first_cut_across || cut.across || !whole,
            "a roll is cut across first"
        );
        let next = cut.at + kerf;
        for (from, to) in [(low, cut.at), (next, high)] {
            if from < to {
                parts.push(if cut.across {
                    (x, from, w, to - from)
                } else {
                    (from, y, to - from, l)
                });
            }
        }
    }
    parts
}

/// The least number of sheets for a few pieces: the smallest boxes of every set, then the best partition.
fn least_sheets(sheet: (u64, u64), pieces: &[Piece], kerf: u64) -> u64 {
    let all: Vec<&Piece> = pieces
        .iter()
        .flat_map(|p| (0..p.count).map(move |_| p))
        .collect();
    let sets = 1_usize << all.len();
    let mut boxes: Vec<Vec<(u64, u64)>> = vec![Vec::new(); sets];
    for set in 1..sets {
        if set.is_power_of_two() {
            let piece = all[set.ilog2() as usize];
            boxes[set].push((piece.width, piece.length));
            if piece.may_turn {
                boxes[set].push((piece.length, piece.width));
            }
        }
        let mut part = (set - 1) & set;
        while part > 0 {
            let mut joined = Vec::new();
            for a in &boxes[part] {
                for b in &boxes[set & !part] {
                    joined.push((a.0 + kerf + b.0, a.1.max(b.1)));
                    joined.push((a.0.max(b.0), a.1 + kerf + b.1));
                }
            }
            boxes[set].extend(joined);
            part = (part - 1) & set;
        }
        boxes[set].retain(|size| size.0 <= sheet.0 && size.1 <= sheet.1);
        boxes[set].sort_unstable();
        boxes[set].dedup();
    }
    let mut least = vec![0_u64; sets];
    for set in 1..sets {
        let mut best = u64::MAX;
        let mut part = set;
        while part > 0 {
            if !boxes[part].is_empty() {
                best = best.min(1 + least[set & !part]);
            }
            part = (part - 1) & set;
        }
        least[set] = best;
    }
    least[sets - 1]
}

fn any_piece(most: u64, count: u64) -> impl Strategy<Value = Piece> {
    (1..most, 1..most, any::<bool>(), 1..=count).prop_map(|(width, length, may_turn, count)| {
        Piece {
            width,
            length,
            may_turn,
            count,
        }
    })
}

fn any_stock() -> impl Strategy<Value = Stock> {
    let numbers = (
        10_u64..60,
        10_u64..90,
        0_u64..9,
        prop::option::of(0_u64..4),
        0_u64..4,
    );
    (numbers, any::<bool>()).prop_map(|((width, length, cost, supply, trim), first_cut_across)| {
        Stock {
            width,
            length,
            cost,
            supply,
            trim,
            first_cut_across,
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn tiny_jobs_take_the_fewest_sheets(
        pieces in prop::collection::vec(any_piece(30, 1), 1..6),
        sheet in (30_u64..50, 30_u64..50),
        kerf in 0_u64..3,
    ) {
        let stocks = [stock(sheet.0, sheet.1, 1)];
        let plan = cut(&stocks, &pieces, kerf, &mut Effort::steps(PLENTY));
        check(&stocks, &pieces, kerf, &plan);
        prop_assert_eq!(plan.cost, least_sheets(sheet, &pieces, kerf));
    }

    #[test]
    fn plans_are_sound_and_repeatable(
        stocks in prop::collection::vec(any_stock(), 0..4),
        pieces in prop::collection::vec(any_piece(60, 9), 0..9),
        kerf in 0_u64..4,
        steps in 0_u64..100_000,
    ) {
        let plan = cut(&stocks, &pieces, kerf, &mut Effort::steps(steps));
        check(&stocks, &pieces, kerf, &plan);
        prop_assert_eq!(&plan, &cut(&stocks, &pieces, kerf, &mut Effort::steps(steps)));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(30))]

    #[test]
    fn large_plans_are_sound(
        stocks in prop::collection::vec(any_stock(), 1..4),
        pieces in prop::collection::vec(any_piece(40, 200), 3..30),
        kerf in 0_u64..4,
    ) {
        let plan = cut(&stocks, &pieces, kerf, &mut Effort::steps(200_000));
        check(&stocks, &pieces, kerf, &plan);
        let mut endless = stocks.clone();
        endless[0] = Stock { supply: None, ..stock(70, 90, 3) };
        let plan = cut(&endless, &pieces, kerf, &mut Effort::steps(200_000));
        check(&endless, &pieces, kerf, &plan);
        prop_assert!(plan.unplaced.is_empty());
    }
}

/// Source: Berkey and Wang 1987, "Two-dimensional finite bin-packing algorithms", class 5 (sheets of 100 by 100), first
/// instance with 20 items; 8 sheets is proved best even for cuts that need not run from edge to edge (University of
/// Bologna, operations research group, "Best known solution and lower bound for each instance", 2BP|O|F).
#[test]
fn berkey_and_wang_class_five_first_of_twenty_takes_eight_sheets() {
    let pieces: Vec<Piece> = CLASS_5
        .iter()
        .map(|&(width, length)| piece(width, length, 1))
        .collect();
    let stocks = [stock(100, 100, 1)];
    let plan = cut(&stocks, &pieces, 0, &mut Effort::steps(PLENTY));
    check(&stocks, &pieces, 0, &plan);
    assert_eq!(plan.cost, 8);
}

#[rustfmt::skip]
const CLASS_5: [(u64, u64); 20] = [
    (50, 85), (35, 14), (94, 54), (47, 62), (52, 25), (96, 67), (1, 43), (24, 42), (53, 86),
    (11, 31), (52, 65), (66, 11), (76, 25), (36, 94), (36, 42), (97, 24), (76, 29), (61, 79),
    (74, 29), (71, 69),
];

#[test]
fn whole_sheets_leave_at_once() {
    let stocks = [stock(610, 910, 2)];
    let pieces = [piece(610, 910, 1_000_000), piece(305, 910, 3)];
    let mut effort = Effort::steps(100_000);
    let plan = cut(&stocks, &pieces, 0, &mut effort);
    check(&stocks, &pieces, 0, &plan);
    assert_eq!((plan.cost, plan.lower_bound), (2_000_004, 2_000_004));
    assert!(plan.units.len() <= 3 && effort.spent() < 200_000);
}

#[test]
fn a_roll_is_cut_across_first() {
    let stocks = [Stock {
        first_cut_across: true,
        ..stock(1_000, 50_000, 60)
    }];
    let pieces = [
        piece(600, 900, 40),
        piece(390, 900, 40),
        piece(1_000, 300, 10),
    ];
    let plan = cut(&stocks, &pieces, 5, &mut Effort::steps(PLENTY));
    check(&stocks, &pieces, 5, &plan);
    assert_eq!((plan.cost, plan.lower_bound), (60, 60));
    // 40 strips of 900 and 10 of 300 with a saw cut behind each: 39,250 of the roll, the rest in one part.
    assert_eq!(
        plan.units[0].offcuts[0],
        Rect {
            x: 0,
            y: 39_250,
            width: 1_000,
            length: 10_750
        }
    );
}

#[test]
fn grain_can_cost_a_sheet() {
    let stocks = [stock(100, 200, 1)];
    let with_grain = [piece(200, 50, 1), piece(100, 150, 1)];
    assert_eq!(
        cut(&stocks, &with_grain, 0, &mut Effort::steps(PLENTY)).unplaced,
        [(0, 1)]
    );
    let free = with_grain.map(|piece| Piece {
        may_turn: true,
        ..piece
    });
    let plan = cut(&stocks, &free, 0, &mut Effort::steps(PLENTY));
    check(&stocks, &free, 0, &plan);
    assert_eq!(plan.cost, 2);
}

#[test]
fn offcuts_on_hand_go_first() {
    let on_hand = Stock {
        supply: Some(1),
        ..stock(400, 300, 0)
    };
    let stocks = [stock(1_000, 1_000, 20), on_hand];
    let pieces = [piece(390, 290, 1), piece(500, 500, 4)];
    let plan = cut(&stocks, &pieces, 0, &mut Effort::steps(PLENTY));
    check(&stocks, &pieces, 0, &plan);
    assert_eq!((plan.cost, plan.lower_bound), (20, 20));
}

#[test]
fn the_biggest_leftover_is_kept_whole() {
    let stocks = [stock(100, 100, 1)];
    let pieces = [piece(50, 30, 4)];
    let plan = cut(&stocks, &pieces, 0, &mut Effort::steps(PLENTY));
    check(&stocks, &pieces, 0, &plan);
    let biggest = plan.units[0].offcuts[0];
    assert_eq!(biggest.width * biggest.length, 4_000);
}

/// Steps, not seconds: four times the pieces may take little more than four times the steps.
#[test]
fn steps_grow_with_the_pieces() {
    for across in [false, true] {
        let steps = |count: u64| {
            let stocks = [Stock {
                first_cut_across: across,
                ..stock(6_100, 9_100, 3)
            }];
            let pieces: Vec<Piece> = (0..count)
                .map(|i| {
                    piece(
                        500 + i * 7_919 % 5_600,
                        500 + i * 104_729 % 8_600,
                        1 + i % 3,
                    )
                })
                .collect();
            let mut effort = Effort::steps(1);
            let plan = cut(&stocks, &pieces, 10, &mut effort);
            check(&stocks, &pieces, 10, &plan);
            assert!(plan.unplaced.is_empty());
            effort.spent()
        };
        let (some, more) = (steps(1_000), steps(4_000));
        assert!(
            more <= 6 * some,
            "{some} steps for 1,000 pieces, {more} for 4,000"
        );
    }
}

#[test]
fn extreme_numbers_do_no_harm() {
    let stocks = [
        Stock {
            trim: u64::MAX,
            ..stock(u64::MAX, u64::MAX, u64::MAX)
        },
        stock(u64::MAX, u64::MAX, u64::MAX),
        stock(0, 0, 0),
    ];
    let pieces = [
        piece(u64::MAX, 1, 1),
        piece(0, 5, 2),
        piece(1_000_000, 1_000_000, 2),
        piece(1, 1, u64::MAX / 4),
    ];
    let plan = cut(&stocks, &pieces[..3], 7, &mut Effort::steps(1_000));
    assert_eq!(plan.unplaced, [(0, 1), (1, 2)]);
    assert_eq!(
        cut(&[], &pieces, u64::MAX, &mut Effort::steps(1_000))
            .unplaced
            .len(),
        4
    );
    assert_eq!(
        cut(&stocks, &[], 0, &mut Effort::steps(1_000)),
        Plan::default()
    );
}
