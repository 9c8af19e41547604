//! What is written: the same bytes each time, whole or not at all, and never over a person's own work.

use std::fs;
use std::path::Path;
use std::process::Command;

use calamine::Data;
use calamine::Reader;

use crate::cli::complained;
use crate::cli::example;
use crate::cli::said;
use crate::folders::contents;

const PLAN: &[&str] = &["plan", "job", "--out", "out"];

fn ends(name: &str, ending: &str) -> bool {
    Path::new(name)
        .extension()
        .is_some_and(|found| found == ending)
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    for job in ["three-panels", "assembly-hall"] {
        let folder = example(job);
        said(folder.path(), PLAN, 0);
        said(folder.path(), &["plan", "job", "--out", "again"], 0);
        let (first, second) = (
            contents(&folder.path().join("out")),
            contents(&folder.path().join("again")),
        );
        assert!(first.len() > 10 && first.contains_key("bid.xlsx"));
        for (name, bytes) in &first {
            assert!(second.get(name) == Some(bytes), "{name} differs");
        }
        // A second run into the same folder replaces its own files and leaves nothing else behind.
        said(folder.path(), PLAN, 0);
        assert_eq!(contents(&folder.path().join("out")), first);
    }
}

#[test]
fn a_persons_work_is_kept_and_named() {
    let folder = example("three-panels");
    let out = folder.path().join("out");
    fs::create_dir(&out).unwrap();
    fs::write(out.join("drums.csv"), "my own list").unwrap();
    fs::write(out.join("letter.txt"), "dear client").unwrap();
    let errors = complained(folder.path(), PLAN, 0);
    assert!(
        errors.contains(
            "kept: out/drums.csv was not written by facelay; to overwrite it, add --replace"
        ),
        "{errors}"
    );
    let mut book = fs::read(out.join("bid.xlsx")).unwrap();
    book.push(b' ');
    fs::write(out.join("bid.xlsx"), &book).unwrap();
    let errors = complained(folder.path(), PLAN, 0);
    assert!(
        errors.contains("kept: out/bid.xlsx was edited since facelay wrote it"),
        "{errors}"
    );
    assert!(
        fs::read(out.join("bid.xlsx")).unwrap() == book
            && fs::read(out.join("drums.csv")).unwrap() == b"my own list"
    );
    let errors = complained(folder.path(), &[PLAN, &["--replace"]].concat(), 0);
    assert!(!errors.contains("kept"), "{errors}");
    assert!(
        fs::read(out.join("bid.xlsx")).unwrap() != book
            && fs::read(out.join("drums.csv")).unwrap() != b"my own list"
    );
    assert_eq!(fs::read(out.join("letter.txt")).unwrap(), b"dear client");
    // A spoilt record counts as none: nothing is overwritten by mistake.
    fs::write(out.join(".facelay-files.json"), "{{{").unwrap();
    assert!(complained(folder.path(), PLAN, 0).contains("kept: out/plan.json"));
}

/// Words that a spreadsheet, a page or a terminal might take for something else.
const WORDS: &[&str] = &[
    "=1+1",
    "+44 20",
    "-B2",
    "@SUM(A1)",
    "<b>&amp;\"q\"</b> ]]> 'x'",
    "😀 naïve 東の壁",
    "الجدار الشمالي",
    "a;b,c\"d\"",
    "%s {0} \\n $HOME `id`",
    "pppppppppppppppppppppppppppppppppppppppppppppppppppppppppppppppppppppppppppppppp",
];

fn quoted(word: &str) -> String {
    format!("\"{}\"", word.replace('"', "\"\""))
}

