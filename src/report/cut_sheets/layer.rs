//! A page of one layer: the panel to scale from the floor up, its sheets numbered in laying order.

use std::collections::BTreeMap;

use crate::geometry::Point;
use crate::geometry::Rect;
use crate::job::PanelRow;
use crate::job::PanelShape;
use crate::plan::Plan;
use crate::report::figure::Dash;
use crate::report::figure::Figure;
use crate::report::figure::Fill;
use crate::report::figure::Frame;
use crate::report::figure::Path;
use crate::report::figure::Role;
use crate::report::figure::Type;
use crate::report::figure::text_width;
use crate::survey::Panel;
use crate::takeoff::LaidLayer;
use crate::takeoff::Piece;
use crate::units::Length;

use super::facts;
use super::list;
use super::names;
use super::numbers;
use super::numbers::Numbered;
use super::page;
use super::page::SMALL;
use super::page::Scale;
use super::page::pair;
use super::page::shown;
use super::sign;
use super::view::Floor;
use super::view::View;

/// Weights of lines: painting, openings, sheets, the layer's edge.
const OUTLINE: f64 = 0.8;
const OPENING: f64 = 0.5;
const SHEET: f64 = 0.25;
const REGION: f64 = 0.35;
/// Room for dimensions at the left of the drawing; half of it at its right.
const BESIDE: f64 = 8.0;
/// Room for the dimension above it.
const ABOVE: f64 = 6.0;
/// Room below it for the bar to measure by.
const BAR: f64 = 4.5;

/// Panels that are laid alike, with what there is to know of the layer.
pub(super) struct Alike<'a> {
    pub(super) plan: &'a Plan,
    /// The layer, as on the first of the panels.
    pub(super) layer: &'a LaidLayer,
    pub(super) panel: &'a Panel,
    pub(super) row: &'a PanelRow,
    /// Every panel laid like it.
    pub(super) names: Vec<&'a str>,
}

/// The page of a layer, and pages that its list of sizes runs over to.
pub(super) fn pages(alike: &Alike<'_>) -> Vec<Figure> {
    let Some(drawn) = drawn(alike) else {
        return Vec::new();
    };
    let group = names::panels(&alike.names);
    let title = facts::title(alike, &group);
    let sizes = sizes(alike);
    // Upright, unless the drawing is larger on the paper's long side.
    let upright = Sheet::new(alike, (&group, &title), &sizes, &drawn, false);
    let across = Sheet::new(alike, (&group, &title), &sizes, &drawn, true);
    let mut sheet = if across.view.scale.0 < upright.view.scale.0 {
        across
    } else {
        upright
    };
    let mut rest = sheet.finish(alike, &sizes, &drawn);
    sheet.page.shows = format!(
        "{title}, seen from the front: {} sheets numbered in laying order",
        alike.layer.pieces.len()
    );
    let mut pages = vec![sheet.page];
    let title = format!("{title}: sheets");
    pages.append(&mut list::pages(
        alike.plan,
        &group,
        &title,
        std::mem::take(&mut rest),
    ));
    pages
}

/// The drawing of a layer alone, no larger than a room, its height as it comes.
pub(super) fn inset(
    alike: &Alike<'_>,
    title: &str,
    (width, highest): (f64, f64),
    side: f64,
) -> Option<Figure> {
    let drawn = drawn(alike)?;
    let floor = Floor::below(alike.row.height_above_floor, &drawn);
    let mut room = Frame {
        left: side,
        top: 0.0,
        right: width - side,
        bottom: highest,
    };
    let scale = view(alike, &room, (&drawn, floor), false).scale;
    let wall = scale.paper(drawn.top() + floor.wall(&drawn));
    room.bottom = highest.min(wall + ABOVE + floor.paper() + 0.1);
    let mut figure = Figure::new((width, room.bottom + BAR + 2.0), "Panels", title);
    let view = view(alike, &room, (&drawn, floor), false);
    draw(alike, &mut figure, (&view, &room), &drawn);
    let bar = (room.left, room.bottom + BAR);
    view.scale.rule(alike.plan, &mut figure, bar);
    Some(figure)
}

