//! The real binary: every command, exit codes, help, and what its output parses as.

use std::fs;
use std::path::Path;
use std::process::Output;

use assert_cmd::Command;
use tempfile::TempDir;
use unicode_width::UnicodeWidthStr;

/// A temporary folder with a copy of an example as `job`.
pub(crate) fn example(name: &str) -> TempDir {
    let folder = TempDir::new().unwrap();
    let from = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(name);
    copy(&from, &folder.path().join("job"));
    folder
}

/// Copies a folder's files; what the demo wrote is not part of it.
pub(crate) fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() && !path.ends_with("out") {
            copy(&path, &target);
        } else if path.is_file() {
            fs::copy(&path, target).unwrap();
        }
    }
}

/// Runs facelay within a folder.
pub(crate) fn facelay(folder: &Path, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_facelay"));
    command
        .current_dir(folder)
        .args(arguments)
        .env_remove("CLICOLOR_FORCE")
        .output()
        .unwrap()
}

/// What it says on standard output, once it ended as expected.
pub(crate) fn said(folder: &Path, arguments: &[&str], code: i32) -> String {
    let output = facelay(folder, arguments);
    let errors = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(code), "{arguments:?}: {errors}");
    assert!(
        !errors.contains("panicked") && !errors.contains("at fault"),
        "{arguments:?}: {errors}"
    );
    String::from_utf8(output.stdout).unwrap()
}

/// What it says on standard error, once it ended as expected.
pub(crate) fn complained(folder: &Path, arguments: &[&str], code: i32) -> String {
    let output = facelay(folder, arguments);
    let errors = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(code), "{arguments:?}: {errors}");
    assert!(
        !errors.contains("panicked") && !errors.contains("at fault"),
        "{arguments:?}: {errors}"
    );
    errors
}

/// No line takes more than 80 columns of a terminal, where a wide letter takes two.
fn assert_narrow(text: &str, whose: &str) {
    for line in text.lines() {
        let columns = line.width();
        assert!(columns <= 80, "{whose}: {columns} columns: {line}");
    }
}

const TABLES: &[&str] = &["quantities", "drums", "days", "buy", "bid"];

#[test]
fn tables_fit_eighty_columns_and_parse_as_json_and_csv() {
    for job in ["three-panels", "assembly-hall"] {
        let folder = example(job);
        for command in TABLES {
            let text = said(folder.path(), &[command, "job"], 0);
            assert!(text.lines().count() > 4, "{command}: {text}");
            assert_narrow(&text, command);
            let json = said(folder.path(), &[command, "job", "--json"], 0);
            let json: serde_json::Value = serde_json::from_str(&json).unwrap();
            assert!(json.is_object() || json.is_array(), "{command}");
            let csv = said(folder.path(), &[command, "job", "--csv"], 0);
            for table in csv.split("\r\n\r\n") {
                let mut reader = csv::Reader::from_reader(table.as_bytes());
                assert!(
                    reader
                        .headers()
                        .unwrap()
                        .iter()
                        .all(|heading| !heading.is_empty()),
                    "{command}: {table}"
                );
                // A reader that is not flexible refuses a row with another number of cells than there are headings.
                assert!(
                    reader.records().all(|record| record.is_ok()),
                    "{command}: {table}"
                );
            }
        }
    }
}

#[test]
fn text_fits_eighty_columns_whatever_the_names() {
    let folder = example("three-panels");
    let long = "n".repeat(60);
    let rows = format!(
        "panel,place,width,height\n東の壁画,東の間,3',4'\nالجدار الشمالي,الشرق,3',4'\n{long},hall,3',4'\n😀 naïve e\u{301},hall,3',4'\n"
    );
    fs::write(folder.path().join("job/panels.csv"), rows).unwrap();
    let job = fs::read_to_string(folder.path().join("job/job.toml")).unwrap();
    let title = format!("{} {}", "T".repeat(200), "東の壁画".repeat(20));
    let job = job
        .replace("Harbour reading room, three panels", &title)
        .replace("name = \"carpenter\"", "name = \"大工の頭領さんと弟子\"");
    fs::write(folder.path().join("job/job.toml"), job).unwrap();
    let why = ["why", "job", "D1"];
    let plan = ["plan", "job", "--out", "out"];
    let tables = TABLES.iter().map(|command| vec![*command, "job"]);
    for arguments in tables.chain([why.to_vec(), plan.to_vec()]) {
        let text = said(folder.path(), &arguments, 0);
        assert_narrow(&text, arguments[0]);
        assert!(!text.contains('\u{1b}'));
    }
}

