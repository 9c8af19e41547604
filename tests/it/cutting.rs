//! Cut plans of whole jobs: sizes, shelf, offcuts, kerf and grain, judged by sawing each unit up again.

use std::collections::BTreeMap;

use facelay::catalog::Grain;
use facelay::catalog::Material;
use facelay::catalog::MaterialKind;
use facelay::catalog::Offer;
use facelay::catalog::PriceBreak;
use facelay::job::Job;
use facelay::job::Offcut;
use facelay::job::PanelRow;
use facelay::takeoff::CutFrom;
use facelay::takeoff::CutTotal;
use facelay::takeoff::CutUnit;
use facelay::takeoff::Takeoff;
use facelay::units::Length;
use facelay::units::Money;
use facelay::units::Quantity;
use facelay::units::Unit;
use proptest::prelude::*;
use rust_decimal::Decimal;

use crate::builder::job;
use crate::builder::layer;
use crate::builder::mm;
use crate::builder::panel;
use crate::builder::sheeting;
use crate::takeoff::taken;

/// A job whose panels are small enough for a sheet each, so that the pieces are known.
fn one_piece_each(pieces: &[(f64, f64)], materials: Vec<Material>) -> Job {
    let rows = pieces
        .iter()
        .enumerate()
        .map(|(number, &(width, height))| panel(&format!("P{number}"), width, height));
    job(rows.collect(), vec![layer("t", "tissue", 0.0)], materials)
}

fn tissue() -> Material {
    sheeting("tissue", MaterialKind::Sheet, 600.0, 900.0)
}

fn size_of_tissue(id: &str, width: f64, length: f64) -> Material {
    Material {
        same_as: Some("tissue".to_owned()),
        ..sheeting(id, MaterialKind::Sheet, width, length)
    }
}

fn offer(material: &str, cents: i64) -> Offer {
    Offer {
        material: material.to_owned(),
        supplier: "mill".to_owned(),
        pack: Decimal::ONE,
        prices: vec![PriceBreak {
            from_packs: 1,
            price: Money::new(Decimal::new(cents, 2)),
        }],
        breaks: facelay::catalog::Breaks::All,
        least_packs: 1,
        lead: facelay::catalog::LeadDays::Working,
        delivery: facelay::catalog::Delivery::Standard,
        valid_from: None,
        tax: None,
        lead_days: 3,
        valid_until: None,
    }
}

fn offcut(width: f64, length: f64, count: u64) -> Offcut {
    Offcut {
        material: "tissue".to_owned(),
        width: mm(width),
        length: mm(length),
        count,
    }
}

fn on_shelf(job: &mut Job, material: &str, count: u32) {
    let quantity = Quantity::new(Decimal::from(count), Unit::Sheet);
    job.stock.insert(material.to_owned(), quantity);
}

/// Cuts a job and judges its plan.
fn cut(job: &Job) -> Takeoff {
    let (takeoff, _, _) = taken(job);
    for unit in &takeoff.cuts {
        saw_up(job, unit);
    }
    from_what_there_is(job, &takeoff);
    takeoff
}

fn totals(takeoff: &Takeoff) -> (u64, u64, u64, u64) {
    let CutTotal {
        offcuts,
        shelf,
        bought,
        least_bought,
        ..
    } = takeoff.cut_totals[0];
    assert!(least_bought <= bought);
    (offcuts, shelf, bought, least_bought)
}

type Part = [i64; 4]; // left, start, right, end

/// Saws a unit up by its cuts in order: each runs across one part from edge to edge, and pieces and offcuts come free.
fn saw_up(job: &Job, unit: &CutUnit) {
    let kerf = job.catalog.materials[&unit.material].kerf.to_steps();
    let mut parts: Vec<Part> = vec![[0, 0, unit.width.to_steps(), unit.length.to_steps()]];
    for line in unit.lines.iter() {
        let (side, end) = if line.across { (0, 1) } else { (1, 0) };
        let at = line.at.to_steps();
        let hit: Vec<usize> = (0..parts.len())
            .filter(|&i| {
                let part = parts[i];
                part[side] == line.from.to_steps()
                    && part[side + 2] == line.to.to_steps()
                    && (part[end]..part[end + 2]).contains(&at)
            })
            .collect();
        assert_eq!(hit.len(), 1, "{line:?} runs across {parts:?}");
        let part = parts.swap_remove(hit[0]);
        let (mut first, mut second) = (part, part);
        first[end + 2] = at;
        second[end] = at + kerf;
        parts.extend(
            [first, second]
                .into_iter()
                .filter(|part| part[end] < part[end + 2]),
        );
    }
    let sizes = unit
        .pieces
        .iter()
        .map(|piece| [piece.x, piece.y, piece.width, piece.height]);
    let kept = unit
        .offcuts
        .iter()
        .map(|rect| [rect.x, rect.y, rect.width, rect.height]);
    for rect in sizes.chain(kept) {
        let [x, y, width, height] = rect.map(Length::to_steps);
        let free = parts
            .iter()
            .position(|part| *part == [x, y, x + width, y + height]);
        let free = free.unwrap_or_else(|| panic!("{rect:?} is not cut free: {parts:?}"));
        parts.swap_remove(free);
    }
    for [left, start, right, end] in parts {
        let short = Length::steps((right - left).min(end - start));
        assert!(
            short < job.useful_offcut,
            "an offcut {short:?} wide is not listed"
        );
    }
}

