//! A page a crate: three views with dimensions, what lies in it, what to mark on it, which ways it passes.

use crate::crating::Content;
use crate::crating::Contents;
use crate::crating::Crate;
use crate::diag;
use crate::plan::Plan;
use crate::report::figure::Dash;
use crate::report::figure::Figure;
use crate::report::figure::Fill;
use crate::report::figure::Frame;
use crate::report::figure::Path;
use crate::report::figure::Role;
use crate::report::figure::Type;
use crate::report::figure::wrap;
use crate::rolling::batten_thickness;
use crate::rolling::board_thickness;
use crate::rolling::skid_thickness;
use crate::units::Length;

use super::page;
use super::page::BODY;
use super::page::LEAD;
use super::page::SMALL;
use super::page::STRONG;
use super::page::Scale;
use super::page::count;
use super::page::paragraph;
use super::page::shown;

/// More ways out and more lines of marking stand in the files beside this one.
const MOST_WAYS: usize = 12;
const MOST_LINES: usize = 16;

/// The page of a crate.
pub(super) fn page(plan: &Plan, packed: &Crate) -> Figure {
    let title = format!("Crate {}", packed.id);
    let (mut page, top) = page::start(plan, false, "Crates", &title);
    let body = page::body(&page, top);
    let mut y = top;
    for words in facts(plan, packed) {
        y = paragraph(&mut page, (body.left, y), (body.width(), 4), BODY, &words);
    }
    let lines = marks(packed, body.width() - 6.0);
    let high = 6.0 + LEAD * count(lines.len());
    let passages = LEAD * (2.0 * count(packed.ways_out.len().min(MOST_WAYS)) + 2.0);
    let views = Frame {
        top: y + 4.0,
        bottom: (y + 130.0).min(body.bottom - high - passages - 26.0),
        ..body
    };
    let low = draw(plan, &mut page, packed, &views);
    let low = ways_out(plan, &mut page, packed, (low, &body));
    marking(&mut page, &lines, (low, high), &body);
    page.shows = format!(
        "crate {} from the side, from the end and from above",
        packed.id
    );
    page
}

fn facts(plan: &Plan, packed: &Crate) -> Vec<String> {
    let (drums, flats) = plan.contents_of(packed);
    let holds = match (drums.as_slice(), flats.as_slice()) {
        (drums, []) => format!("drum {}", drums.join(", ")),
        (_, flats) => format!("flat on a support board: {}", flats.join(", ")),
    };
    let carried = packed.carriers.map_or_else(
        || "too heavy to carry by hand: lifting gear".to_owned(),
        |people| {
            let people = diag::count(usize::try_from(people).unwrap_or(0), "person");
            format!("carried by {people} on flat ground")
        },
    );
    let [along, across, up] = packed.centre.map(|side| shown(plan, side));
    vec![
        format!(
            "Holds {holds}. Crate {:.0} kg, with contents {:.0} kg, charged as {:.0} kg; {carried}. Centre of mass {along} from the left end, \
             {across} from the front, {up} above the ground.",
            packed.tare.to_kg(),
            packed.gross.to_kg().ceil(),
            packed.charged.to_kg()
        ),
        "Caution: masses are estimates: weigh before lifting; a competent person plans every lift. Keep people clear of suspended loads."
            .to_owned(),
    ]
}

