//! The takeoff at its limits: what people, canvas and scaffold ask, torn edges, and shapes that no grid is made for.

use facelay::catalog::Material;
use facelay::catalog::MaterialKind;
use facelay::geometry::Region;
use facelay::job::Job;
use facelay::job::PanelRow;
use facelay::job::PanelShape;
use facelay::job::Site;
use facelay::recipe::Direction;
use facelay::recipe::Laying;
use facelay::recipe::Step;
use facelay::takeoff::LaidLayer;
use facelay::takeoff::Takeoff;
use facelay::units::Length;

use crate::builder::job;
use crate::builder::layer;
use crate::builder::mm;
use crate::builder::opening;
use crate::builder::outline;
use crate::builder::panel;
use crate::builder::sheeting;
use crate::facing_check::canvas_keeps_apart;
use crate::facing_check::is_alike;
use crate::takeoff::taken;

fn tissue() -> Material {
    sheeting("tissue", MaterialKind::Sheet, 600.0, 900.0)
}

fn gauze() -> Material {
    sheeting("gauze", MaterialKind::Roll, 900.0, 50_000.0)
}

/// The only layer of a wall, laid without a word.
fn quiet(job: &Job) -> LaidLayer {
    let (takeoff, _, problems) = taken(job);
    assert!(problems.is_empty(), "{problems:?}");
    takeoff.layers[0].clone()
}

fn refused(job: &Job) -> (Takeoff, String) {
    let (takeoff, _, problems) = taken(job);
    assert!(problems.has_errors());
    let text = problems.iter().next().unwrap().text.clone();
    (takeoff, text)
}

fn on_scaffold(job: Job, lifts: &[f64], reach: f64) -> Job {
    let site = Site {
        lifts: lifts.iter().map(|&lift| mm(lift)).collect(),
        lift_reach: mm(reach),
        ..crate::small_job::site()
    };
    Job {
        places: vec![site],
        ..job
    }
}

#[test]
fn a_piece_is_no_longer_than_one_person_can_handle() {
    let drops = |longest| {
        let step = Step {
            direction: Direction::Upright,
            longest_piece: longest,
            ..layer("g", "gauze", 30.0)
        };
        let wall = panel("N1", 2600.0, 3800.0);
        quiet(&job(vec![wall], vec![step], vec![gauze()]))
    };
    let tallest = |layer: &LaidLayer| layer.pieces.iter().map(|piece| piece.height).max();
    let whole = drops(None);
    assert_eq!((whole.pieces.len(), tallest(&whole)), (3, Some(mm(3800.0))));
    let short = drops(Some(mm(2500.0)));
    assert_eq!(short.pieces.len(), 6);
    assert!(tallest(&short) <= Some(mm(2500.0)));
}

#[test]
fn sheets_keep_off_the_canvas_s_own_seams() {
    let wall = PanelRow {
        seams: vec![mm(1185.0), mm(2000.0)],
        ..panel("N1", 3200.0, 1850.0)
    };
    let step = Step {
        canvas_seam_distance: mm(30.0),
        ..layer("t", "tissue", 15.0)
    };
    let layer = quiet(&job(vec![wall.clone()], vec![step], vec![tissue()]));
    canvas_keeps_apart(&layer, &wall.seams);
    // A canvas of strips no wider than the distance leaves no room.
    let strips = PanelRow {
        seams: (1..32)
            .map(|number| mm(f64::from(number) * 100.0))
            .collect(),
        ..wall
    };
    let step = Step {
        canvas_seam_distance: mm(60.0),
        ..layer_of_tissue()
    };
    let (_, _, problems) = taken(&job(vec![strips], vec![step], vec![tissue()]));
    let warning = &problems.iter().next().unwrap();
    assert!(
        warning.text.contains("the canvas's own seams"),
        "{}",
        warning.text
    );
    assert!(warning.help[0].contains("canvas_seam_distance"));
}

fn layer_of_tissue() -> Step {
    layer("t", "tissue", 15.0)
}

#[test]
fn no_piece_crosses_a_lift_of_the_scaffold() {
    let wall = PanelRow {
        height_above_floor: mm(1200.0),
        ..panel("N1", 3200.0, 3850.0)
    };
    let layers = || {
        let step = |id: &str| Step {
            seam_distance: mm(60.0),
            ..layer(id, "tissue", 15.0)
        };
        vec![step("t1"), step("t2"), step("t3")]
    };
    let free = job(vec![wall], layers(), vec![tissue()]);
    let (takeoff, _, problems) =
        taken(&on_scaffold(free.clone(), &[2000.0, 4000.0, 9000.0], 300.0));
    assert!(problems.is_empty(), "{problems:?}");
    // The wall goes from 1.20 m to 5.05 m: two boundaries lie within it.
    for layer in &takeoff.layers {
        let ends: Vec<(Length, Length)> = layer
            .bands
            .iter()
            .map(|band| (band.from, band.to))
            .collect();
        assert_eq!(ends.len(), 3);
        assert_eq!((ends[0].1, ends[1].0), (mm(1100.0), mm(500.0)));
        assert_eq!((ends[1].1, ends[2].0), (mm(3100.0), mm(2500.0)));
    }
    // What is done in the studio stands on no scaffold.
    assert!(quiet(&free).bands.is_empty());
    let (takeoff, text) = refused(&on_scaffold(free, &[2000.0], 5.0));
    assert!(takeoff.layers.is_empty());
    assert!(text.contains("cannot overlap by 15 mm"), "{text}");
}

