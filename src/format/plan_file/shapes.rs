//! Panels, layers, cut plans, solutions, drums and crates.
#![allow(
    clippy::struct_field_names,
    reason = "the names are the keys of the format"
)]

use serde::Serialize;
use serde::ser::SerializeMap;

use crate::crating::Content;
use crate::crating::Crate;
use crate::geometry::Point;
use crate::plan::Plan;
use crate::rolling::Drum;
use crate::takeoff::CutUnit;
use crate::takeoff::LaidLayer;
use crate::units::Length;

use super::Rows;

type Corner = [f64; 2];

#[derive(Serialize)]
struct Panel<'a> {
    panel: &'a str,
    width_mm: f64,
    height_mm: f64,
    area_m2: f64,
    outline: Vec<Corner>,
    openings: Vec<Vec<Corner>>,
    recipe: &'a str,
    height_above_floor_mm: f64,
    canvas_seams_mm: Vec<f64>,
}

#[derive(Serialize)]
struct Layer<'a> {
    panel: &'a str,
    step: &'a str,
    layer: u32,
    material: &'a str,
    direction: &'a str,
    overlap_mm: f64,
    seam_distance_mm: f64,
    canvas_seam_distance_mm: f64,
    longest_piece_mm: Option<f64>,
    laying: &'static str,
    region: Vec<Vec<Vec<Corner>>>,
    pieces: Vec<Piece<'a>>,
    laid_m2: f64,
}

#[derive(Serialize)]
struct Piece<'a> {
    id: &'a str,
    order: usize,
    x_mm: f64,
    y_mm: f64,
    width_mm: f64,
    height_mm: f64,
}

#[derive(Serialize)]
struct Cut<'a> {
    material: &'a str,
    stock: u64,
    stock_width_mm: f64,
    stock_length_mm: f64,
    from: &'static str,
    pieces: Vec<CutPiece<'a>>,
    lines: Vec<Line>,
}

#[derive(Serialize)]
struct Line {
    across: bool,
    at_mm: f64,
    from_mm: f64,
    to_mm: f64,
}

#[derive(Serialize)]
struct CutTotal<'a> {
    material: &'a str,
    offcuts: u64,
    shelf: u64,
    bought: u64,
    least_bought: u64,
    cost: Option<String>,
    least_cost: Option<String>,
}

#[derive(Serialize)]
struct Offcut<'a> {
    material: &'a str,
    width_mm: f64,
    length_mm: f64,
    count: u64,
}

#[derive(Serialize)]
struct CutPiece<'a> {
    id: &'a str,
    x_mm: f64,
    y_mm: f64,
    width_mm: f64,
    height_mm: f64,
    turned: bool,
}

#[derive(Serialize)]
struct ChoiceRow {
    cost: String,
    lower_bound: String,
    proven: bool,
    rolling_days: Option<usize>,
    stands: Option<&'static str>,
}

#[derive(Serialize)]
struct DrumRow<'a> {
    drum: &'a str,
    tube: &'a str,
    diameter_mm: f64,
    face_mm: f64,
    least_diameter_mm: f64,
    strain: f64,
    strain_limit: f64,
    reserve: f64,
    turns: f64,
    outside_diameter_mm: f64,
    mass_kg: f64,
    deflection_mm: f64,
    stress_mpa: f64,
    stress_limit_mpa: f64,
    bearing_n: f64,
    turning_n: f64,
    panels: Vec<Rolled<'a>>,
}

#[derive(Serialize)]
struct Rolled<'a> {
    panel: &'a str,
    along: &'static str,
    turns: f64,
    strain: f64,
    last_strain: f64,
    start_mm: f64,
    across_mm: f64,
}

#[derive(Serialize)]
struct Flat<'a> {
    panel: &'a str,
    why: &'a str,
    instead: &'a [String],
}

#[derive(Serialize)]
struct TubeCut<'a> {
    material: &'a str,
    stock: u64,
    stock_length_mm: f64,
    pieces: Vec<TubePiece<'a>>,
}

#[derive(Serialize)]
struct TubePiece<'a> {
    drum: &'a str,
    length_mm: f64,
}

