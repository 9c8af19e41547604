//! The takeoff: published counts, solutions, uses, and what is refused.

use facelay::catalog::MaterialKind;
use facelay::catalog::Per;
use facelay::diag::Ledger;
use facelay::diag::Level;
use facelay::diag::Problems;
use facelay::job::Job;
use facelay::job::PanelRow;
use facelay::job::PanelShape;
use facelay::recipe::Direction;
use facelay::recipe::Step;
use facelay::recipe::steps::StepKind;
use facelay::survey::measure;
use facelay::takeoff::KeptCuts;
use facelay::takeoff::Takeoff;
use facelay::takeoff::take_off;
use facelay::units::Percent;
use rust_decimal::Decimal;

use crate::builder::dense;
use crate::builder::job;
use crate::builder::layer;
use crate::builder::material;
use crate::builder::mm;
use crate::builder::opening;
use crate::builder::panel;
use crate::builder::sheeting;
use crate::builder::step;
use crate::builder::uses;
use crate::facing_check::check;

pub(crate) fn taken(job: &Job) -> (Takeoff, Ledger, Problems) {
    let (mut ledger, mut problems) = (Ledger::new(), Problems::new());
    let survey = measure(job, &mut ledger, &mut problems);
    let takeoff = take_off(
        job,
        &survey,
        &mut KeptCuts::default(),
        &mut ledger,
        &mut problems,
    );
    check(&takeoff, &problems);
    (takeoff, ledger, problems)
}

/// A job of one panel and one layer of sheets.
fn one(width: f64, height: f64, sheet: (f64, f64), step: Step) -> Job {
    let tissue = sheeting("tissue", MaterialKind::Sheet, sheet.0, sheet.1);
    job(vec![panel("N1", width, height)], vec![step], vec![tissue])
}

fn stock(job: &Job) -> (usize, usize) {
    let (takeoff, _, problems) = taken(job);
    assert!(problems.is_empty(), "{problems:?}");
    (takeoff.layers[0].pieces.len(), takeoff.cuts.len())
}

/// Source: trade.md F-1 to F-4, computed there as columns × rows of whole sheets that all lie one way.
///
/// Ours are fewer: the last column or row is narrower than a sheet, and its pieces share sheets. In F-4 the lowest of
/// three rows is 250 mm high, so three of its pieces come from one sheet of 900 mm.
#[test]
fn counts_of_whole_sheets() {
    let level = |overlap| Step {
        direction: Direction::Level,
        ..layer("t", "tissue", overlap)
    };
    let upright = |overlap| Step {
        direction: Direction::Upright,
        ..layer("t", "tissue", overlap)
    };
    for (name, job, computed, ours) in [
        (
            "F-1",
            one(4360.0, 2180.0, (600.0, 900.0), level(15.0)),
            20,
            19,
        ),
        (
            "F-2",
            one(4360.0, 2180.0, (600.0, 900.0), upright(15.0)),
            24,
            19,
        ),
        (
            "F-3",
            one(4360.0, 2180.0, (640.0, 970.0), level(20.0)),
            20,
            17,
        ),
        (
            "F-4",
            one(
                3000.0,
                2000.0,
                (600.0, 900.0),
                Step {
                    margin: mm(25.0),
                    ..upright(20.0)
                },
            ),
            18,
            13,
        ),
    ] {
        let (pieces, sheets) = stock(&job);
        assert!(
            sheets <= ours && ours < computed,
            "{name}: {pieces} pieces from {sheets} sheets"
        );
    }
}

/// Source: trade.md F-5, computed there: 32 strips of 305 × 1219 mm, either way.
#[test]
fn counts_of_linen_strips() {
    for direction in [Direction::Upright, Direction::Level] {
        let (_, strips) = stock(&one(
            4360.0,
            2180.0,
            (305.0, 1219.0),
            Step {
                direction,
                ..layer("t", "tissue", 25.0)
            },
        ));
        // Parts of the last column and row share strips, which the formula of whole strips does not see.
        assert!(
            (29..=32).contains(&strips),
            "{direction:?}: {strips} strips"
        );
    }
}