/// No more is taken off the shelf than lies there, nothing is bought before it is used up, and the offcuts add up.
fn from_what_there_is(job: &Job, takeoff: &Takeoff) {
    let mut parts: BTreeMap<(&str, Length, Length), i64> = BTreeMap::new();
    let mut add = |material, width, length, count| {
        *parts.entry((material, width, length)).or_default() += count;
    };
    for part in &job.offcuts {
        add(
            part.material.as_str(),
            part.width,
            part.length,
            i64::try_from(part.count).unwrap(),
        );
    }
    let mut used: BTreeMap<(&str, CutFrom), u64> = BTreeMap::new();
    for unit in &takeoff.cuts {
        *used.entry((&unit.material, unit.from)).or_default() += 1;
        if unit.from == CutFrom::Offcut {
            add(&unit.material, unit.width, unit.length, -1);
        }
        for rect in unit.offcuts.iter() {
            add(&unit.material, rect.width, rect.height, 1);
        }
    }
    for left in &takeoff.offcuts {
        add(
            &left.material,
            left.width,
            left.length,
            -i64::try_from(left.count).unwrap(),
        );
    }
    assert!(parts.values().all(|count| *count == 0), "{parts:?}");
    for id in takeoff.cuts.iter().map(|unit| unit.material.as_str()) {
        let shelf = job
            .stock
            .get(id)
            .map_or(0, |stock| u64::try_from(stock.amount).unwrap());
        let from = |from| used.get(&(id, from)).copied().unwrap_or(0);
        assert!(from(CutFrom::Shelf) <= shelf);
        assert!(
            from(CutFrom::Bought) == 0 || from(CutFrom::Shelf) == shelf,
            "{id} is bought while some lies there"
        );
    }
}

#[test]
fn the_dearer_size_is_bought_where_it_is_the_cheaper_way() {
    // Two pieces of 550 × 850: a sheet each, or both from the larger one.
    let pieces = [(550.0, 850.0), (550.0, 850.0)];
    for (large, bought) in [
        (250, vec!["tissue-large"]),
        (390, vec!["tissue-large"]),
        (410, vec!["tissue", "tissue"]),
    ] {
        let mut job = one_piece_each(
            &pieces,
            vec![tissue(), size_of_tissue("tissue-large", 1200.0, 900.0)],
        );
        job.catalog.offers = vec![offer("tissue", 200), offer("tissue-large", large)];
        let takeoff = cut(&job);
        let cut: Vec<&str> = takeoff
            .cuts
            .iter()
            .map(|unit| unit.material.as_str())
            .collect();
        assert_eq!(cut, bought, "at {large} cents");
        let (cost, least) = takeoff.cut_totals[0].cost.unwrap();
        assert_eq!(cost.amount(), Decimal::new(large.min(400), 2));
        assert!(least <= cost);
    }
}

#[test]
fn sizes_without_prices_compete_by_area() {
    let mut job = one_piece_each(
        &[(500.0, 400.0)],
        vec![tissue(), size_of_tissue("tissue-small", 500.0, 500.0)],
    );
    assert_eq!(cut(&job).cuts[0].material, "tissue-small");
    // With a price for one of them, the one that nobody sells is taken off the shelf only.
    job.catalog.offers = vec![offer("tissue", 200)];
    assert_eq!(cut(&job).cuts[0].material, "tissue");
    on_shelf(&mut job, "tissue-small", 1);
    let takeoff = cut(&job);
    assert_eq!(
        (takeoff.cuts[0].material.as_str(), takeoff.cuts[0].from),
        ("tissue-small", CutFrom::Shelf)
    );
}

#[test]
fn offcuts_come_before_the_shelf_and_the_shelf_before_the_shop() {
    let mut job = one_piece_each(
        &[(300.0, 400.0), (550.0, 850.0), (560.0, 850.0)],
        vec![tissue()],
    );
    assert_eq!(totals(&cut(&job)), (0, 0, 3, 3));
    on_shelf(&mut job, "tissue", 1);
    assert_eq!(totals(&cut(&job)), (0, 1, 2, 2));
    job.offcuts = vec![offcut(400.0, 310.0, 2), offcut(100.0, 100.0, 5)];
    let takeoff = cut(&job);
    assert_eq!(totals(&takeoff), (1, 1, 1, 1));
    assert_eq!(takeoff.cuts[0].from, CutFrom::Offcut);
    // The other equal one and the small ones lie there still.
    assert!(
        takeoff.offcuts.contains(&offcut(400.0, 310.0, 1))
            && takeoff.offcuts.contains(&offcut(100.0, 100.0, 5))
    );
    on_shelf(&mut job, "tissue", 7);
    assert_eq!(totals(&cut(&job)), (1, 2, 0, 0));
}

