//! The takeoff of random walls: rectangles, lunettes, arches and ellipses with doors, stars, combs.

use facelay::catalog::Material;
use facelay::catalog::MaterialKind;
use facelay::diag::Level;
use facelay::job::PanelRow;
use facelay::job::PanelShape;
use facelay::recipe::Direction;
use facelay::recipe::Step;
use proptest::prelude::*;

use crate::builder::job;
use crate::builder::layer;
use crate::builder::mm;
use crate::builder::opening;
use crate::builder::outline;
use crate::builder::panel;
use crate::builder::sheeting;
use crate::takeoff::taken;

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, max_shrink_iters: 200, ..ProptestConfig::default() })]

    #[test]
    fn every_wall_is_covered_lapped_and_cut(wall in wall(), (steps, materials) in facing()) {
        let job = job(vec![wall], steps, materials);
        let (_, _, problems) = taken(&job);
        prop_assert!(problems.iter().all(|problem| problem.level != Level::Error || problem.text.contains("openings")), "{problems:?}");
    }
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
