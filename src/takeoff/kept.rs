//! Offcuts that are on the shelf afterwards.

use std::collections::BTreeMap;

use crate::job::Job;
use crate::job::Offcut;

use super::cutting::Cuts;
use super::outcome::CutFrom;

/// The offcuts of sheets and rolls on the shelf less those cut up, and what the cut plans leave that is worth keeping.
pub(super) fn offcuts(job: &Job, cuts: &BTreeMap<String, Cuts>) -> Vec<Offcut> {
    let key = |material: &str, width, length| (material.to_owned(), width, length);
    let mut kept: BTreeMap<_, u64> = BTreeMap::new();
    let facing = job.offcuts.iter().filter(|part| {
        let material = job.catalog.materials.get(&part.material);
        material.is_none_or(|material| !material.kind.is_for_crates())
    });
    for part in facing {
        *kept
            .entry(key(&part.material, part.width, part.length))
            .or_default() += part.count;
    }
    for unit in cuts.values().flat_map(|cuts| &cuts.units) {
        if unit.from == CutFrom::Offcut
            && let Some(count) = kept.get_mut(&key(&unit.material, unit.width, unit.length))
        {
            *count = count.saturating_sub(1);
        }
    }
    for unit in cuts.values().flat_map(|cuts| &cuts.units) {
        for rect in unit.offcuts.iter() {
            *kept
                .entry(key(&unit.material, rect.width, rect.height))
                .or_default() += 1;
        }
    }
    let kept = kept.into_iter().filter(|(_, count)| *count > 0);
    let kept = kept.map(|((material, width, length), count)| Offcut {
        material,
        width,
        length,
        count,
    });
    kept.collect()
}