/// A job of which every name is one of those words.
fn strange_job(job: &Path) {
    let long = "n".repeat(300);
    let rows = WORDS.iter().fold(
        "panel,place,width,height,notes\n".to_owned(),
        |text, word| text + &format!("{0},{0},3',4',{0}\n", quoted(word)),
    );
    fs::write(job.join("panels.csv"), rows).unwrap();
    let text = fs::read_to_string(job.join("job.toml")).unwrap();
    let text = text
        .replace(
            "Harbour reading room, three panels",
            &format!("=T(1) <i> 😀 {long}"),
        )
        .replace("\"Reading room\"", "'=site [a]:*?/\\ <x>'")
        .replace(
            "name = \"carpenter\"",
            &format!("name = '=HYPERLINK(\"x\") [c]:*?/\\ {long}'"),
        )
        .replace(
            "\"Travel, one van, three trips\"",
            &format!("'+travel {long}'"),
        );
    fs::write(job.join("job.toml"), text).unwrap();
}

#[test]
fn strange_names_survive_and_are_never_formulas() {
    let folder = example("three-panels");
    strange_job(&folder.path().join("job"));
    said(folder.path(), PLAN, 0);
    let out = folder.path().join("out");

    let plan: serde_json::Value =
        serde_json::from_slice(&fs::read(out.join("plan.json")).unwrap()).unwrap();
    let names: Vec<&str> = plan["panels"]
        .as_array()
        .unwrap()
        .iter()
        .map(|panel| panel["panel"].as_str().unwrap())
        .collect();
    assert_eq!(names, WORDS);

    for (name, bytes) in contents(&out).iter().filter(|(name, _)| ends(name, "csv")) {
        let mut reader = csv::Reader::from_reader(bytes.as_slice());
        for cell in reader
            .records()
            .flat_map(|row| row.unwrap().iter().map(str::to_owned).collect::<Vec<_>>())
        {
            let number = cell.parse::<f64>().is_ok();
            assert!(
                number || !cell.starts_with(['=', '+', '-', '@', '\t', '\r']),
                "{name}: a spreadsheet would run {cell}"
            );
        }
    }
    let mut reader = csv::Reader::from_reader(fs::File::open(out.join("panels.csv")).unwrap());
    let cells: Vec<String> = reader
        .records()
        .map(|row| row.unwrap()[0].to_owned())
        .collect();
    for (cell, word) in cells.iter().zip(WORDS) {
        let guarded = word.starts_with(['=', '+', '-', '@']);
        assert_eq!(
            *cell,
            if guarded {
                format!("'{word}")
            } else {
                (*word).to_owned()
            }
        );
    }

    let mut texts = Vec::new();
    for (name, bytes) in contents(&out).iter().filter(|(name, _)| ends(name, "xlsx")) {
        let mut book: calamine::Xlsx<_> =
            calamine::open_workbook_from_rs(std::io::Cursor::new(bytes)).unwrap();
        for sheet in book.sheet_names() {
            for formula in book
                .worksheet_formula(&sheet)
                .unwrap()
                .used_cells()
                .map(|(_, _, formula)| formula)
            {
                assert!(
                    !formula.contains("HYPERLINK") && formula != "1+1" && !formula.contains("T(1)"),
                    "{name}, {sheet}: {formula}"
                );
            }
            for (_, _, cell) in book.worksheet_range(&sheet).unwrap().used_cells() {
                assert!(!matches!(cell, Data::Error(_)), "{name}, {sheet}: {cell}");
                if let Data::String(text) = cell {
                    texts.push(text.clone());
                }
            }
        }
    }
    for word in WORDS {
        assert!(
            texts.iter().any(|text| text.contains(word)),
            "`{word}` is in no workbook"
        );
    }
    assert!(
        texts.iter().any(|text| text.contains(&"n".repeat(300))),
        "long names are cut"
    );

    for command in ["quantities", "drums", "days", "buy", "bid"] {
        for line in said(folder.path(), &[command, "job"], 0).lines() {
            // Wide letters take two columns, which is for the terminal to know; count letters here.
            assert!(line.chars().count() <= 80, "{command}: {line}");
        }
        serde_json::from_str::<serde_json::Value>(&said(
            folder.path(),
            &[command, "job", "--json"],
            0,
        ))
        .unwrap();
    }
    assert!(said(folder.path(), &["why", "job", "panel/=1+1"], 0).contains("=1+1"));
}

