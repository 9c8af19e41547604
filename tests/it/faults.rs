//! Bad input: a clear error with its place, exit code 1, nothing written, no panic.
//!
//! A recipe cannot loop: its steps are an ordered list, each follows those before it, and no key of a step, solution or catalogue row
//! names another recipe. So there is no case for one.

mod broken_off;
pub(crate) mod hostile;
mod mutants;
pub(crate) mod outputs;

use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::time::Duration;
use std::time::Instant;

use super::cli::complained;
use super::cli::example;

/// What is wrong with a folder, and the words that must be said of it.
type Case<'a> = (&'a str, &'a dyn Fn(&Path), &'a [&'a str]);

/// Tries each folder with `check` and with `plan`, which must not even make the folder for its output.
fn refuse_all(cases: &[Case<'_>]) {
    let mut wrong = String::new();
    for (name, spoil, words) in cases {
        let folder = example("three-panels");
        spoil(&folder.path().join("job"));
        for arguments in [&["check", "job"][..], &["plan", "job", "--out", "out"]] {
            let began = Instant::now();
            let errors = complained(folder.path(), arguments, 1);
            assert!(
                began.elapsed() < Duration::from_mins(1),
                "{name} took {:?}",
                began.elapsed()
            );
            for word in words.iter().filter(|word| !errors.contains(**word)) {
                writeln!(wrong, "{name}: no `{word}` in: {errors}").unwrap();
            }
            assert!(
                errors.len() < 20_000,
                "{name}: {} bytes of errors",
                errors.len()
            );
        }
        assert!(
            !folder.path().join("out").exists(),
            "{name}: something was written"
        );
    }
    assert!(wrong.is_empty(), "{wrong}");
}

fn panels(job: &Path, text: &str) {
    fs::write(job.join("panels.csv"), text).unwrap();
}

/// Replaces a part of job.toml, which must be there.
fn settings(job: &Path, from: &str, to: &str) {
    let text = fs::read_to_string(job.join("job.toml")).unwrap();
    assert!(text.contains(from), "no `{from}` in job.toml");
    fs::write(job.join("job.toml"), text.replace(from, to)).unwrap();
}

#[test]
fn empty_and_foreign_files_are_refused() {
    refuse_all(&[
        (
            "no job.toml",
            &|job| fs::remove_file(job.join("job.toml")).unwrap(),
            &["there is no job.toml", "facelay new"],
        ),
        (
            "empty job.toml",
            &|job| fs::write(job.join("job.toml"), "").unwrap(),
            &["job.toml", "title"],
        ),
        (
            "job.toml of bytes",
            &|job| fs::write(job.join("job.toml"), [0xff, 0xfe, 0, 1, 2, 0xd8]).unwrap(),
            &["job.toml"],
        ),
        (
            "empty panels.csv",
            &|job| panels(job, ""),
            &["panels.csv", "there is nothing in the table", "`panel`"],
        ),
        (
            "only line ends",
            &|job| panels(job, "\r\n\r\n\n"),
            &["panels.csv", "there is nothing in the table"],
        ),
        (
            "no headings",
            &|job| panels(job, "R1,\"6' 2\"\"\",4'\nR2,3',5'\n"),
            &["panels.csv", "row 1", "`panel`"],
        ),
        (
            "headings alone",
            &|job| panels(job, "panel,width,height\n"),
            &["panels.csv, row 1", "no panels"],
        ),
        (
            "unknown column",
            &|job| panels(job, "panel,widht,height\nR1,3',4'\n"),
            &["row 1", "`widht`", "`width`"],
        ),
        (
            "no panels at all",
            &|job| fs::remove_file(job.join("panels.csv")).unwrap(),
            &["panels"],
        ),
        (
            "a zip archive that is no workbook",
            &|job| {
                fs::remove_file(job.join("panels.csv")).unwrap();
                fs::write(
                    job.join("panels.xlsx"),
                    super::input::archive::zip(&[("holiday.txt", b"sun")]),
                )
                .unwrap();
            },
            &[
                "panels.xlsx",
                "zip archive, but no workbook",
                "save the table",
            ],
        ),
        (
            "a workbook cut short",
            &|job| {
                fs::remove_file(job.join("panels.csv")).unwrap();
                let whole = fs::read(
                    Path::new(env!("CARGO_MANIFEST_DIR"))
                        .join("examples/assembly-hall/panels.xlsx"),
                )
                .unwrap();
                fs::write(job.join("panels.xlsx"), &whole[..whole.len() / 2]).unwrap();
            },
            &["panels.xlsx"],
        ),
        (
            "a text called workbook",
            &|job| {
                fs::remove_file(job.join("panels.csv")).unwrap();
                fs::write(job.join("panels.ods"), "panel,width,height\n").unwrap();
            },
            &["panels.ods"],
        ),
        (
            "two tables of panels",
            &|job| {
                let book = Path::new(env!("CARGO_MANIFEST_DIR"))
                    .join("examples/assembly-hall/panels.xlsx");
                fs::copy(book, job.join("panels.xlsx")).unwrap();
            },
            &["panels.csv", "panels.xlsx"],
        ),
    ]);
}

#[test]
fn sizes_that_no_wall_has_are_refused_with_their_cell() {
    for size in [
        "NaN",
        "-3'",
        "0",
        "1e308",
        "inf",
        "-0",
        "1e-300",
        "999999999999999999999999 m",
        "٣",
        "=3*4",
        "#REF!",
        "wide",
    ] {
        let table = format!("panel,width,height\nR1,\"{size}\",4'\n");
        let case: Case<'_> = (
            size,
            &|job| panels(job, &table),
            &["panels.csv, row 2, column width", "help: "],
        );
        refuse_all(&[case]);
    }
}

#[test]
fn panels_that_cannot_be_are_refused_with_their_row() {
    let outline = |corners: &'static str| {
        move |job: &Path| {
            panels(job, "panel,shape,width,height\nR1,outline,,\n");
            fs::write(job.join("outlines.csv"), format!("panel,x,y\n{corners}")).unwrap();
        }
    };
    refuse_all(&[
        (
            "bow tie",
            &outline("R1,0,0\nR1,100,100\nR1,100,0\nR1,0,100\n"),
            &["R1", "cross"],
        ),
        (
            "a line there and back",
            &outline("R1,0,0\nR1,100,0\nR1,0,0\nR1,100,0\n"),
            &["outlines.csv, row 2", "too small"],
        ),
        (
            "two corners",
            &outline("R1,0,0\nR1,100,100\n"),
            &["outlines.csv, row 2", "fewer than three"],
        ),
        (
            "corners that are no numbers",
            &outline("R1,0,0\nR1,NaN,0\nR1,100,100\n"),
            &["outlines.csv, row 3, column x"],
        ),
        (
            "unknown recipe",
            &|job| panels(job, "panel,width,height,recipe\nR1,3',4',stif-glue\n"),
            &["row 2, column recipe", "`stiff-glue`"],
        ),
        (
            "unknown material",
            &|job| fs::write(job.join("stock.csv"), "material,quantity\ntissue-13,4\n").unwrap(),
            &["stock.csv, row 2", "`tissue-12`"],
        ),
        (
            "unknown paint",
            &|job| panels(job, "panel,width,height,paint\nR1,3',4',wet\n"),
            &["row 2, column paint", "`sound`"],
        ),
        (
            "two of a name",
            &|job| panels(job, "panel,width,height\nR1,3',4'\nR1,3',4'\n"),
            &["row 3, column panel", "row 2"],
        ),
        (
            "count below one",
            &|job| panels(job, "panel,width,height,count\nR1,3',4',0\n"),
            &["row 2, column count"],
        ),
        (
            "count of a fraction",
            &|job| panels(job, "panel,width,height,count\nR1,3',4',1.5\n"),
            &["row 2, column count"],
        ),
        (
            "count beyond all",
            &|job| {
                panels(
                    job,
                    "panel,width,height,count\nR1,3',4',99999999999999999999\n",
                );
            },
            &["row 2, column count"],
        ),
    ]);
}

