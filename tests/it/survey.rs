//! The survey: areas, openings, and what is reported at which row.

use facelay::diag::Ledger;
use facelay::diag::Problems;
use facelay::geometry::Rect;
use facelay::job::Job;
use facelay::job::OpeningShape;
use facelay::job::PanelRow;
use facelay::job::PanelShape;
use facelay::survey::Survey;
use facelay::survey::measure;

use crate::builder::job;
use crate::builder::mm;
use crate::builder::opening;
use crate::builder::outline;
use crate::builder::panel;

fn measured(panels: Vec<PanelRow>) -> (Survey, Problems) {
    let job: Job = job(panels, Vec::new(), Vec::new());
    let mut problems = Problems::new();
    let survey = measure(&job, &mut Ledger::new(), &mut problems);
    (survey, problems)
}

fn refused(panel: PanelRow, words: &str) {
    let (survey, problems) = measured(vec![panel]);
    assert!(survey.panels.is_empty());
    let all: Vec<_> = problems.iter().collect();
    assert_eq!(all.len(), 1, "{all:?}");
    assert!(all[0].text.contains(words), "{}", all[0].text);
    assert!(all[0].place.is_some());
    assert!(!all[0].help.is_empty());
}

#[test]
fn a_row_that_counts_three_gives_three_panels() {
    let (survey, problems) = measured(vec![PanelRow { count: 3, ..panel("C4", 2000.0, 1000.0) }, panel("N1", 500.0, 500.0)]);
    assert!(problems.is_empty());
    let ids: Vec<&str> = survey.panels.iter().map(|panel| panel.id.as_str()).collect();
    assert_eq!(ids, ["C4/1", "C4/2", "C4/3", "N1"]);
    assert_eq!(survey.panels[2].area.to_m2(), 2.0);
    assert_eq!(survey.panels[2].edge, mm(6000.0));
    assert_eq!((survey.panels[1].row, survey.panels[3].row), (0, 1));
}

/// Source: standard geometry, a half circle of radius 2 m has pi × 4 / 2 m².
#[test]
fn a_lunette_has_its_area_and_its_bounding_box() {
    let (survey, problems) = measured(vec![PanelRow { shape: PanelShape::Lunette, ..panel("L1", 4000.0, 2000.0) }]);
    assert!(problems.is_empty());
    let lunette = &survey.panels[0];
    assert!((lunette.area.to_m2() - 2.0 * std::f64::consts::PI).abs() < 0.0025);
    assert!((lunette.edge.to_m() - (4.0 + 2.0 * std::f64::consts::PI)).abs() < 0.001);
    assert_eq!((lunette.width, lunette.height), (mm(4000.0), mm(2000.0)));
}

#[test]
fn openings_are_taken_off_and_doors_become_notches() {
    let with = PanelRow { openings: vec![opening(500.0, 0.0, 900.0, 2000.0), opening(2000.0, 1000.0, 800.0, 500.0)], ..panel("N1", 4000.0, 3000.0) };
    let (survey, problems) = measured(vec![with]);
    assert!(problems.is_empty());
    let wall = &survey.panels[0];
    assert!((wall.area.to_m2() - (12.0 - 1.8 - 0.4)).abs() < 1e-12);
    assert_eq!(wall.shape.holes.len(), 1);
    // The notch's two jambs lengthen the edge; the door's head and threshold are of one length.
    assert_eq!(wall.edge, mm(14_000.0 + 2.0 * 2000.0));
}

#[test]
fn an_opening_on_an_arch_may_touch_the_curve() {
    let arch = PanelShape::Arch { spring: mm(2000.0) };
    let door = facelay::job::Opening { shape: OpeningShape::Arch { spring: mm(2000.0) }, ..opening(0.0, 0.0, 2000.0, 2900.0) };
    let (survey, problems) = measured(vec![PanelRow { shape: arch, openings: vec![door], ..panel("A1", 2400.0, 3200.0) }]);
    assert!(problems.is_empty(), "{problems:?}");
    assert!(survey.panels[0].area.to_m2() > 0.5);
}

#[test]
fn impossible_shapes_are_reported_at_their_row() {
    refused(outline("X", &[(0.0, 0.0), (2000.0, 2000.0), (2000.0, 0.0), (0.0, 2000.0)]), "crosses or touches itself near x 1000 mm, y 1000 mm");
    refused(outline("X", &[(0.0, 0.0), (2000.0, 0.0)]), "fewer than three corners");
    refused(outline("X", &[(0.0, 0.0), (1000.0, 0.0), (2000.0, 0.0)]), "touches itself");
    refused(panel("X", 0.0, 300.0), "has no area");
    refused(PanelRow { shape: PanelShape::Lunette, ..panel("X", 2000.0, 1100.0) }, "no more than half its span");
    refused(PanelRow { shape: PanelShape::Arch { spring: mm(3500.0) }, ..panel("X", 2000.0, 3000.0) }, "springing line");
}

#[test]
fn impossible_openings_are_reported_at_their_row() {
    let with = |openings| PanelRow { openings, ..panel("N1", 4000.0, 3000.0) };
    refused(with(vec![opening(3500.0, 0.0, 900.0, 2000.0)]), "lies outside panel `N1`");
    refused(with(vec![opening(5000.0, 5000.0, 900.0, 900.0)]), "lies outside");
    refused(with(vec![opening(100.0, 100.0, 500.0, 500.0), opening(500.0, 500.0, 500.0, 500.0)]), "openings 1 and 2 of panel `N1` overlap by 0.0100 m²");
    refused(with(vec![opening(1000.0, 0.0, 500.0, 3000.0)]), "cut it into 2 parts");
    refused(with(vec![opening(0.0, 0.0, 4000.0, 3000.0)]), "no area left");
    refused(with(vec![opening(100.0, 100.0, 0.0, 3.0)]), "no area");
}

#[test]
fn every_problem_of_a_job_is_reported_at_once() {
    let bad = PanelRow { openings: vec![opening(3500.0, 0.0, 900.0, 2000.0), opening(-100.0, 0.0, 50.0, 50.0)], ..panel("N1", 4000.0, 3000.0) };
    let (survey, problems) = measured(vec![bad, panel("X", 0.0, 3.0), panel("N2", 100.0, 100.0)]);
    assert_eq!(problems.iter().count(), 3);
    assert_eq!(survey.panels.len(), 1);
}

#[test]
fn an_outline_of_five_thousand_corners_is_measured() {
    let corners: Vec<(f64, f64)> = (0..5000)
        .map(|i| {
            let angle = std::f64::consts::TAU * f64::from(i) / 5000.0;
            let radius = 25_000.0 + if i % 2 == 0 { 40.0 } else { 0.0 };
            (radius * libm::cos(angle), radius * libm::sin(angle))
        })
        .collect();
    let (survey, problems) = measured(vec![outline("dome", &corners)]);
    assert!(problems.is_empty());
    let dome = &survey.panels[0];
    assert!((dome.area.to_m2() - std::f64::consts::PI * 25.02 * 25.02).abs() < 1.0, "{:?}", dome.area);
    let bounds = Rect::around(&dome.outline).unwrap();
    assert_eq!((bounds.x, bounds.y), (mm(0.0), mm(0.0)));
}