#[test]
fn one_panel_is_shown_alone() {
    let folder = example("three-panels");
    let text = said(folder.path(), &["quantities", "job", "--panel", "R1"], 0);
    assert!(text.contains("R1") && !text.contains("R2"), "{text}");
    let text = complained(folder.path(), &["quantities", "job", "--panel", "R9"], 1);
    assert!(
        text.contains("there is no panel `R9`") && text.contains("write `R1`"),
        "{text}"
    );
}

/// What is laid, rolled and packed does not hang on the days: of a job that comes late no word of it is said there.
#[test]
fn sheets_and_drums_are_told_of_a_job_that_comes_late() {
    let folder = example("three-panels");
    let path = folder.path().join("job/job.toml");
    let job = fs::read_to_string(&path).unwrap();
    let late = job.replace("hand_over = 2027-02-26", "hand_over = 2027-01-12");
    assert_ne!(job, late);
    fs::write(&path, late).unwrap();
    let warned = |command: &str| {
        let output = facelay(folder.path(), &[command, "job"]);
        let words = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(0), "{command}: {words}");
        words.contains("the hand-over on 2027-01-12 is missed")
    };
    assert!(warned("days"));
    assert!(!warned("quantities"));
    assert!(!warned("drums"));
}

#[test]
fn usage_errors_end_with_two() {
    let folder = example("three-panels");
    let cases: &[&[&str]] = &[
        &[],
        &["plann", "job"],
        &["plan", "job"],
        &["check"],
        &["why", "job"],
        &["days", "job", "--json", "--csv"],
        &["days", "job", "--panel", "R1", "--air"],
        &["completions", "shell"],
        &["new"],
    ];
    for case in cases {
        assert!(!complained(folder.path(), case, 2).is_empty(), "{case:?}");
    }
    assert!(said(folder.path(), &["--version"], 0).starts_with("facelay "));
}