/// Source: trade.md F-6, computed there: 3 drops of 2280 mm, 6.84 m, from a roll of 1500 as from one of 2100 mm.
#[test]
fn drops_from_a_roll() {
    for width in [1500.0, 2100.0] {
        let step = Step {
            direction: Direction::Upright,
            ..layer("t", "linen", 50.0)
        };
        let linen = sheeting("linen", MaterialKind::Roll, width, 50_000.0);
        let (takeoff, _, problems) = taken(&job(
            vec![panel("N1", 4360.0, 2280.0)],
            vec![step],
            vec![linen],
        ));
        assert!(problems.is_empty());
        assert_eq!(takeoff.layers[0].pieces.len(), 3);
        let end = takeoff.cuts[0]
            .pieces
            .iter()
            .map(|piece| piece.y + piece.height)
            .max();
        assert_eq!(end, Some(mm(6840.0)));
    }
}

/// Three layers of tissue on a wall with a door, mixed and with brushes and tape.
fn treated(panels: Vec<PanelRow>) -> Job {
    let tissue = |id: &str| Step {
        margin: mm(50.0),
        opening_lap: mm(20.0),
        seam_distance: mm(100.0),
        trim: mm(5.0),
        solution: Some("mix".to_owned()),
        spread: Some(120.0),
        waste: Percent::new(Decimal::from(8)),
        uses: vec![
            uses("brush", 0.5, Per::M2),
            uses("film", 1.1, Per::M2),
            uses("tape", 2.0, Per::MEdge),
            uses("label", 1.0, Per::Panel),
            uses("cone", 1.0, Per::Job),
            uses("glove", 1.0, Per::PersonDay),
        ],
        ..layer(id, "tissue", 15.0)
    };
    let coat = Step {
        spread: Some(200.0),
        solution: Some("mix".to_owned()),
        ..step("coat", StepKind::Coat)
    };
    let each = ["brush", "label", "cone", "glove"].map(|id| material(id, MaterialKind::Each));
    let rolls = [
        sheeting("tissue", MaterialKind::Sheet, 600.0, 900.0),
        sheeting("film", MaterialKind::Roll, 2000.0, 25_000.0),
        sheeting("tape", MaterialKind::Roll, 50.0, 50_000.0),
    ];
    job(
        panels,
        vec![tissue("t1"), tissue("t2"), tissue("t3"), coat],
        each.into_iter().chain(rolls).collect(),
    )
}

fn with_door(name: &str) -> PanelRow {
    PanelRow {
        openings: vec![opening(1500.0, 0.0, 900.0, 2000.0)],
        ..panel(name, 4360.0, 2800.0)
    }
}

#[test]
fn layers_of_a_wall_with_a_door_keep_their_seams_apart() {
    let (takeoff, _, problems) = taken(&treated(vec![with_door("N1")]));
    assert!(problems.is_empty(), "{problems:?}");
    assert_eq!(takeoff.layers.len(), 3);
    assert_eq!(takeoff.layers[1].pieces[0].id, "N1-2-01");
    let total = &takeoff.cut_totals[0];
    assert_eq!(
        (total.material.as_str(), total.bought),
        ("tissue", takeoff.cuts.len() as u64)
    );
    let above = total.bought - total.least_bought;
    assert!(above <= 2, "{total:?}");
}

/// Worked by hand from the areas: laid × 120 g/m² × 1.08, 10 % w/v of which is 0.11217 resin (trade.md F-7).
#[test]
fn solutions_follow_the_sheet_laid() {
    let (takeoff, ledger, _) = taken(&treated(vec![with_door("N1")]));
    assert_eq!(takeoff.solutions.len(), 4);
    for (need, layer) in takeoff.solutions.iter().zip(&takeoff.layers) {
        let grams = layer.laid.to_m2() * 120.0 * 1.08;
        assert!((need.mass.to_g() / grams - 1.0).abs() < 1e-12);
        assert!((need.parts[0].mass.to_g() / grams - 0.112_17).abs() < 1e-5);
        let parts: f64 = need.parts.iter().map(|part| part.mass.to_g()).sum();
        assert!((parts / grams - 1.0).abs() < 1e-12);
        assert_eq!(need.parts[1].material, "toluene");
    }
    // The coat lays nothing: net area, no waste.
    let net = 4.36 * 2.8 - 0.9 * 2.0;
    assert!((takeoff.solutions[3].mass.to_g() - net * 200.0).abs() < 1e-9);
    let told = ledger.get("solution/facing/coat").unwrap();
    assert_eq!(told.result, format!("{:.1} g", net * 200.0));
    assert!(
        ledger
            .get("layer/N1/t1")
            .unwrap()
            .result
            .ends_with("m² of sheet")
    );
    assert!(ledger.get("material/tissue").is_some());
}

