//! The cut sheets: what is drawn is what is planned, at the scale that is said, all of it on the paper and legible; the document as other
//! programs read it.

use std::collections::BTreeMap;
use std::process::Command;

use facelay::diag::Problems;
use facelay::format;
use facelay::geometry::Rect;
use facelay::job::Paper;
use facelay::plan::Plan;
use facelay::report;
use facelay::report::Booklet;
use facelay::report::Figure;
use facelay::report::Frame;
use facelay::report::Role;
use facelay::report::Shape;
use facelay::takeoff::LaidLayer;
use facelay::takeoff::Piece;
use facelay::units::Length;
use proptest::prelude::*;
use quick_xml::Reader;
use quick_xml::events::Event;

use crate::builder;
use crate::report::planned;
use crate::takeoff_random::facing;
use crate::takeoff_random::wall;

/// Eight points in millimetres.
const EIGHT_POINTS: f64 = 8.0 * 25.4 / 72.0;

/// A closed or open line of a drawing, as an XML parser reads it back from the SVG: what it stands for and its points.
type Drawn = (String, Vec<(f64, f64)>);

struct Svg {
    lines: Vec<Drawn>,
    words: Vec<String>,
    size: (f64, f64),
}

fn svg(figure: &Figure) -> Svg {
    let bytes = format::write_svg(figure);
    let text = std::str::from_utf8(&bytes).unwrap();
    let mut reader = Reader::from_str(text);
    let mut read = Svg {
        lines: Vec::new(),
        words: Vec::new(),
        size: (0.0, 0.0),
    };
    let (mut points, mut said) = (Vec::new(), String::new());
    loop {
        match reader.read_event().unwrap() {
            Event::Start(tag) | Event::Empty(tag) => {
                let inside = tag.name().as_ref().to_owned();
                said.clear();
                let get = |name: &str| {
                    tag.attributes()
                        .map(Result::unwrap)
                        .find(|one| one.key.as_ref() == name)
                        .map(|one| one.value.into_owned())
                };
                match inside.as_str() {
                    "svg" => {
                        let side =
                            |name| get(name).unwrap().trim_end_matches("mm").parse().unwrap();
                        read.size = (side("width"), side("height"));
                    }
                    "path" => points = numbers(&get("d").unwrap()),
                    _ => {}
                }
            }
            Event::Text(words) => said += words.as_ref(),
            Event::GeneralRef(name) => {
                said += match name.as_ref() {
                    "lt" => "<",
                    "gt" => ">",
                    "amp" => "&",
                    other => panic!("{other:?}"),
                }
            }
            Event::End(tag) => match tag.name().as_ref() {
                "title" => read
                    .lines
                    .push((said.trim().to_owned(), std::mem::take(&mut points))),
                "text" => read.words.push(said.trim().to_owned()),
                _ => {}
            },
            Event::Eof => break,
            Event::CData(_)
            | Event::Comment(_)
            | Event::Decl(_)
            | Event::PI(_)
            | Event::DocType(_) => {}
        }
    }
    read
}

/// The points of a path's data.
fn numbers(data: &str) -> Vec<(f64, f64)> {
    let values: Vec<f64> = data
        .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .filter(|part| !part.is_empty())
        .map(|part| part.parse().unwrap())
        .collect();
    values
        .chunks_exact(2)
        .map(|pair| (pair[0], pair[1]))
        .collect()
}

fn bounds(points: &[(f64, f64)]) -> Frame {
    let over = |from: f64, pick: fn(f64, f64) -> f64, of: fn(&(f64, f64)) -> f64| {
        points.iter().map(of).fold(from, pick)
    };
    Frame {
        left: over(f64::INFINITY, f64::min, |p| p.0),
        top: over(f64::INFINITY, f64::min, |p| p.1),
        right: over(f64::NEG_INFINITY, f64::max, |p| p.0),
        bottom: over(f64::NEG_INFINITY, f64::max, |p| p.1),
    }
}

/// The scale that a page says.
fn said_scale(words: &[String]) -> f64 {
    let said = words
        .iter()
        .find_map(|words| words.split_once("scale 1:"))
        .unwrap()
        .1;
    let digits: String = said.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().unwrap()
}

/// The page on which a layer is drawn: the one that has its first piece.
fn page_of<'a>(pages: &'a BTreeMap<String, &'a Svg>, layer: &LaidLayer) -> Option<&'a Svg> {
    pages.get(&layer.pieces.first()?.id).copied()
}

