//! Crating, from small jobs made by hand: crates hold their drums, cut plans lose and overlap nothing, ways out are tried.

use std::collections::BTreeSet;

use facelay::catalog::Adhesive;
use facelay::catalog::Catalog;
use facelay::catalog::Give;
use facelay::catalog::Per;
use facelay::catalog::Use;
use facelay::crating::Content;
use facelay::crating::Contents;
use facelay::crating::Crate;
use facelay::crating::Crating;
use facelay::crating::pack;
use facelay::diag::Ledger;
use facelay::diag::Problems;
use facelay::job::Job;
use facelay::job::Offcut;
use facelay::job::PanelRow;
use facelay::job::WayOutKind;
use facelay::rolling::Rolling;
use facelay::survey::Survey;
use facelay::takeoff::CutFrom;
use facelay::takeoff::CutUnit;
use facelay::units::Length;
use facelay::units::Mass;
use proptest::prelude::*;

use crate::rolling::job;
use crate::rolling::rolled;
use crate::rolling::row;
use crate::rolling::site;
use crate::rolling::way;

fn mm(mm: f64) -> Length {
    Length::mm(mm)
}

fn packed(job: &Job) -> (Survey, Rolling, Crating, Ledger, Problems) {
    let (survey, rolling, mut ledger, mut problems) = rolled(job);
    let crating = pack(job, &survey, &rolling, &mut ledger, &mut problems);
    (survey, rolling, crating, ledger, problems)
}

/// Every promise of the crates, checked from the outcome alone.
fn check(job: &Job, survey: &Survey, rolling: &Rolling, crating: &Crating) {
    let mut packed = Vec::new();
    for made in &crating.crates {
        packed.extend(contents(made));
        check_room(job, survey, rolling, made);
        let bare = |content: &Content| crating.bare.iter().find(|bare| bare.content == *content);
        let inner: f64 = contents(made)
            .iter()
            .map(|content| bare(content).unwrap().mass.to_kg())
            .sum();
        assert!((made.gross.to_kg() - made.tare.to_kg() - inner).abs() < 1e-9);
        assert!(
            made.inside
                .iter()
                .zip(&made.outside)
                .all(|(inside, outside)| inside < outside)
        );
        assert!(made.charged.to_kg() >= made.gross.to_kg() - 1e-6);
        assert!(
            made.centre
                .iter()
                .zip(&made.outside)
                .all(|(at, side)| at.is_positive() && at < side)
        );
    }
    packed.sort();
    let all = (0..rolling.drums.len()).map(Content::Drum);
    let mut all: Vec<Content> = all
        .chain(rolling.flats.iter().map(|flat| Content::Flat(flat.panel)))
        .collect();
    all.sort();
    assert_eq!(packed, all, "everything is in one crate");
    let mut ids = BTreeSet::new();
    for unit in &crating.cuts {
        check_unit(unit, &mut ids, job.catalog.crate_kit.kerf);
    }
    let pieces: u64 = crating
        .crates
        .iter()
        .flat_map(|made| &made.pieces)
        .map(|piece| u64::from(piece.count))
        .sum();
    assert!(
        ids.len() as u64 >= pieces,
        "{} cut of {pieces}: timber may be parted further",
        ids.len()
    );
    for bound in &crating.cut_bounds {
        assert!(bound.least <= bound.cost, "{bound:?}");
    }
}

fn contents(made: &Crate) -> Vec<Content> {
    match &made.contents {
        Contents::Drums(drums) => drums.iter().copied().map(Content::Drum).collect(),
        Contents::Flats(panels) => panels.iter().copied().map(Content::Flat).collect(),
    }
}

