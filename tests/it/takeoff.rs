//! The takeoff: published counts, and an independent checker on random walls.

use facelay::diag::Ledger;
use facelay::diag::Problems;
use facelay::geometry::Point;
use facelay::geometry::Rect;
use facelay::geometry::Region;
use facelay::job::Job;
use facelay::job::PanelRow;
use facelay::catalog::MaterialKind;
use facelay::recipe::Direction;
use facelay::recipe::Step;
use facelay::survey::measure;
use facelay::takeoff::LaidLayer;
use facelay::takeoff::Piece;
use facelay::takeoff::Takeoff;
use facelay::takeoff::take_off;

use crate::builder::job;
use crate::builder::layer;
use crate::builder::mm;
use crate::builder::panel;
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

/// With half the overlap taken off every side of every piece, all is still covered that lies half the overlap inside
/// the region: so wherever two pieces meet, one reaches the overlap over the other.
fn laps(layer: &LaidLayer) {
    let half = layer.overlap.half();
    let shrunk = layer.pieces.iter().filter_map(|piece| {
        let whole = rect(piece);
        let (width, height) = (whole.width - half - half, whole.height - half - half);
        (width.is_positive() && height.is_positive())
            .then(|| Rect { x: whole.x + half, y: whole.y + half, width, height }.ring())
    });
    // A hair less, for the chance that two pieces meet on one line.
    let inner = layer.region.offset(-half - mm(0.01));
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