/// Draws the three views; returns where they end.
fn draw(plan: &Plan, page: &mut Figure, packed: &Crate, room: &Frame) -> f64 {
    const APART: f64 = 16.0;
    let [long, wide, high] = packed.outside;
    let across = room.width() - 16.0 - APART;
    let up = room.height() - 14.0 - APART;
    let scale = Scale::fitting(
        plan,
        ((long + wide).to_mm(), (high + wide).to_mm()),
        (across, up),
    );
    let left = room.left + 8.0;
    let top = room.top + 12.0;
    let right = left + scale.paper(long) + APART;
    let below = top + scale.paper(high) + APART;
    let wall = board_thickness(&plan.job) + batten_thickness(&plan.job);
    let view = |at, (a, b): (usize, usize)| View {
        at,
        scale,
        outside: (packed.outside[a], packed.outside[b]),
        inside: (packed.inside[a], packed.inside[b]),
        wall,
    };
    let side = view((left, top), (0, 2));
    let end = view((right, top), (1, 2));
    let above = view((left, below), (0, 1));
    let skid = skid_thickness(&plan.job);
    side.walls(page, "side", skid);
    end.walls(page, "end", skid);
    above.walls(page, "above", Length::ZERO);
    side.skid(page, skid, (0.0, 1.0));
    let broad = skid_share(plan, wide);
    end.skid(page, skid, (0.0, broad));
    end.skid(page, skid, (1.0 - broad, 1.0));
    contents(plan, page, packed, (&side, &end, &above));
    for (view, words) in [
        (&side, "From the side, cut open"),
        (&end, "From the end"),
        (&above, "From above"),
    ] {
        page.write((view.at.0, view.at.1 - 7.5), STRONG, Role::Label, words);
    }
    dimensions(plan, page, packed, (&side, &end, &above));
    let low = below + scale.paper(wide) + 12.0;
    scale.bar(plan, page, (room.left, low));
    low
}

/// How much of the crate's width a skid takes.
fn skid_share(plan: &Plan, wide: Length) -> f64 {
    let kit = &plan.job.catalog.crate_kit;
    let skid = kit.skid.as_ref().unwrap_or(&kit.batten);
    let timber = plan.job.catalog.materials.get(skid);
    let broad = timber.and_then(|timber| timber.width).unwrap_or_default();
    broad.ratio(wide.max(Length::whole_mm(1))).min(0.4)
}

/// A view of the crate: level and upright sides outside and inside, and how thick boards and battens are.
struct View {
    at: (f64, f64),
    scale: Scale,
    outside: (Length, Length),
    inside: (Length, Length),
    wall: Length,
}

impl View {
    /// Boards and battens in grey round the room inside; under them skids, where they are seen.
    fn walls(&self, page: &mut Figure, about: &str, skid: Length) {
        let (x, y) = self.at;
        let outer = Frame {
            left: x,
            top: y,
            right: x + self.scale.paper(self.outside.0),
            bottom: y + self.scale.paper(self.outside.1 - skid),
        };
        page.draw(Path::ring(outer.ring(), 0.7).fill(Fill::Grey).about(about));
        page.draw(Path::ring(self.room().ring(), 0.3).fill(Fill::White));
    }

    /// A skid from one part of the width to another.
    fn skid(&self, page: &mut Figure, skid: Length, (from, to): (f64, f64)) {
        let (x, wide) = (self.at.0, self.scale.paper(self.outside.0));
        let low = self.at.1 + self.scale.paper(self.outside.1);
        let frame = Frame {
            left: x + from * wide,
            top: low - self.scale.paper(skid),
            right: x + to * wide,
            bottom: low,
        };
        if skid.is_positive() {
            page.draw(Path::ring(frame.ring(), 0.4).about("skid"));
        }
    }

    /// The room inside: walls are as thick on every side, skids lie below.
    fn room(&self) -> Frame {
        let wall = self.scale.paper(self.wall);
        let (left, top) = (self.at.0 + wall, self.at.1 + wall);
        Frame {
            left,
            top,
            right: left + self.scale.paper(self.inside.0),
            bottom: top + self.scale.paper(self.inside.1),
        }
    }

    /// A rectangle about a point.
    fn about(&self, (x, y): (f64, f64), (wide, high): (Length, Length)) -> Frame {
        let (half_wide, half_high) = (self.scale.paper(wide) / 2.0, self.scale.paper(high) / 2.0);
        Frame {
            left: x - half_wide,
            top: y - half_high,
            right: x + half_wide,
            bottom: y + half_high,
        }
    }
}

