//! How a crate's size, mass and ways out came about.

use crate::diag::Derivation;
use crate::job::Job;
use crate::rolling::Rolling;
use crate::survey::Survey;
use crate::units::Length;
use crate::units::show_length;

use super::item::Item;
use super::outcome::Bare;
use super::outcome::Content;
use super::outcome::Contents;
use super::outcome::Crate;
use super::outcome::Passage;
use super::packed::Packed;

/// What stands beside every lift.
const CAUTION: &str = "plan every lift; a competent person chooses and checks the gear";

/// Explains a crate.
pub(super) fn explain(
    job: &Job,
    survey: &Survey,
    rolling: &Rolling,
    made: &Crate,
    packed: &Packed,
) -> Derivation {
    let kit = &job.catalog.crate_kit;
    let mut derivation = Derivation::new(
        format!("crate/{}", made.id),
        format!("crate {}", made.id),
        format!(
            "{} outside, {:.1} kg gross; {}; {CAUTION}",
            size(job, made.outside),
            made.gross.to_kg(),
            carried(made.carriers)
        ),
        "inside = contents side by side + clearances; outside = inside + boards + battens + skids; gross = boards, timber, foam, lining, barrier, buffer and fixings + contents; charged = max(gross, volume / 6000 cm³/kg); pressure = m g / bearing area",
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
                packed.shell.boards.len() + packed.trays.supports.len(),
                packed.shell.foam.len(),
                packed.shell.timber.len() + packed.shell.skids.len() + packed.trays.timber.len()
            ),
        )
        .input("tare", format!("{:.1} kg", made.tare.to_kg()))
        .input("charged mass", format!("{:.1} kg", made.charged.to_kg()));
    derivation = derivation
        .input("centre of mass along, across, up", size(job, made.centre))
        .input(
            "materials and work, by amount",
            format!("{} {}", made.estimate, job.currency),
        );
    for press in &made.presses {
        let limit = press.limit.map_or_else(String::new, |limit| {
            format!(" of {limit:.1} kPa that it bears for good")
        });
        derivation = derivation.input(
            "foam at rest",
            format!(
                "{:.1} kPa{limit}, on {} of its length",
                press.pressure,
                show_length(press.length, job.unit)
            ),
        );
    }
    passages(job, derivation, &made.ways_out)
        .rounded("charged mass up to half a kilogram")
        .source("freight: volume rule of carriers, 6000 cm³/kg; lifting: HSE filter, 25 kg for one; two thirds of the sum for two, half for three (from memory); and the revised NIOSH equation for each; foam: its row in materials.csv; buffer: published rules for sealed cases (catalogs/crate.toml)")
}

/// Explains what carries a drum or tray without a crate, and through which ways out.
pub(super) fn bare(
    job: &Job,
    survey: &Survey,
    rolling: &Rolling,
    item: &Item,
    bare: &Bare,
) -> Derivation {
    let (id, what, from) = match item.content {
        Content::Drum(index) => {
            let drum = rolling.drums.get(index).map_or("", |drum| &drum.id);
            (
                format!("bare/{drum}"),
                format!("drum {drum} without a crate"),
                format!("drum/{drum}"),
            )
        }
        Content::Flat(index) => {
            let panel = survey.panels.get(index).map_or("", |panel| &panel.id);
            (
                format!("bare/{panel}"),
                format!("panel {panel} on its tray, without a crate"),
                format!("panel/{panel}"),
            )
        }
    };
    let derivation = Derivation::new(
        id,
        what,
        format!(
            "{}, {:.1} kg; {}; {CAUTION}",
            size(job, bare.size),
            bare.mass.to_kg(),
            carried(bare.carriers)
        ),
        "a drum takes the box round its roll, bar and bearings not counted; a tray is the support with its frame and collar, standing on its longer edge",
    )
    .input_from("what it is", "", from);
    passages(job, derivation, &bare.ways_out)
        .source("lifting: HSE filter and revised NIOSH equation; corner: ladder problem with a width; door and lift: rectangle in a rectangle")
}

fn carried(carriers: Option<u32>) -> String {
    carriers.map_or_else(
        || "more than a team may carry by the weight guidelines: use lifting gear".to_owned(),
        |people| format!("{people} to carry it by the weight guidelines"),
    )
}

fn passages(job: &Job, derivation: Derivation, ways_out: &[Passage]) -> Derivation {
    ways_out.iter().fold(derivation, |derivation, passage| {
        derivation.input(
            format!("{} at {}", passage.way, passage.place),
            passage_words(job, passage),
        )
    })
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
