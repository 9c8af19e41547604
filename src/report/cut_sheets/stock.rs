//! Cut-list pages: each stock unit to scale with its pieces in cutting order, units that are cut alike drawn once.

use std::collections::BTreeMap;

use crate::plan::Plan;
use crate::report::figure::Dash;
use crate::report::figure::Figure;
use crate::report::figure::Frame;
use crate::report::figure::Path;
use crate::report::figure::Role;
use crate::report::figure::Type;
use crate::report::figure::text_width;
use crate::report::figure::wrap;
use crate::takeoff::CutUnit;
use crate::units::Length;

use super::bands;
use super::bands::Row;
use super::names;
use super::offcuts;
use super::page;
use super::page::BODY;
use super::page::LEAD;
use super::page::SMALL;
use super::page::STRONG;
use super::page::Scale;
use super::page::count;
use super::page::pair;
use super::page::shown;

/// Paper that a unit's drawing may take in height.
const TALLEST: f64 = 52.0;
/// Least height of a strip's drawing, so that numbers can be read in it.
const THINNEST: f64 = 10.0;
/// An offcut smaller than this in either direction is no use to mark.
const USEFUL: Length = Length::whole_mm(50);

/// Units of one material that are cut alike.
struct Alike<'a> {
    units: Vec<&'a CutUnit>,
}

/// Adds the pages of cut plans until there are so many; returns how many units found no room.
pub(super) fn add(plan: &Plan, cuts: &[CutUnit], pages: &mut Vec<Figure>, most: usize) -> usize {
    let mut left = 0;
    for material in cuts.chunk_by(|a, b| a.material == b.material) {
        let mut book = Book {
            plan,
            pages: Vec::new(),
            y: 0.0,
            group: material.first().map_or("", |unit| &unit.material),
        };
        for alike in grouped(material) {
            if pages.len() + book.pages.len() >= most {
                left += alike.units.len();
                continue;
            }
            book.add(&alike);
        }
        pages.append(&mut book.pages);
    }
    left
}

/// Units with the same size and the same cuts, in the order of their first.
fn grouped(cuts: &[CutUnit]) -> Vec<Alike<'_>> {
    let mut places: BTreeMap<Vec<Length>, usize> = BTreeMap::new();
    let mut groups: Vec<Alike<'_>> = Vec::new();
    for unit in cuts {
        let mut key = vec![unit.width, unit.length];
        for piece in &unit.pieces {
            key.extend([piece.x, piece.y, piece.width, piece.height]);
        }
        let at = *places.entry(key).or_insert(groups.len());
        match groups.get_mut(at) {
            Some(group) => group.units.push(unit),
            None => groups.push(Alike { units: vec![unit] }),
        }
    }
    groups
}

/// The pages of one material, filled from top to bottom.
struct Book<'a> {
    plan: &'a Plan,
    pages: Vec<Figure>,
    /// Where the next thing begins on the last page.
    y: f64,
    /// The material.
    group: &'a str,
}

