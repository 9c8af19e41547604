//! The takeoff: published counts, and an independent checker on random walls.

use facelay::diag::Ledger;
use facelay::diag::Level;
use facelay::diag::Problems;
use facelay::geometry::Rect;
use facelay::geometry::Region;
use facelay::job::Job;
use facelay::job::PanelRow;
use facelay::job::PanelShape;
use facelay::catalog::Material;
use facelay::catalog::MaterialKind;
use facelay::recipe::Direction;
use facelay::recipe::Step;
use facelay::survey::measure;
use facelay::takeoff::LaidLayer;
use facelay::takeoff::Piece;
use facelay::takeoff::Takeoff;
use facelay::takeoff::take_off;

use proptest::prelude::*;

use crate::builder::job;
use crate::builder::layer;
use crate::builder::mm;
use crate::builder::panel;
use crate::builder::opening;
use crate::builder::outline;
use crate::builder::sheeting;

pub(crate) fn taken(job: &Job) -> (Takeoff, Ledger, Problems) {
    let (mut ledger, mut problems) = (Ledger::new(), Problems::new());
    let survey = measure(job, &mut ledger, &mut problems);
    let takeoff = take_off(job, &survey, &mut ledger, &mut problems);
    check(&takeoff);
    (takeoff, ledger, problems)
}

fn rect(piece: &Piece) -> Rect {
    Rect { x: piece.x, y: piece.y, width: piece.width, height: piece.height }
}

/// Checks a takeoff by geometry alone.
fn check(takeoff: &Takeoff) {
    for layer in &takeoff.layers {
        covers(layer);
        laps(layer);
    }
    cut_plans(takeoff);
}

/// No point of the region is bare.
fn covers(layer: &LaidLayer) {
    let sheet = Region::union_of(layer.pieces.iter().map(|piece| rect(piece).ring()));
    let bare = layer.region.difference(&sheet).area().to_m2();
    assert!(bare < 1e-7, "layer {} leaves {bare} m² bare", layer.layer);
}

/// With half the overlap taken off every side of every piece, all is still covered that lies well inside the region: so
/// wherever two pieces meet, one reaches the overlap over the other.
///
/// Well inside is half the overlap both ways from any edge, so the square root of two times that across a corner.
fn laps(layer: &LaidLayer) {
    let half = layer.overlap.half();
    let shrunk = layer.pieces.iter().filter_map(|piece| {
        let whole = rect(piece);
        let (width, height) = (whole.width - half - half, whole.height - half - half);
        (width.is_positive() && height.is_positive())
            .then(|| Rect { x: whole.x + half, y: whole.y + half, width, height }.ring())
    });
    // A hair less, for the chance that two pieces meet on one line.
    let inner = layer.region.offset(-half.times(std::f64::consts::SQRT_2) - mm(0.01));
    let sheet = Region::union_of(shrunk.collect::<Vec<_>>());
    let bare = inner.difference(&sheet);
    assert!(bare.area().to_m2() < 1e-6, "layer {}: laps too narrow at {:?}", layer.layer, bare.bounds());
}

