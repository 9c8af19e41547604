//! What the pieces of a crate or tray weigh.

use crate::catalog::Material;
use crate::job::Job;
use crate::rolling::grams_per_m2;
use crate::units::Length;
use crate::units::Mass;

use super::build::Build;
use super::build::Part;
use super::fittings;
use super::tray;

/// Density in g/ml taken for boards and timber whose density is not known: the upper end of plywood (trade.md section 9.2), so that nobody
/// lifts more than was said.
const HEAVY_WOOD: f64 = 0.7;

/// Mass of boards, foam, battens, skids, screws and bolts.
pub(super) fn build(job: &Job, build: &Build) -> Mass {
    let kit = &job.catalog.crate_kit;
    let find = |id: &str| job.catalog.materials.get(id);
    let boards = area(&build.boards) * find(&kit.board).map_or(0.0, sheet_grams);
    let supports = area(&build.supports) * find(tray::support(job)).map_or(0.0, sheet_grams);
    let foam = (area(&build.foam) - build.holes).max(0.0)
        * find(&kit.foam).and_then(grams_per_m2).unwrap_or(0.0);
    let battens = metres(&build.timber) * find(&kit.batten).map_or(0.0, batten_grams);
    let skid = kit.skid.as_ref().unwrap_or(&kit.batten);
    let skids = metres(&build.skids) * find(skid).map_or(0.0, batten_grams);
    let fixed = |fixing: &Option<(String, f64)>, edge: Length| {
        let grams = fixing
            .as_ref()
            .and_then(|(id, per_metre)| Some(per_metre * find(id)?.grams_each?));
        grams.unwrap_or(0.0) * edge.to_m()
    };
    Mass::g(
        boards
            + supports
            + foam
            + battens
            + skids
            + fixed(&kit.screw, build.edges)
            + fixed(&kit.bolt, build.lid),
    )
}

/// Mass of what goes in by volume and face: humidity buffer, lining, vapour barrier.
pub(super) fn within(job: &Job, inside: [Length; 3]) -> Mass {
    let kit = &job.catalog.crate_kit;
    let find = |id: &String| job.catalog.materials.get(id);
    let buffer = kit
        .buffer
        .as_ref()
        .map_or(0.0, |(_, grams)| grams * fittings::cubic_metres(inside));
    let [long, wide, high] = inside;
    let faces = 2.0 * ((long * wide).to_m2() + (long * high).to_m2() + (wide * high).to_m2());
    let grams = |id: &Option<String>| {
        let material = id.as_ref().and_then(find);
        material.and_then(grams_per_m2).unwrap_or(0.0)
    };
    Mass::g(buffer + faces * (grams(&kit.lining) + grams(&kit.barrier)))
}

/// Mass of the skids alone, for the centre of mass.
pub(super) fn skids(job: &Job, build: &Build) -> Mass {
    let kit = &job.catalog.crate_kit;
    let timber = job
        .catalog
        .materials
        .get(kit.skid.as_ref().unwrap_or(&kit.batten));
    Mass::g(metres(&build.skids) * timber.map_or(0.0, batten_grams))
}

fn area(parts: &[Part]) -> f64 {
    let areas = parts.iter();
    areas.map(|part| (part.width * part.length).to_m2()).sum()
}

fn metres(timber: &[(String, Length)]) -> f64 {
    timber.iter().map(|(_, length)| length.to_m()).sum()
}

/// Grams a square metre of board.
fn sheet_grams(material: &Material) -> f64 {
    let heavy = material
        .thickness
        .map_or(0.0, |thickness| thickness.to_mm() * HEAVY_WOOD * 1_000.0);
    grams_per_m2(material).unwrap_or(heavy)
}

/// Grams a metre of timber.
fn batten_grams(material: &Material) -> f64 {
    let section = material
        .width
        .zip(material.thickness)
        .map_or(0.0, |(width, thickness)| (width * thickness).to_m2());
    section * material.density.unwrap_or(HEAVY_WOOD) * 1e6
}
