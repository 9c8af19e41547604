//! Outputs to a folder: all are written beside their places first, then renamed one after the other.

use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::path::Path;
use std::path::PathBuf;

use tempfile::NamedTempFile;

use super::FileTrouble;
use super::guard;
use super::read::in_words;
use super::record;
use super::record::Record;

/// A file that was kept because a person made or changed it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// Its name.
    pub name: String,
    /// Whether facelay wrote it once; if not, somebody else made it.
    pub edited: bool,
}

/// What a run wrote and what it kept.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Written {
    /// The files written.
    pub written: Vec<String>,
    /// The files kept.
    pub kept: Vec<Kept>,
}

/// Writes outputs into a folder, made if need be.
///
/// A file there that facelay did not write, or that was edited since, is kept unless `replace` is set. Nothing is renamed into place
/// before everything has been written to the disk. A name may have a folder, `drawings/1.svg`: files that an earlier run wrote into such
/// folders and this one does not are removed, unless a person edited them. While files are put in their places a sign stands in the
/// folder, so that one who opens it after a power cut is told.
///
/// # Errors
/// The folder cannot be made or written to, e.g. since the disk is full, another run writes there, or a program has one of the files open;
/// then every file there is as it was, unless the trouble says that it came halfway.
pub fn write_outputs(
    folder: &Path,
    outputs: &[(String, Vec<u8>)],
    replace: bool,
) -> Result<Written, FileTrouble> {
    make_folder(folder)?;
    let _taken = guard::take(folder)?;
    guard::sweep(folder, outputs);
    let mut record = Record::read(&fs::read(folder.join(record::NAME)).unwrap_or_default());
    let mut result = Written::default();
    let mut wanted = Vec::new();
    for (name, bytes) in outputs {
        match kept(folder, name, &record, replace)? {
            Some(kept) => result.kept.push(kept),
            None => wanted.push((name, bytes)),
        }
    }
    let ready = set_down_all(folder, &wanted)?;
    for (_, name, bytes, _) in &ready {
        record.add(name, bytes);
    }
    put(folder, &record)?;
    guard::raise(folder)?;
    let placed = put_in_place(ready, &mut record, &mut result)
        .and_then(|()| remove_stale(folder, outputs, &mut record))
        .and_then(|()| put(folder, &record));
    match placed {
        Ok(()) => guard::lower(folder).map(|()| result),
        Err(trouble) if result.written.is_empty() => guard::lower(folder).and(Err(trouble)),
        Err(trouble) => Err(FileTrouble {
            halfway: true,
            ..trouble
        }),
    }
}

/// Renames files into their places, each as a whole.
fn put_in_place(
    ready: Vec<Ready<'_>>,
    record: &mut Record,
    result: &mut Written,
) -> Result<(), FileTrouble> {
    for (path, name, bytes, file) in ready {
        file.persist(&path)
            .map_err(|e| FileTrouble::new(&path, &in_words(&e.error), CLOSE))?;
        record.settle(name, bytes);
        result.written.push(name.clone());
    }
    Ok(())
}

/// A file written beside its place: the place, the name, the bytes, the temporary file.
type Ready<'a> = (PathBuf, &'a String, &'a Vec<u8>, NamedTempFile);

/// Writes everything beside its place, in inner folders made if need be; if that fails, no empty folder is left.
fn set_down_all<'a>(
    folder: &Path,
    wanted: &[(&'a String, &'a Vec<u8>)],
) -> Result<Vec<Ready<'a>>, FileTrouble> {
    let mut ready = Vec::new();
    let mut made = BTreeSet::new();
    for (name, bytes) in wanted {
        let path = folder.join(name);
        let inner = path.parent().unwrap_or(folder).to_path_buf();
        if !inner.exists() {
            made.insert(inner.clone());
        }
        match make_folder(&inner).and_then(|()| set_down(&inner, bytes)) {
            Ok(file) => ready.push((path, *name, *bytes, file)),
            Err(trouble) => {
                ready.clear();
                for folder in &made {
                    // A folder that somebody else has written into meanwhile stays.
                    fs::remove_dir(folder).unwrap_or_default();
                }
                return Err(trouble);
            }
        }
    }
    Ok(ready)
}