#[test]
fn a_job_that_is_not_there_ends_with_one() {
    let folder = example("three-panels");
    fs::create_dir(folder.path().join("empty")).unwrap();
    fs::write(folder.path().join("file"), "x").unwrap();
    for command in ["check", "quantities", "drums", "days", "buy", "bid"] {
        let missing = complained(folder.path(), &[command, "nowhere"], 1);
        assert!(
            missing.contains("nowhere") && missing.contains("help: check that the folder exists"),
            "{missing}"
        );
    }
    insta::assert_snapshot!(complained(folder.path(), &["check", "empty"], 1), @r"
    error: empty: there is no job.toml in this folder
      = help: give the folder that holds job.toml, or start one with `facelay new FOLDER`
    ");
    insta::assert_snapshot!(complained(folder.path(), &["check", "file"], 1), @r"
    error: file: this is a file, not a folder
      = help: give the folder that holds job.toml
    ");
}

/// `plan` says what to do first, and names every file that it wrote.
#[test]
fn plan_says_what_to_order_by_when() {
    let folder = example("three-panels");
    let text = said(folder.path(), &["plan", "job", "--out", "out"], 0);
    assert_narrow(&text, "plan");
    for word in [
        "Order     by ",
        "Drums     D1",
        "Days      Mon 2027-01-11",
        "Price     ",
        "USD",
        "Caution   ",
        "Written   out/purchase-list.xlsx",
    ] {
        assert!(text.contains(word), "no `{word}` in {text}");
    }
    for entry in fs::read_dir(folder.path().join("out")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(
            name.starts_with('.') || text.contains(&name),
            "{name} is not named in {text}"
        );
    }
}

#[test]
fn check_says_each_problem_in_words_or_json() {
    let folder = example("three-panels");
    fs::write(
        folder.path().join("job/panels.csv"),
        "panel,width,height,recipe\nR1,wide,4' 3\",\nR2,3',5',suple-paste\n",
    )
    .unwrap();
    let text = complained(folder.path(), &["check", "job"], 1);
    assert!(
        text.contains("panels.csv, row 2, column width") && text.contains("`supple-paste`"),
        "{text}"
    );
    assert!(text.ends_with("2 errors\n"), "{text}");
    let json = said(folder.path(), &["check", "job", "--json"], 1);
    let rows: Vec<serde_json::Value> = serde_json::from_str(&json).unwrap();
    assert_eq!(rows.len(), 2);
    assert!(
        rows.iter().all(|row| row["level"] == "error"
            && row["where"].is_string()
            && row["help"].is_string()),
        "{json}"
    );
}

#[test]
fn a_new_folder_plans_as_it_stands_and_is_never_overwritten() {
    for (name, inches) in [("metric", false), ("imperial", true)] {
        let folder = TempDir::new().unwrap();
        let arguments: &[&str] = if inches {
            &["new", name, "--inches"]
        } else {
            &["new", name]
        };
        assert!(said(folder.path(), arguments, 0).contains("job.toml"));
        let problems = said(folder.path(), &["check", name, "--json"], 0);
        let problems: Vec<serde_json::Value> = serde_json::from_str(&problems).unwrap();
        assert!(
            problems
                .iter()
                .all(|problem| problem["level"] == "warning" && problem["where"].is_null()),
            "{problems:?}"
        );
        assert!(
            said(folder.path(), &["plan", name, "--out", "out"], 0).contains("purchase-list.xlsx")
        );

        fs::write(folder.path().join(name).join("job.toml"), "mine").unwrap();
        let before = fs::read(folder.path().join(name).join("panels.xlsx")).unwrap();
        let refused = complained(folder.path(), &["new", name], 1);
        assert!(
            refused.contains("`job.toml` and `panels.xlsx` are there already"),
            "{refused}"
        );
        assert_eq!(
            fs::read(folder.path().join(name).join("job.toml")).unwrap(),
            b"mine"
        );
        assert_eq!(
            fs::read(folder.path().join(name).join("panels.xlsx")).unwrap(),
            before
        );
        fs::remove_file(folder.path().join(name).join("panels.xlsx")).unwrap();
        complained(folder.path(), &["new", name], 1);
        assert!(
            !folder.path().join(name).join("panels.xlsx").exists(),
            "half a folder was started"
        );
    }
}

#[test]
fn why_tells_every_figure_or_suggests_one() {
    let folder = example("three-panels");
    said(folder.path(), &["plan", "job", "--out", "out"], 0);
    for what in [
        "drum/D1",
        "panel/R3",
        "material/tissue-12",
        "tissue-12",
        "R1",
        "D1",
        "bid/L001",
        "solution",
        "crate",
    ] {
        let text = said(folder.path(), &["why", "job", what], 0);
        assert!(
            text.contains("  = ") && text.contains("  by "),
            "{what}: {text}"
        );
        assert_narrow(&text, what);
        let json = said(folder.path(), &["why", "job", what, "--json"], 0);
        assert!(
            !serde_json::from_str::<Vec<serde_json::Value>>(&json)
                .unwrap()
                .is_empty(),
            "{what}"
        );
    }
    let near = complained(folder.path(), &["why", "job", "tissue-13"], 1);
    assert!(
        near.contains("nothing is known of `tissue-13`") && near.contains("write `tissue-12`"),
        "{near}"
    );
    let far = complained(folder.path(), &["why", "job", "the weather"], 1);
    assert!(
        far.contains("`drum`") && far.contains("e.g. drum/D1"),
        "{far}"
    );
}

/// Every demand names the derivation that it comes from, and `why` knows it.
#[test]
fn why_knows_the_reason_of_each_demand() {
    let folder = example("three-panels");
    said(folder.path(), &["plan", "job", "--out", "out"], 0);
    let plan: serde_json::Value =
        serde_json::from_slice(&fs::read(folder.path().join("out/plan.json")).unwrap()).unwrap();
    let demands = plan["demands"].as_array().unwrap();
    assert!(!demands.is_empty());
    for demand in demands.iter().step_by(7) {
        said(
            folder.path(),
            &["why", "job", demand["because"].as_str().unwrap()],
            0,
        );
    }
}

/// A reader that has seen enough closes the pipe.
#[test]
fn a_closed_pipe_is_no_fault() {
    let folder = example("three-panels");
    let program = env!("CARGO_BIN_EXE_facelay");
    for command in [
        "why job drum/D1",
        "days job",
        "plan job --out out",
        "check job --json",
        "manual",
        "completions zsh",
    ] {
        let line = format!("{{ {program} {command}; echo $? >&3; }} 3>code | true; cat code");
        let run = std::process::Command::new("bash")
            .args(["-c", &line])
            .current_dir(folder.path())
            .output()
            .unwrap();
        let errors = String::from_utf8(run.stderr).unwrap();
        assert!(
            !errors.contains("fault") && !errors.contains("panicked"),
            "{command}: {errors}"
        );
        assert_eq!(
            String::from_utf8(run.stdout).unwrap(),
            "0\n",
            "{command}: {errors}"
        );
    }
}
