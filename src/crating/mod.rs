//! Drums and flat panels to crates: boards, timber, foam, fixings, mass, and whether each gets out of the building.
//!
//! *In*: job, survey, rolling. *Out*: [`Crating`]. *Rules*: the roll carries no load on paint; boards by guillotine plan, timber by
//! stock length; each crate against each way out.

mod build;
mod cut;
mod explain;
mod fittings;
mod mass;
mod needs;
mod outcome;
mod passage;

use std::collections::BTreeSet;

use crate::catalog::Material;
use crate::diag::Ledger;
use crate::diag::Problems;
use crate::job::Job;
use crate::job::PanelRow;
use crate::rolling::Drum;
use crate::rolling::Flat;
use crate::rolling::Parcel;
use crate::rolling::Rolling;
use crate::rolling::board_thickness;
use crate::rolling::grams_per_m2;
use crate::survey::Survey;
use crate::units::Length;
use crate::units::Mass;

use build::Build;
use build::Load;
use needs::Packing;

pub use outcome::Contents;
pub use outcome::Crate;
pub use outcome::Crating;
pub use outcome::Passage;

/// Density in g/ml taken for boards and timber whose density is not known: the upper end of plywood (trade.md section 9.2), so that nobody
/// lifts more than was said.
const HEAVY_WOOD: f64 = 0.7;
/// Mass of a painting in g/m² where nothing is known of it: the heavier of two weighed panoramas (trade.md section 2.4, R-1).
const HEAVY_PAINTING: f64 = 3_910.0;

/// Packs every drum and every flat panel in a crate of its own, where the recipe has a crate step.
///
/// Problems: a warning at the row of a panel whose crate does not pass a way out; notes on materials of the crate kit that are not wholly
/// described.
pub fn pack(
    job: &Job,
    survey: &Survey,
    rolling: &Rolling,
    ledger: &mut Ledger,
    problems: &mut Problems,
) -> Crating {
    let mut packing = Packing::new(job, survey);
    let mut crates = Vec::new();
    let mut warned = BTreeSet::new();
    let drums = rolling
        .drums
        .iter()
        .enumerate()
        .map(|(index, drum)| drum_crate(job, index, drum));
    let flats = rolling
        .flats
        .iter()
        .filter_map(|flat| flat_crate(job, survey, flat));
    let planned = drums.chain(flats).map(|(parcel, load, contents, inner)| {
        let panels = panels_of(&contents, rolling);
        (parcel, load, contents, inner, panels)
    });
    let crated = planned.filter(|(.., panels)| needs::crate_step(job, survey, panels).is_some());
    for (number, (parcel, load, contents, inner, panels)) in (1_usize..).zip(crated) {
        let id = format!("K{number}");
        let build = build::build(job, &id, &parcel, load);
        let tare = tare(job, &build, &parcel);
        let made = assemble(
            id,
            &parcel,
            contents,
            tare,
            inner,
            passage::passages(job, parcel.outside),
        );
        warn(job, survey, rolling, &made, &panels, &mut warned, problems);
        ledger.record(explain::explain(job, survey, rolling, &made, &build));
        packing.add(&made, &panels, build);
        crates.push(made);
    }
    let (cuts, needs) = packing.finish(problems);
    Crating {
        crates,
        cuts,
        needs,
    }
}

/// What is known of a crate before it is built: its size, what lies in it, and the mass of that.
type Planned = (Parcel, Load, Contents, Mass);

fn drum_crate(job: &Job, index: usize, drum: &Drum) -> Planned {
    let parcel = Parcel::of_drum(job, drum.face, drum.outside_diameter);
    (parcel, Load::Drum, Contents::Drums(vec![index]), drum.mass)
}

/// A flat panel stands on its longer side on a support board, with foam as thick as the clearance before and behind.
fn flat_crate(job: &Job, survey: &Survey, flat: &Flat) -> Option<Planned> {
    let panel = survey.panels.get(flat.panel)?;
    let kit = &job.catalog.crate_kit;
    let (_, foam) = build::cushion(job);
    let (long, short) = (panel.width.max(panel.height), panel.width.min(panel.height));
    let deep = board_thickness(job) + flat.thickness + foam + foam;
    let inside = [
        long + kit.end_clearance + kit.end_clearance,
        deep,
        short + kit.clearance + kit.clearance,
    ];
    let load = Load::Flat(short, long);
    let known = Some(flat.grams_per_m2).filter(|grams| *grams > 0.0);
    let grams = known.unwrap_or(HEAVY_PAINTING);
    Some((
        Parcel::around(job, inside),
        load,
        Contents::Flats(vec![flat.panel]),
        Mass::g(grams * panel.area.to_m2()),
    ))
}

