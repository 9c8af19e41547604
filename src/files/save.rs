//! Input files changed in a job folder: only if nobody changed the folder meanwhile, and nothing that a person wrote is lost.

use std::fs;
use std::fs::File;
use std::path::Path;

use super::FileTrouble;
use super::read::Files;
use super::read::in_words;
use super::read::read_job;
use super::write::CLOSE;
use super::write::set_down;

/// A file of a job folder that is to be as given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Input {
    /// Its name within the folder, without a folder.
    pub name: String,
    /// What it is to hold; none removes it.
    pub bytes: Option<Vec<u8>>,
    /// Whether what it held is kept beside it, as `panels (before 1).csv`.
    pub keep: bool,
}

/// How saving ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Saved {
    /// All is written; these files are now in the folder under other names: what they were called, what they are called.
    Done(Vec<(String, String)>),
    /// Nothing is written: these files are otherwise than when the folder was read.
    Changed(Vec<String>),
}

/// Changes input files of a job folder, unless the folder is otherwise than when it was read.
///
/// Everything is written beside its place before anything is renamed. `job.toml` is locked meanwhile, so that of two programs that save at
/// once the second one sees what the first one wrote.
///
/// # Errors
/// The folder cannot be read or written to, e.g. since the disk is full; then every file there is as it was.
pub fn save_inputs(folder: &Path, as_read: &Files, inputs: &[Input]) -> Result<Saved, FileTrouble> {
    let _lock = lock(folder);
    let now = read_job(folder)?;
    let changed = differing(as_read, &now);
    if !changed.is_empty() {
        return Ok(Saved::Changed(changed));
    }
    let mut ready = Vec::new();
    let mut kept = Vec::new();
    for input in inputs {
        let old = now.get(&input.name).filter(|_| input.keep);
        if let Some(old) = old.filter(|old| input.bytes.as_ref() != Some(*old)) {
            let name = before(folder, &input.name);
            ready.push((name.clone(), set_down(folder, old)?, false));
            kept.push((input.name.clone(), name));
        }
    }
    for input in inputs {
        if let Some(bytes) = &input.bytes {
            ready.push((input.name.clone(), set_down(folder, bytes)?, true));
        }
    }
    // A folder under a file's name would stop the renaming half-way.
    let in_the_way = inputs
        .iter()
        .find(|input| folder.join(&input.name).is_dir());
    if let Some(input) = in_the_way {
        return Err(FileTrouble::new(
            &folder.join(&input.name),
            "a folder has the name of a file that would be written",
            "move the folder away",
        ));
    }
    for (name, file, replace) in ready {
        let path = folder.join(name);
        let renamed = if replace {
            file.persist(&path)
        } else {
            file.persist_noclobber(&path)
        };
        renamed.map_err(|e| FileTrouble::new(&path, &in_words(&e.error), CLOSE))?;
    }
    for input in inputs.iter().filter(|input| input.bytes.is_none()) {
        let path = folder.join(&input.name);
        if path.exists() {
            fs::remove_file(&path).map_err(|e| FileTrouble::new(&path, &in_words(&e), CLOSE))?;
        }
    }
    Ok(Saved::Done(kept))
}

/// Locks the folder's `job.toml` until the file is dropped. Some network disks know no locks: then only the comparison guards.
fn lock(folder: &Path) -> Option<File> {
    let file = File::open(folder.join("job.toml")).ok()?;
    file.lock().ok()?;
    Some(file)
}

/// The names of files that are in one of the two only, or otherwise in the other.
fn differing(one: &Files, other: &Files) -> Vec<String> {
    let mut names: Vec<String> = one
        .keys()
        .chain(other.keys())
        .filter(|name| one.get(*name) != other.get(*name))
        .cloned()
        .collect();
    names.sort();
    names.dedup();
    names
}

/// A name under which what a file held is kept: the first free one.
fn before(folder: &Path, name: &str) -> String {
    let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
    let mut number = 1_usize;
    loop {
        let kept = format!("{stem} (before {number}).{ending}");
        if !folder.join(&kept).exists() {
            return kept;
        }
        number += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn job() -> (tempfile::TempDir, Files) {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("job.toml"), "title = \"x\"\n").unwrap();
        fs::write(folder.path().join("panels.csv"), "panel\nN1\n").unwrap();
        let files = read_job(folder.path()).unwrap();
        (folder, files)
    }

    fn input(name: &str, bytes: Option<&str>, keep: bool) -> Input {
        Input {
            name: name.to_owned(),
            bytes: bytes.map(|text| text.as_bytes().to_vec()),
            keep,
        }
    }

    #[test]
    fn what_is_replaced_is_kept_under_the_first_free_name() {
        let (folder, files) = job();
        let at = |name: &str| fs::read_to_string(folder.path().join(name));
        let saved = save_inputs(
            folder.path(),
            &files,
            &[
                input("panels.xlsx", Some("new"), false),
                input("panels.csv", None, true),
            ],
        );
        let kept = ("panels.csv".to_owned(), "panels (before 1).csv".to_owned());
        assert_eq!(saved, Ok(Saved::Done(vec![kept])));
        assert_eq!(at("panels (before 1).csv").unwrap(), "panel\nN1\n");
        assert_eq!(at("panels.xlsx").unwrap(), "new");
        assert!(at("panels.csv").is_err());
        let files = read_job(folder.path()).unwrap();
        fs::write(folder.path().join("panels (before 1).xlsx"), "").unwrap();
        let files: Files = files
            .into_iter()
            .chain([("panels (before 1).xlsx".to_owned(), Vec::new())])
            .collect();
        save_inputs(
            folder.path(),
            &files,
            &[input("panels.xlsx", Some("newer"), true)],
        )
        .unwrap();
        assert_eq!(at("panels (before 2).xlsx").unwrap(), "new");
        assert_eq!(at("panels.xlsx").unwrap(), "newer");
    }

    #[test]
    fn a_folder_that_somebody_changed_is_left_alone() {
        let (folder, files) = job();
        fs::write(folder.path().join("panels.csv"), "panel\nN2\n").unwrap();
        let wanted = [input("choices.toml", Some("case = \"x\"\n"), false)];
        let saved = save_inputs(folder.path(), &files, &wanted);
        assert_eq!(saved, Ok(Saved::Changed(vec!["panels.csv".to_owned()])));
        assert!(!folder.path().join("choices.toml").exists());
    }

    #[test]
    fn a_folder_in_the_way_stops_everything() {
        let (folder, files) = job();
        fs::create_dir(folder.path().join("choices.toml")).unwrap();
        let wanted = [
            input("panels.csv", Some("panel\nN2\n"), true),
            input("choices.toml", Some("case = \"x\"\n"), false),
        ];
        assert!(save_inputs(folder.path(), &files, &wanted).is_err());
        assert_eq!(read_job(folder.path()).unwrap(), files);
        let left = fs::read_dir(folder.path()).unwrap().count();
        assert_eq!(left, 3, "no temporary file is left");
    }
}
