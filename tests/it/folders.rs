//! What lies below a folder.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

/// Every file below a folder whose name has an ending, sorted.
pub(crate) fn files_ending(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = files_below(folder);
    found.retain(|path| path.extension().is_some_and(|own| own == ending));
    found.sort();
    found
}

/// Every file below a folder, hidden ones too, by its name, with `/` between the parts, and what it holds.
pub(crate) fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let named = files_below(folder).into_iter().map(|path| {
        let name = path.strip_prefix(folder).unwrap().to_str().unwrap();
        (name.replace('\\', "/"), fs::read(&path).unwrap())
    });
    named.collect()
}

fn files_below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.push(path);
            }
        }
    }
    found
}
