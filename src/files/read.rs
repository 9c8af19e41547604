//! A job folder to named bytes.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

use super::FileTrouble;

/// The largest input file read; a table of 100,000 rows is far below it.
const LARGEST: u64 = 64 * 1024 * 1024;

/// The files of a job by their name within the folder, with `/` between folder and file.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// Reads every file of a job folder that may hold input: `*.toml`, `*.csv`, `*.xlsx`, `*.ods`, and those in `recipes/` and `catalogs/`.
///
/// Hidden files and the lock files of open workbooks (`~$…`, `.~lock…`) are passed over.
///
/// # Errors
/// The folder or one of the files cannot be read, there is no `job.toml`, or a file is larger than 64 MiB.
pub fn read_job(folder: &Path) -> Result<Files, FileTrouble> {
    let mut files = Files::new();
    read_folder(folder, "", &["toml", "csv", "xlsx", "ods"], &mut files)?;
    for (inner, endings) in [
        ("recipes", &["toml"][..]),
        ("catalogs", &["csv", "toml"][..]),
    ] {
        let path = folder.join(inner);
        if path.is_dir() {
            read_folder(&path, &format!("{inner}/"), endings, &mut files)?;
        }
    }
    if !files.contains_key("job.toml") {
        let help = "give the folder that holds job.toml, or start one with `facelay new FOLDER`";
        return Err(FileTrouble::new(
            folder,
            "there is no job.toml in this folder",
            help,
        ));
    }
    Ok(files)
}

/// Reads files given beside the job folder, each under the name by which it was given.
///
/// # Errors
/// A file cannot be read, or is larger than 64 MiB.
pub fn read_given(paths: &[PathBuf]) -> Result<Vec<(String, Vec<u8>)>, FileTrouble> {
    let named = |path: &PathBuf| Ok((path.display().to_string(), read_file(path)?));
    paths.iter().map(named).collect()
}

fn read_folder(
    folder: &Path,
    prefix: &str,
    endings: &[&str],
    files: &mut Files,
) -> Result<(), FileTrouble> {
    let help = "check that the folder exists and that you may read it";
    if folder.is_file() {
        return Err(FileTrouble::new(
            folder,
            "this is a file, not a folder",
            "give the folder that holds job.toml",
        ));
    }
    let entries =
        fs::read_dir(folder).map_err(|e| FileTrouble::new(folder, &in_words(&e), help))?;
    for entry in entries {
        let path = entry
            .map_err(|e| FileTrouble::new(folder, &in_words(&e), help))?
            .path();
        let Some(name) = path.file_name().and_then(|name| name.to_str()) else {
            continue;
        };
        let ending = path
            .extension()
            .and_then(|ending| ending.to_str())
            .unwrap_or("")
            .to_lowercase();
        if name.starts_with('.')
            || name.starts_with("~$")
            || !endings.contains(&ending.as_str())
            || !path.is_file()
        {
            continue;
        }
        files.insert(format!("{prefix}{name}"), read_file(&path)?);
    }
    Ok(())
}

fn read_file(path: &Path) -> Result<Vec<u8>, FileTrouble> {
    let help = "close the program that holds it open, or check that you may read it";
    let size = fs::metadata(path)
        .map_err(|e| FileTrouble::new(path, &in_words(&e), help))?
        .len();
    if size > LARGEST {
        let why = format!(
            "the file is {} MiB large; at most {} MiB are read",
            size >> 20,
            LARGEST >> 20
        );
        return Err(FileTrouble::new(
            path,
            &why,
            "split the job, or delete sheets and pictures that it does not need",
        ));
    }
    fs::read(path).map_err(|e| FileTrouble::new(path, &in_words(&e), help))
}

/// What went wrong, without the system's error number.
pub(super) fn in_words(error: &std::io::Error) -> String {
    let text = error.to_string();
    let text = text.split(" (os error").next().unwrap_or(&text).to_owned();
    match text.chars().next() {
        Some(first) => first.to_lowercase().chain(text.chars().skip(1)).collect(),
        None => text,
    }
}