impl Book<'_> {
    fn turn(&mut self) {
        let name = self.plan.material_name(self.group);
        let title = if self.pages.is_empty() {
            format!("Cut list: {name}")
        } else {
            format!("Cut list: {name}, page {}", self.pages.len() + 1)
        };
        let (mut page, top) = page::start(self.plan, false, &format!("Cut list: {name}"), &title);
        page.shows = format!("stock units of {name} with their cuts");
        let words = "Cut in the order of the numbers and mark each piece with its name: panel, layer, number. Dashed and crossed: offcut.";
        let body = page::body(&page, top);
        self.y =
            page::paragraph(&mut page, (body.left, top), (body.width(), 2), SMALL, words) + 4.0;
        self.pages.push(page);
    }

    /// Room down to the foot of the page; opens a page where there is too little.
    fn make_room(&mut self, height: f64) {
        let low = self
            .pages
            .last()
            .map_or(0.0, |page| page::body(page, 0.0).bottom);
        if self.pages.is_empty() || self.y + height > low {
            self.turn();
        }
    }

    fn add(&mut self, alike: &Alike<'_>) {
        let Some(unit) = alike.units.first() else {
            return;
        };
        let width = self.pages.last().map_or_else(
            || page::body(&page::start(self.plan, false, "", "").0, 0.0).width(),
            |page| page::body(page, 0.0).width(),
        );
        let drawing = Drawing::of(self.plan, unit, width);
        let room = (width - drawing.beside(), drawing.beside() > 0.0);
        let lines = words(self.plan, alike, room);
        let first_row = drawing.rows.first().map_or(0.0, |_| drawing.high());
        let together = if drawing.beside() > 0.0 {
            first_row.max(count(lines.len().min(18)) * LEAD)
        } else {
            first_row
        };
        self.make_room(together + 2.0 * LEAD + 2.0);
        self.heading(alike, &drawing);
        let top = self.y;
        self.rows(unit, &drawing);
        if drawing.beside() > 0.0 {
            let (low, page) = (self.y, self.pages.len());
            self.y = top - 1.5;
            self.lines(&lines, drawing.beside());
            if self.pages.len() == page {
                self.y = self.y.max(low);
            }
        } else {
            self.lines(&lines, 0.0);
        }
        self.y += 5.0;
    }

    fn heading(&mut self, alike: &Alike<'_>, drawing: &Drawing<'_>) {
        let Some((unit, page)) = alike.units.first().zip(self.pages.last_mut()) else {
            return;
        };
        let numbers: Vec<u64> = alike.units.iter().map(|unit| unit.stock).collect();
        let alike_words = match numbers.len() {
            1 => String::new(),
            many => format!(" · cut {many} alike"),
        };
        let scale = if drawing.to_scale {
            drawing.scale.words(self.plan)
        } else {
            format!(
                "{} along, not to scale across",
                drawing.scale.words(self.plan)
            )
        };
        let size = pair(self.plan, unit.width, unit.length);
        let rest = unit.length - bands::used(unit);
        let left = if drawing.beside() > 0.0 || rest < USEFUL {
            String::new()
        } else {
            format!(" · {} left at the end", shown(self.plan, rest))
        };
        let words = format!(
            "No. {}{alike_words} · {size} · {scale}{left}",
            names::runs(&numbers)
        );
        let width = page::body(page, 0.0).width();
        let x = page::body(page, 0.0).left;
        self.y = page::paragraph(page, (x, self.y - 1.0), (width, 2), STRONG, &words) + 1.8;
    }

    fn rows(&mut self, unit: &CutUnit, drawing: &Drawing<'_>) {
        for row in &drawing.rows {
            self.make_room(drawing.high() + 2.0);
            if let Some(page) = self.pages.last_mut() {
                let left = page::body(page, 0.0).left;
                drawing.row(self.plan, page, unit, (row, left, self.y));
            }
            self.y += drawing.high() + 2.5;
        }
    }

    fn lines(&mut self, lines: &[String], indent: f64) {
        for line in lines {
            self.make_room(LEAD);
            self.y += LEAD;
            if let Some(page) = self.pages.last_mut() {
                let x = page::body(page, 0.0).left + indent;
                page.write((x, self.y), BODY, Role::Words, line);
            }
        }
    }
}

/// How a stock unit is drawn: its length to the right, in rows where it is long.
struct Drawing<'a> {
    scale: Scale,
    /// Whether it is drawn to scale across too.
    to_scale: bool,
    /// Height of its width on paper.
    across: f64,
    rows: Vec<Row<'a>>,
    /// Paper that all of it takes to the right.
    long: f64,
}

impl<'a> Drawing<'a> {
    fn of(plan: &Plan, unit: &'a CutUnit, room: f64) -> Self {
        let (wide, long) = (unit.width.to_mm(), unit.length.to_mm());
        if long <= 3.0 * wide {
            let scale = Scale::fitting(plan, (long, wide), (0.42 * room, TALLEST));
            return Self {
                scale,
                to_scale: true,
                across: scale.paper(unit.width),
                rows: vec![Row::whole(unit)],
                long: scale.paper(unit.length),
            };
        }
        let used = bands::used(unit);
        let shortest = unit
            .pieces
            .iter()
            .map(|piece| piece.height)
            .min()
            .unwrap_or(used);
        // Rows as few as leave the shortest piece wide enough for its number, but no more than four.
        let rows = (1..=4).map(f64::from).find(|rows| {
            let scale = Scale::fitting(plan, (used.to_mm() / rows, 0.0), (room, 1.0));
            scale.paper(shortest) >= 9.0
        });
        let row = (used.to_mm() / rows.unwrap_or(4.0) * 1.05).max(bands::longest(unit).to_mm());
        let scale = Scale::fitting(plan, (row, wide), (room, 40.0));
        let across = scale.paper(unit.width);
        Self {
            scale,
            to_scale: across >= THINNEST,
            across: across.max(THINNEST),
            rows: bands::rows(unit, scale, room),
            long: room,
        }
    }

    fn high(&self) -> f64 {
        self.across
    }

    /// How far to the right words beside the drawing begin; none stand there if the drawing takes the page's width.
    fn beside(&self) -> f64 {
        match self.rows.as_slice() {
            [row] if row.whole => self.long + 5.0,
            _ => 0.0,
        }
    }

