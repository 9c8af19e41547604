//! A page a drum: the roll in section with its turns, the face with the panels on it, what lies over what.

use crate::catalog::PaintSide;
use crate::plan::Plan;
use crate::report::figure::Dash;
use crate::report::figure::Figure;
use crate::report::figure::Fill;
use crate::report::figure::Frame;
use crate::report::figure::Path;
use crate::report::figure::Role;
use crate::report::figure::Type;
use crate::report::figure::is_legible;
use crate::report::figure::text_width;
use crate::rolling::Drum;
use crate::rolling::Governs;
use crate::rolling::Rolled;
use crate::units::Length;

use super::page;
use super::page::BODY;
use super::page::SMALL;
use super::page::STRONG;
use super::page::Scale;
use super::page::paragraph;
use super::page::shown;

/// Turns are drawn no nearer to each other than this, as long as that is not too far from the truth.
const NEAREST: f64 = 2.0;
/// The most that wound layers are thickened in the drawing.
const MOST_TIMES: f64 = 20.0;

/// The page of a drum.
pub(super) fn page(plan: &Plan, drum: &Drum) -> Figure {
    let title = format!("Drum {}", drum.id);
    let (mut page, top) = page::start(plan, false, "Drums", &title);
    let body = page::body(&page, top);
    let mut y = top;
    for words in facts(plan, drum) {
        y = paragraph(&mut page, (body.left, y), (body.width(), 3), BODY, &words);
    }
    let caution = "Caution: the diameter is an aid to the conservator's judgement; a test on the real paint comes first. Heavy and turning \
                   loads: a competent person plans the lift.";
    y = paragraph(&mut page, (body.left, y), (body.width(), 2), SMALL, caution) + 4.0;
    let half = Frame {
        left: body.left,
        top: y + 3.0,
        right: body.left + 0.52 * body.width(),
        bottom: y + 104.0,
    };
    let scale = section(plan, &mut page, drum, &half);
    scale.bar(plan, &mut page, (half.left, half.bottom + 2.0));
    stack(
        plan,
        &mut page,
        drum,
        (half.right + 6.0, half.top + 4.0),
        body.right,
    );
    let face = Frame {
        top: half.bottom + 10.0,
        bottom: half.bottom + 62.0,
        ..body
    };
    let (scale, low) = elevation(plan, &mut page, drum, &face);
    scale.bar(plan, &mut page, (face.left, low));
    table(plan, &mut page, drum, (body.left, face.bottom + 6.0), &body);
    page.shows = format!("drum {} in section and from the front", drum.id);
    page
}

fn facts(plan: &Plan, drum: &Drum) -> Vec<String> {
    let order = plan.rolled_in_order(drum);
    let names: Vec<&str> = order.iter().map(|panel| plan.panel_id(*panel)).collect();
    let rolled = if names.len() > 1 {
        ", rolled in this order"
    } else {
        ""
    };
    vec![
        format!(
            "Carries {}{rolled}. Tube: {}.",
            names.join(", "),
            plan.material_name(&drum.tube)
        ),
        decided(plan, drum),
        format!(
            "Strain in the paint: {:.5} in the first turn, paint {}; limit {:.4}, reserve {:.1}, so {:.5} may be used.",
            drum.strain,
            side(plan),
            drum.strain_limit,
            drum.reserve,
            drum.strain_limit / drum.reserve
        ),
        format!(
            "Over the roll {}. {:.0} kg in all: {:.0} N on each bearing, {:.0} N at the rim to turn it. Between bearings it sags {:.2} mm; its wall is bent \
             with {:.2} of {:.2} MPa.",
            shown(plan, drum.outside_diameter),
            drum.mass.to_kg(),
            drum.loads.bearing,
            drum.loads.turning,
            drum.deflection.to_mm(),
            drum.loads.stress,
            drum.loads.stress_limit
        ),
    ]
}

/// The least diameter of the panel that asks for the widest drum, and what decided it.
fn decided(plan: &Plan, drum: &Drum) -> String {
    let bending = |rolled: &Rolled| plan.rolling.bending.get(rolled.panel)?.as_ref();
    let bent = drum
        .panels
        .iter()
        .filter_map(|rolled| Some((rolled, bending(rolled)?)));
    let widest = bent.reduce(|a, b| {
        if b.1.least_diameter > a.1.least_diameter {
            b
        } else {
            a
        }
    });
    let Some((rolled, bending)) = widest else {
        return format!("Diameter {}.", shown(plan, drum.diameter));
    };
    let whose = if drum.panels.len() > 1 {
        format!(" of {}", plan.panel_id(rolled.panel))
    } else {
        String::new()
    };
    let (strain, floor) = (shown(plan, bending.by_strain), shown(plan, bending.floor));
    let why = match bending.governs {
        Governs::Strain => {
            format!("the strain in its paint decides (floor of common practice: {floor})")
        }
        Governs::Floor => format!(
            "the floor of common practice for its class decides (by strain alone: {strain})"
        ),
    };
    format!(
        "This tube has a diameter of {}. Least diameter{whose} {}: {why}.",
        shown(plan, drum.diameter),
        shown(plan, bending.least_diameter)
    )
}