/// What is in a crate stands side by side with its clearances, and no foam touches paint.
fn check_room(job: &Job, survey: &Survey, rolling: &Rolling, made: &Crate) {
    let kit = &job.catalog.crate_kit;
    let [long, wide, high] = made.inside;
    let mut across = kit.clearance;
    for (content, press) in contents(made).iter().zip(&made.presses) {
        match content {
            Content::Drum(index) => {
                let drum = &rolling.drums[*index];
                assert!(long >= drum.face + kit.end_clearance * 2);
                assert!(high >= drum.outside_diameter + kit.clearance * 2);
                across += drum.outside_diameter + kit.clearance;
                for rolled in &drum.panels {
                    let ends = [rolled.start, drum.face - rolled.start - rolled.across];
                    assert!(
                        ends.iter().all(|end| press.length <= *end),
                        "a cradle under paint: {press:?} {ends:?}"
                    );
                }
            }
            Content::Flat(panel) => {
                let panel = &survey.panels[*panel];
                let (longer, shorter) =
                    (panel.width.max(panel.height), panel.width.min(panel.height));
                let around = (kit.support_margin + kit.clearance) * 2;
                assert!(long >= longer + around && high >= shorter + around);
                across += kit.clearance;
            }
        }
    }
    assert!(wide >= across, "{wide:?} {across:?}");
}

/// Pieces lie within their board, a saw cut apart, each id once.
fn check_unit(unit: &CutUnit, ids: &mut BTreeSet<String>, kerf: Length) {
    for (index, piece) in unit.pieces.iter().enumerate() {
        assert!(ids.insert(piece.id.clone()), "{} is cut twice", piece.id);
        assert!(piece.x >= Length::ZERO && piece.y >= Length::ZERO);
        assert!(
            piece.x + piece.width <= unit.width && piece.y + piece.height <= unit.length,
            "{piece:?}"
        );
        for other in &unit.pieces[..index] {
            let apart = |a: Length, size: Length, b: Length| a + size + kerf <= b;
            let clear = apart(piece.x, piece.width, other.x)
                || apart(other.x, other.width, piece.x)
                || apart(piece.y, piece.height, other.y)
                || apart(other.y, other.height, piece.y);
            assert!(clear, "{piece:?} and {other:?}");
        }
    }
}

fn amount(crating: &Crating, material: &str) -> f64 {
    crating
        .needs
        .iter()
        .filter(|need| need.material == material)
        .map(|need| need.amount)
        .sum()
}

#[test]
fn one_drum_in_one_crate() {
    let job = job(vec![row("N1", 3_200.0, 2_400.0)]);
    let (survey, rolling, crating, ledger, problems) = packed(&job);
    check(&job, &survey, &rolling, &crating);
    assert!(problems.is_empty(), "{problems:?}");
    let made = &crating.crates[0];
    assert_eq!(
        (made.id.as_str(), &made.contents),
        ("K1", &Contents::Drums(vec![0]))
    );
    assert!(
        ledger
            .get("crate/K1")
            .unwrap()
            .inputs
            .iter()
            .any(|input| input.from.as_deref() == Some("drum/D1"))
    );
    for id in ["plywood", "batten", "foam", "film", "buffer", "screw"] {
        assert!(amount(&crating, id) > 0.0, "no {id}");
    }
    assert!(
        crating
            .needs
            .iter()
            .all(|need| (need.panel, need.step) == (Some(0), Some(2))),
        "all wait for the crate step"
    );
}

/// By hand, for 2800 × 610 × 610 mm inside and plywood of 12 mm at 0.64 g/ml: top and bottom 2 · 2.824 · 0.634, sides 2 · 2.824 · 0.61, ends
/// 2 · 0.61² m², 7.77 m² or 59.7 kg; buffer 6.4 kg/m³ of 1.042 m³.
#[test]
fn boards_and_buffer_worked_by_hand() {
    let mut job = job(vec![PanelRow {
        roll_along: facelay::job::RollAlong::Width,
        ..row("N1", 3_200.0, 2_400.0)
    }]);
    job.catalog.drum_kit.looseness = facelay::units::Percent::ZERO;
    let (_, rolling, crating, ..) = packed(&job);
    let [long, wide, high] = crating.crates[0].inside.map(Length::to_m);
    assert_eq!(rolling.drums[0].face, mm(2_600.0));
    let boards: f64 = crating
        .cuts
        .iter()
        .filter(|unit| unit.material == "plywood")
        .flat_map(|unit| &unit.pieces)
        .map(|piece| (piece.width * piece.height).to_m2())
        .sum();
    let faces = 2.0 * ((long + 0.024) * (wide + 0.024) + (long + 0.024) * high + wide * high);
    // The saw is reckoned in tenths of a millimetre, rounded up a side.
    assert!((boards - faces).abs() < 0.003, "{boards} {faces}");
    assert!((amount(&crating, "buffer") - 6.4 * long * wide * high).abs() < 1e-9);
}