fn same(a: f64, b: f64, slack: f64) -> bool {
    (a - b).abs() <= slack
}

/// Compares a piece as drawn and scaled up with the piece as planned; lengths on paper are written to a thousandth.
fn check_piece(piece: &Piece, drawn: &Frame, outline: &Frame, low_left: (f64, f64), scale: f64) {
    let slack = 0.003 * scale;
    let place = (
        (drawn.left - outline.left) * scale + low_left.0,
        (outline.bottom - drawn.bottom) * scale + low_left.1,
    );
    let planned = [piece.x, piece.y, piece.width, piece.height].map(Length::to_mm);
    let found = [
        place.0,
        place.1,
        drawn.width() * scale,
        drawn.height() * scale,
    ];
    for (found, planned) in found.into_iter().zip(planned) {
        assert!(
            same(found, planned, slack),
            "{}: {found} is not {planned}",
            piece.id
        );
    }
}

#[test]
fn drawings_read_back_have_the_plans_pieces_at_the_scale_that_they_say() {
    for example in ["assembly-hall", "three-panels"] {
        let plan = planned(example);
        let booklet = report::cut_sheets(&plan);
        let read: Vec<Svg> = booklet.pages.iter().map(svg).collect();
        let mut pages: BTreeMap<String, &Svg> = BTreeMap::new();
        for page in &read {
            if page.lines.iter().any(|(about, _)| about == "outline") {
                for (about, _) in &page.lines {
                    pages.insert(about.clone(), page);
                }
            }
        }
        let mut checked = 0;
        for layer in &plan.takeoff.layers {
            let Some(page) = page_of(&pages, layer) else {
                continue;
            };
            let panel = &plan.survey.panels[layer.panel];
            let corner = Rect::around(&panel.outline).unwrap();
            let low_left = (corner.x.to_mm(), corner.y.to_mm());
            let line = |name: &str| {
                bounds(
                    &page
                        .lines
                        .iter()
                        .find(|(about, _)| about == name)
                        .unwrap()
                        .1,
                )
            };
            let (outline, scale) = (line("outline"), said_scale(&page.words));
            assert!(
                same(outline.width() * scale, panel.width.to_mm(), 0.003 * scale),
                "{}",
                panel.id
            );
            for piece in &layer.pieces {
                let drawn = line(&piece.id);
                check_piece(piece, &drawn, &outline, low_left, scale);
                assert!(
                    drawn.left >= 0.0
                        && drawn.right <= page.size.0
                        && drawn.top >= 0.0
                        && drawn.bottom <= page.size.1
                );
                checked += 1;
            }
        }
        // Identical panels share a page, so that only the first of them has its ids drawn.
        let planned: usize = plan
            .takeoff
            .layers
            .iter()
            .map(|layer| layer.pieces.len())
            .sum();
        assert!(checked > 0 && checked <= planned);
        for layer in &plan.takeoff.layers {
            let id = plan.panel_id(layer.panel);
            assert!(
                id.contains('/') || page_of(&pages, layer).is_some(),
                "{id} layer {} is not drawn",
                layer.layer
            );
        }
    }
}

/// The PDF as another program reads it: the words of each page.
fn pdf_text(booklet: &Booklet) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sheets.pdf");
    std::fs::write(&path, format::write_pdf(booklet).unwrap()).unwrap();
    let run = Command::new("pdftotext")
        .args(["-layout", "-enc", "UTF-8"])
        .arg(&path)
        .arg("-")
        .output()
        .expect("pdftotext is missing: tests/run installs poppler-utils");
    assert!(run.status.success(), "{run:?}");
    let text = String::from_utf8(run.stdout).unwrap();
    text.trim_end_matches('\u{c}')
        .split('\u{c}')
        .map(str::to_owned)
        .collect()
}