#[test]
fn grain_and_kerf_are_kept() {
    let pair = [(300.0, 900.0), (300.0, 900.0)];
    assert_eq!(totals(&cut(&one_piece_each(&pair, vec![tissue()]))).2, 1);
    let torn = Material {
        kerf: mm(4.0),
        ..tissue()
    };
    assert_eq!(totals(&cut(&one_piece_each(&pair, vec![torn]))).2, 2);
    let mut job = one_piece_each(
        &[(290.0, 900.0)],
        vec![Material {
            grain: Grain::Length,
            ..tissue()
        }],
    );
    // Long enough, but with the fibres across.
    job.offcuts = vec![offcut(900.0, 300.0, 1)];
    assert_eq!(totals(&cut(&job)), (0, 0, 1, 1));
    job.offcuts = vec![offcut(300.0, 900.0, 1)];
    assert_eq!(totals(&cut(&job)), (1, 0, 0, 0));
}

#[test]
fn a_roll_end_serves_before_a_new_roll() {
    let roll = sheeting("tissue", MaterialKind::Roll, 1000.0, 50_000.0);
    let mut job = one_piece_each(&[(1000.0, 2000.0), (400.0, 2000.0)], vec![roll]);
    let takeoff = cut(&job);
    assert_eq!(totals(&takeoff), (0, 0, 1, 1));
    let end = takeoff
        .offcuts
        .iter()
        .find(|end| end.width == mm(1000.0))
        .unwrap();
    assert!(end.length >= mm(46_000.0), "{end:?}");
    job.offcuts = vec![offcut(1000.0, 4100.0, 1)];
    assert_eq!(totals(&cut(&job)), (1, 0, 0, 0));
}

#[test]
fn ten_thousand_equal_pieces_are_cut_soon() {
    let row = PanelRow {
        count: 10_000,
        ..panel("P", 290.0, 440.0)
    };
    let job = job(vec![row], vec![layer("t", "tissue", 0.0)], vec![tissue()]);
    let start = std::time::Instant::now();
    let takeoff = cut(&job);
    let (_, _, bought, least) = totals(&takeoff);
    // Four to a sheet; the bound sees that pieces may be turned.
    assert!(bought == 2_500 && least >= 2_400, "{bought} and {least}");
    assert!(start.elapsed().as_secs() < 20, "{:?}", start.elapsed());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, max_shrink_iters: 60, ..ProptestConfig::default() })]

    /// Sizes, shelf, offcuts, kerf and grain of every kind: nothing is lost, every cut can be made, and what lies on the
    /// shelf never makes anybody buy more.
    #[test]
    fn stock_on_the_shelf_never_adds_to_what_is_bought(
        pieces in prop::collection::vec((120.0..600.0_f64, 120.0..900.0_f64), 1..14),
        parts in prop::collection::vec((60.0..600.0_f64, 60.0..900.0_f64, 1..3_u64), 0..5),
        (shelf, large, kerf, has_grain) in (0..4_u32, prop::option::of((600.0..1300.0_f64, 900.0..1500.0_f64, 100..600_i64)), 0..6_u8, any::<bool>()),
    ) {
        let grain = if has_grain { Grain::Length } else { Grain::None };
        let mut sheets = vec![Material { grain, kerf: mm(f64::from(kerf)), ..tissue() }];
        let mut offers = vec![offer("tissue", 200)];
        if let Some((width, length, cents)) = large {
            sheets.push(Material { grain, kerf: mm(f64::from(kerf)), ..size_of_tissue("tissue-large", width, length) });
            offers.push(offer("tissue-large", cents));
        }
        let mut job = one_piece_each(&pieces, sheets);
        job.catalog.offers = offers;
        let cost = |takeoff: &Takeoff| {
            let total = &takeoff.cut_totals[0];
            total.cost.map_or(Decimal::from(total.bought), |(cost, least)| {
                assert!(least <= cost);
                cost.amount()
            })
        };
        let bare = cost(&cut(&job));
        on_shelf(&mut job, "tissue", shelf);
        let with_shelf = cost(&cut(&job));
        prop_assert!(with_shelf <= bare);
        job.offcuts = parts.iter().map(|&(width, length, count)| offcut(width, length, count)).collect();
        prop_assert!(cost(&cut(&job)) <= with_shelf);
    }
}