/// A rest that holds the two ends, and two lengths of timber: less is bought, what is cut comes off the shelf, what is left goes back.
#[test]
fn boards_and_timber_come_off_rests_on_the_shelf() {
    let mut job = job(vec![row("N1", 3_200.0, 2_400.0)]);
    let (.., new, _, _) = packed(&job);
    let batten = job.catalog.crate_kit.batten.clone();
    let width = job.catalog.materials[&batten].width.unwrap();
    let rest = |material: &str, width, length, count| Offcut {
        material: material.to_owned(),
        width,
        length,
        count,
    };
    let unused = rest("plywood", mm(160.0), mm(200.0), 1);
    job.offcuts = vec![
        rest("plywood", mm(1_220.0), mm(2_430.0), 1),
        rest(&batten, width, mm(1_500.0), 2),
        unused.clone(),
    ];
    let (survey, rolling, crating, ..) = packed(&job);
    check(&job, &survey, &rolling, &crating);
    assert!(amount(&crating, "plywood") < amount(&new, "plywood"));
    assert!(amount(&crating, &batten) < amount(&new, &batten));
    let from_shelf = |material: &str| {
        let units = crating.cuts.iter();
        units
            .filter(|unit| unit.from == CutFrom::Offcut && unit.material == material)
            .count()
    };
    assert_eq!(from_shelf("plywood"), 1);
    assert_eq!(from_shelf(&batten), 2);
    assert!(crating.offcuts.contains(&unused), "{:?}", crating.offcuts);
    let gone = |part: &&Offcut| part.length == mm(2_430.0) || part.length == mm(1_500.0);
    assert_eq!(crating.offcuts.iter().find(gone), None);
    let useful = job.useful_offcut;
    for part in &crating.offcuts {
        let is_timber = part.material == batten;
        assert!(part.length >= useful && (is_timber || part.width >= useful));
    }
}

#[test]
fn flat_panels_stand_in_crates_of_their_own() {
    let job = job(vec![PanelRow {
        give: Give::None,
        ..row("N1", 2_600.0, 1_500.0)
    }]);
    let (survey, rolling, crating, ..) = packed(&job);
    check(&job, &survey, &rolling, &crating);
    let made = &crating.crates[0];
    assert_eq!(made.contents, Contents::Flats(vec![0]));
    // A tray of 12 mm board, 20 mm frame and 20 mm collar in foam of 50 mm all round.
    assert_eq!(made.inside, [mm(2_700.0), mm(152.0), mm(1_600.0)]);
    let ids: Vec<&str> = crating
        .cuts
        .iter()
        .flat_map(|unit| &unit.pieces)
        .map(|piece| piece.id.as_str())
        .collect();
    let count = |name: &str| ids.iter().filter(|id| id.starts_with(name)).count();
    // 1.5 × 2.6 m is more than a board of 1.22 × 2.44 m: three boards across, on the bars of the frame.
    assert_eq!(
        (
            count("K1 tray support"),
            count("K1 tray frame"),
            count("K1 tray collar")
        ),
        (3, 6, 6)
    );
    assert_eq!(crating.bare[0].size, [mm(2_600.0), mm(52.0), mm(1_500.0)]);
}

/// A flat panel weighs what canvas, ground, paint and residue weigh: 480 + 270 + 300 + 240 g/m² here. Its tray by hand: 2 m² of board at
/// 7.68 kg/m²; battens of 0.63 kg/m, twice round at 5.72 m and two bars of 0.86 m; screws of 4 g, 8 a metre of 13.72 m.
#[test]
fn mass_of_a_flat_panel_its_tray_and_its_crate() {
    let job = job(vec![PanelRow {
        give: Give::None,
        ..row("N1", 2_000.0, 1_000.0)
    }]);
    let (_, _, crating, ..) = packed(&job);
    let made = &crating.crates[0];
    let by_hand = 2.0 * 1.290 + 2.0 * 7.68 + (2.0 * 5.72 + 2.0 * 0.86) * 0.63 + 13.72 * 8.0 * 0.004;
    assert!((made.gross.to_kg() - made.tare.to_kg() - by_hand).abs() < 1e-9);
    assert!((crating.bare[0].mass.to_kg() - by_hand).abs() < 1e-9);
}