#[test]
fn settings_that_cannot_be_are_refused_with_their_line() {
    refuse_all(&[
        (
            "nobody",
            &|job| {
                settings(
                    job,
                    "name = \"conservator\"\ncount = 2",
                    "name = \"conservator\"\ncount = 0",
                );
            },
            &["job.toml"],
        ),
        (
            "hours backwards",
            &|job| settings(job, "\"08:00-12:00\", \"12:30-16:30\"", "\"16:30-08:00\""),
            &["job.toml", "16:30-08:00"],
        ),
        (
            "dates reversed",
            &|job| settings(job, "hand_over = 2027-02-26", "hand_over = 2026-02-26"),
            &["job.toml", "before the first working day"],
        ),
        (
            "a day that is not",
            &|job| settings(job, "first_day = 2027-01-11", "first_day = 2027-02-30"),
            &["job.toml"],
        ),
        (
            "unknown key",
            &|job| settings(job, "hand_over =", "handover ="),
            &["job.toml", "`handover`", "`hand_over`"],
        ),
        (
            "a key of TOML broken",
            &|job| settings(job, "currency = \"USD\"", "currency = USD\""),
            &["job.toml", "cannot be read"],
        ),
        (
            "money below nothing",
            &|job| settings(job, "cost = \"48.00\"", "cost = \"-48.00\""),
            &["job.toml", "cost"],
        ),
        (
            "a cold room",
            &|job| settings(job, "66 °F", "-400 °F"),
            &["job.toml", "temperature"],
        ),
        (
            "a site that never opens",
            &|job| {
                settings(job, "hand_over = 2027-02-26\n", "");
                settings(
                    job,
                    "closed = [2027-01-18, 2027-02-15]",
                    "closed = [\"2027-01-01..2036-12-31\"]",
                );
            },
            &["panels.csv", "never finds working hours", "not closed"],
        ),
        (
            "an equipment that is not there",
            &|job| {
                settings(
                    job,
                    "[[equipment]]\nname = \"take-up track\"\ncount = 1\n",
                    "",
                );
            },
            &["take-up track"],
        ),
    ]);
}

