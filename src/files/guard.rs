//! What keeps an output folder from becoming a mixture unnoticed: one run at a time, no file that a program holds open, and a sign for
//! as long as files are put in their places.

use std::collections::BTreeSet;
use std::fs;
use std::fs::File;
use std::fs::TryLockError;
use std::path::Path;

use super::FileTrouble;
use super::read::in_words;

/// The sign's name; not hidden, since whoever opens the folder has to see it.
pub(super) const SIGN: &str = "facelay-unfinished.txt";

const SIGN_TEXT: &str = "facelay is putting files in place here, or was broken off while it did.\n\
                         Until this file is gone, some files beside it may belong to an older plan than others.\n\
                         Run `facelay plan` again with this folder: it removes this file once everything is written.\n";

/// How the names of files begin that are written beside their places.
pub(super) const BESIDE: &str = ".facelay-";

/// Letters that the library of temporary files adds to it.
const ADDED: usize = 6;

/// Takes the folder for this run, where the system can lock folders; it gives it back when the run ends, however it ends.
///
/// # Errors
/// Another run writes there.
pub(super) fn take(folder: &Path) -> Result<Option<File>, FileTrouble> {
    // Some systems and network folders know no such locks: there nothing is worse than without.
    let Ok(opened) = File::open(folder) else {
        return Ok(None);
    };
    match opened.try_lock() {
        Ok(()) | Err(TryLockError::Error(_)) => Ok(Some(opened)),
        Err(TryLockError::WouldBlock) => Err(FileTrouble::new(
            folder,
            "another facelay is writing into this folder",
            "wait until it has ended, then run the command again, or write to another folder",
        )),
    }
}

/// Removes what a run that was broken off left beside the places of its files.
pub(super) fn sweep(folder: &Path, outputs: &[(String, Vec<u8>)]) {
    let own = |name: &str| {
        name.strip_prefix(BESIDE).is_some_and(|added| {
            added.len() == ADDED && added.bytes().all(|byte| byte.is_ascii_alphanumeric())
        })
    };
    let inner = outputs
        .iter()
        .filter_map(|(name, _)| Path::new(name).parent());
    for folder in inner
        .map(|inner| folder.join(inner))
        .collect::<BTreeSet<_>>()
    {
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        for entry in entries.filter(|entry| entry.file_name().to_str().is_some_and(own)) {
            // One that cannot be removed does no harm.
            fs::remove_file(entry.path()).unwrap_or_default();
        }
    }
}

/// Refuses a file that a spreadsheet program has open, by the file that such programs lay beside it.
///
/// # Errors
/// There is such a file.
pub(super) fn not_open(path: &Path) -> Result<(), FileTrouble> {
    let Some(name) = path.file_name().and_then(|name| name.to_str()) else {
        return Ok(());
    };
    let beside = [format!(".~lock.{name}#"), format!("~${name}")];
    match beside
        .iter()
        .find(|lock| path.with_file_name(lock).exists())
    {
        None => Ok(()),
        Some(lock) => Err(FileTrouble::new(
            path,
            "the file is open in a spreadsheet program",
            &format!(
                "close it there, then run the command again; if no program has it open, delete `{lock}` beside it"
            ),
        )),
    }
}

/// Puts the sign up.
///
/// # Errors
/// It cannot be written.
pub(super) fn raise(folder: &Path) -> Result<(), FileTrouble> {
    let path = folder.join(SIGN);
    fs::write(&path, SIGN_TEXT).map_err(|e| {
        FileTrouble::new(
            &path,
            &in_words(&e),
            "make room on the disk, or write to another folder",
        )
    })
}

/// Takes the sign down.
///
/// # Errors
/// It cannot be removed.
pub(super) fn lower(folder: &Path) -> Result<(), FileTrouble> {
    let path = folder.join(SIGN);
    fs::remove_file(&path).map_err(|e| {
        FileTrouble::new(
            &path,
            &in_words(&e),
            "delete the file: all others are written",
        )
    })
}