/// A page with its facts written, and where on it the wall is drawn.
struct Sheet {
    page: Figure,
    body: Frame,
    /// Height of the list of sizes.
    listed: f64,
    room: Frame,
    view: View,
}

impl Sheet {
    fn new(
        alike: &Alike<'_>,
        (group, title): (&str, &str),
        sizes: &[String],
        drawn: &Rect,
        wide: bool,
    ) -> Self {
        let (mut page, top) = page::start(alike.plan, wide, group, title);
        let top = facts::write(alike, &mut page, top);
        let body = page::body(&page, top);
        let foot = sign::height(&alike.names, body.width());
        let listed = list::height(sizes, body.width(), 0.22 * body.height());
        let room = Frame {
            top: top + 2.0,
            bottom: body.bottom - foot - listed - 6.0,
            ..body
        };
        let floor = Floor::below(alike.row.height_above_floor, drawn);
        Self {
            page,
            body,
            listed,
            room,
            view: view(alike, &room, (drawn, floor), true),
        }
    }

    /// Draws, lists and leaves room to sign; returns entries for which the page has no room.
    fn finish(&mut self, alike: &Alike<'_>, sizes: &[String], drawn: &Rect) -> Vec<String> {
        let without = draw(alike, &mut self.page, (&self.view, &self.room), drawn);
        let bar = (self.room.left, self.room.bottom + BAR);
        self.view.scale.bar(alike.plan, &mut self.page, bar);
        sign::write(&mut self.page, &self.body, &alike.names);
        let low = self.body.bottom - sign::height(&alike.names, self.body.width());
        let at = Frame {
            top: low - self.listed,
            bottom: low,
            ..self.body
        };
        let mut rest = list::write(&mut self.page, &at, sizes);
        rest.extend(without);
        rest
    }
}

/// Everything that is drawn of the wall.
fn drawn(alike: &Alike<'_>) -> Option<Rect> {
    let corners: Vec<Point> = alike
        .layer
        .pieces
        .iter()
        .flat_map(|piece| rect(piece).ring())
        .collect();
    Rect::around(alike.panel.outline.iter().chain(&corners))
}

pub(super) const fn rect(piece: &Piece) -> Rect {
    Rect {
        x: piece.x,
        y: piece.y,
        width: piece.width,
        height: piece.height,
    }
}

/// A sheet's number in laying order: the last part of its id.
pub(super) fn number(piece: &Piece) -> &str {
    let last = piece.id.rsplit('-').next().unwrap_or(&piece.id);
    let bare = last.trim_start_matches('0');
    if bare.is_empty() { last } else { bare }
}

/// Each size with the numbers of the sheets that have it, in the order in which they are laid.
pub(super) fn sizes(alike: &Alike<'_>) -> Vec<String> {
    let mut by_size: BTreeMap<(Length, Length), Vec<u64>> = BTreeMap::new();
    for (order, piece) in (1..).zip(&alike.layer.pieces) {
        let number = number(piece).parse().unwrap_or(order);
        let size = (piece.width, piece.height);
        by_size.entry(size).or_default().push(number);
    }
    let mut sizes: Vec<_> = by_size.into_iter().collect();
    sizes.sort_by_key(|(_, numbers)| numbers.first().copied());
    sizes
        .into_iter()
        .map(|((width, height), numbers)| {
            let size = pair(alike.plan, width, height);
            format!("{}: {size}", names::runs(&numbers))
        })
        .collect()
}

/// Draws the wall; returns words on sheets whose number found no room.
fn draw(
    alike: &Alike<'_>,
    page: &mut Figure,
    (view, room): (&View, &Frame),
    drawn: &Rect,
) -> Vec<String> {
    let floor = Floor::below(alike.row.height_above_floor, drawn);
    sheets(page, view, alike.layer);
    let taken = panel(alike, page, view);
    ground(page, view, drawn, floor);
    dimensions(alike, page, view, (drawn, floor));
    let numbered = numbered(alike, view);
    let frame = view.frame(drawn);
    // The springing line's dimension stands at the right.
    let is_arch = matches!(alike.row.shape, PanelShape::Arch { .. });
    let beside_arch = if is_arch { 6.0 } else { 0.0 };
    let around = Frame {
        left: (frame.left - BESIDE - numbers::SIDE).max(room.left),
        right: (frame.right + beside_arch + numbers::SIDE).min(room.right),
        ..*room
    };
    let covered = |(x, y): (f64, f64)| {
        let back = |paper: f64| Length::mm(paper * view.scale.0);
        let point = Point::new(back(x - view.zero.0), back(view.zero.1 - y));
        alike.layer.region.contains(point)
    };
    let without = numbers::write(page, &numbered, &around, taken, &covered);
    without
        .into_iter()
        .filter_map(|sheet| {
            let piece = alike
                .layer
                .pieces
                .iter()
                .find(|piece| number(piece) == sheet.number)?;
            let (left, up) = (shown(alike.plan, piece.x), shown(alike.plan, piece.y));
            Some(format!(
                "{}: begins {left} from the left, {up} up",
                sheet.number
            ))
        })
        .collect()
}

