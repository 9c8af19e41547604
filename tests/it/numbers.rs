//! Numbers that leave a stage are numbers, and hang on nothing but the job.

use std::fs;
use std::path::Path;
use std::process::Command;

use super::cli::example;
use super::cli::said;
use super::folders::contents;
use super::metamorphic::plan;
use super::metamorphic::random;
use super::random_job::Writing;

/// Words of a text that are no finite number, each with what stands before it.
fn not_finite(text: &str) -> Vec<&str> {
    let is_word = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == '"');
    let mut found = Vec::new();
    for word in ["NaN", "inf"] {
        for (at, _) in text.match_indices(word) {
            let (before, after) = (&text[..at], &text[at + word.len()..]);
            if !is_word(before.chars().next_back()) && !is_word(after.chars().next()) {
                found.push(&text[text[..at].rfind([',', '{', '(']).unwrap_or(0)..at + word.len()]);
            }
        }
    }
    found
}

/// The first nought with a minus sign in a text, as the sum of nothing gives, with what stands round it.
fn less_than_nothing(text: &str) -> Option<&str> {
    let mut noughts = text.match_indices("-0").filter(|(at, _)| {
        let before = text[..*at].chars().next_back();
        let behind = text[at + 2..].trim_start_matches(['.', '0']);
        let is_number = before.is_none_or(|c| !c.is_alphanumeric());
        is_number && !behind.starts_with(|c: char| c.is_ascii_digit() || c == '-')
    });
    noughts.next().map(|(at, _)| {
        let from = (0..at.saturating_sub(60))
            .rev()
            .find(|at| text.is_char_boundary(*at))
            .unwrap_or(0);
        &text[from..at + 2]
    })
}

#[test]
fn words_that_are_no_number_are_found() {
    assert_eq!(
        not_finite("Drum { mass: NaN, name: \"info\", x: -inf }").len(),
        2
    );
    assert_eq!(
        less_than_nothing("2027-01-05T08:00, N-0, -0.5, P-0007"),
        None
    );
    assert!(less_than_nothing("[1.0,-0.0]").is_some() && less_than_nothing("\"-0 m\"").is_some());
    assert!(not_finite("information: 1.0, because: \"a NaN\"").is_empty());
}

/// Every stage's outcome as Rust shows it, so that no field is left out: whatever is no finite number would stand there by its name.
#[test]
fn no_stage_hands_on_what_is_no_number() {
    let mut planned = 0;
    for seed in 100..108 {
        let Some(mut plan) = plan(&random(seed), Writing::default()) else {
            continue;
        };
        planned += 1;
        facelay::plan::weigh(&mut plan, &mut |_| {});
        let stages = [
            format!("{:?}", plan.survey),
            format!("{:?}", plan.takeoff),
            format!("{:?}", plan.rolling),
            format!("{:?}", plan.crating),
            format!("{:?}", plan.exposure),
            format!("{:?}", plan.schedule),
            format!("{:?}", plan.purchase),
            format!("{:?}", plan.bid),
            format!("{:?} {:?}", plan.odds, plan.cases),
        ];
        for stage in &stages {
            assert_eq!(not_finite(stage), Vec::<&str>::new(), "job {seed}");
        }
        let file = String::from_utf8(facelay::format::write_plan(&plan).unwrap()).unwrap();
        assert_eq!(less_than_nothing(&file), None, "job {seed}");
        for entry in facelay::report::ALL {
            facelay::format::write_json(&(entry.build)(&plan)).unwrap();
        }
    }
    assert!(planned > 4, "{planned} jobs could be planned");
}

/// One core instead of all, another language, time zone and working folder, files made in another order: the same bytes.
#[cfg(target_os = "linux")]
#[test]
fn nothing_hangs_on_the_machine() {
    let folder = example("three-panels");
    said(folder.path(), &["plan", "job", "--out", "out"], 0);
    let again = tempfile::TempDir::new().unwrap();
    let job = again.path().join("job");
    fs::create_dir(&job).unwrap();
    let mut names: Vec<_> = contents(&folder.path().join("job")).into_iter().collect();
    names.reverse();
    for (name, bytes) in names {
        fs::create_dir_all(job.join(&name).parent().unwrap()).unwrap();
        fs::write(job.join(name), bytes).unwrap();
    }
    let run = Command::new("taskset")
        .args(["-c", "0", env!("CARGO_BIN_EXE_facelay"), "plan"])
        .arg(&job)
        .arg("--out")
        .arg(again.path().join("out"))
        .current_dir("/")
        .envs([
            ("TZ", "Pacific/Apia"),
            ("LANG", "tr_TR.UTF-8"),
            ("LC_ALL", "de_DE.UTF-8"),
            ("COLUMNS", "40"),
        ])
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let (a, b) = (
        contents(&folder.path().join("out")),
        contents(Path::new(&again.path().join("out"))),
    );
    assert!(a.keys().eq(b.keys()));
    for (name, bytes) in &a {
        assert!(b[name] == *bytes, "{name} differs on another machine");
    }
}