/// A drum or tray in the crate.
struct Held {
    name: String,
    /// Along, across and up.
    size: [Length; 3],
    /// The tube's diameter, for a drum.
    tube: Option<Length>,
    /// Length of foam under each end of a drum.
    cradle: Length,
}

/// What stands in the crate from the front to the back.
fn held(plan: &Plan, packed: &Crate) -> Vec<Held> {
    let cradles = packed.presses.iter().map(|press| press.length);
    match &packed.contents {
        Contents::Drums(drums) => {
            let drums = drums.iter().filter_map(|at| plan.rolling.drums.get(*at));
            let held = drums.zip(cradles).map(|(drum, cradle)| Held {
                name: drum.id.clone(),
                size: [drum.face, drum.outside_diameter, drum.outside_diameter],
                tube: Some(drum.diameter),
                cradle,
            });
            held.collect()
        }
        Contents::Flats(flats) => {
            let bare = |panel: usize| {
                let mut bare = plan.crating.bare.iter();
                bare.find(|bare| bare.content == Content::Flat(panel))
            };
            let trays = flats
                .iter()
                .filter_map(|panel| Some((panel, bare(*panel)?)));
            let held = trays.map(|(panel, bare)| Held {
                name: plan.panel_id(*panel).to_owned(),
                size: bare.size,
                tube: None,
                cradle: Length::ZERO,
            });
            held.collect()
        }
    }
}

/// What lies in the crate side by side, with the same gap before, between and behind.
fn contents(
    plan: &Plan,
    page: &mut Figure,
    packed: &Crate,
    (side, end, above): (&View, &View, &View),
) {
    let held = held(plan, packed);
    let taken: Length = held.iter().map(|held| held.size[1]).sum();
    let gap = side.scale.paper(packed.inside[1] - taken) / (count(held.len()) + 1.0);
    let mut deep = gap;
    for (at, one) in held.iter().enumerate() {
        let [long, wide, high] = one.size;
        let half = side.scale.paper(wide) / 2.0;
        let (along, up) = side.room().middle();
        let across = end.room().left + deep + half;
        let behind = above.room().top + deep + half;
        if let Some(tube) = one.tube {
            let radius = end.scale.paper(wide) / 2.0;
            page.draw(Path::circle((across, up), radius, 0.4).about(&one.name));
            let tube = end.scale.paper(tube) / 2.0;
            page.draw(Path::circle((across, up), tube, 0.3).dash(Dash::Dashed));
        } else {
            let seen = end.about((across, up), (wide, high));
            page.draw(Path::ring(seen.ring(), 0.4).about(&one.name));
        }
        label(page, (across, up), &one.name);
        let seen = above.about((along, behind), (long, wide));
        page.draw(Path::ring(seen.ring(), 0.4));
        foam(
            page,
            above,
            one,
            (
                &seen,
                (behind - half - gap / 2.0, behind + half + gap / 2.0),
            ),
        );
        label(page, seen.middle(), &one.name);
        if at == 0 {
            let seen = side.about((along, up), (long, high));
            page.draw(Path::ring(seen.ring(), 0.4));
            foam(
                page,
                side,
                one,
                (&seen, (side.room().top, side.room().bottom)),
            );
            label(page, seen.middle(), &one.name);
        }
        deep += 2.0 * half + gap;
    }
}

/// Foam at both ends of a drum: a cradle on its bare face, cushions between it and the end board.
fn foam(page: &mut Figure, view: &View, held: &Held, (drum, (top, bottom)): (&Frame, (f64, f64))) {
    if held.tube.is_none() {
        return;
    }
    let room = view.room();
    let cradle = view.scale.paper(held.cradle);
    for (left, right) in [
        (room.left, drum.left + cradle),
        (drum.right - cradle, room.right),
    ] {
        let block = Frame {
            left,
            top,
            right,
            bottom,
        };
        page.draw(
            Path::ring(block.ring(), 0.25)
                .dash(Dash::Dotted)
                .about("foam"),
        );
    }
}