/// Common practice: tissue is torn, not cut, so that its thin edge prints no line into the paint.
#[test]
fn torn_edges_are_added_to_the_overlap() {
    let torn = Material {
        feather: mm(6.0),
        ..tissue()
    };
    let wall = || vec![panel("N1", 2000.0, 1500.0)];
    let layer = quiet(&job(wall(), vec![layer_of_tissue()], vec![torn]));
    assert_eq!(layer.overlap, mm(27.0));
    let ragged = Material {
        feather: mm(150.0),
        ..tissue()
    };
    let (_, text) = refused(&job(wall(), vec![layer_of_tissue()], vec![ragged]));
    assert!(
        text.contains("overlap of 315 mm, both torn edges counted"),
        "{text}"
    );
}

#[test]
fn pieces_are_numbered_in_laying_order() {
    let step = Step {
        laying: Laying::MiddleOut,
        ..layer_of_tissue()
    };
    let layer = quiet(&job(
        vec![panel("N1", 3000.0, 2600.0)],
        vec![step],
        vec![tissue()],
    ));
    let (first, last) = (&layer.pieces[0], layer.pieces.last().unwrap());
    assert_eq!(first.id, "N1-1-01");
    assert!(first.x < mm(1500.0) && first.x + first.width > mm(1500.0));
    assert!(last.x == mm(0.0) || last.x + last.width >= mm(3000.0));
}

#[test]
fn a_symmetric_arch_is_laid_alike_on_both_sides() {
    let arch = PanelRow {
        shape: PanelShape::Arch { spring: mm(2100.0) },
        ..panel("A1", 2400.0, 3100.0)
    };
    let job = job(vec![arch], vec![layer_of_tissue()], vec![tissue()]);
    let (takeoff, ledger, _) = taken(&job);
    let told = ledger.get("layer/A1/t").unwrap();
    let both = told.inputs.iter().find(|input| input.name == "both sides");
    assert_eq!(
        is_alike(&takeoff.layers[0]),
        both.unwrap().value == "laid alike"
    );
}

#[test]
fn narrow_piers_and_openings_that_nearly_meet() {
    // A pier of 30 mm between two windows, lapped by 20 mm on both sides; then none, with laps that meet.
    for pier in [30.0, 2.0] {
        let wall = PanelRow {
            openings: vec![
                opening(500.0, 700.0, 800.0, 900.0),
                opening(1300.0 + pier, 700.0, 800.0, 900.0),
            ],
            ..panel("N1", 3000.0, 2400.0)
        };
        let step = Step {
            opening_lap: mm(20.0),
            margin: mm(40.0),
            trim: mm(5.0),
            ..layer_of_tissue()
        };
        let layer = quiet(&job(vec![wall], vec![step], vec![tissue()]));
        assert_eq!(layer.region.0.len(), 1);
        assert_eq!(layer.region.0[0].holes.len(), 2);
    }
}

#[test]
fn a_margin_that_stays_inside_may_part_the_region() {
    // 200 mm inside the edge, a door to within 150 mm of the top leaves two parts.
    let wall = PanelRow {
        openings: vec![opening(1000.0, 0.0, 900.0, 2250.0)],
        ..panel("N1", 3000.0, 2400.0)
    };
    let step = Step {
        margin: mm(-200.0),
        ..layer_of_tissue()
    };
    let layer = quiet(&job(vec![wall], vec![step], vec![tissue()]));
    assert_eq!(layer.region.0.len(), 2);
}

#[test]
fn slivers_of_two_millimetres_are_covered() {
    // A wall with a fin 2 mm wide on top and a slot 2 mm wide from below.
    let wall = outline(
        "S",
        &[
            (0.0, 0.0),
            (900.0, 0.0),
            (900.0, 700.0),
            (902.0, 700.0),
            (902.0, 0.0),
            (2000.0, 0.0),
            (2000.0, 1000.0),
            (1202.0, 1000.0),
            (1202.0, 1900.0),
            (1200.0, 1900.0),
            (1200.0, 1000.0),
            (0.0, 1000.0),
        ],
    );
    let layer = quiet(&job(vec![wall], vec![layer_of_tissue()], vec![tissue()]));
    assert!(layer.region.area().to_m2() > 1.99);
}

#[test]
fn fifty_metres_with_five_thousand_corners() {
    let corners: Vec<(f64, f64)> = (0..5000)
        .map(|number| {
            let angle = std::f64::consts::TAU * f64::from(number) / 5000.0;
            let radius = 25_000.0 + 60.0 * libm::sin(97.0 * angle) + f64::from(number % 3);
            (radius * libm::cos(angle), radius * libm::sin(angle))
        })
        .collect();
    let step = Step {
        margin: mm(40.0),
        seam_distance: mm(60.0),
        ..layer("g", "gauze", 30.0)
    };
    let again = Step {
        id: "g2".to_owned(),
        ..step.clone()
    };
    let job = job(
        vec![outline("R", &corners)],
        vec![step, again],
        vec![gauze()],
    );
    let (takeoff, _, problems) = taken(&job);
    assert!(problems.is_empty(), "{problems:?}");
    let circle = Region::of_ring(&takeoff.layers[0].region.0[0].outer);
    assert!((circle.area().to_m2() - 1970.0).abs() < 10.0);
    assert!(takeoff.layers[0].laid.to_m2() < 1.2 * circle.area().to_m2());
}

#[test]
fn day_sections_part_a_layer_along_its_seams() {
    let layer = quiet(&job(
        vec![panel("N1", 6000.0, 3000.0)],
        vec![layer_of_tissue()],
        vec![tissue()],
    ));
    let sections = layer.sections(0.4);
    assert_eq!(sections.len(), 3);
    let mut next = 0;
    for section in &sections {
        assert_eq!(section.pieces.start, next);
        next = section.pieces.end;
        assert!(section.laid.to_m2() <= 0.4 * layer.laid.to_m2() * 1.000_01);
    }
    assert_eq!(next, layer.pieces.len());
}
