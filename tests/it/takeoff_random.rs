//! The takeoff of random walls: rectangles, lunettes, arches and ellipses with doors, stars, combs.

use facelay::catalog::Material;
use facelay::catalog::MaterialKind;
use facelay::diag::Level;
use facelay::geometry::Rect;
use facelay::job::PanelRow;
use facelay::job::PanelShape;
use facelay::job::Site;
use facelay::recipe::Direction;
use facelay::recipe::Laying;
use facelay::recipe::Step;
use facelay::takeoff::LaidLayer;
use facelay::units::Length;
use proptest::prelude::*;

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

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, max_shrink_iters: 200, ..ProptestConfig::default() })]

    #[test]
    fn every_wall_is_covered_lapped_and_cut(wall in wall(), (steps, materials) in facing()) {
        let job = job(vec![wall], steps, materials);
        let (_, _, problems) = taken(&job);
        prop_assert!(problems.iter().all(|problem| problem.level != Level::Error || problem.text.contains("openings")), "{problems:?}");
    }

    #[test]
    fn limits_of_people_canvas_and_scaffold_are_kept(
        wall in wall(), (steps, materials) in facing(), asked in prop::collection::vec(asked(), 4),
        (floor, lifts, seams) in (0.0..3000.0_f64, prop::collection::vec(500.0..3000.0_f64, 0..3), prop::collection::vec(50.0..3000.0_f64, 0..3)),
    ) {
        let steps = steps.into_iter().zip(asked).map(|(step, (longest, canvas, laying))| Step {
            longest_piece: longest.map(|times| mm(times).max(step.overlap.times(2.5))),
            canvas_seam_distance: mm(canvas),
            laying,
            ..step
        });
        let mut seams: Vec<Length> = seams.into_iter().map(mm).filter(|seam| *seam < wall.width).collect();
        seams.sort_unstable();
        let wall = PanelRow { height_above_floor: mm(floor), seams, ..wall };
        let mut job = job(vec![wall], steps.collect(), materials);
        let mut height = 0.0;
        job.places = vec![Site { lifts: lifts.iter().map(|lift| { height += lift; mm(height) }).collect(), lift_reach: mm(250.0), ..crate::small_job::site() }];
        let (takeoff, _, problems) = taken(&job);
        prop_assert!(problems.iter().all(|problem| problem.level != Level::Error || problem.text.contains("openings")), "{problems:?}");
        if !problems.iter().any(|problem| problem.text.contains("canvas's own")) {
            for layer in &takeoff.layers {
                canvas_keeps_apart(layer, &job.panels[0].seams);
            }
        }
    }

    /// The plain grid: whole sheets side by side from the lower left corner of the region's bounding box, one for every
    /// cell that holds any of it. Drawn here by geometry alone.
    #[test]
    fn no_layer_takes_more_sheets_than_the_plain_grid(
        wall in wall(), (width, length) in (250.0..1500.0_f64, 300.0..1500.0_f64), overlap in 0.0..60.0_f64, way in 0..3_usize, trim in 0.0..8.0_f64,
    ) {
        let direction = [Direction::Auto, Direction::Upright, Direction::Level][way];
        let step = Step { direction, trim: mm(trim), ..layer("l", "m", overlap) };
        let job = job(vec![wall], vec![step], vec![sheeting("m", MaterialKind::Sheet, width, length)]);
        let (takeoff, ledger, _) = taken(&job);
        for layer in &takeoff.layers {
            let (short, long) = (mm(width.min(length)), mm(width.max(length)));
            let grids = [(Direction::Level, (short, long)), (Direction::Upright, (long, short))];
            let allowed = grids.into_iter().filter(|(not, _)| *not != direction);
            let plain = allowed.map(|(_, (across, along))| plain_grid(layer, across, along)).min();
            prop_assert!(Some(takeoff.cuts.len()) <= plain, "{} sheets, the plain grid takes {plain:?}", takeoff.cuts.len());
            let told = ledger.get("layer/P/l").unwrap().inputs.iter().find(|input| input.name == "both sides").unwrap().value.clone();
            prop_assert!(if told == "laid alike" { is_alike(layer) } else { told.contains("not the same") || told.contains("the best layout tried") }, "{told}");
        }
    }

}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, max_shrink_iters: 50, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_the_rows_changes_no_total(walls in prop::collection::vec(wall(), 2..5), (steps, materials) in facing()) {
        let named = |(number, wall): (usize, PanelRow)| PanelRow { panel: format!("P{number}"), ..wall };
        let rows: Vec<PanelRow> = walls.into_iter().enumerate().map(named).collect();
        let turned: Vec<PanelRow> = rows.iter().rev().cloned().collect();
        let totals = |rows: Vec<PanelRow>| {
            let (takeoff, _, _) = taken(&job(rows, steps.clone(), materials.clone()));
            let mut grams: Vec<u64> = takeoff.layers.iter().map(|layer| layer.laid.to_m2().to_bits()).collect();
            grams.sort_unstable();
            (takeoff.cut_totals, grams)
        };
        prop_assert_eq!(totals(rows), totals(turned));
    }
}