/// Removes what an earlier run wrote into inner folders and this one did not.
fn remove_stale(
    folder: &Path,
    outputs: &[(String, Vec<u8>)],
    record: &mut Record,
) -> Result<(), FileTrouble> {
    let now: BTreeSet<&str> = outputs.iter().map(|(name, _)| name.as_str()).collect();
    for name in record.names() {
        let inner = Path::new(&name)
            .components()
            .all(|part| matches!(part, std::path::Component::Normal(_)));
        if !name.contains('/') || !inner || now.contains(name.as_str()) {
            continue;
        }
        let path = folder.join(&name);
        if fs::read(&path).is_ok_and(|bytes| record.wrote(&name, &bytes)) {
            fs::remove_file(&path).map_err(|e| FileTrouble::new(&path, &in_words(&e), CLOSE))?;
        }
        record.forget(&name);
    }
    Ok(())
}

/// Writes the files of a new job folder; refuses as a whole if one of them is there already.
///
/// # Errors
/// One of the files is there, or the folder cannot be made or written to.
pub fn write_new(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<Vec<String>, FileTrouble> {
    let there: Vec<&str> = files
        .iter()
        .map(|(name, _)| name.as_str())
        .filter(|name| folder.join(name).exists())
        .collect();
    if !there.is_empty() {
        let why = format!(
            "{} {} there already and would be overwritten",
            crate::diag::list(&there, "and"),
            if there.len() == 1 { "is" } else { "are" }
        );
        return Err(FileTrouble::new(
            folder,
            &why,
            "name a new folder, or move these files away",
        ));
    }
    make_folder(folder)?;
    let mut ready = Vec::new();
    for (name, bytes) in files {
        let path = folder.join(name);
        let inner = path.parent().unwrap_or(folder).to_path_buf();
        make_folder(&inner)?;
        ready.push((path, set_down(&inner, bytes)?));
    }
    for (path, file) in ready {
        file.persist_noclobber(&path)
            .map_err(|e| FileTrouble::new(&path, &in_words(&e.error), CLOSE))?;
    }
    Ok(files.iter().map(|(name, _)| name.clone()).collect())
}

pub(super) const CLOSE: &str =
    "close the program that holds the file open, then run the command again";

fn make_folder(folder: &Path) -> Result<(), FileTrouble> {
    let help = "name a folder in which you may write";
    if folder.is_file() {
        return Err(FileTrouble::new(
            folder,
            "this is a file, not a folder",
            help,
        ));
    }
    fs::create_dir_all(folder).map_err(|e| FileTrouble::new(folder, &in_words(&e), help))
}

/// Says whether a file of that name must be kept.
fn kept(
    folder: &Path,
    name: &str,
    record: &Record,
    replace: bool,
) -> Result<Option<Kept>, FileTrouble> {
    let path = folder.join(name);
    if path.is_dir() {
        let help = "move the folder away, or write to another folder";
        return Err(FileTrouble::new(
            &path,
            "a folder has the name of a file that would be written",
            help,
        ));
    }
    if replace || !path.exists() {
        guard::not_open(&path)?;
        return Ok(None);
    }
    let bytes = fs::read(&path).map_err(|e| FileTrouble::new(&path, &in_words(&e), CLOSE))?;
    if record.wrote(name, &bytes) {
        guard::not_open(&path)?;
        return Ok(None);
    }
    Ok(Some(Kept {
        name: name.to_owned(),
        edited: record.knows(name),
    }))
}

/// Writes bytes to a temporary file in the folder and makes sure that the disk has them.
pub(super) fn set_down(folder: &Path, bytes: &[u8]) -> Result<NamedTempFile, FileTrouble> {
    let trouble = |e: std::io::Error| {
        FileTrouble::new(
            folder,
            &in_words(&e),
            "make room on the disk, or write to another folder",
        )
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(guard::BESIDE);
    readable(&mut builder);
    let mut file = builder.tempfile_in(folder).map_err(trouble)?;
    file.write_all(bytes).map_err(trouble)?;
    file.as_file().sync_all().map_err(trouble)?;
    Ok(file)
}

/// Temporary files are private to their owner; outputs are for everybody in the studio.
#[cfg(unix)]
fn readable(builder: &mut tempfile::Builder<'_, '_>) {
    use std::os::unix::fs::PermissionsExt;
    builder.permissions(fs::Permissions::from_mode(0o644));
}

#[cfg(not(unix))]
fn readable(_: &mut tempfile::Builder<'_, '_>) {}

fn put(folder: &Path, record: &Record) -> Result<(), FileTrouble> {
    let path: PathBuf = folder.join(record::NAME);
    let file = set_down(folder, &record.to_bytes())?;
    file.persist(&path)
        .map_err(|e| FileTrouble::new(&path, &in_words(&e.error), CLOSE))?;
    Ok(())
}
