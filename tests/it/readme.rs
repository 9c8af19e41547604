//! What README and the examples' pages tell people to type: it exists and works.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

use tempfile::TempDir;

use super::cli::copy;
use super::cli::said;
use super::help::commands;

const PAGES: &[&str] = &[
    "README.md",
    "examples/assembly-hall/README.md",
    "examples/three-panels/README.md",
    "examples/inputs.md",
    "examples/figures.md",
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn page(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap()
}

/// The lines of a page's shell blocks.
fn shell_lines(text: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut within = false;
    for line in text.lines() {
        if line.starts_with("```") {
            within = line == "```sh";
        } else if within && !line.trim().is_empty() {
            lines.push(line.split(" #").next().unwrap().trim().to_owned());
        }
    }
    lines
}

/// What stands in backticks within a line, shell blocks left out.
fn quoted(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for block in text.split("```").step_by(2) {
        found.extend(
            block
                .split('`')
                .skip(1)
                .step_by(2)
                .map(|words| words.split_whitespace().collect::<Vec<_>>().join(" ")),
        );
    }
    found
}

/// Every line that begins with `facelay` or its path, without the path.
fn facelay_lines(text: &str) -> BTreeSet<String> {
    let lines = shell_lines(text).into_iter().chain(quoted(text));
    let bare = lines.map(|line| line.replace("target/release/facelay", "facelay"));
    bare.filter(|line| line.starts_with("facelay ")).collect()
}

#[test]
fn the_two_commands_exist_and_may_be_run() {
    let lines = shell_lines(&page("README.md"));
    for wanted in ["examples/run", "tests/run"] {
        assert!(
            lines.iter().any(|line| line == wanted),
            "README does not name {wanted}: {lines:?}"
        );
        let path = root().join(wanted);
        assert!(path.is_file(), "{wanted} is not there");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_ne!(
                fs::metadata(&path).unwrap().permissions().mode() & 0o111,
                0,
                "{wanted} may not be run"
            );
        }
        let read = Command::new("bash").arg("-n").arg(&path).output().unwrap();
        assert!(
            read.status.success(),
            "{wanted}: {}",
            String::from_utf8_lossy(&read.stderr)
        );
    }
}

#[test]
fn every_line_that_calls_facelay_works() {
    let folder = TempDir::new().unwrap();
    for job in ["assembly-hall", "three-panels"] {
        copy(
            &root().join("examples").join(job),
            &folder.path().join("examples").join(job),
        );
    }
    said(folder.path(), &["new", "my-hall"], 0);
    // Names in capitals stand for what a person puts there.
    let given = |word: &str| match word {
        "JOB" => "examples/three-panels".to_owned(),
        "WHAT" => "drum/D1".to_owned(),
        "SHELL" => "bash".to_owned(),
        "DIR" => "another".to_owned(),
        _ => word.to_owned(),
    };
    let mut run = 0;
    for name in PAGES {
        for line in facelay_lines(&page(name))
            .iter()
            .filter(|line| *line != "facelay new my-hall")
        {
            let words: Vec<String> = line.split_whitespace().skip(1).map(given).collect();
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            if words.first() == Some(&"view") {
                crate::view::serves(folder.path(), &words);
            } else {
                said(folder.path(), &words, 0);
            }
            run += 1;
        }
    }
    assert!(run >= 10, "only {run} lines were found");
}

/// Options that stand alone, e.g. `--json`, are options of some command.
#[test]
fn every_option_named_exists() {
    let folder = TempDir::new().unwrap();
    let commands = commands();
    let help: String = commands
        .iter()
        .map(|command| said(folder.path(), &[command.as_str(), "--help"], 0))
        .collect();
    let known: BTreeSet<&str> = help
        .split([' ', '\n', ','])
        .filter(|word| word.starts_with("--"))
        .collect();
    for name in PAGES {
        for words in quoted(&page(name)) {
            for option in words
                .split_whitespace()
                .filter(|word| word.starts_with("--"))
            {
                assert!(
                    known.contains(option) || words.starts_with("cargo"),
                    "{name} names `{option}`, which no command has"
                );
            }
        }
    }
}