#[derive(Serialize)]
struct CrateRow<'a> {
    #[serde(rename = "crate")]
    id: &'a str,
    drums: Vec<&'a str>,
    flats: Vec<&'a str>,
    inside_mm: [f64; 3],
    outside_mm: [f64; 3],
    tare_kg: f64,
    gross_kg: f64,
    charged_kg: f64,
    centre_mm: [f64; 3],
    carriers: Option<u32>,
    presses: Vec<Press<'a>>,
    estimate: String,
    marks: &'a [String],
    pieces: Vec<CratePiece<'a>>,
    ways_out: Vec<Way<'a>>,
}

#[derive(Serialize)]
struct Press<'a> {
    what: &'a str,
    length_mm: f64,
    kpa: f64,
    limit_kpa: Option<f64>,
}

#[derive(Serialize)]
struct CratePiece<'a> {
    part: &'a str,
    material: &'a str,
    width_mm: f64,
    length_mm: f64,
    count: u32,
}

#[derive(Serialize)]
struct Bare<'a> {
    kind: &'static str,
    what: &'a str,
    size_mm: [f64; 3],
    mass_kg: f64,
    carriers: Option<u32>,
    ways_out: Vec<Way<'a>>,
}

#[derive(Serialize)]
struct CutBound<'a> {
    material: &'a str,
    units: u64,
    cost: String,
    lower_bound: String,
}

#[derive(Serialize)]
struct Way<'a> {
    way: &'a str,
    place: &'a str,
    fits: bool,
    spare_mm: f64,
    tightest: &'a str,
}

pub(super) fn write<M: SerializeMap>(map: &mut M, plan: &Plan) -> Result<(), M::Error> {
    map.serialize_entry(
        "panels",
        &Rows(|| {
            plan.survey
                .panels
                .iter()
                .map(|panel| panel_row(plan, panel))
        }),
    )?;
    map.serialize_entry(
        "layers",
        &Rows(|| {
            plan.takeoff
                .layers
                .iter()
                .map(|layer| layer_row(plan, layer))
        }),
    )?;
    map.serialize_entry(
        "cuts",
        &Rows(|| {
            plan.takeoff
                .cuts
                .iter()
                .chain(&plan.crating.cuts)
                .map(cut_row)
        }),
    )?;
    map.serialize_entry(
        "cut_totals",
        &Rows(|| plan.takeoff.cut_totals.iter().map(total_row)),
    )?;
    map.serialize_entry("offcuts", &Rows(|| plan.offcuts().map(offcut_row)))?;
    map.serialize_entry(
        "tube_cuts",
        &Rows(|| plan.rolling.tube_cuts.iter().map(tube_row)),
    )?;
    map.serialize_entry("drum_choice", &choice_row(plan))?;
    map.serialize_entry(
        "drums",
        &Rows(|| plan.rolling.drums.iter().map(|drum| drum_row(plan, drum))),
    )?;
    map.serialize_entry(
        "flats",
        &Rows(|| plan.rolling.flats.iter().map(|flat| flat_row(plan, flat))),
    )?;
    map.serialize_entry(
        "crates",
        &Rows(|| {
            plan.crating
                .crates
                .iter()
                .map(|packed| crate_row(plan, packed))
        }),
    )?;
    map.serialize_entry(
        "bare",
        &Rows(|| plan.crating.bare.iter().map(|bare| bare_row(plan, bare))),
    )?;
    map.serialize_entry(
        "crate_cut_bounds",
        &Rows(|| plan.crating.cut_bounds.iter().map(bound_row)),
    )
}

fn corners(ring: &[Point]) -> Vec<Corner> {
    ring.iter()
        .map(|point| [point.x.to_mm(), point.y.to_mm()])
        .collect()
}

fn panel_row<'a>(plan: &'a Plan, panel: &'a crate::survey::Panel) -> Panel<'a> {
    let row = plan.job.panels.get(panel.row);
    Panel {
        panel: &panel.id,
        width_mm: panel.width.to_mm(),
        height_mm: panel.height.to_mm(),
        area_m2: panel.area.to_m2(),
        outline: corners(&panel.outline),
        openings: panel.openings.iter().map(|ring| corners(ring)).collect(),
        recipe: row.map_or("", |row| &row.recipe),
        height_above_floor_mm: row.map_or(0.0, |row| row.height_above_floor.to_mm()),
        canvas_seams_mm: row
            .map_or(&[][..], |row| &row.seams)
            .iter()
            .map(|seam| seam.to_mm())
            .collect(),
    }
}

