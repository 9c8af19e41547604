//! Time to lay 20 panels × 6 layers, then 100, 1,000 and 10,000 panels × 6 layers, and how it grows.
//!
//! Prints one tab-separated line a job: panels, of which distinct, layers, pieces, seconds of processor, ratio. The ratio is against a fixed piece
//! of arithmetic timed in the same run, so that lines from different machines can be compared. Pieces are not cut from stock here. The
//! growth exponent between two sizes is ln(t2/t1) / ln(n2/n1).
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    missing_docs,
    reason = "a benchmark may stop where it fails, and says so"
)]

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::sync::OnceLock;
use std::time::Instant;

use facelay::diag::Ledger;
use facelay::diag::Problems;
use facelay::job::Job;
use facelay::survey::measure;
use facelay::takeoff::lay_out;
use libm::log;

fn main() {
    let reference = reference();
    println!("panels\tdistinct\tlayers\tpieces\tseconds\tratio");
    timed(20, 20, reference);
    for alike in [true, false] {
        println!(
            "{}",
            if alike {
                "panels in 240 kinds"
            } else {
                "every panel different"
            }
        );
        let mut before: Option<(f64, f64)> = None;
        for (count, panels) in [(100_u32, 100), (1000, 1000), (10_000, 10_000)] {
            let kinds = if alike { 240 } else { panels };
            let seconds = timed(panels, kinds, reference);
            if let Some((fewer, quicker)) = before {
                println!(
                    "growth exponent {:.2}",
                    log(seconds / quicker) / log(f64::from(count) / fewer)
                );
            }
            before = Some((f64::from(count), seconds));
        }
    }
}

/// Lays a job and prints its line.
fn timed(panels: usize, kinds: usize, reference: f64) -> f64 {
    let job = job(panels, kinds);
    let mut problems = Problems::new();
    let survey = measure(&job, &mut Ledger::new(), &mut problems);
    assert!(!problems.has_errors(), "{problems:?}");
    let begun = processor_seconds();
    let layers = lay_out(&job, &survey, &mut problems);
    let seconds = processor_seconds() - begun;
    assert_eq!(layers.len(), panels * 6, "{problems:?}");
    let distinct: BTreeSet<_> = survey
        .panels
        .iter()
        .map(|panel| (&panel.outline, &panel.openings))
        .collect();
    let pieces: usize = layers.iter().map(|layer| layer.pieces.len()).sum();
    println!(
        "{panels}\t{}\t{}\t{pieces}\t{seconds:.3}\t{:.1}",
        distinct.len(),
        layers.len(),
        seconds / reference
    );
    seconds
}

/// Seconds for a fixed piece of integer arithmetic.
fn reference() -> f64 {
    let begun = processor_seconds();
    let mut state = 1_u64;
    for _ in 0..50_000_000 {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
    }
    assert_ne!(std::hint::black_box(state), 0);
    processor_seconds() - begun
}

/// Seconds that this process, which has one thread, has had a processor, as Linux counts them; else seconds on the clock.
fn processor_seconds() -> f64 {
    static BEGUN: OnceLock<Instant> = OnceLock::new();
    let had = std::fs::read_to_string("/proc/self/schedstat").unwrap_or_default();
    let first = had.split_whitespace().next().map(str::parse::<f64>);
    let clock = BEGUN.get_or_init(Instant::now).elapsed().as_secs_f64();
    first
        .and_then(Result::ok)
        .map_or(clock, |nanoseconds| nanoseconds / 1e9)
}

const JOB: &str = r#"
title = "Layout benchmark"
currency = "EUR"
unit = "mm"
first_day = 2027-01-11
order_day = 2026-11-25
default_recipe = "six"

[[place]]
role = "site"
name = "Hall"
hours = { mon-fri = ["08:00-12:00", "13:00-17:00"] }
temperature = "18 °C"
humidity = "50 %"

[[person]]
name = "conservator"
skills = ["conservator"]
cost = "30.00"
charge = "50.00"
"#;

/// Two layers each of tissue, rag paper and gauze.
fn recipe() -> String {
    let mut text = "id = \"six\"\nname = \"Six layers\"\nabout = \"For timing.\"\n".to_owned();
    let materials = [
        "tissue-16",
        "tissue-16",
        "rag-80",
        "rag-80",
        "gauze-25",
        "gauze-25",
    ];
    for (number, material) in (1..).zip(materials) {
        write!(
            text,
            "[[step]]\nid = \"l{number}\"\nkind = \"layer\"\nmaterial = \"{material}\"\noverlap = 20\nmargin = 40\nopening_lap = 20\n\
             seam_distance = 60\ntrim = 5\nwork = [{{ minutes = 20, per = \"m2\" }}]\nskill = \"conservator\"\n"
        )
        .unwrap();
    }
    text
}

/// Rectangles, lunettes and arches; every fifth has a door.
fn job(panels: usize, kinds: usize) -> Job {
    let mut rows = "panel,shape,width,height,spring\n".to_owned();
    let mut openings = "panel,shape,left,bottom,width,height\n".to_owned();
    for at in 0..panels {
        let kind = at % kinds;
        let width = 1800 + 7 * (kind % 400);
        let height = 1400 + 11 * (kind / 400) + kind % 7;
        let (shape, height, spring) = match kind % 3 {
            0 => ("rectangle", height, String::new()),
            1 => ("lunette", width / 2 - 50, String::new()),
            _ => ("arch", height + width / 2 - 10, (height - 5).to_string()),
        };
        writeln!(rows, "P{at},{shape},{width},{height},{spring}").unwrap();
        if kind.is_multiple_of(5) {
            writeln!(openings, "P{at},rectangle,{},0,500,600", width / 3).unwrap();
        }
    }
    let files = [
        ("job.toml", JOB.to_owned()),
        ("panels.csv", rows),
        ("openings.csv", openings),
        ("recipes/six.toml", recipe()),
    ];
    let files: BTreeMap<String, Vec<u8>> = files
        .into_iter()
        .map(|(name, text)| (name.to_owned(), text.into_bytes()))
        .collect();
    let (job, problems) = facelay::job::read(&files);
    job.unwrap_or_else(|| panic!("{problems:?}"))
}