/// A file that a page links to or names as part of the project is there.
#[test]
fn every_link_leads_somewhere() {
    for name in PAGES {
        let text = page(name);
        let base = Path::new(name).parent().unwrap();
        for link in text
            .split("](")
            .skip(1)
            .filter_map(|rest| rest.split(')').next())
            .filter(|link| !link.contains("://"))
        {
            let link = link.split('#').next().unwrap();
            assert!(
                link.is_empty() || root().join(base).join(link).exists(),
                "{name} links to {link}"
            );
        }
    }
}

/// The files that README promises are those that `plan` writes.
#[test]
fn the_files_promised_are_written() {
    let folder = TempDir::new().unwrap();
    copy(
        &root().join("examples/three-panels"),
        &folder.path().join("job"),
    );
    said(folder.path(), &["plan", "job", "--out", "out"], 0);
    let promised: Vec<String> = quoted(&page("README.md"))
        .into_iter()
        .filter(|word| {
            Path::new(word)
                .extension()
                .is_some_and(|ending| ending == "xlsx")
                || word == "plan.json"
        })
        .collect();
    assert!(promised.len() >= 4, "{promised:?}");
    for file in promised
        .iter()
        .filter(|file| !file.contains("panels.xlsx") && !file.contains("job.xlsx"))
    {
        assert!(
            folder.path().join("out").join(file).is_file(),
            "README promises {file}"
        );
    }
}

/// What `plan` says first: all up to the price.
fn answer(text: &str) -> String {
    let mut lines = text.lines();
    let mut shown = String::new();
    for line in lines.by_ref() {
        shown += line;
        shown.push('\n');
        if line.starts_with("Price ") {
            break;
        }
    }
    shown
}

/// The beginnings of answers that pages show are what the program says; `FACELAY_BLESS=1` writes them.
#[test]
fn the_answers_shown_are_what_plan_says() {
    let folder = TempDir::new().unwrap();
    for (job, pages) in [
        (
            "assembly-hall",
            &["README.md", "examples/assembly-hall/README.md"][..],
        ),
        ("three-panels", &["examples/three-panels/README.md"]),
    ] {
        copy(&root().join("examples").join(job), &folder.path().join(job));
        let said = answer(&said(folder.path(), &["plan", job, "--out", "out"], 0));
        for name in pages {
            let text = page(name);
            let begin = text.find("```text\n").unwrap() + "```text\n".len();
            let shown = answer(&text[begin..]);
            if std::env::var_os("FACELAY_BLESS").is_some() {
                let text = text.replacen(&shown, &said, 1);
                fs::write(root().join(name), text).unwrap();
            } else {
                assert_eq!(shown, said, "{name}");
            }
        }
    }
}

/// A sheet that a page names is in one of the workbooks, or in the template.
#[test]
fn every_sheet_named_exists() {
    use calamine::Reader;
    let folder = TempDir::new().unwrap();
    copy(
        &root().join("examples/three-panels"),
        &folder.path().join("job"),
    );
    said(folder.path(), &["plan", "job", "--out", "out"], 0);
    said(folder.path(), &["new", "mine"], 0);
    let mut known = BTreeSet::new();
    for book in [
        "out/purchase-list.xlsx",
        "out/labour-schedule.xlsx",
        "out/bid.xlsx",
        "mine/panels.xlsx",
    ] {
        let book = calamine::open_workbook_auto(folder.path().join(book)).unwrap();
        known.extend(book.sheet_names());
    }
    let mut count = 0;
    for name in PAGES.iter().filter(|name| name.ends_with("README.md")) {
        let text = page(name).replace('\n', " ");
        let parts = text
            .split("sheet `")
            .chain(text.split("Sheet `"))
            .filter(|part| {
                // The first part of each split begins the page.
                !part.starts_with('#')
            });
        for part in parts {
            let sheet = part.split('`').next().unwrap();
            assert!(known.contains(sheet), "{name} names a sheet `{sheet}`");
            count += 1;
        }
    }
    assert!(count > 8, "{count}");
}
