//! Crates against doors, corners, lifts and vehicles.

use crate::diag::Problems;
use crate::job::Job;
use crate::job::PanelRow;
use crate::job::Site;
use crate::job::WayOut;
use crate::rolling::gap;
use crate::rolling::ways_out;
use crate::units::Length;
use crate::units::show_length;

use super::outcome::Passage;

/// Tries a crate against every way out of the job.
pub(super) fn passages(job: &Job, outside: [Length; 3]) -> Vec<Passage> {
    let passage = |(site, way): (&Site, &WayOut)| {
        let found = gap(outside, way.kind);
        Passage {
            way: way.name.clone(),
            place: site.name.clone(),
            fits: found.spare >= Length::ZERO,
            spare: found.spare,
            tightest: found.tightest.to_owned(),
        }
    };
    ways_out(job).map(passage).collect()
}

/// Warns of a way that a crate does not pass, with what would help; `bare` is the size of its drum alone.
pub(super) fn warn(
    job: &Job,
    id: &str,
    row: &PanelRow,
    passage: &Passage,
    bare: Option<[Length; 3]>,
    problems: &mut Problems,
) {
    let missing = show_length(-passage.spare, job.unit);
    let text = format!(
        "crate {id} with panel `{}` does not pass `{}` at {}: {missing} missing in {}",
        row.panel, passage.way, passage.place, passage.tightest
    );
    let passes_bare = bare.is_some_and(|bare| {
        passages(job, bare)
            .iter()
            .any(|tried| same_way(tried, passage) && tried.fits)
    });
    let help = if passes_bare {
        format!(
            "carry the drum bare past `{}` and crate it beyond, or take another way out",
            passage.way
        )
    } else {
        "take another way out, wind the painting along its other side, or clear the way before the day".to_owned()
    };
    problems.warning(Some(row.at.clone()), text, help);
}

fn same_way(a: &Passage, b: &Passage) -> bool {
    a.way == b.way && a.place == b.place
}