#[test]
fn the_document_has_a_page_for_everything_and_says_what_it_is() {
    for example in ["assembly-hall", "three-panels"] {
        let plan = planned(example);
        let booklet = report::cut_sheets(&plan);
        let pages = pdf_text(&booklet);
        assert_eq!(pages.len(), booklet.pages.len());
        for (page, figure) in pages.iter().zip(&booklet.pages) {
            assert!(
                page.contains(&figure.title),
                "`{}` is not on its page",
                figure.title
            );
            assert!(page.contains(&format!("of {}", pages.len())));
        }
        let all = pages.join("\n");
        for panel in &plan.survey.panels {
            assert!(
                all.contains(&panel.id) || panel.id.contains('/'),
                "{} is nowhere",
                panel.id
            );
        }
        for drum in &plan.rolling.drums {
            assert!(all.contains(&format!("Drum {}", drum.id)));
        }
        for packed in &plan.crating.crates {
            assert!(all.contains(&format!("Crate {}", packed.id)));
        }
        for unit in plan.takeoff.cuts.iter().chain(&plan.crating.cuts) {
            assert!(all.contains(&format!("Cut list: {}", plan.material_name(&unit.material))));
        }
        assert!(all.contains("initials") && all.contains("Caution"));
    }
}

#[test]
fn every_piece_that_is_cut_stands_in_the_cut_list() {
    let plan = planned("three-panels");
    let all = pdf_text(&report::cut_sheets(&plan)).join(" ");
    let words: String = all.split_whitespace().collect();
    for piece in plan.takeoff.cuts.iter().flat_map(|unit| &unit.pieces) {
        assert!(
            words.contains(&piece.id),
            "{} is not in the cut list",
            piece.id
        );
    }
}

#[test]
fn the_paper_is_the_jobs() {
    let mut plan = planned("three-panels");
    assert_eq!(
        plan.job.paper,
        Paper::Letter,
        "feet and inches are printed on Letter"
    );
    for (paper, short, long) in [(Paper::Letter, 215.9, 279.4), (Paper::A4, 210.0, 297.0)] {
        plan.job.paper = paper;
        for page in report::cut_sheets(&plan).pages {
            let (a, b) = (page.width.min(page.height), page.width.max(page.height));
            assert!(same(a, short, 1e-9) && same(b, long, 1e-9));
        }
    }
}

/// Nothing lies outside the paper, no words are smaller than eight points, and no number of a sheet covers another.
fn legible(booklet: &Booklet) -> Result<(), String> {
    for page in &booklet.pages {
        let slack = 0.01;
        for text in page.texts() {
            let at = text.frame();
            if at.left < -slack
                || at.top < -slack
                || at.right > page.width + slack
                || at.bottom > page.height + slack
            {
                return Err(format!(
                    "{}: `{}` leaves the page: {at:?}",
                    page.title, text.words
                ));
            }
            if text.size < EIGHT_POINTS {
                return Err(format!(
                    "{}: `{}` is smaller than eight points",
                    page.title, text.words
                ));
            }
        }
        for shape in &page.shapes {
            if let Shape::Path(path) = shape {
                let at = bounds(&path.points);
                if at.left < -slack
                    || at.top < -slack
                    || at.right > page.width + slack
                    || at.bottom > page.height + slack
                {
                    return Err(format!(
                        "{}: a line leaves the page: {:?} {at:?}",
                        page.title, path.about
                    ));
                }
            }
        }
        let numbers: Vec<_> = page
            .texts()
            .filter(|text| {
                text.role == Role::Label && text.words.chars().all(|c| c.is_ascii_digit())
            })
            .collect();
        for (at, one) in numbers.iter().enumerate() {
            for other in &numbers[at + 1..] {
                if shrunk(&one.frame()).meets(&shrunk(&other.frame())) {
                    return Err(format!(
                        "{}: {} and {} cover each other",
                        page.title, one.words, other.words
                    ));
                }
            }
        }
    }
    Ok(())
}

/// The ink of digits, which have no descenders.
fn shrunk(frame: &Frame) -> Frame {
    let down = 0.24 / 1.0 * frame.height();
    Frame {
        left: frame.left + 0.1,
        top: frame.top + 0.1,
        right: frame.right - 0.1,
        bottom: frame.bottom - down,
    }
}

/// Words that cover each other on the pages of drums and crates, where dimensions, numbers and lists meet.
fn covered(booklet: &Booklet) -> Result<(), String> {
    let pages = booklet.pages.iter();
    for page in pages.filter(|page| ["Drums", "Crates"].contains(&page.group.as_str())) {
        let texts: Vec<_> = page.texts().collect();
        for (at, one) in texts.iter().enumerate() {
            for other in &texts[at + 1..] {
                if shrunk(&one.frame()).meets(&shrunk(&other.frame())) {
                    return Err(format!(
                        "{}: `{}` and `{}` cover each other",
                        page.title, one.words, other.words
                    ));
                }
            }
        }
    }
    Ok(())
}