#[test]
fn a_nest_of_tables_is_refused() {
    let nest = format!("title = {}1{}\n", "[".repeat(20_000), "]".repeat(20_000));
    refuse_all(&[(
        "twenty thousand lists in lists",
        &|job| fs::write(job.join("job.toml"), &nest).unwrap(),
        &["job.toml"],
    )]);
}

#[test]
fn a_cell_of_a_million_letters_is_shown_in_part() {
    let table = format!(
        "panel,width,height,notes\nR1,3',4',fine\nR2,{},4',\n",
        "9".repeat(1_000_000)
    );
    let name = format!("panel,width,height\n{},3',4'\n", "n".repeat(1_000_000));
    let note = format!(
        "panel,width,height,notes\nR1,3',4',{}\n",
        "n".repeat(1_000_000)
    );
    let heading = format!("panel,width,height,{}\nR1,3',4',x\n", "h".repeat(1_000_000));
    refuse_all(&[
        (
            "a width",
            &|job| panels(job, &table),
            &["panels.csv, row 3, column width", "…"],
        ),
        (
            "a name",
            &|job| panels(job, &name),
            &["panels.csv, row 2, column panel", "at most 80 letters"],
        ),
        (
            "a note",
            &|job| panels(job, &note),
            &[
                "panels.csv, row 2, column notes",
                "32,767 letters",
                "shorten",
            ],
        ),
        (
            "a heading",
            &|job| panels(job, &heading),
            &["panels.csv, row 1", "…"],
        ),
    ]);
}

#[test]
fn more_panels_than_can_be_planned_are_refused_at_once() {
    let rows: String = (0..60_000).fold("panel,width,height\n".to_owned(), |text, at| {
        text + &format!("P{at},{},48\n", 30 + at % 50)
    });
    let counted: String = (0..10_000).fold("panel,width,height,count\n".to_owned(), |text, at| {
        text + &format!("P{at},36,48,10000\n")
    });
    refuse_all(&[
        (
            "60,000 rows",
            &|job| panels(job, &rows),
            &["60000 panels", "at most 50000", "split the job"],
        ),
        (
            "10,000 rows of 10,000",
            &|job| panels(job, &counted),
            &["100000000 panels", "at most 50000", "`count`"],
        ),
    ]);
}

/// A long table is read in little time, and each of its slips is told.
#[test]
fn forty_thousand_rows_are_read_fast() {
    let rows = |width: &str| {
        (0..40_000).fold("panel,width,height\n".to_owned(), |text, at| {
            text + &format!("P{at},{width},48\n")
        })
    };
    let job =
        fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/three-panels/job.toml"))
            .unwrap();
    for (width, wrong) in [("36", 0), ("wide", 40_000)] {
        let files = [
            ("job.toml".to_owned(), job.clone()),
            ("panels.csv".to_owned(), rows(width).into_bytes()),
        ]
        .into();
        let began = Instant::now();
        let (read, problems) = facelay::job::read(&files);
        assert_eq!(read.is_none(), wrong > 0);
        assert_eq!(problems.iter().count(), wrong);
        assert!(
            began.elapsed() < Duration::from_secs(20),
            "{:?}",
            began.elapsed()
        );
    }
}

#[cfg(unix)]
#[test]
fn what_may_not_be_read_is_named() {
    use std::os::unix::fs::PermissionsExt;
    let folder = example("three-panels");
    let job = folder.path().join("job");
    let locked =
        |path: &Path, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    locked(&job, 0o000);
    // The superuser may read everything: then only a name that leads nowhere is left to try.
    if fs::read_dir(&job).is_err() {
        assert!(complained(folder.path(), &["check", "job"], 1).contains("permission denied"));
        locked(&job, 0o755);
        locked(&job.join("panels.csv"), 0o000);
        assert!(
            complained(folder.path(), &["check", "job"], 1)
                .contains("panels.csv: permission denied")
        );
    } else {
        eprintln!(
            "run by the superuser, who may read every folder: only links that lead nowhere are tried"
        );
        locked(&job, 0o755);
    }
    fs::remove_file(job.join("panels.csv")).unwrap();
    std::os::unix::fs::symlink("panels.csv", job.join("panels.csv")).unwrap();
    let errors = complained(folder.path(), &["plan", "job", "--out", "out"], 1);
    assert!(
        errors.contains("panels") && !folder.path().join("out").exists(),
        "{errors}"
    );
}

/// Without an order day nothing can be bought before work begins: what comes of it is said in dates and with the remedy.
#[test]
fn materials_that_come_late_are_told_with_the_key_to_change() {
    let folder = example("three-panels");
    let job = folder.path().join("job");
    settings(&job, "order_day = 2026-11-25\n", "");
    settings(&job, "hand_over = 2027-02-26", "hand_over = 2027-01-20");
    let errors = complained(folder.path(), &["check", "job"], 0);
    assert!(errors.contains("note: there is no `order_day`: the first orders are sent on the first working day, `2027-01-11`"), "{errors}");
    assert!(
        errors.contains("write `order_day = …`")
            && errors.contains("the hand-over on 2027-01-20 is missed"),
        "{errors}"
    );
}