/// Two drums of alike panels share a crate where that costs less; lead and mould are kept apart; nothing is shared beyond the mass allowed.
#[test]
fn drums_share_a_crate_where_that_costs_less() {
    let rows = |lead: bool, mould: bool| {
        vec![
            PanelRow {
                give: Give::Stiff,
                ..row("N1", 3_900.0, 2_000.0)
            },
            PanelRow {
                lead,
                mould,
                ..row("N2", 3_900.0, 1_990.0)
            },
        ]
    };
    let run = |rows: Vec<PanelRow>, most: u32, heaviest: f64| {
        let mut job = job(rows);
        job.catalog.crate_kit.most_together = most;
        job.catalog.crate_kit.heaviest_together = Mass::kg(heaviest);
        for (id, price) in [("batten", 3), ("foam", 30), ("film", 50), ("buffer", 9)] {
            job.catalog.offers.push(crate::rolling::offer(id, price));
        }
        let (survey, rolling, crating, ..) = packed(&job);
        check(&job, &survey, &rolling, &crating);
        assert_eq!(rolling.drums.len(), 2);
        crating
    };
    assert_eq!(run(rows(false, false), 1, 900.0).crates.len(), 2);
    assert_eq!(run(rows(false, false), 3, 900.0).crates.len(), 1);
    assert_eq!(run(rows(false, false), 3, 60.0).crates.len(), 2);
    assert_eq!(run(rows(false, true), 3, 900.0).crates.len(), 2);
    assert_eq!(run(rows(true, false), 3, 900.0).crates.len(), 2);
    let mut apart = rows(false, false);
    apart[0].destination = "museum store".to_owned();
    apart[1].destination = "parish".to_owned();
    let apart = run(apart, 3, 900.0);
    assert_eq!(apart.crates.len(), 2);
    assert!(
        apart.crates[0]
            .marks
            .contains(&"to: museum store".to_owned())
    );
}

/// By hand: the lighter the panel's end of the drum, the nearer the centre of mass to the other; a single panel in the middle balances there.
#[test]
fn a_crate_balances_where_its_masses_do() {
    let job = job(vec![row("N1", 3_200.0, 2_400.0)]);
    let (_, _, crating, ..) = packed(&job);
    let made = &crating.crates[0];
    let [long, wide, high] = made.outside;
    assert!((made.centre[0].to_mm() - long.to_mm() / 2.0).abs() < 1.0);
    assert!((made.centre[1].to_mm() - wide.to_mm() / 2.0).abs() < 1.0);
    assert!(made.centre[2] < high.half(), "skids are below");
}

#[test]
fn a_foam_that_is_too_soft_is_told_and_none_touches_paint() {
    let mut job = job(vec![row("N1", 3_200.0, 2_400.0)]);
    job.catalog.materials.get_mut("foam").unwrap().strength = Some(0.001);
    let (survey, rolling, crating, _, problems) = packed(&job);
    check(&job, &survey, &rolling, &crating);
    let press = crating.crates[0].presses[0];
    assert_eq!((press.length, press.limit), (mm(100.0), Some(1.0)));
    assert!(press.pressure > 1.0);
    let told = problems.iter().any(|problem| {
        problem
            .text
            .starts_with("the cradles of crate K1 under panel `N1` are pressed with")
    });
    assert!(told, "{problems:?}");
    job.catalog.materials.get_mut("foam").unwrap().strength = Some(0.01);
    let (_, _, crating, _, problems) = packed(&job);
    assert!(problems.is_empty() && crating.crates[0].presses[0].pressure <= 10.0);
}

#[test]
fn marks_name_contents_hazards_and_masses() {
    let job = job(vec![PanelRow {
        lead: true,
        mould: true,
        adhesive: Adhesive::OilLead,
        give: Give::Supple,
        ..row("N1", 3_200.0, 2_400.0)
    }]);
    let (_, _, crating, ..) = packed(&job);
    let text = crating.crates[0].marks.join("\n");
    for words in [
        "K1 of 1",
        "THIS WAY UP",
        "KEEP DRY",
        "drum D1: N1; no facing",
        "LEAD",
        "MOULD",
        "(oil-lead)",
        "gross",
        "lifting gear",
    ] {
        assert!(text.contains(words), "no {words} in {text}");
    }
}