#[test]
fn words_of_drums_and_crates_keep_apart() {
    for example in ["assembly-hall", "three-panels"] {
        assert_eq!(covered(&report::cut_sheets(&planned(example))), Ok(()));
    }
}

#[test]
fn the_examples_are_legible() {
    for example in ["assembly-hall", "three-panels"] {
        assert_eq!(legible(&report::cut_sheets(&planned(example))), Ok(()));
    }
}

fn plan_of(job: facelay::job::Job) -> Plan {
    facelay::plan::make(job, Problems::default(), &mut |_| {})
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 30, failure_persistence: None, max_shrink_iters: 50, ..ProptestConfig::default() })]

    #[test]
    fn random_walls_are_drawn_on_the_paper(wall in wall(), (steps, materials) in facing(), up in 0.0..5000.0_f64, letter in any::<bool>()) {
        let mut job = builder::job(vec![wall], steps, materials);
        job.panels[0].height_above_floor = builder::mm(up);
        job.paper = if letter { Paper::Letter } else { Paper::A4 };
        let booklet = report::cut_sheets(&plan_of(job));
        prop_assert_eq!(legible(&booklet), Ok(()));
        prop_assert!(!booklet.pages.is_empty());
    }
}

#[test]
fn small_sheets_by_the_hundred_keep_their_numbers_apart() {
    let steps = vec![builder::layer("tissue", "leaf", 10.0)];
    let leaf = builder::sheeting("leaf", facelay::catalog::MaterialKind::Sheet, 120.0, 90.0);
    let job = builder::job(vec![builder::panel("P", 4000.0, 2500.0)], steps, vec![leaf]);
    let plan = plan_of(job);
    let pieces = &plan.takeoff.layers[0].pieces;
    assert!(pieces.len() > 500, "{}", pieces.len());
    let booklet = report::cut_sheets(&plan);
    assert_eq!(legible(&booklet), Ok(()));
    let words: Vec<&str> = booklet
        .pages
        .iter()
        .filter(|page| page.group == "P")
        .flat_map(Figure::texts)
        .map(|text| text.words.as_str())
        .collect();
    for number in 1..=pieces.len() {
        let (alone, listed) = (number.to_string(), format!("{number}: begins"));
        assert!(
            words
                .iter()
                .any(|words| *words == alone || words.starts_with(&listed)),
            "{number} is nowhere"
        );
    }
}

#[test]
fn names_of_every_kind_are_written_as_words() {
    let long = "long ".repeat(60);
    let names = [
        "<b>N&1</b>",
        "\"quoted\" 'N2'",
        "⛪ tower 🎨",
        "קיר צפוני",
        "الجدار \u{202e}abc",
        "a\u{0}b\tc\nd",
        "../../etc/passwd",
        long.trim(),
    ];
    let panels = names
        .iter()
        .map(|name| builder::panel(name, 1200.0, 900.0))
        .collect();
    let sheet = builder::sheeting("leaf", facelay::catalog::MaterialKind::Sheet, 640.0, 970.0);
    let mut job = builder::job(
        panels,
        vec![builder::layer("tissue", "leaf", 20.0)],
        vec![sheet],
    );
    job.title = format!("<script>alert(\"{long}\")</script>");
    let booklet = report::cut_sheets(&plan_of(job));
    assert_eq!(legible(&booklet), Ok(()));
    let words: Vec<String> = booklet
        .pages
        .iter()
        .flat_map(|page| svg(page).words)
        .collect();
    for part in [
        "<b>N&1</b>",
        "\"quoted\" 'N2'",
        "tower",
        "קיר צפוני",
        "../../etc/passwd",
    ] {
        assert!(
            words.iter().any(|words| words.contains(part)),
            "{part}: {words:?}"
        );
    }
    let pages = pdf_text(&booklet);
    assert!(pages.iter().any(|page| page.contains("<b>N&1</b>")));
}

#[test]
fn the_same_plan_gives_the_same_document() {
    let plan = planned("three-panels");
    let (one, other) = (report::cut_sheets(&plan), report::cut_sheets(&plan));
    let bytes = format::write_pdf(&one).unwrap();
    assert_eq!(bytes, format::write_pdf(&other).unwrap());
    let text = String::from_utf8_lossy(&bytes);
    assert!(!text.contains("CreationDate"), "a clock was read");
    assert!(
        text.contains("/MarkInfo") || text.contains("/ObjStm"),
        "the document has no tags"
    );
}