#[test]
fn uses_are_counted_by_area_edge_panel_and_job() {
    let (takeoff, ledger, _) = taken(&treated(vec![with_door("N1"), panel("N2", 1000.0, 1000.0)]));
    let total = |material: &str, step: Option<usize>, panel: Option<usize>| -> f64 {
        let wanted = takeoff
            .needs
            .iter()
            .filter(|need| need.material == material && need.step == step && need.panel == panel);
        wanted.map(|need| need.amount).sum()
    };
    let laid = takeoff
        .layers
        .iter()
        .find(|layer| layer.panel == 1 && layer.step == 0)
        .unwrap()
        .laid
        .to_m2();
    assert!((total("brush", Some(0), Some(1)) - laid * 0.5 * 1.08).abs() < 1e-9);
    assert!((total("film", Some(0), Some(1)) - laid * 1.1 * 1.08 / 50.0).abs() < 1e-9);
    assert!((total("tape", Some(1), Some(1)) - 4.0 * 2.0 * 1.08 / 50.0).abs() < 1e-9);
    assert_eq!(total("label", Some(2), Some(1)), 1.0);
    assert_eq!(total("cone", None, None), 3.0);
    assert!(
        takeoff
            .needs
            .iter()
            .all(|need| !["glove", "tissue", "resin", "toluene"].contains(&need.material.as_str()))
    );
    assert!(
        takeoff
            .needs
            .iter()
            .all(|need| ledger.get(&need.because).is_some())
    );
    // What is counted is added up over the panels: a label each, the tape along 14.32 m of edge, 2 m on either side of the door and 4 m.
    let told = |id: &str| {
        let told = ledger.get(id).unwrap();
        let counted = told.inputs.iter().find(|input| input.name == "counted");
        (told.result.clone(), counted.unwrap().value.clone())
    };
    let labels = told("use/facing/t1/label/panel");
    assert_eq!(
        labels,
        ("2.0000 each".to_owned(), "2.0000 panel".to_owned())
    );
    let tape = told("use/facing/t1/tape/m-edge");
    let rolls = format!("{:.4} roll", 22.32 * 2.0 * 1.08 / 50.0);
    assert_eq!(tape, (rolls, "22.3200 m-edge".to_owned()));
}

/// A roll of no width or no length cannot be reckoned in rolls: what is used of it stays what it is.
#[test]
fn what_has_no_size_is_not_reckoned_in_rolls() {
    let mut job = treated(vec![panel("N2", 1000.0, 1000.0)]);
    job.catalog.materials.get_mut("film").unwrap().width = None;
    job.catalog.materials.get_mut("tape").unwrap().length = None;
    let (takeoff, _, _) = taken(&job);
    let of = |material: &str| {
        let needs = takeoff.needs.iter();
        let mut needs = needs.filter(|need| need.material == material && need.step == Some(0));
        needs.next().unwrap().amount
    };
    let laid = takeoff.layers[0].laid.to_m2();
    assert!((of("film") - laid * 1.1 * 1.08).abs() < 1e-9);
    assert!((of("tape") - 4.0 * 2.0 * 1.08).abs() < 1e-9);
}

#[test]
fn the_order_of_the_rows_changes_no_total() {
    let rows = || {
        vec![
            with_door("N1"),
            PanelRow {
                count: 3,
                ..panel("C4", 1500.0, 900.0)
            },
            PanelRow {
                shape: PanelShape::Lunette,
                ..panel("L1", 3000.0, 1200.0)
            },
        ]
    };
    let (one, _, _) = taken(&treated(rows()));
    let (other, _, _) = taken(&treated(rows().into_iter().rev().collect()));
    assert_eq!(one.cut_totals, other.cut_totals);
    let laid = |takeoff: &Takeoff| {
        let mut areas: Vec<_> = takeoff
            .layers
            .iter()
            .map(|layer| {
                (
                    layer.layer,
                    layer.laid.to_m2().to_bits(),
                    layer.pieces.len(),
                )
            })
            .collect();
        areas.sort_unstable();
        areas
    };
    assert_eq!(laid(&one), laid(&other));
    let (first, again) = (taken(&treated(rows())).0, taken(&treated(rows())).0);
    assert_eq!(first, again);
}