#[test]
fn a_recipe_without_a_crate_step_takes_no_crate() {
    let job = job(vec![PanelRow {
        recipe: "loose".to_owned(),
        ..row("N1", 2_000.0, 1_000.0)
    }]);
    let (_, rolling, crating, ..) = packed(&job);
    assert_eq!((rolling.drums.len(), crating.bare.len()), (1, 1));
    assert!(crating.crates.is_empty() && crating.cuts.is_empty() && crating.needs.is_empty());
}

#[test]
fn a_door_that_is_too_narrow_is_told_at_the_row() {
    let mut job = job(vec![row("N1", 3_200.0, 2_400.0)]);
    let door = |width: f64| {
        way(
            "west door",
            WayOutKind::Door {
                width: mm(width),
                height: mm(2_100.0),
            },
        )
    };
    job.places = vec![site(vec![door(1_200.0)])];
    let (_, _, crating, _, problems) = packed(&job);
    assert!(crating.crates[0].ways_out[0].fits && problems.is_empty());
    job.places = vec![site(vec![door(600.0)])];
    let (_, _, crating, _, problems) = packed(&job);
    let passage = &crating.crates[0].ways_out[0];
    assert!(!passage.fits && passage.spare < Length::ZERO);
    assert_eq!(passage.tightest, "width");
    let problem = problems.iter().next().unwrap();
    assert!(
        problem
            .text
            .starts_with("crate K1 with panel `N1` does not pass `west door` at hall"),
        "{}",
        problem.text
    );
    assert!(
        problem.help[0].starts_with("carry the drum bare"),
        "the bare roll of under 500 mm passes: {:?}",
        problem.help
    );
}

#[test]
fn what_kit_and_recipe_use_up_by_the_crate() {
    let mut job = job(vec![row("N1", 3_200.0, 2_400.0)]);
    job.catalog.crate_kit.uses = vec![
        Use {
            material: "end-disc".to_owned(),
            rate: 4.0,
            per: Per::Crate,
        },
        Use {
            material: "film".to_owned(),
            rate: 2.0,
            per: Per::M2,
        },
    ];
    let recipe = job.recipes.get_mut("plain").unwrap();
    recipe.steps[2].uses = vec![Use {
        material: "resin".to_owned(),
        rate: 30.0,
        per: Per::Crate,
    }];
    let before = amount(
        &packed(&crate::rolling::job(vec![row("N1", 3_200.0, 2_400.0)])).2,
        "film",
    );
    let (_, _, crating, ..) = packed(&job);
    assert_eq!(
        (amount(&crating, "end-disc"), amount(&crating, "resin")),
        (4.0, 30.0)
    );
    // 2 m² of film a m² of painting, from rolls of 2 × 25 m.
    assert!((amount(&crating, "film") - before - 2.0 * 7.68 / 50.0).abs() < 1e-9);
}

