//! Real sizes that nobody here wrote, as the panels of one job: every row is read or reported, and what is read is planned.
//!
//! Source: Tate collection data, CC0, `tategallery/collection` at a51d8af; height before width by its custom.

use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;

use super::cli::example;
use super::faults::hostile::measured;
use super::folders::contents;
use super::units::museum;

/// Rows of the museum: its number and what it wrote.
fn rows() -> Option<Vec<(String, String)>> {
    let text = museum("museum-dimensions.csv")?;
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows = reader.records().map(|row| row.unwrap());
    Some(
        rows.map(|row| (row[0].to_owned(), row[1].to_owned()))
            .collect(),
    )
}

fn table<'a>(rows: impl Iterator<Item = &'a (String, String)>) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["panel", "size"]).unwrap();
    for (name, size) in rows {
        writer.write_record([name, size]).unwrap();
    }
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

/// The rows of panels.csv that a problem names.
fn reported(errors: &str) -> BTreeSet<usize> {
    let places = errors.match_indices("panels.csv, row ");
    places
        .map(|(at, found)| &errors[at + found.len()..])
        .filter_map(|rest| {
            rest.split(|c: char| !c.is_ascii_digit())
                .next()?
                .parse()
                .ok()
        })
        .collect()
}

#[test]
fn every_row_of_a_museum_is_read_or_reported() {
    let Some(all) = rows() else { return };
    assert_eq!(all.len(), 2_691);
    let folder = example("three-panels");
    let job = folder.path().join("job");
    fs::write(job.join("panels.csv"), table(all.iter())).unwrap();
    let (code, errors, seconds, mebibytes) = measured(folder.path(), &["check", "job"]);
    assert_eq!(code, Some(1), "{errors}");
    let wrong = reported(&errors);
    // Reports of several parts have no size of their own; paintings too small for a wall are said to be.
    let mut unread = String::new();
    for row in &wrong {
        writeln!(unread, "{}", all[row - 2].1).unwrap();
    }
    println!(
        "{} rows: {} read, {} reported, in {seconds:.2} s and {mebibytes} MiB",
        all.len(),
        all.len() - wrong.len(),
        wrong.len()
    );
    assert!(wrong.len() >= 289 + 2 && wrong.len() < 400, "{unread}");
    assert!(mebibytes < 1024, "{mebibytes} MiB");

    // What is left has no error any more: each row that was not reported was read.
    let readable: Vec<_> = readable(&all, &wrong);
    let mut files: std::collections::BTreeMap<String, Vec<u8>> = contents(&job);
    files.insert("panels.csv".to_owned(), table(readable.iter()).into_bytes());
    let (read, problems) = facelay::job::read(&files);
    let read = read.unwrap_or_else(|| panic!("{problems:?}"));
    assert_eq!(read.panels.len() + wrong.len(), all.len());
}

/// The rows that were not reported.
fn readable(all: &[(String, String)], wrong: &BTreeSet<usize>) -> Vec<(String, String)> {
    let left = all
        .iter()
        .enumerate()
        .filter(|(at, _)| !wrong.contains(&(at + 2)));
    left.map(|(_, row)| row.clone()).collect()
}

/// All that is readable, planned as one job by the real program. The museum's own sizes are those of paintings in frames, so most are
/// small; the smallest that the planner takes is 10 mm.
#[test]
#[ignore = "takes minutes; tests/long runs it"]
fn a_museum_is_planned_as_one_job() {
    let Some(all) = rows() else { return };
    let folder = example("three-panels");
    let job = folder.path().join("job");
    let settings = fs::read_to_string(job.join("job.toml")).unwrap();
    let settings: String = settings
        .lines()
        .filter(|line| !line.starts_with("hand_over"))
        .fold(String::new(), |text, line| text + line + "\n");
    fs::write(job.join("job.toml"), settings).unwrap();
    fs::write(job.join("panels.csv"), table(all.iter())).unwrap();
    let (_, errors, ..) = measured(folder.path(), &["check", "job"]);
    let wrong = reported(&errors);
    let readable = readable(&all, &wrong);
    fs::write(job.join("panels.csv"), table(readable.iter())).unwrap();
    let (code, errors, seconds, mebibytes) =
        measured(folder.path(), &["plan", "job", "--out", "out"]);
    println!(
        "{} panels planned in {seconds:.1} s and {mebibytes} MiB",
        readable.len()
    );
    assert_eq!(code, Some(0), "{errors}");
    assert!(mebibytes < 1024, "{mebibytes} MiB");
    let plan: serde_json::Value =
        serde_json::from_slice(&fs::read(folder.path().join("out/plan.json")).unwrap()).unwrap();
    assert_eq!(plan["panels"].as_array().unwrap().len(), readable.len());
}