    fn row(&self, plan: &Plan, page: &mut Figure, unit: &CutUnit, at: (&Row<'_>, f64, f64)) {
        let (row, left, top) = at;
        let stretch = self.across / self.scale.paper(unit.width).max(1e-6);
        let place = |x: Length, y: Length, width: Length, height: Length| Frame {
            left: left + self.scale.paper(y - row.from),
            top: top + self.scale.paper(x) * stretch,
            right: left + self.scale.paper(y + height - row.from),
            bottom: top + self.scale.paper(x + width) * stretch,
        };
        let whole = place(Length::ZERO, row.from, unit.width, row.to - row.from);
        for (x, y, width, height) in offcuts::of(unit, USEFUL) {
            let (y, end) = (y.max(row.from), (y + height).min(row.to));
            if end > y {
                offcut(plan, page, &place(x, y, width, end - y), (width, height));
            }
        }
        let mut taken = Vec::new();
        for (order, piece) in &row.pieces {
            let frame = place(piece.x, piece.y, piece.width, piece.height);
            page.draw(Path::ring(frame.ring(), 0.3).about(&piece.id));
            number(page, &frame, *order, &mut taken);
        }
        page.draw(Path::ring(whole.ring(), 0.7));
        if row.goes_on {
            let (x, y) = (whole.right + 1.0, whole.bottom + 0.2);
            page.write((x, y), STRONG, Role::Label, "…");
        }
    }
}

/// The number in the middle of a piece, as large as it fits; aside of the middle where it would touch another, and left to the list below
/// where pieces are too narrow even for that.
fn number(page: &mut Figure, frame: &Frame, order: usize, taken: &mut Vec<Frame>) {
    const PLACES: [f64; 7] = [0.5, 0.25, 0.75, 0.37, 0.63, 0.12, 0.88];
    let words = order.to_string();
    let digits = text_width(&words, 1.0, true);
    let level = (0.85 * frame.width() / digits).min(0.9 * frame.height());
    let upright = (0.85 * frame.height() / digits).min(0.8 * frame.width());
    let turned = level < 2.9 && level < upright;
    let size = if turned {
        upright.clamp(2.85, 6.0)
    } else {
        level.min(0.6 * frame.height()).clamp(2.85, 6.0)
    };
    let (long, tall) = (digits * size, size);
    let (wide, high) = if turned { (tall, long) } else { (long, tall) };
    for place in PLACES {
        let (across, down) = if frame.width() > frame.height() {
            (place, 0.5)
        } else {
            (0.5, place)
        };
        let x = frame.left + frame.width() * across;
        let y = frame.top + frame.height() * down;
        let here = Frame {
            left: x - wide / 2.0,
            top: y - high / 2.0,
            right: x + wide / 2.0,
            bottom: y + high / 2.0,
        };
        if taken.iter().any(|other| here.meets(other)) {
            continue;
        }
        let face = Type::bold(size);
        if turned {
            page.turn((x + 0.36 * size, y), face, &words);
        } else {
            page.centre((x, y + 0.36 * size), face, &words);
        }
        taken.push(here);
        return;
    }
}

fn offcut(plan: &Plan, page: &mut Figure, frame: &Frame, (width, height): (Length, Length)) {
    page.draw(
        Path::ring(frame.ring(), 0.2)
            .dash(Dash::Dashed)
            .about("offcut"),
    );
    page.line((frame.left, frame.bottom), (frame.right, frame.top), 0.1);
    let words = pair(plan, width, height);
    let (x, y) = frame.middle();
    for words in [format!("offcut {words}"), words] {
        let long = text_width(&words, SMALL.size, false);
        if long + 1.0 <= frame.width() && frame.height() >= 3.6 {
            page.clear((x, y), (long, 2.6));
            page.centre((x, y + 1.0), SMALL, &words);
            return;
        }
        if long + 1.0 <= frame.height() && frame.width() >= 3.6 {
            page.clear((x, y), (2.6, long));
            page.turn((x + 1.0, y), SMALL, &words);
            return;
        }
    }
}

/// The pieces of a group in cutting order, in lines: a piece a line beside a drawing, one after the other below it.
fn words(plan: &Plan, alike: &Alike<'_>, (width, beside): (f64, bool)) -> Vec<String> {
    let Some(first) = alike.units.first() else {
        return Vec::new();
    };
    let single = alike.units.len() == 1;
    let each = first.pieces.iter().zip(1_usize..).map(|(piece, order)| {
        let turned = if piece.turned { ", turned" } else { "" };
        let size = pair(plan, piece.width, piece.height);
        if single {
            format!("{order}) {}: {size}{turned}", piece.id)
        } else {
            format!("{order}) {size}{turned}")
        }
    });
    let mut lines: Vec<String> = if beside {
        each.flat_map(|words| wrap(&words, BODY, width)).collect()
    } else {
        wrap(&each.collect::<Vec<_>>().join("; "), BODY, width)
    };
    if !single {
        let units = alike.units.iter().map(|unit| {
            let ids: Vec<&str> = unit.pieces.iter().map(|piece| piece.id.as_str()).collect();
            format!("no. {}: {}", unit.stock, ids.join(", "))
        });
        let all = units.collect::<Vec<_>>().join("; ");
        lines.extend(wrap(&format!("Names in that order: {all}"), BODY, width));
    }
    lines
}