fn layer_row<'a>(plan: &'a Plan, layer: &'a LaidLayer) -> Layer<'a> {
    let region = layer.region.0.iter().map(|polygon| {
        std::iter::once(&polygon.outer)
            .chain(&polygon.holes)
            .map(|ring| corners(ring))
            .collect()
    });
    let piece = |(index, piece): (usize, &'a crate::takeoff::Piece)| Piece {
        id: &piece.id,
        order: index + 1,
        x_mm: piece.x.to_mm(),
        y_mm: piece.y.to_mm(),
        width_mm: piece.width.to_mm(),
        height_mm: piece.height.to_mm(),
    };
    Layer {
        panel: plan.panel_id(layer.panel),
        step: plan
            .step_of(layer.panel, layer.step)
            .map_or("", |step| &step.id),
        layer: layer.layer,
        material: &layer.material,
        direction: layer.way.name(),
        overlap_mm: layer.overlap.to_mm(),
        seam_distance_mm: layer.seam_distance.to_mm(),
        canvas_seam_distance_mm: layer.canvas_seam_distance.to_mm(),
        longest_piece_mm: layer.longest_piece.map(Length::to_mm),
        laying: layer.laying.name(),
        region: region.collect(),
        pieces: layer.pieces.iter().enumerate().map(piece).collect(),
        laid_m2: layer.laid.to_m2(),
    }
}

fn cut_row(unit: &CutUnit) -> Cut<'_> {
    let pieces = unit.pieces.iter().map(|piece| CutPiece {
        id: &piece.id,
        x_mm: piece.x.to_mm(),
        y_mm: piece.y.to_mm(),
        width_mm: piece.width.to_mm(),
        height_mm: piece.height.to_mm(),
        turned: piece.turned,
    });
    Cut {
        material: &unit.material,
        stock: unit.stock,
        stock_width_mm: unit.width.to_mm(),
        stock_length_mm: unit.length.to_mm(),
        from: unit.from.name(),
        pieces: pieces.collect(),
        lines: unit.lines.iter().map(line_row).collect(),
    }
}

fn line_row(line: &crate::takeoff::CutLine) -> Line {
    Line {
        across: line.across,
        at_mm: line.at.to_mm(),
        from_mm: line.from.to_mm(),
        to_mm: line.to.to_mm(),
    }
}

fn total_row(total: &crate::takeoff::CutTotal) -> CutTotal<'_> {
    let money = |money: crate::units::Money| money.cents().amount().to_string();
    CutTotal {
        material: &total.material,
        offcuts: total.offcuts,
        shelf: total.shelf,
        bought: total.bought,
        least_bought: total.least_bought,
        cost: total.cost.map(|(cost, _)| money(cost)),
        least_cost: total.cost.map(|(_, least)| money(least)),
    }
}

fn offcut_row(offcut: &crate::job::Offcut) -> Offcut<'_> {
    Offcut {
        material: &offcut.material,
        width_mm: offcut.width.to_mm(),
        length_mm: offcut.length.to_mm(),
        count: offcut.count,
    }
}

fn tube_row(cut: &crate::rolling::TubeCut) -> TubeCut<'_> {
    TubeCut {
        material: &cut.material,
        stock: cut.stock,
        stock_length_mm: cut.length.to_mm(),
        pieces: cut
            .pieces
            .iter()
            .map(|(drum, length)| TubePiece {
                drum,
                length_mm: length.to_mm(),
            })
            .collect(),
    }
}

fn choice_row(plan: &Plan) -> ChoiceRow {
    let choice = &plan.rolling.choice;
    let days = plan.schedule.rolling_days;
    ChoiceRow {
        cost: choice.cost.cents().to_string(),
        lower_bound: choice.lower_bound.cents().to_string(),
        proven: choice.proven,
        rolling_days: choice.stands.map(|_| days),
        stands: choice.stands.map(|stands| {
            if stands.is_hired(days) {
                "hired"
            } else {
                "bought"
            }
        }),
    }
}