/// Which way the paint faces.
fn side(plan: &Plan) -> &'static str {
    match plan.job.catalog.drum_kit.paint {
        PaintSide::Out => "outwards",
        PaintSide::In => "inwards",
    }
}

/// Thickness of the padding on the tube, if the catalogue knows it.
fn padding(plan: &Plan) -> Length {
    let kit = &plan.job.catalog.drum_kit;
    kit.padding
        .iter()
        .chain(&kit.cover)
        .filter_map(|id| plan.job.catalog.materials.get(id)?.thickness)
        .sum()
}

/// The drum across its axis: tube, padding, turns. Turns too thin to be seen are drawn thicker, and the page says so. Returns its scale.
pub(super) fn section(plan: &Plan, page: &mut Figure, drum: &Drum, room: &Frame) -> Scale {
    let outside = drum.outside_diameter.max(drum.diameter);
    let thick = outside - drum.diameter;
    let scale = Scale::fitting(
        plan,
        (outside.to_mm(), outside.to_mm()),
        (room.width() - 30.0, room.height() - 58.0),
    );
    let (x, y) = (room.middle().0, room.middle().1 - 1.0);
    let tube = scale.paper(drum.diameter) / 2.0;
    let padding = scale.paper(padding(plan)).min(scale.paper(thick) / 4.0);
    let wound = (scale.paper(thick) / 2.0 - padding).max(0.0);
    let turns = drum.turns.max(0.1);
    let times = (NEAREST * turns / wound.max(1e-3))
        .clamp(1.0, MOST_TIMES)
        .ceil();
    let core = tube + (padding * times).min(5.0);
    let most = (tube + 13.0).max(scale.paper(outside) / 2.0);
    let over = (core + wound * times).min(most);
    let materials = &plan.job.catalog.materials;
    let wall = materials.get(&drum.tube).and_then(|tube| tube.wall);
    page.draw(
        Path::circle((x, y), tube, 0.7)
            .fill(Fill::Grey)
            .about("tube"),
    );
    if let Some(wall) = wall.filter(|wall| *wall + *wall < drum.diameter) {
        page.draw(Path::circle((x, y), tube - scale.paper(wall), 0.4).fill(Fill::White));
    }
    page.draw(
        Path::circle((x, y), core, 0.15)
            .dash(Dash::Dotted)
            .about("padding"),
    );
    let roll = Roll {
        at: (x, y),
        core,
        pitch: (over - core) / turns,
    };
    let leader = plan.job.catalog.drum_kit.leader.to_mm()
        / (std::f64::consts::PI * drum.diameter.to_mm()).max(1.0);
    roll.wind(page, turns, leader.min(turns / 2.0));
    for (ends, words) in ends(drum) {
        roll.ends(page, &ends, (over, &words));
    }
    cross(page, (x, y));
    diameters(
        page,
        (x, y),
        [
            (over, 10.0, format!("roll {}", shown(plan, outside))),
            (tube, 16.0, format!("tube {}", shown(plan, drum.diameter))),
        ],
    );
    explain(plan, page, room, times);
    scale
}

/// Dimensions under the section, each at its distance below the first circle.
fn diameters(page: &mut Figure, (x, y): (f64, f64), circles: [(f64, f64, String); 2]) {
    let below = y + circles.iter().map(|circle| circle.0).fold(0.0, f64::max);
    for (radius, down, words) in circles {
        let low = below + down;
        page.level_dimension((x - radius, x + radius), low, &words);
        for side in [x - radius, x + radius] {
            page.draw(Path::line(vec![(side, y), (side, low)], 0.1).dash(Dash::Dotted));
        }
    }
}

/// What the lines of the section mean.
fn explain(plan: &Plan, page: &mut Figure, room: &Frame, times: f64) {
    let heading = format!("Section, paint {}", side(plan));
    page.write((room.left, room.top), STRONG, Role::Label, &heading);
    let thicker = if times > 1.0 {
        format!(" What is wound is drawn about {times:.0} times as thick.")
    } else {
        String::new()
    };
    let words =
        format!("Thin: leader and tail. Thick: painting. Numbers: where each panel ends.{thicker}");
    let lines = crate::report::figure::wrap(&words, SMALL, room.width());
    for (line, words) in lines.iter().enumerate() {
        let y = room.top + 4.0 * page::count(line + 1);
        page.write((room.left, y), SMALL, Role::Label, words);
    }
}

