//! Rests of boards and timber: which lie on the shelf, which are cut up, which are kept.

use std::collections::BTreeMap;

use crate::job::Job;
use crate::job::Offcut;
use crate::units::Length;

/// Rests on the shelf by material, width and length.
#[derive(Clone, Debug)]
pub(super) struct Rests {
    useful: Length,
    counts: BTreeMap<(String, Length, Length), u64>,
}

impl Rests {
    /// What the job has of what crates are made from.
    pub(super) fn of(job: &Job) -> Self {
        let mut counts: BTreeMap<_, u64> = BTreeMap::new();
        let of_crates = job.offcuts.iter().filter(|part| {
            let material = job.catalog.materials.get(&part.material);
            material.is_some_and(|material| material.kind.is_for_crates())
        });
        for part in of_crates {
            *counts
                .entry((part.material.clone(), part.width, part.length))
                .or_default() += part.count;
        }
        Self {
            useful: job.useful_offcut,
            counts,
        }
    }

    /// The rests of a material: width, length, how many.
    pub(super) fn of_material(&self, material: &str) -> Vec<(Length, Length, u64)> {
        let all = self.counts.iter();
        all.filter(|((id, ..), count)| id == material && **count > 0)
            .map(|((_, width, length), count)| (*width, *length, *count))
            .collect()
    }

    /// Takes one off the shelf.
    pub(super) fn take(&mut self, material: &str, width: Length, length: Length) {
        if let Some(count) = self.counts.get_mut(&(material.to_owned(), width, length)) {
            *count = count.saturating_sub(1);
        }
    }

    /// Says whether a rest with those sides is worth keeping: of a board both count, of a timber its length.
    pub(super) fn keeps(&self, sides: &[Length]) -> bool {
        sides.iter().all(|side| *side >= self.useful)
    }

    /// Puts one on the shelf.
    pub(super) fn keep(&mut self, material: &str, width: Length, length: Length) {
        *self
            .counts
            .entry((material.to_owned(), width, length))
            .or_default() += 1;
    }

    /// Everything that is there.
    pub(super) fn all(self) -> Vec<Offcut> {
        let all = self.counts.into_iter().filter(|(_, count)| *count > 0);
        all.map(|((material, width, length), count)| Offcut {
            material,
            width,
            length,
            count,
        })
        .collect()
    }
}