fn drum_row<'a>(plan: &'a Plan, drum: &'a Drum) -> DrumRow<'a> {
    let rolled = |rolled: &crate::rolling::Rolled| Rolled {
        panel: plan.panel_id(rolled.panel),
        along: if rolled.along_width {
            "width"
        } else {
            "height"
        },
        turns: rolled.turns,
        strain: rolled.strain,
        last_strain: rolled.last_strain,
        start_mm: rolled.start.to_mm(),
        across_mm: rolled.across.to_mm(),
    };
    DrumRow {
        drum: &drum.id,
        tube: &drum.tube,
        diameter_mm: drum.diameter.to_mm(),
        face_mm: drum.face.to_mm(),
        least_diameter_mm: drum.least_diameter.to_mm(),
        strain: drum.strain,
        strain_limit: drum.strain_limit,
        reserve: drum.reserve,
        turns: drum.turns,
        outside_diameter_mm: drum.outside_diameter.to_mm(),
        mass_kg: drum.mass.to_kg(),
        deflection_mm: drum.deflection.to_mm(),
        stress_mpa: drum.loads.stress,
        stress_limit_mpa: drum.loads.stress_limit,
        bearing_n: drum.loads.bearing,
        turning_n: drum.loads.turning,
        panels: drum.panels.iter().map(rolled).collect(),
    }
}

fn flat_row<'a>(plan: &'a Plan, flat: &'a crate::rolling::Flat) -> Flat<'a> {
    Flat {
        panel: plan.panel_id(flat.panel),
        why: &flat.why,
        instead: &flat.instead,
    }
}

fn ways(passages: &[crate::crating::Passage]) -> Vec<Way<'_>> {
    let passages = passages.iter();
    passages
        .map(|passage| Way {
            way: &passage.way,
            place: &passage.place,
            fits: passage.fits,
            spare_mm: passage.spare.to_mm(),
            tightest: &passage.tightest,
        })
        .collect()
}

fn crate_row<'a>(plan: &'a Plan, packed: &'a Crate) -> CrateRow<'a> {
    let (drums, flats) = plan.contents_of(packed);
    let held = drums.iter().chain(&flats).zip(&packed.presses);
    let presses = held.map(|(what, press)| Press {
        what,
        length_mm: press.length.to_mm(),
        kpa: press.pressure,
        limit_kpa: press.limit,
    });
    let pieces = packed.pieces.iter().map(|piece| CratePiece {
        part: &piece.part,
        material: &piece.material,
        width_mm: piece.width.to_mm(),
        length_mm: piece.length.to_mm(),
        count: piece.count,
    });
    CrateRow {
        id: &packed.id,
        presses: presses.collect(),
        drums,
        flats,
        inside_mm: packed.inside.map(Length::to_mm),
        outside_mm: packed.outside.map(Length::to_mm),
        tare_kg: packed.tare.to_kg(),
        gross_kg: packed.gross.to_kg(),
        charged_kg: packed.charged.to_kg(),
        centre_mm: packed.centre.map(Length::to_mm),
        carriers: packed.carriers,
        estimate: packed.estimate.amount().to_string(),
        marks: &packed.marks,
        pieces: pieces.collect(),
        ways_out: ways(&packed.ways_out),
    }
}

fn bare_row<'a>(plan: &'a Plan, bare: &'a crate::crating::Bare) -> Bare<'a> {
    let (kind, what) = match bare.content {
        Content::Drum(drum) => (
            "drum",
            plan.rolling
                .drums
                .get(drum)
                .map_or("", |drum| drum.id.as_str()),
        ),
        Content::Flat(panel) => ("tray", plan.panel_id(panel)),
    };
    Bare {
        kind,
        what,
        size_mm: bare.size.map(Length::to_mm),
        mass_kg: bare.mass.to_kg(),
        carriers: bare.carriers,
        ways_out: ways(&bare.ways_out),
    }
}

fn bound_row(bound: &crate::crating::CutBound) -> CutBound<'_> {
    CutBound {
        material: &bound.material,
        units: bound.units,
        cost: bound.cost.amount().to_string(),
        lower_bound: bound.least.amount().to_string(),
    }
}
