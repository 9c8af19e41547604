//! Which files facelay wrote into a folder, so that a file that a person edited since is told apart.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::input::sha256;

/// The record's name; hidden, since nobody has to read it.
pub(super) const NAME: &str = ".facelay-files.json";

/// Digests of what facelay wrote, by file name. While a run renames its files, a name may have two.
#[derive(Clone, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub(super) struct Record(BTreeMap<String, BTreeSet<String>>);

impl Record {
    /// Reads a record; an unreadable one counts as empty, so that nothing is overwritten by mistake.
    pub(super) fn read(bytes: &[u8]) -> Self {
        serde_json::from_slice(bytes).unwrap_or_default()
    }

    /// The record as bytes.
    pub(super) fn to_bytes(&self) -> Vec<u8> {
        serde_json::to_vec_pretty(self).unwrap_or_default()
    }

    /// Says whether these bytes are what facelay wrote under the name.
    pub(super) fn wrote(&self, name: &str, bytes: &[u8]) -> bool {
        self.0
            .get(name)
            .is_some_and(|digests| digests.contains(&sha256(bytes)))
    }

    /// Says whether facelay ever wrote a file of that name here.
    pub(super) fn knows(&self, name: &str) -> bool {
        self.0.contains_key(name)
    }

    /// Every name that facelay wrote here.
    pub(super) fn names(&self) -> Vec<String> {
        self.0.keys().cloned().collect()
    }

    /// Forgets a name.
    pub(super) fn forget(&mut self, name: &str) {
        self.0.remove(name);
    }

    /// Adds bytes to what facelay wrote under the name.
    pub(super) fn add(&mut self, name: &str, bytes: &[u8]) {
        self.0
            .entry(name.to_owned())
            .or_default()
            .insert(sha256(bytes));
    }

    /// Forgets all but these bytes under the name.
    pub(super) fn settle(&mut self, name: &str, bytes: &[u8]) {
        self.0
            .insert(name.to_owned(), BTreeSet::from([sha256(bytes)]));
    }
}