/// What people ask of a layer besides: the longest piece, the distance from the canvas's seams, the order.
fn asked() -> impl Strategy<Value = (Option<f64>, f64, Laying)> {
    (
        prop::option::of(200.0..1500.0_f64),
        0.0..60.0_f64,
        prop::sample::select(Laying::ALL),
    )
}

/// The cells of a grid from the lower left corner that hold any of a region.
fn plain_grid(layer: &LaidLayer, across: Length, along: Length) -> usize {
    let Some(bounds) = layer.region.bounds() else {
        return 0;
    };
    let starts = |from: Length, to: Length, size: Length| {
        let step = size - layer.overlap;
        let mut at = vec![from];
        while *at.last().unwrap() + size < to {
            at.push(*at.last().unwrap() + step);
        }
        at
    };
    let columns = starts(bounds.x, bounds.right(), across);
    let cells = columns.iter().flat_map(|&x| {
        let rows = starts(bounds.y, bounds.top(), along).into_iter();
        rows.map(move |y| Rect {
            x,
            y,
            width: across,
            height: along,
        })
    });
    let holds = |cell: &Rect| !layer.region.clip(cell).is_empty();
    cells.filter(holds).count()
}

/// Shapes of every kind that walls have.
pub(crate) fn wall() -> impl Strategy<Value = PanelRow> {
    let openings = prop::collection::vec(
        (
            0.0..1.0_f64,
            0.0..1.0_f64,
            100.0..1500.0_f64,
            100.0..2500.0_f64,
        ),
        0..3,
    );
    let plain = (900.0..7000.0_f64, 700.0..5000.0_f64, 0..4_u8, openings).prop_map(
        |(width, height, shape, openings)| {
            let height = if shape == 1 {
                height.min(width / 2.0)
            } else {
                height
            };
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
                let bottom = if y < 0.5 && !matches!(shape, PanelShape::Ellipse) {
                    0.0
                } else {
                    height * 0.3
                };
                opening(width * 0.3 + x * (width * 0.4 - w), bottom, w, h * 0.6)
            });
            PanelRow {
                openings: openings.collect(),
                shape: shape.clone(),
                ..panel("P", width, height)
            }
        },
    );
    let star = prop::collection::vec(300.0..3000.0_f64, 3..16).prop_map(|radii| {
        let count = radii.iter().map(|_| 1.0).sum::<f64>();
        let corners: Vec<(f64, f64)> = (0..)
            .zip(&radii)
            .map(|(i, radius)| {
                let angle = std::f64::consts::TAU * f64::from(i) / count;
                (radius * libm::cos(angle), radius * libm::sin(angle))
            })
            .collect();
        outline("P", &corners)
    });
    let comb = prop::collection::vec((60.0..900.0_f64, 40.0..900.0_f64, 200.0..3000.0_f64), 1..6)
        .prop_map(|teeth| {
            let mut corners = vec![(0.0, 0.0)];
            let mut x = 0.0;
            let mut top = Vec::new();
            for (tooth, gap, height) in teeth {
                top.extend([
                    (x, 300.0 + height),
                    (x + tooth, 300.0 + height),
                    (x + tooth, 300.0),
                    (x + tooth + gap, 300.0),
                ]);
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
pub(crate) fn facing() -> impl Strategy<Value = (Vec<Step>, Vec<Material>)> {
    let one = (
        prop::bool::ANY,
        250.0..1500.0_f64,
        300.0..1500.0_f64,
        0.0..60.0_f64,
        -30.0..120.0_f64,
        (0.0..40.0_f64, 0.0..120.0_f64, 0.0..8.0_f64, 0..3_u8),
    );
    prop::collection::vec(one, 1..4).prop_map(|layers| {
        let made = (0..).zip(layers).map(
            |(number, (roll, width, length, overlap, margin, (lap, seam, trim, way)))| {
                let id = format!("m{number}");
                let kind = if roll {
                    MaterialKind::Roll
                } else {
                    MaterialKind::Sheet
                };
                let material = sheeting(&id, kind, width, if roll { 20_000.0 } else { length });
                let direction =
                    [Direction::Auto, Direction::Upright, Direction::Level][usize::from(way)];
                let step = Step {
                    margin: mm(margin),
                    opening_lap: mm(lap),
                    seam_distance: mm(seam),
                    trim: mm(trim),
                    direction,
                    ..layer(&format!("l{number}"), &id, overlap)
                };
                (step, material)
            },
        );
        made.unzip()
    })
}
