//! Bars and day sheets as drawings: on the paper, legible, and each box where its minutes are.

use facelay::report;
use facelay::report::Shape;

use crate::report::planned;

/// Eight points in millimetres.
const EIGHT_POINTS: f64 = 8.0 * 25.4 / 72.0;

#[test]
fn bars_and_days_stay_on_the_paper_and_can_be_read() {
    let plan = planned("three-panels");
    let booklet = report::day_pages(&plan);
    assert!(booklet.pages.len() > 2);
    for page in &booklet.pages {
        assert!(!page.shows.is_empty(), "{}", page.title);
        for text in page.texts() {
            let frame = text.frame();
            assert!(text.size >= EIGHT_POINTS, "{}: {}", page.title, text.words);
            let inside = frame.left >= 0.0
                && frame.top >= 0.0
                && frame.right <= page.width + 0.01
                && frame.bottom <= page.height + 0.01;
            assert!(inside, "{}: {} at {frame:?}", page.title, text.words);
        }
        let texts: Vec<_> = page.texts().collect();
        for (at, one) in texts.iter().enumerate() {
            for other in texts.iter().skip(at + 1) {
                assert!(
                    !one.frame().meets(&other.frame()),
                    "{}: `{}` and `{}` lie on one another",
                    page.title,
                    one.words,
                    other.words
                );
            }
        }
    }
}

#[test]
fn a_box_is_as_wide_as_its_minutes_and_there_is_one_for_each_stretch() {
    let plan = planned("three-panels");
    let booklet = report::day_pages(&plan);
    let mut boxes = 0;
    for page in &booklet.pages {
        let mut widths = Vec::new();
        for shape in &page.shapes {
            let Shape::Path(path) = shape else { continue };
            let Some(about) = &path.about else { continue };
            let span = about
                .split(' ')
                .find_map(|word| {
                    let (from, to) = word.split_once('-')?;
                    Some((from.parse::<f64>().ok()?, to.parse::<f64>().ok()?))
                })
                .unwrap();
            boxes += 1;
            let across = path.points.iter().map(|point| point.0);
            let wide = across.clone().fold(f64::MIN, f64::max) - across.fold(f64::MAX, f64::min);
            widths.push(wide / (span.1 - span.0));
        }
        let first = widths.first().copied().unwrap_or(0.0);
        assert!(
            widths.iter().all(|wide| (wide - first).abs() < 1e-6),
            "{}",
            page.title
        );
    }
    let stretches: usize = plan
        .schedule
        .activities
        .iter()
        .map(|activity| activity.stretches.len() * activity.people.len())
        .sum();
    assert_eq!(boxes, stretches);
}
