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

use super::cradle::Bearing;
use super::outcome::Bare;
use super::outcome::Contents;
use super::outcome::Crate;
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

/// Warns of a way that a crate does not pass, with what would help; `bare` is what is in it, without the crate.
pub(super) fn warn(
    job: &Job,
    made: &Crate,
    row: &PanelRow,
    passage: &Passage,
    bare: &[&Bare],
    problems: &mut Problems,
) {
    let missing = show_length(-passage.spare, job.unit);
    let text = format!(
        "crate {} with panel `{}` does not pass `{}` at {}: {missing} missing in {}",
        made.id, row.panel, passage.way, passage.place, passage.tightest
    );
    let passes_bare = |bare: &&Bare| {
        let mut ways = bare.ways_out.iter();
        ways.any(|tried| (&tried.way, &tried.place) == (&passage.way, &passage.place) && tried.fits)
    };
    let drums = matches!(made.contents, Contents::Drums(_));
    let help = match (bare.iter().all(passes_bare), drums) {
        (true, true) => format!(
            "carry the drum bare past `{}` and crate it beyond, or take another way out",
            passage.way
        ),
        (true, false) => format!(
            "carry the tray wrapped past `{}` and crate it beyond, or take another way out",
            passage.way
        ),
        (false, true) => "take another way out, wind the painting along its other side, or clear the way before the day".to_owned(),
        (false, false) => format!(
            "take another way out, or clear this one before the day{}; on a drum the painting would need less room, if its paint allows one",
            narrower(job, passage, bare)
        ),
    };
    problems.warning(Some(row.at.clone()), text, help);
}

/// What a narrower margin of the support would do for a tray that nearly passes.
fn narrower(job: &Job, passage: &Passage, bare: &[&Bare]) -> String {
    let margin = job.catalog.crate_kit.support_margin;
    let tried = bare.iter().flat_map(|bare| &bare.ways_out);
    let tried = tried.filter(|tried| (&tried.way, &tried.place) == (&passage.way, &passage.place));
    let missing = tried.map(|tried| -tried.spare).max().unwrap_or_default();
    // A margin on both sides; half a millimetre is the saw's.
    let least = missing.half() + Length::whole_mm(1);
    if missing.is_positive() && least < margin {
        format!(
            "; with a `support_margin` of {} at most, the tray without its crate would pass, if the flaps can be held on that",
            show_length(Length::whole_mm((margin - least).to_mm_up() - 1), job.unit)
        )
    } else {
        String::new()
    }
}

/// Warns of foam that would be pressed harder than it bears, or of a drum without bare face for a cradle.
pub(super) fn warn_of_press(
    made: &Crate,
    row: &PanelRow,
    bearing: &Bearing,
    problems: &mut Problems,
) {
    let drums = matches!(made.contents, Contents::Drums(_));
    let what = if drums { "cradles" } else { "pads" };
    let text = match bearing.limit.filter(|_| bearing.pieces > 0) {
        Some(limit) => format!(
            "the {what} of crate {} under panel `{}` are pressed with {:.1} kPa, and the foam bears {limit:.1} kPa for good",
            made.id, row.panel, bearing.pressure
        ),
        None => format!(
            "crate {} has no {what} under panel `{}`: there is no room or no foam for them",
            made.id, row.panel
        ),
    };
    let help = if drums {
        "let the bar in its bearing blocks carry the drum, give it a longer `end_margin`, or take a firmer foam"
    } else {
        "take a firmer foam, or let timber blocks under the tray's frame carry it"
    };
    problems.warning(Some(row.at.clone()), text, help);
}
