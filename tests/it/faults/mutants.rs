//! Both examples with bytes changed at random: whatever is read is planned or refused, and nothing panics.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use proptest::collection::vec;
use proptest::prelude::any;
use proptest::test_runner::Config;
use proptest::test_runner::TestRng;
use proptest::test_runner::TestRunner;

use facelay::job::Job;

type Files = BTreeMap<String, Vec<u8>>;

fn example(name: &str) -> Files {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(name);
    let files = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file());
    files
        .map(|path| {
            (
                path.file_name().unwrap().to_str().unwrap().to_owned(),
                fs::read(&path).unwrap(),
            )
        })
        .collect()
}

/// Values that readers and sums trip over.
const TOKENS: &[&[u8]] = &[
    b"1e308",
    b"-1",
    b"0",
    b"NaN",
    b"99999999999999999999",
    b"0.000001",
    b"\"",
    b"'",
    b",",
    b"\n",
    b"\0",
    b"\xff",
    b"=",
    b"\"\"",
    b"9999-12-31",
    b"0001-01-01",
    b"24:00",
    b"100 %",
    b"1/0",
    b"120 m",
    b"]",
    b"[[",
    b"\xe2\x80\xb3",
    b"arch",
    b"outline",
    b"none",
    b"brittle",
    b"oil-lead",
];

/// One change: which file, where, what.
type Change = (usize, usize, u8, usize);

fn change(files: &mut Files, (file, at, kind, value): Change) {
    let count = files.len();
    let bytes = files.values_mut().nth(file % count).unwrap();
    if bytes.is_empty() {
        return;
    }
    let at = at % bytes.len();
    match kind % 6 {
        0 => bytes[at] = u8::try_from(value % 256).unwrap(),
        // Digits for digits leave most jobs readable, so that the planner meets them.
        1 | 2 => {
            if let Some(digit) = bytes.iter().skip(at).position(u8::is_ascii_digit) {
                bytes[at + digit] = b'0' + u8::try_from(value % 10).unwrap();
            }
        }
        3 => drop(bytes.drain(at..(at + value % 40).min(bytes.len()))),
        4 => {
            let copy = bytes[at..(at + value % 60).min(bytes.len())].to_vec();
            drop(bytes.splice(at..at, copy));
        }
        _ => {
            let token = TOKENS[value % TOKENS.len()];
            drop(bytes.splice(at..(at + value % 4).min(bytes.len()), token.iter().copied()));
        }
    }
}

/// Says whether a job is small enough to be planned here in a moment.
fn is_small(job: &Job) -> bool {
    let panels: u64 = job.panels.iter().map(|panel| u64::from(panel.count)).sum();
    let square_metres: f64 = job
        .panels
        .iter()
        .map(|panel| f64::from(panel.count) * panel.width.to_mm() * panel.height.to_mm() / 1e6)
        .sum();
    panels <= 40 && square_metres <= 400.0
}

fn try_mutants(name: &str, cases: u32) {
    let whole = example(name);
    let config = Config {
        cases,
        failure_persistence: None,
        max_shrink_iters: 60,
        ..Config::default()
    };
    let random = TestRng::deterministic_rng(proptest::test_runner::RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(config, random);
    let changes = vec(
        (any::<usize>(), any::<usize>(), any::<u8>(), any::<usize>()),
        1..4,
    );
    let planned = std::cell::Cell::new(0_u32);
    let outcome = runner.run(&changes, |changes| {
        let mut files = whole.clone();
        for each in changes {
            change(&mut files, each);
        }
        let (job, problems) = facelay::job::read(&files);
        assert_eq!(job.is_none(), problems.has_errors());
        if let Some(job) = job.filter(is_small) {
            planned.set(planned.get() + 1);
            let plan = facelay::plan::make(job, problems, &mut |_| {});
            for entry in facelay::report::ALL {
                let report = (entry.build)(&plan);
                if !plan.problems.has_errors() {
                    facelay::format::write_json(&report).unwrap();
                }
            }
        }
        Ok(())
    });
    outcome.unwrap();
    eprintln!("{name}: {} of {cases} mutants were planned", planned.get());
    assert!(
        planned.get() * 20 > cases,
        "only {} of {cases} mutants were planned",
        planned.get()
    );
}

#[test]
fn mutants_of_three_panels_are_planned_or_refused() {
    try_mutants("three-panels", 300);
}

#[test]
fn mutants_of_the_assembly_hall_are_planned_or_refused() {
    try_mutants("assembly-hall", 150);
}
