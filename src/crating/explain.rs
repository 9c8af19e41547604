//! How a crate's size, mass and ways out came about.

use crate::diag::Derivation;
use crate::job::Job;
use crate::rolling::Rolling;
use crate::survey::Survey;
use crate::units::Length;
use crate::units::show_length;

use super::build::Build;
use super::outcome::Contents;
use super::outcome::Crate;
use super::outcome::Passage;

/// What stands beside every lift.
const CAUTION: &str = "plan every lift; a competent person chooses and checks the gear";

/// Explains a crate.
pub(super) fn explain(
    job: &Job,
    survey: &Survey,
    rolling: &Rolling,
    made: &Crate,
    build: &Build,
) -> Derivation {
    let kit = &job.catalog.crate_kit;
    let carried = made.carriers.map_or_else(
        || "more than a team may carry by the weight guideline: use lifting gear".to_owned(),
        |people| format!("{people} to carry it by the weight guideline"),
    );
    let mut derivation = Derivation::new(
        format!("crate/{}", made.id),
        format!("crate {}", made.id),
        format!(
            "{} outside, {:.1} kg gross; {carried}; {CAUTION}",
            size(job, made.outside),
            made.gross.to_kg()
        ),
        "inside = contents + clearances; outside = inside + boards + battens + skids; gross = boards, timber, foam and buffer + contents; charged = max(gross, volume / 6000 cm³/kg)",
    );
    for (name, from) in contents(survey, rolling, made) {
        derivation = derivation.input_from(name, "", from);
    }
    derivation = derivation
        .input("inside", size(job, made.inside))
        .input("clearance", show_length(kit.clearance, job.unit))
        .input("end clearance", show_length(kit.end_clearance, job.unit))
        .input(
            "pieces of board, foam, timber",
            format!(
                "{}, {}, {}",
                build.boards.len(),
                build.foam.len(),
                build.timber.len()
            ),
        )
        .input("tare", format!("{:.1} kg", made.tare.to_kg()))
        .input("charged mass", format!("{:.1} kg", made.charged.to_kg()));
    for passage in &made.ways_out {
        derivation = derivation.input(
            format!("{} at {}", passage.way, passage.place),
            passage_words(job, passage),
        );
    }
    derivation
        .rounded("charged mass up to half a kilogram")
        .source("freight: volume rule of carriers, 6000 cm³/kg; lifting: HSE filter, 25 kg for one, two thirds of the sum for two, half for three")
}

/// What is in the crate, with the derivation of each.
fn contents(survey: &Survey, rolling: &Rolling, made: &Crate) -> Vec<(String, String)> {
    match &made.contents {
        Contents::Drums(drums) => {
            let drums = drums.iter().filter_map(|drum| rolling.drums.get(*drum));
            drums
                .map(|drum| (format!("drum {}", drum.id), format!("drum/{}", drum.id)))
                .collect()
        }
        Contents::Flats(panels) => {
            let panels = panels.iter().filter_map(|panel| survey.panels.get(*panel));
            panels
                .map(|panel| {
                    (
                        format!("panel {}, flat", panel.id),
                        format!("panel/{}", panel.id),
                    )
                })
                .collect()
        }
    }
}

fn size(job: &Job, sides: [Length; 3]) -> String {
    sides.map(|side| show_length(side, job.unit)).join(" × ")
}

fn passage_words(job: &Job, passage: &Passage) -> String {
    let spare = show_length(passage.spare.abs(), job.unit);
    let word = if passage.fits { "spare" } else { "missing" };
    format!(
        "{}: {spare} {word} in {}",
        if passage.fits {
            "passes"
        } else {
            "does not pass"
        },
        passage.tightest
    )
}