#[test]
fn identical_panels_are_laid_alike_and_thousands_soon() {
    let (few, _, _) = taken(&treated(vec![with_door("N1")]));
    let job = treated(vec![PanelRow {
        count: 3000,
        ..with_door("N1")
    }]);
    let (mut ledger, mut problems) = (Ledger::new(), Problems::new());
    let survey = measure(&job, &mut ledger, &mut problems);
    let many = take_off(
        &job,
        &survey,
        &mut KeptCuts::default(),
        &mut ledger,
        &mut problems,
    );
    assert_eq!(many.layers.len(), 9000);
    let pieces: usize = few.layers.iter().map(|layer| layer.pieces.len()).sum();
    assert_eq!(
        many.layers
            .iter()
            .map(|layer| layer.pieces.len())
            .sum::<usize>(),
        3000 * pieces
    );
    assert_eq!(
        many.cuts
            .iter()
            .map(|unit| unit.pieces.len())
            .sum::<usize>(),
        3000 * pieces
    );
    // So many pieces are searched less hard than a few.
    assert!(
        many.cuts.len() <= 3030 * few.cuts.len(),
        "{} sheets for 3000 panels, {} for one",
        many.cuts.len(),
        few.cuts.len()
    );
    assert!(
        ledger
            .get("layer/N1/3000/t2")
            .unwrap()
            .formula
            .contains("as layer/N1/1/t2")
    );
}

#[test]
fn sheets_that_cannot_be_laid_are_refused_by_name() {
    let refused = |job: &Job, words: &[&str]| {
        let (takeoff, _, problems) = taken(job);
        assert!(takeoff.layers.is_empty());
        let text = &problems.iter().next().unwrap().text;
        assert!(
            problems.has_errors() && words.iter().all(|word| text.contains(word)),
            "{text}"
        );
    };
    refused(
        &one(1000.0, 1000.0, (40.0, 900.0), layer("t1", "tissue", 20.0)),
        &["`facing`", "`t1`", "`tissue`", "twice its overlap"],
    );
    refused(
        &one(
            40_000.0,
            40_000.0,
            (50.0, 90.0),
            layer("t1", "tissue", 24.0),
        ),
        &["panel `N1`", "pieces"],
    );
    let bad = job(
        vec![panel("N1", 900.0, 900.0)],
        vec![layer("t1", "glue", 5.0)],
        vec![dense("glue", MaterialKind::Resin, 1.0)],
    );
    refused(&bad, &["`glue`", "neither sheet nor roll"]);
}

#[test]
fn seams_that_cannot_keep_apart_are_warned_of_once() {
    let strip = |id: &str| Step {
        seam_distance: mm(100.0),
        ..layer(id, "tissue", 25.0)
    };
    let tissue = sheeting("tissue", MaterialKind::Sheet, 150.0, 150.0);
    let job = job(
        vec![PanelRow {
            count: 2,
            ..panel("N1", 1000.0, 1000.0)
        }],
        vec![strip("t1"), strip("t2")],
        vec![tissue],
    );
    let (takeoff, _, problems) = taken(&job);
    assert_eq!(takeoff.layers.len(), 4);
    let warnings: Vec<_> = problems.iter().collect();
    assert_eq!(warnings.len(), 1);
    assert_eq!(warnings[0].level, Level::Warning);
    assert!(
        warnings[0]
            .text
            .contains("panel `N1/1` and 1 panel like it, step `t2`"),
        "{}",
        warnings[0].text
    );
    assert!(warnings[0].help[0].contains("seam_distance"));
}

#[test]
fn a_panel_smaller_than_a_sheet_takes_one_piece() {
    let (pieces, sheets) = stock(&one(
        300.0,
        200.0,
        (600.0, 900.0),
        Step {
            trim: mm(5.0),
            ..layer("t", "tissue", 15.0)
        },
    ));
    assert_eq!((pieces, sheets), (1, 1));
}

#[test]
fn a_layer_that_covers_nothing_is_warned_of() {
    let inside = Step {
        margin: mm(-200.0),
        ..layer("t1", "tissue", 15.0)
    };
    let (takeoff, _, problems) = taken(&one(300.0, 900.0, (600.0, 900.0), inside));
    assert!(takeoff.layers[0].pieces.is_empty() && takeoff.cuts.is_empty());
    let text = &problems.iter().next().unwrap().text;
    assert!(
        text.contains("step `t1`: with a margin of -200 mm"),
        "{text}"
    );
}