#[test]
fn where_nothing_may_be_written_nothing_is() {
    let folder = example("three-panels");
    fs::write(folder.path().join("taken"), "a file").unwrap();
    for (out, words) in [
        ("taken", "this is a file"),
        ("taken/out", "taken/out: "),
        ("/proc/facelay-out", "/proc/facelay-out: "),
        ("job/job.toml", "this is a file"),
    ] {
        let errors = complained(folder.path(), &["plan", "job", "--out", out], 1);
        assert!(
            errors.contains(words) && errors.contains("nothing was changed"),
            "{out}: {errors}"
        );
    }
    assert_eq!(fs::read(folder.path().join("taken")).unwrap(), b"a file");
    // A folder in the place of one of the last files is met before the first one is written.
    fs::create_dir_all(folder.path().join("out/plan.json")).unwrap();
    for more in [&[][..], &["--replace"]] {
        let errors = complained(folder.path(), &[PLAN, more].concat(), 1);
        assert!(
            errors.contains("out/plan.json: a folder has the name"),
            "{errors}"
        );
        assert_eq!(fs::read_dir(folder.path().join("out")).unwrap().count(), 1);
    }
}

/// A limit on file sizes makes a full disk for anybody: the write ends with an error in the middle.
#[cfg(unix)]
#[test]
fn a_write_that_ends_in_the_middle_leaves_the_old_files() {
    let folder = example("three-panels");
    said(folder.path(), PLAN, 0);
    let before = contents(&folder.path().join("out"));
    fs::write(
        folder.path().join("job/stock.csv"),
        "material,quantity\nbrush-50,1\n",
    )
    .unwrap();
    let line = format!(
        "trap '' XFSZ; ulimit -f 16; exec {} plan job --out out",
        env!("CARGO_BIN_EXE_facelay")
    );
    let run = Command::new("bash")
        .args(["-c", &line])
        .current_dir(folder.path())
        .output()
        .unwrap();
    let errors = String::from_utf8(run.stderr).unwrap();
    assert_eq!(run.status.code(), Some(1), "{errors}");
    assert!(
        errors.contains("out: file too large") && errors.contains("nothing was changed"),
        "{errors}"
    );
    assert_eq!(contents(&folder.path().join("out")), before);
}

/// A disk of 2 MB that is full. Only the superuser may mount one, and whoever is not tries files of limited size above.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_files() {
    if !super::broken_off::is_superuser("a full disk is a small one, mounted") {
        return;
    }
    let folder = example("three-panels");
    let out = folder.path().join("out");
    fs::create_dir(&out).unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=2m", "tmpfs"])
        .arg(&out)
        .output();
    assert!(
        mounted.is_ok_and(|mounted| mounted.status.success()),
        "the superuser cannot mount a small disk here"
    );
    said(folder.path(), PLAN, 0);
    let before = contents(&out);
    fs::write(
        folder.path().join("job/stock.csv"),
        "material,quantity\nbrush-50,1\n",
    )
    .unwrap();
    // What is left of the disk is filled, but for a few blocks.
    let mut ballast = vec![0_u8; 2_200_000];
    while !ballast.is_empty() && fs::write(out.join("ballast"), &ballast).is_err() {
        ballast.truncate(ballast.len().saturating_sub(16_000));
    }
    let output = crate::cli::facelay(folder.path(), PLAN);
    let after = contents(&out);
    let unmounted = Command::new("umount").arg(&out).status().unwrap().success();
    let errors = String::from_utf8(output.stderr).unwrap();
    assert!(unmounted && output.status.code() == Some(1), "{errors}");
    assert!(
        errors.contains("no space left on device") && errors.contains("make room"),
        "{errors}"
    );
    for (name, bytes) in before {
        assert!(
            after.get(&name) == Some(&bytes),
            "{name} was changed on a full disk"
        );
    }
    assert!(
        after
            .keys()
            .all(|name| !name.starts_with(".facelay-") || name == ".facelay-files.json"),
        "{:?}",
        after.keys()
    );
}