/// A spiral on paper.
struct Roll {
    at: (f64, f64),
    /// Radius where it begins.
    core: f64,
    /// How much further out each turn lies.
    pitch: f64,
}

impl Roll {
    /// Where the spiral is after so many turns, from straight up clockwise.
    fn point(&self, turned: f64, out: f64) -> (f64, f64) {
        let radius = self.core + self.pitch * turned + out;
        let angle = turned * std::f64::consts::TAU;
        (
            self.at.0 + radius * libm::sin(angle),
            self.at.1 - radius * libm::cos(angle),
        )
    }

    /// Draws so many turns, the first and last part of them thin.
    fn wind(&self, page: &mut Figure, turns: f64, leader: f64) {
        for (from, to, weight) in [
            (0.0, leader, 0.2),
            (leader, turns - leader, 0.6),
            (turns - leader, turns, 0.2),
        ] {
            let mut points = Vec::new();
            let mut turned = from;
            while turned < to {
                points.push(self.point(turned, 0.0));
                turned += 1.0 / 90.0;
            }
            points.push(self.point(to, 0.0));
            page.draw(Path::line(points, weight));
        }
    }

    /// Marks where panels end, with their numbers outside the roll.
    fn ends(&self, page: &mut Figure, turns: &[f64], (over, words): (f64, &str)) {
        for turned in turns {
            let dot = Path::circle(self.point(*turned, 0.0), 0.7, 0.0);
            page.draw(dot.fill(Fill::Black));
        }
        let angle = turns
            .first()
            .map_or(0.0, |turned| turned * std::f64::consts::TAU);
        let half = text_width(words, 2.9, true) / 2.0;
        let (out_x, out_y) = (over + 2.0 + half, over + 3.2);
        let (x, y) = (
            self.at.0 + out_x * libm::sin(angle),
            self.at.1 - out_y * libm::cos(angle),
        );
        page.centre((x, y + 1.0), Type::bold(2.9), words);
    }
}

/// Where panels end, in turns, those that end at nearly the same place of the round together, with their numbers.
fn ends(drum: &Drum) -> Vec<(Vec<f64>, String)> {
    const NEAR: f64 = 0.06;
    const MOST: usize = 9;
    let mut panels: Vec<(f64, usize)> = drum
        .panels
        .iter()
        .map(|rolled| rolled.turns)
        .zip(1..)
        .take(MOST)
        .collect();
    panels.sort_by(|a, b| a.0.rem_euclid(1.0).total_cmp(&b.0.rem_euclid(1.0)));
    panels
        .chunk_by(|a, b| b.0.rem_euclid(1.0) - a.0.rem_euclid(1.0) < NEAR)
        .map(|near| {
            let numbers: Vec<String> = near.iter().map(|(_, number)| number.to_string()).collect();
            (
                near.iter().map(|(turns, _)| *turns).collect(),
                numbers.join(", "),
            )
        })
        .collect()
}

fn cross(page: &mut Figure, (x, y): (f64, f64)) {
    page.line((x - 2.5, y), (x + 2.5, y), 0.15);
    page.line((x, y - 2.5), (x, y + 2.5), 0.15);
}

/// What lies over what, from the tube outwards, not to scale.
fn stack(plan: &Plan, page: &mut Figure, drum: &Drum, (x, top): (f64, f64), right: f64) {
    const HIGH: f64 = 9.5;
    let kit = &plan.job.catalog.drum_kit;
    let name = |id: &Option<String>| id.as_deref().map(|id| plan.material_name(id).to_owned());
    let leader = shown(plan, kit.leader);
    let turns = format!(
        "{:.1} turns: facing, paint {}; interleaf between",
        drum.turns,
        side(plan)
    );
    let with = |what: &str, id: &Option<String>| name(id).map(|name| format!("{what}: {name}"));
    let layers = [
        with("cover over the roll", &kit.cover),
        Some(format!("tail {leader} without paint")),
        Some(turns),
        with("interleaf", &kit.interleaf),
        Some(format!("leader {leader} without paint")),
        with("cover on the padding", &kit.cover),
        with("padding", &kit.padding),
        Some(format!("tube: {}", plan.material_name(&drum.tube))),
    ];
    page.write(
        (x, top - 4.0),
        STRONG,
        Role::Label,
        "From the outside to the tube (not to scale)",
    );
    let mut y = top;
    for (at, words) in layers.into_iter().flatten().enumerate() {
        let band = Frame {
            left: x,
            top: y,
            right,
            bottom: y + HIGH,
        };
        let fill = if at % 2 == 0 {
            Fill::Clear
        } else {
            Fill::White
        };
        page.draw(Path::ring(band.ring(), 0.25).fill(fill));
        let lines = crate::report::figure::wrap(&words, SMALL, band.width() - 3.0);
        let first = y + if lines.len() > 1 { 4.0 } else { 5.8 };
        for (line, down) in lines.iter().take(2).zip([0.0, 3.7]) {
            page.write((x + 1.5, first + down), SMALL, Role::Label, line);
        }
        y += HIGH;
    }
}