fn numbered(alike: &Alike<'_>, view: &View) -> Vec<Numbered> {
    let each = alike.layer.pieces.iter().map(|piece| Numbered {
        frame: view.frame(&rect(piece)),
        number: number(piece).to_owned(),
        size: pair(alike.plan, piece.width, piece.height),
    });
    each.collect()
}

/// Chooses scale and place, the scale a round one where it will be measured by; where some sheets are too small for their numbers, the
/// sides are left free for those.
fn view(alike: &Alike<'_>, room: &Frame, (drawn, floor): (&Rect, Floor), round: bool) -> View {
    let wall = floor.wall(drawn);
    let high = (drawn.top() + wall).to_mm();
    let fitted = |side: f64| {
        let across = room.width() - 2.0 * BESIDE - 2.0 * side;
        let up = room.height() - ABOVE - floor.paper();
        let size = (drawn.width.to_mm(), high);
        let scale = if round {
            Scale::fitting(alike.plan, size, (across, up))
        } else {
            Scale::filling(size, (across, up))
        };
        let spare = across - scale.paper(drawn.width);
        let low = room.bottom - floor.paper() - scale.paper(wall);
        let left = room.left + side + BESIDE + spare / 2.0 - scale.paper(drawn.x);
        let unused = up - high / scale.0;
        View {
            zero: (left, low - unused / 2.0),
            scale,
        }
    };
    let whole = fitted(0.0);
    let all_fit = alike
        .layer
        .pieces
        .iter()
        .all(|piece| numbers::fits(&whole.frame(&rect(piece)), number(piece)));
    if all_fit {
        whole
    } else {
        fitted(numbers::SIDE)
    }
}

/// The sheets, grey where they overlap, and the edge of the layer.
fn sheets(page: &mut Figure, view: &View, layer: &LaidLayer) {
    let frames: Vec<Frame> = layer
        .pieces
        .iter()
        .map(|piece| view.frame(&rect(piece)))
        .collect();
    let mut order: Vec<&Frame> = frames.iter().collect();
    order.sort_by(|a, b| a.left.total_cmp(&b.left));
    for (at, one) in order.iter().enumerate() {
        let near = order
            .iter()
            .skip(at + 1)
            .take_while(|other| other.left < one.right);
        for other in near.filter(|other| one.meets(other)) {
            let both = Frame {
                left: one.left.max(other.left),
                top: one.top.max(other.top),
                right: one.right.min(other.right),
                bottom: one.bottom.min(other.bottom),
            };
            page.draw(Path::ring(both.ring(), 0.0).fill(Fill::Grey));
        }
    }
    for (piece, frame) in layer.pieces.iter().zip(&frames) {
        page.draw(Path::ring(frame.ring(), SHEET).about(&piece.id));
    }
    for polygon in &layer.region.0 {
        for ring in std::iter::once(&polygon.outer).chain(&polygon.holes) {
            page.draw(Path::ring(view.ring(ring), REGION).dash(Dash::Dashed));
        }
    }
}