#[test]
fn an_empty_catalogue_is_said_not_a_panic() {
    let mut bare = job(vec![row("N1", 2_000.0, 1_500.0)]);
    bare.catalog = Catalog::default();
    let (survey, rolling, crating, _, problems) = packed(&bare);
    assert_eq!(crating.crates.len(), 1);
    assert!(survey.panels.len() == 1 && rolling.flats.len() == 1);
    assert!(
        problems
            .iter()
            .any(|problem| problem.text.contains("cannot be counted"))
    );
    assert_eq!(packed(&job(Vec::new())).2, Crating::default());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    #[test]
    fn no_board_of_whatever_size_makes_it_panic(
        board in (0.001..3_000.0_f64, 0.001..6_000.0_f64, 0.0..100.0_f64),
        batten in (0.0..500.0_f64, 0.001..6_000.0_f64, 0.0..100.0_f64),
        foam in 0.0..0.1_f64, spacing in 0.0..1.0_f64, kerf in 0.0..50.0_f64,
    ) {
        let flat = PanelRow { give: Give::None, ..row("N2", 3_000.0, 1_500.0) };
        let mut job = job(vec![row("N1", 3_000.0, 1_500.0), flat]);
        for (id, (width, length, thickness)) in [("plywood", board), ("batten", batten), ("foam", (1_000.0, 1_000.0, foam))] {
            let made = job.catalog.materials.get_mut(id).unwrap();
            (made.width, made.length, made.thickness) = (Some(mm(width)), Some(mm(length)), Some(mm(thickness)));
        }
        job.catalog.crate_kit.batten_spacing = mm(spacing);
        job.catalog.crate_kit.kerf = mm(kerf);
        let (_, _, crating, ..) = packed(&job);
        prop_assert_eq!(crating.crates.len(), 2);
    }

    #[test]
    fn crates_hold_their_drums_and_cut_plans_lose_nothing(
        sizes in prop::collection::vec((300.0..4_500.0_f64, 300.0..4_500.0_f64, 0..4_usize), 1..8),
        clearance in 0.0..200.0_f64, spacing in -100.0..2_000.0_f64, board in 300.0..1_500.0_f64,
        most in 1..4_u32, margin in 0.0..150.0_f64,
    ) {
        let rows = sizes.iter().map(|(width, height, give)| PanelRow { give: Give::ALL[*give], ..row("N", *width, *height) });
        let mut job = job(rows.collect());
        let kit = &mut job.catalog.crate_kit;
        (kit.clearance, kit.end_clearance, kit.batten_spacing) = (mm(clearance), mm(clearance), mm(spacing));
        (kit.most_together, kit.heaviest_together, kit.support_margin) = (most, Mass::kg(400.0), mm(margin));
        job.catalog.materials.get_mut("plywood").unwrap().width = Some(mm(board));
        let (survey, rolling, crating, ledger, _) = packed(&job);
        check(&job, &survey, &rolling, &crating);
        for made in &crating.crates {
            let id = format!("crate/{}", made.id);
            prop_assert!(ledger.get(&id).is_some());
        }
        job.catalog.crate_kit.most_together = 1;
        let alone = packed(&job).2;
        let total = |crating: &Crating| crating.crates.iter().map(|made| made.estimate).sum::<facelay::units::Money>().amount();
        let cents = rust_decimal::Decimal::new(5, 2);
        prop_assert!(total(&crating) <= total(&alone) + cents, "sharing costs more: {} {}", total(&crating), total(&alone));
        // The area of the six faces comes out of the boards, apart from the tenth of a millimetre that each side is rounded up by.
        let cut: f64 = crating.cuts.iter().filter(|unit| unit.material == "plywood").flat_map(|unit| &unit.pieces)
            .filter(|piece| !piece.id.contains("support")).map(|piece| (piece.width * piece.height).to_m2()).sum();
        let faces: f64 = crating.crates.iter().map(|made| {
            let [long, wide, high] = made.inside.map(Length::to_m);
            2.0 * ((long + 0.024) * (wide + 0.024) + (long + 0.024) * high + wide * high)
        }).sum();
        prop_assert!(cut >= faces - 1e-6 && cut < faces * 1.01 + 0.01, "{} of {}", cut, faces);
    }
}

/// Growth: ten thousand crates. `tests/long` runs it.
#[test]
#[ignore = "measures time"]
fn ten_thousand_crates() {
    let rows = (0..10_000_u32).map(|i| PanelRow {
        give: Give::None,
        ..row(
            &format!("N{i}"),
            800.0 + f64::from(i % 977),
            600.0 + f64::from(i % 613),
        )
    });
    let mut job = job(rows.collect());
    job.catalog.crate_kit.most_together = 3;
    job.catalog.crate_kit.heaviest_together = Mass::kg(400.0);
    let (survey, rolling, mut ledger, mut problems) = rolled(&job);
    let begun = std::time::Instant::now();
    let crating = pack(&job, &survey, &rolling, &mut ledger, &mut problems);
    println!(
        "{} crates, {} units in {:?}",
        crating.crates.len(),
        crating.cuts.len(),
        begun.elapsed()
    );
    check(&job, &survey, &rolling, &crating);
}