/// The face from the front with the panels along it; returns its scale and where it ends.
pub(super) fn elevation(plan: &Plan, page: &mut Figure, drum: &Drum, room: &Frame) -> (Scale, f64) {
    let size = (drum.face.to_mm(), drum.outside_diameter.to_mm());
    let scale = Scale::fitting(plan, size, (room.width(), room.height() - 16.0));
    let high = scale.paper(drum.outside_diameter).max(8.0);
    let (left, top) = (room.left, room.top + 8.0);
    let tube = Frame {
        left,
        top: top + (high - scale.paper(drum.diameter).max(6.0)).max(0.0) / 2.0,
        right: left + scale.paper(drum.face),
        bottom: top + f64::midpoint(high, scale.paper(drum.diameter).max(6.0)),
    };
    page.draw(Path::ring(tube.ring(), 0.6).fill(Fill::Grey).about("face"));
    for (at, rolled) in drum.panels.iter().enumerate() {
        let frame = Frame {
            left: left + scale.paper(rolled.start),
            top,
            right: left + scale.paper(rolled.start + rolled.across),
            bottom: top + high,
        };
        let id = plan.panel_id(rolled.panel);
        page.draw(Path::ring(frame.ring(), 0.5).fill(Fill::White).about(id));
        let number = format!("{}", at + 1);
        let face = Type::bold((0.5 * frame.width() / text_width(id, 1.0, true)).clamp(2.9, 6.0));
        let (x, y) = frame.middle();
        let fits = text_width(id, face.size, true) <= 0.95 * frame.width();
        let words = if fits && is_legible(id) { id } else { &number };
        page.centre((x, y + 0.36 * face.size), face, words);
        let across = shown(plan, rolled.across);
        if text_width(&across, 2.9, true) <= frame.width() {
            page.level_dimension((frame.left, frame.right), frame.bottom + 5.0, &across);
        }
    }
    page.level_dimension(
        (tube.left, tube.right),
        top + high + 10.5,
        &format!("face {}", shown(plan, drum.face)),
    );
    page.write(
        (room.left, room.top + 2.0),
        STRONG,
        Role::Label,
        "Along the drum, from the marked end",
    );
    (scale, top + high + 16.0)
}

/// Which panel lies where, on how many turns, and what its paint bears.
fn table(plan: &Plan, page: &mut Figure, drum: &Drum, (x, top): (f64, f64), body: &Frame) {
    let columns =
        [0.0, 0.20, 0.31, 0.42, 0.51, 0.63, 0.72, 0.81, 0.92].map(|part| x + part * body.width());
    let heading = [
        "panel",
        "begins at",
        "ends at",
        "turns",
        "wound up",
        "strain",
        "may use",
        "least drum",
        "by",
    ];
    let mut y = top + 5.0;
    for (x, words) in columns.iter().zip(heading) {
        page.write((*x, y), STRONG, Role::Words, words);
    }
    page.line((x, y + 1.3), (body.right, y + 1.3), 0.2);
    for (at, rolled) in drum.panels.iter().enumerate() {
        y += 4.6;
        if y > body.bottom {
            break;
        }
        let id = format!("{}) {}", at + 1, plan.panel_id(rolled.panel));
        let id = crate::report::figure::shorten(&id, BODY, 0.19 * body.width());
        let cells = row(plan, rolled, id);
        for (x, words) in columns.iter().zip(&cells) {
            page.write((*x, y), BODY, Role::Words, words);
        }
    }
}

/// A panel's row, its name as there is room for it.
fn row(plan: &Plan, rolled: &Rolled, id: String) -> [String; 9] {
    let along = if rolled.along_width {
        "width"
    } else {
        "height"
    };
    let bending = plan
        .rolling
        .bending
        .get(rolled.panel)
        .and_then(Option::as_ref);
    let [may, least, by] = bending.map_or_else(Default::default, |bending| {
        let by = match bending.governs {
            Governs::Strain => "strain",
            Governs::Floor => "floor",
        };
        [
            format!("{:.5}", bending.limit / bending.reserve),
            shown(plan, bending.least_diameter),
            by.to_owned(),
        ]
    });
    [
        id,
        shown(plan, rolled.start),
        shown(plan, rolled.start + rolled.across),
        format!("1 to {:.1}", rolled.turns.max(1.0)),
        along.to_owned(),
        format!("{:.5}", rolled.strain),
        may,
        least,
        by,
    ]
}