/// The panels in a crate, indexes of the survey.
fn panels_of(contents: &Contents, rolling: &Rolling) -> Vec<usize> {
    match contents {
        Contents::Flats(panels) => panels.clone(),
        Contents::Drums(drums) => {
            let drums = drums.iter().filter_map(|drum| rolling.drums.get(*drum));
            drums
                .flat_map(|drum| drum.panels.iter().map(|rolled| rolled.panel))
                .collect()
        }
    }
}

fn assemble(
    id: String,
    parcel: &Parcel,
    contents: Contents,
    tare: Mass,
    inner: Mass,
    ways_out: Vec<Passage>,
) -> Crate {
    let gross = tare + inner;
    Crate {
        id,
        contents,
        inside: parcel.inside,
        outside: parcel.outside,
        tare,
        gross,
        charged: mass::charged(gross, parcel.outside),
        carriers: mass::carriers(gross),
        ways_out,
    }
}

/// Mass of boards, timber, foam and the buffer.
fn tare(job: &Job, build: &Build, parcel: &Parcel) -> Mass {
    let kit = &job.catalog.crate_kit;
    let find = |id: &String| job.catalog.materials.get(id);
    let area = |parts: &[build::Part]| {
        parts
            .iter()
            .map(|part| (part.width * part.length).to_m2())
            .sum::<f64>()
    };
    let sheet = |material: Option<&Material>| material.map_or(0.0, sheet_grams);
    let boards = area(&build.boards) * sheet(find(&kit.board));
    let foam = area(&build.foam) * find(&kit.foam).and_then(grams_per_m2).unwrap_or(0.0);
    let timber: f64 = build.timber.iter().map(|(_, length)| length.to_m()).sum();
    let buffer = kit.buffer.as_ref().map_or(0.0, |(_, grams)| {
        grams * fittings::cubic_metres(parcel.inside)
    });
    Mass::g(boards + foam + timber * find(&kit.batten).map_or(0.0, batten_grams) + buffer)
}

/// Grams a square metre of board.
fn sheet_grams(material: &Material) -> f64 {
    let heavy = material
        .thickness
        .map_or(0.0, |thickness| thickness.to_mm() * HEAVY_WOOD * 1_000.0);
    grams_per_m2(material).unwrap_or(heavy)
}

/// Grams a metre of batten.
fn batten_grams(material: &Material) -> f64 {
    let section = material
        .width
        .zip(material.thickness)
        .map_or(0.0, |(width, thickness)| (width * thickness).to_m2());
    section * material.density.unwrap_or(HEAVY_WOOD) * 1e6
}

/// Warns once a row and way of a crate that does not pass.
fn warn(
    job: &Job,
    survey: &Survey,
    rolling: &Rolling,
    made: &Crate,
    panels: &[usize],
    warned: &mut BTreeSet<(usize, String, String)>,
    problems: &mut Problems,
) {
    let Some((row, at)) = panels.first().and_then(|panel| row_of(job, survey, *panel)) else {
        return;
    };
    let bare = match &made.contents {
        Contents::Drums(drums) => drums.first().and_then(|drum| rolling.drums.get(*drum)),
        Contents::Flats(_) => None,
    };
    let bare = bare.map(|drum| [drum.face, drum.outside_diameter, drum.outside_diameter]);
    for passage in made.ways_out.iter().filter(|passage| !passage.fits) {
        if warned.insert((at, passage.place.clone(), passage.way.clone())) {
            passage::warn(job, &made.id, row, passage, bare, problems);
        }
    }
}

/// The row of a panel, with its index.
fn row_of<'a>(job: &'a Job, survey: &Survey, panel: usize) -> Option<(&'a PanelRow, usize)> {
    let row = survey.panels.get(panel)?.row;
    Some((job.panels.get(row)?, row))
}
