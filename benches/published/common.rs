//! What the engines' benches share: arguments, files, one line an instance.

use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::time::Duration;
use std::time::Instant;

/// What the command line asks for.
pub(crate) struct Asked {
    pub(crate) paths: Vec<PathBuf>,
    pub(crate) limit: Duration,
}

impl Asked {
    /// Paths, and `--seconds S` for the time an instance may take (1 if not given).
    pub(crate) fn read(words: impl Iterator<Item = String>) -> Result<Self, String> {
        let mut asked = Self {
            paths: Vec::new(),
            limit: Duration::from_secs(1),
        };
        let mut words = words;
        while let Some(word) = words.next() {
            if word == "--seconds" {
                let given = words.next().unwrap_or_default();
                let seconds = given.parse().ok().filter(|seconds: &f64| *seconds > 0.0);
                let limit = seconds.and_then(|seconds| Duration::try_from_secs_f64(seconds).ok());
                asked.limit = limit.ok_or_else(|| {
                    format!("--seconds needs a number above nought, got `{given}`")
                })?;
            } else {
                asked.paths.push(PathBuf::from(word));
            }
        }
        Ok(asked)
    }
}

/// The files under the paths, folders walked in order of name; says what cannot be read.
pub(crate) fn files(
    paths: &[PathBuf],
    wanted: impl Fn(&Path) -> bool + Copy,
    found: &mut Vec<PathBuf>,
) -> bool {
    let mut all_read = true;
    for path in paths {
        if path.is_dir() {
            all_read &= walk(path, wanted, found);
        } else {
            found.push(path.clone());
        }
    }
    all_read
}

fn walk(folder: &Path, wanted: impl Fn(&Path) -> bool + Copy, found: &mut Vec<PathBuf>) -> bool {
    let Ok(entries) = fs::read_dir(folder) else {
        eprintln!("{}: cannot be read", folder.display());
        return false;
    };
    let mut inside: Vec<PathBuf> = entries
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .collect();
    inside.sort();
    inside.retain(|path| path.is_dir() || wanted(path));
    files(&inside, wanted, found)
}

/// Solves every instance, prints its line, and answers whether all could be solved.
pub(crate) fn each<T>(
    instances: &[T],
    limit: Duration,
    named: impl Fn(&T) -> String,
    solve: impl Fn(&T, &mut dyn FnMut() -> bool) -> Result<(u64, u64), String>,
) -> bool {
    let mut all_solved = true;
    for instance in instances {
        let start = Instant::now();
        // The last step before the clock is asked again may overrun a little.
        let limit = limit.mul_f64(0.95);
        match solve(instance, &mut || start.elapsed() > limit) {
            Ok((value, bound)) => {
                let seconds = start.elapsed().as_secs_f64();
                println!("{}\t{value}\t{bound}\t{seconds:.3}", named(instance));
            }
            Err(message) => {
                eprintln!("{}: {message}", named(instance));
                all_solved = false;
            }
        }
    }
    all_solved
}

/// A file as text.
pub(crate) fn text(path: &Path) -> Result<String, String> {
    fs::read_to_string(path).map_err(|error| error.to_string())
}

/// An instance's name by its file.
pub(crate) fn name(path: &Path) -> String {
    let stem = path
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned())
        .unwrap_or_default();
    stem.strip_suffix("_items").unwrap_or(&stem).to_owned()
}
