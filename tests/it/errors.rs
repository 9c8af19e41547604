//! The gallery of mistakes: `tests/errors/NAME/` holds a job folder and `message.txt`, what is said of it; `README.md` lists them.
//!
//! A job that is read without a word is planned too, so that what only a later stage can see has its place here.
//!
//! `FACELAY_BLESS=1 cargo test --test it errors` writes the messages anew; read each of them before it is kept.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

use facelay::diag::Level;
use facelay::diag::Place;
use facelay::diag::Problems;

use super::folders::contents;

/// What a case takes from `tests/errors/_whole` where it has no file of its own.
const WHOLE: &str = "_whole";

fn gallery() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/errors")
}

/// Reads a folder's files by their names with `/`; `message.txt` is the test's own.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = contents(folder);
    files.remove("message.txt");
    files
}

/// One problem a paragraph: level, place, text; the line with a caret; what to do.
fn told(problems: &Problems) -> String {
    let mut text = String::new();
    for problem in problems {
        let place = problem
            .place
            .as_ref()
            .map_or_else(|| "job".to_owned(), Place::to_string);
        writeln!(text, "{}: {place}: {}", problem.level, problem.text).unwrap();
        if let Some(Place::Toml {
            column,
            width,
            excerpt,
            ..
        }) = &problem.place
        {
            writeln!(text, "    | {excerpt}").unwrap();
            writeln!(
                text,
                "    | {}{}",
                " ".repeat(column - 1),
                "^".repeat(*width)
            )
            .unwrap();
        }
        for help in &problem.help {
            writeln!(text, "  help: {help}").unwrap();
        }
    }
    text
}

/// What stops a plan, beside which its warnings and notes say little; where nothing stops it, these are what is wrong.
fn errors_of(problems: Problems) -> Problems {
    if !problems.has_errors() {
        return problems;
    }
    let mut errors = Problems::new();
    for problem in problems.sorted() {
        if problem.level == Level::Error {
            errors.push(problem);
        }
    }
    errors
}

/// The list of cases, each with the first thing said of it and how many more there are.
fn list_of(cases: &[(String, String)]) -> String {
    let mut text = "# What can be wrong, and what is said of it\n\nA folder a mistake: the broken job (files it does not have come from `_whole`) and `message.txt`, all that is said of it. The \
                    test `errors` keeps this\nlist and the messages; `FACELAY_BLESS=1 cargo test --release --test it errors` writes both anew.\n\n| folder | first message | more |\n| --- | --- | --- |\n"
        .to_owned();
    for (name, message) in cases {
        let mut said = message.lines().filter(|line| {
            ["error: ", "warning: ", "note: "]
                .iter()
                .any(|level| line.starts_with(level))
        });
        let first = said.next().unwrap_or_default().replace('|', "\\|");
        let more = said.count();
        let more = if more == 0 {
            String::new()
        } else {
            more.to_string()
        };
        writeln!(text, "| [{name}]({name}) | {first} | {more} |").unwrap();
    }
    text
}

#[test]
fn every_mistake_is_told_as_written_down() {
    let bless = std::env::var_os("FACELAY_BLESS").is_some();
    let whole = files(&gallery().join(WHOLE));
    let mut cases: Vec<PathBuf> = fs::read_dir(gallery())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    cases.retain(|path| path.is_dir() && !path.ends_with(WHOLE));
    cases.sort();
    assert!(cases.len() >= 150, "the gallery holds {}", cases.len());
    let mut differing = Vec::new();
    let mut listed = Vec::new();
    for case in cases {
        let own = files(&case);
        let mut job = whole.clone();
        // A case with its own table of panels replaces the whole job's, whatever its file is called.
        if own.keys().any(|name| name.starts_with("panel")) {
            job.remove("panels.csv");
        }
        job.extend(own);
        job.retain(|_, bytes| bytes != b"(no file)\n");
        let (read, problems) = facelay::job::read(&job);
        assert_eq!(read.is_none(), problems.has_errors(), "{}", case.display());
        let problems = match read.filter(|_| problems.is_empty()) {
            Some(job) => errors_of(facelay::plan::make(job, problems, &mut |_| {}).problems),
            None => problems,
        };
        let message = told(&problems);
        if message.is_empty() {
            differing.push(format!("{}: it is no mistake", case.display()));
        }
        listed.push((
            case.file_name().unwrap().to_str().unwrap().to_owned(),
            message.clone(),
        ));
        let kept = fs::read_to_string(case.join("message.txt")).unwrap_or_default();
        if bless {
            fs::write(case.join("message.txt"), &message).unwrap();
        } else if kept != message {
            differing.push(format!("{}:\n{message}", case.display()));
        }
    }
    let list = list_of(&listed);
    let list_file = gallery().join("README.md");
    if bless {
        fs::write(&list_file, &list).unwrap();
    } else if fs::read_to_string(&list_file).unwrap_or_default() != list {
        differing.push(format!(
            "{}: it is not the list of the cases",
            list_file.display()
        ));
    }
    assert!(
        differing.is_empty(),
        "told otherwise than written down:\n{}",
        differing.join("\n")
    );
}

/// The folder that the cases start from has nothing wrong with it.
#[test]
fn the_whole_job_has_no_mistake() {
    let (job, problems) = facelay::job::read(&files(&gallery().join(WHOLE)));
    assert_eq!(told(&problems), "");
    assert_eq!(job.unwrap().panels.len(), 3);
}