/// The painting with its openings and its own seams; returns where words stand in the openings.
fn panel(alike: &Alike<'_>, page: &mut Figure, view: &View) -> Vec<Frame> {
    page.draw(Path::ring(view.ring(&alike.panel.outline), OUTLINE).about("outline"));
    for seam in &alike.row.seams {
        let ends = vec![
            view.at(*seam, Length::ZERO),
            view.at(*seam, alike.panel.height),
        ];
        page.draw(Path::line(ends, OPENING).dash(Dash::Dotted));
    }
    let mut taken = Vec::new();
    for (opening, letter) in alike.panel.openings.iter().zip('A'..='Z') {
        page.draw(Path::ring(view.ring(opening), OPENING).about("opening"));
        let Some(around) = Rect::around(opening) else {
            continue;
        };
        let frame = view.frame(&around);
        page.line((frame.left, frame.top), (frame.right, frame.bottom), 0.12);
        page.line((frame.left, frame.bottom), (frame.right, frame.top), 0.12);
        let face = Type::plain((0.5 * frame.width().min(frame.height())).clamp(2.9, 6.0));
        let letter = letter.to_string();
        let (x, y) = frame.middle();
        let half = text_width(&letter, face.size, false) / 2.0 + 0.5;
        let sign = Frame {
            left: x - half,
            top: y - 0.5 * face.size,
            right: x + half,
            bottom: y + 0.5 * face.size,
        };
        page.draw(Path::ring(sign.ring(), 0.0).fill(Fill::White));
        page.centre((x, y + 0.36 * face.size), face, &letter);
        taken.push(sign);
    }
    taken
}

/// The floor: a line on ground.
fn ground(page: &mut Figure, view: &View, drawn: &Rect, floor: Floor) {
    if floor == Floor::Below && drawn.y < Length::ZERO {
        // The layer goes past the bottom edge, so that the panel hardly stands on the floor: its height was not written.
        let (left, low) = (view.frame(drawn).left, view.frame(drawn).bottom);
        let words = "on the floor, or height not given";
        page.write((left, low + 3.4), SMALL, Role::Label, words);
        return;
    }
    let frame = view.frame(drawn);
    let y = floor.line(view, drawn);
    let (left, right) = (frame.left - 3.0, frame.right + 3.0);
    page.line((left, y), (right, y), 0.6);
    let mut x = left;
    while x + 2.0 < right {
        page.line((x, y + 1.8), (x + 1.8, y), 0.12);
        x += 3.0;
    }
    // Where the height stands beside it there is no room for the word on a narrow wall, nor need of it.
    if right - left > 58.0 || floor == Floor::Below {
        page.write((right - 9.0, y - 0.8), SMALL, Role::Label, "floor");
    }
}

/// Width above, height and height above the floor at the left, the springing line of an arch within.
fn dimensions(alike: &Alike<'_>, page: &mut Figure, view: &View, (drawn, floor): (&Rect, Floor)) {
    let plan = alike.plan;
    let frame = view.frame(drawn);
    let (left, low) = view.at(Length::ZERO, Length::ZERO);
    let (right, high) = view.at(alike.panel.width, alike.panel.height);
    let width = shown(plan, alike.panel.width);
    page.level_dimension((left, right), frame.top - 2.0, &width);
    let x = frame.left - 3.0;
    page.upright_dimension((high, low), x, &shown(plan, alike.panel.height));
    if let PanelShape::Arch { spring } = alike.row.shape {
        let line = view.at(Length::ZERO, spring).1;
        let words = format!("springing line {}", shown(plan, spring));
        page.upright_dimension((line, low), frame.right + 5.0, &words);
        page.line((right - 2.0, line), (frame.right + 6.0, line), 0.18);
    }
    if let Floor::At(height) | Floor::Broken(height) = floor {
        let y = floor.line(view, drawn);
        page.upright_dimension((low, y), x, "");
        let words = format!("{} above the floor", shown(plan, height));
        page.write((x + 1.0, y - 1.0), Type::bold(2.9), Role::Label, &words);
        if let Floor::Broken(_) = floor {
            let at = f64::midpoint(frame.bottom, y) - 1.0;
            let (x, wave) = (x - 1.5, [0.0, 0.8, -0.8, 0.0]);
            let points = wave
                .iter()
                .zip(0_u32..)
                .map(|(up, step)| (x + f64::from(step), at + up));
            page.draw(Path::line(points.collect(), 0.25));
            page.write(
                (x + 5.0, at + 1.0),
                SMALL,
                Role::Label,
                "not to scale down to the floor",
            );
        }
    }
}