fn label(page: &mut Figure, (x, y): (f64, f64), words: &str) {
    page.centre((x, y + 1.3), Type::bold(3.6), words);
}

fn dimensions(
    plan: &Plan,
    page: &mut Figure,
    packed: &Crate,
    (side, end, above): (&View, &View, &View),
) {
    let [long, wide, high] = packed.outside;
    let scale = side.scale;
    let level = |page: &mut Figure, view: &View, outer: Length| {
        let (x, y) = view.at;
        page.level_dimension((x, x + scale.paper(outer)), y - 1.8, &shown(plan, outer));
    };
    let upright = |page: &mut Figure, view: &View, outer: Length| {
        let (x, y) = view.at;
        page.upright_dimension((y, y + scale.paper(outer)), x - 2.2, &shown(plan, outer));
    };
    level(page, side, long);
    upright(page, side, high);
    level(page, end, wide);
    upright(page, above, wide);
    let [inside_long, inside_wide, inside_high] = packed.inside.map(|side| shown(plan, side));
    let mut words = vec![
        "Inside:".to_owned(),
        format!("long {inside_long}"),
        format!("wide {inside_wide}"),
        format!("high {inside_high}"),
    ];
    if matches!(packed.contents, Contents::Drums(_)) {
        words.push("Dotted: foam, a cradle on".to_owned());
        words.push("each bare end of the drum,".to_owned());
        words.push("cushions behind it".to_owned());
    }
    let (x, y) = (end.at.0 - 8.0, above.at.1);
    for (line, words) in words.iter().enumerate() {
        page.write((x, y + 2.0 + 4.4 * count(line)), BODY, Role::Label, words);
    }
}

/// Every way out with what is spare; returns where the list ends.
fn ways_out(plan: &Plan, page: &mut Figure, packed: &Crate, (top, body): (f64, &Frame)) -> f64 {
    let mut y = top + 8.0;
    page.write((body.left, y), STRONG, Role::Words, "Ways out");
    for passage in packed.ways_out.iter().take(MOST_WAYS) {
        let spare = shown(plan, passage.spare.abs());
        let verdict = if passage.fits {
            format!("passes, {spare} spare")
        } else {
            format!("DOES NOT PASS, {spare} missing")
        };
        let words = format!(
            "{} ({}): {verdict}, tightest: {}",
            passage.way, passage.place, passage.tightest
        );
        y = paragraph(page, (body.left, y), (body.width(), 2), BODY, &words);
    }
    y
}

/// The lines of the crate's marking, broken to a width; the day is written on when it is packed.
fn marks(packed: &Crate, width: f64) -> Vec<String> {
    let by_hand = "packed on ____________ by ____________".to_owned();
    let lines = packed.marks.iter().chain([&by_hand]);
    let mut lines: Vec<String> = lines.flat_map(|line| wrap(line, SMALL, width)).collect();
    if lines.len() > MOST_LINES {
        lines.truncate(MOST_LINES - 1);
        lines.push("… all lines stand in crate-marks.csv".to_owned());
    }
    lines
}

/// What is written on the crate.
fn marking(page: &mut Figure, lines: &[String], (top, high): (f64, f64), body: &Frame) {
    let low = (top + 10.0).min(body.bottom - high);
    page.write(
        (body.left, low - 2.0),
        STRONG,
        Role::Words,
        "Mark on two sides and one end",
    );
    let frame = Frame {
        left: body.left,
        top: low,
        right: body.right,
        bottom: low + high,
    };
    page.draw(Path::ring(frame.ring(), 0.5));
    for (at, words) in lines.iter().enumerate() {
        let y = low + 5.5 + LEAD * count(at);
        page.write((frame.left + 3.0, y), SMALL, Role::Words, words);
    }
}