/// Every piece is cut once, as large as it is laid, within its stock, over no other.
fn cut_plans(takeoff: &Takeoff) {
    let mut laid: Vec<(&str, &str, i64, i64)> = takeoff
        .layers
        .iter()
        .flat_map(|layer| layer.pieces.iter().map(|piece| (layer.material.as_str(), piece)))
        .map(|(material, piece)| (material, piece.id.as_str(), piece.width.to_steps(), piece.height.to_steps()))
        .collect();
    let mut cut = Vec::new();
    for unit in &takeoff.cuts {
        for (number, piece) in unit.pieces.iter().enumerate() {
            let at = Rect { x: piece.x, y: piece.y, width: piece.width, height: piece.height };
            assert!(at.x >= mm(0.0) && at.y >= mm(0.0) && at.right() <= unit.width && at.top() <= unit.length);
            for other in &unit.pieces[number + 1..] {
                assert!(!at.meets(&Rect { x: other.x, y: other.y, width: other.width, height: other.height }));
            }
            let (width, height) = if piece.turned { (piece.height, piece.width) } else { (piece.width, piece.height) };
            cut.push((unit.material.as_str(), piece.id.as_str(), width.to_steps(), height.to_steps()));
        }
    }
    laid.sort_unstable();
    cut.sort_unstable();
    assert_eq!(laid, cut);
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

/// Source: trade.md F-1 to F-4, computed there for sheets that all lie one way.
#[test]
fn counts_of_whole_sheets() {
    let level = |overlap| Step { direction: Direction::Level, ..layer("t", "tissue", overlap) };
    let upright = |overlap| Step { direction: Direction::Upright, ..layer("t", "tissue", overlap) };
    for (name, job, count) in [
        ("F-1", one(4360.0, 2180.0, (600.0, 900.0), level(15.0)), 20),
        ("F-2", one(4360.0, 2180.0, (600.0, 900.0), upright(15.0)), 24),
        ("F-3", one(4360.0, 2180.0, (640.0, 970.0), level(20.0)), 20),
        ("F-4", one(3000.0, 2000.0, (600.0, 900.0), Step { margin: mm(25.0), ..upright(20.0) }), 18),
    ] {
        let (pieces, sheets) = stock(&job);
        println!("{name}: {pieces} pieces from {sheets} sheets; computed {count}");
        assert!(sheets <= count, "{name}: {sheets} sheets");
    }
}

/// Shapes of every kind that walls have.
fn wall() -> impl Strategy<Value = PanelRow> {
    let openings = prop::collection::vec((0.0..1.0_f64, 0.0..1.0_f64, 100.0..1500.0_f64, 100.0..2500.0_f64), 0..3);
    let plain = (900.0..7000.0_f64, 700.0..5000.0_f64, 0..4_u8, openings).prop_map(|(width, height, shape, openings)| {
        let height = if shape == 1 { height.min(width / 2.0) } else { height };
        let spring = (height - width / 2.0).max(height / 2.0);
        let shape = match shape {
            0 => PanelShape::Rectangle,
            1 => PanelShape::Lunette,
            2 => PanelShape::Arch { spring: mm(spring) },
            _ => PanelShape::Ellipse,
        };
        let openings = openings.iter().map(|&(x, y, w, h)| {
            let (w, h) = (w.min(width / 4.0), h.min(height / 2.0));
            // Kept where every shape has wall; half of them stand on the floor.
            let bottom = if y < 0.5 && !matches!(shape, PanelShape::Ellipse) { 0.0 } else { height * 0.3 };
            opening(width * 0.3 + x * (width * 0.4 - w), bottom, w, h * 0.6)
        });
        PanelRow { openings: openings.collect(), shape: shape.clone(), ..panel("P", width, height) }
    });
    let star = prop::collection::vec(300.0..3000.0_f64, 3..16).prop_map(|radii| {
        let count = radii.iter().map(|_| 1.0).sum::<f64>();
        let corners: Vec<(f64, f64)> = (0..).zip(&radii).map(|(i, radius)| {
            let angle = std::f64::consts::TAU * f64::from(i) / count;
            (radius * libm::cos(angle), radius * libm::sin(angle))
        }).collect();
        outline("P", &corners)
    });
    let comb = prop::collection::vec((60.0..900.0_f64, 40.0..900.0_f64, 200.0..3000.0_f64), 1..6).prop_map(|teeth| {
        let mut corners = vec![(0.0, 0.0)];
        let mut x = 0.0;
        let mut top = Vec::new();
        for (tooth, gap, height) in teeth {
            top.extend([(x, 300.0 + height), (x + tooth, 300.0 + height), (x + tooth, 300.0), (x + tooth + gap, 300.0)]);
            x += tooth + gap;
        }
        top.pop();
        top.pop();
        corners.push((top.last().unwrap().0, 0.0));
        corners.extend(top.into_iter().rev());
        outline("P", &corners)
    });
    prop_oneof![3 => plain, 1 => star, 1 => comb]
}

/// Layers of sheets and rolls with allowances of every size.
fn facing() -> impl Strategy<Value = (Vec<Step>, Vec<Material>)> {
    let one = (prop::bool::ANY, 250.0..1500.0_f64, 300.0..1500.0_f64, 0.0..60.0_f64, -30.0..120.0_f64, (0.0..40.0_f64, 0.0..120.0_f64, 0.0..8.0_f64, 0..3_u8));
    prop::collection::vec(one, 1..4).prop_map(|layers| {
        let made = (0..).zip(layers).map(|(number, (roll, width, length, overlap, margin, (lap, seam, trim, way)))| {
            let id = format!("m{number}");
            let kind = if roll { MaterialKind::Roll } else { MaterialKind::Sheet };
            let material = sheeting(&id, kind, width, if roll { 20_000.0 } else { length });
            let direction = [Direction::Auto, Direction::Upright, Direction::Level][usize::from(way)];
            let step = Step {
                margin: mm(margin),
                opening_lap: mm(lap),
                seam_distance: mm(seam),
                trim: mm(trim),
                direction,
                ..layer(&format!("l{number}"), &id, overlap)
            };
            (step, material)
        });
        made.unzip()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, max_shrink_iters: 200, ..ProptestConfig::default() })]

    #[test]
    fn every_wall_is_covered_lapped_and_cut(wall in wall(), (steps, materials) in facing()) {
        let job = job(vec![wall], steps, materials);
        let (_, _, problems) = taken(&job);
        prop_assert!(problems.iter().all(|problem| problem.level != Level::Error || problem.text.contains("openings")), "{problems:?}");
    }
}
