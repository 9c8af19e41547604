//! The best few layouts of one layer over another.

use crate::geometry::Chord;
use crate::geometry::Rect;
use crate::geometry::Slabs;
use crate::recipe::Direction;
use crate::takeoff::Way;
use crate::units::Length;

use super::Alike;
use super::Layout;
use super::Search;
use super::Task;
use super::TooNear;
use super::cost::Cost;
use super::cost::decimetres;
use super::cover::Start;
use super::lay;
use super::lay::Choice;
use super::lay::Terms;
use super::order::in_laying_order;
use super::phase;
use super::seams;
use super::seams::Closeness;
use super::seams::Seam;
use super::stock;
use super::stock::Form;
use super::symmetry;

const FLUSH: Start = Start::Out(Length::ZERO);

/// The best few layouts of one layer over another, the best first.
///
/// Every direction is tried flush first, the plain grid among them; then the best directions with other ways across, every
/// column beginning flush; the ways along only on the best of those.
pub(super) fn best_layouts(task: &Task, below: &[Seam], search: Search) -> Vec<Layout> {
    let canvas = canvas_seams(task);
    let upright = Wall {
        below,
        canvas: &canvas,
    };
    let turned = (turned(below), turned(&canvas));
    let level = Wall {
        below: &turned.0,
        canvas: &turned.1,
    };
    let sides: Vec<Side<'_>> = ways(task.direction)
        .flat_map(|way| [(way, false), (way, true)])
        .filter_map(|(way, in_rows)| {
            Side::new(task, way, in_rows, if in_rows { level } else { upright })
        })
        .collect();
    let mut found = Best::new(task, search.stacks);
    for side in &sides {
        found.offer(side, side.choice(FLUSH, FLUSH, true));
        found.offer(side, side.choice(FLUSH, FLUSH, false));
    }
    for side in found.best_sides(search.sides) {
        let starts = phase::across(side.slabs, side.across, task.overlap, search.phases);
        for start in starts.into_iter().skip(1) {
            found.offer(side, side.choice(start, FLUSH, false));
        }
    }
    for (side, start) in found.leaders(search.stacks + 1) {
        let rises = phase::along(side.slabs, side.along, task.overlap, search.phases);
        for rise in rises.into_iter().skip(1) {
            found.offer(side, side.choice(start, rise, false));
        }
    }
    found.layouts(search.stacks)
}

/// The canvas's own seams run from the floor to the ceiling, whatever the panel's height.
fn canvas_seams(task: &Task) -> Vec<Seam> {
    if !task.canvas_distance.is_positive() {
        return Vec::new();
    }
    let seam = |&at: &Length| Seam {
        upright: true,
        at,
        from: Length::steps(i64::MIN / 4),
        to: Length::steps(i64::MAX / 4),
    };
    task.canvas.iter().map(seam).collect()
}

fn turned(seams: &[Seam]) -> Vec<Seam> {
    sorted(seams.iter().map(|seam| seam.turned()).collect())
}

fn sorted(mut seams: Vec<Seam>) -> Vec<Seam> {
    seams.sort_unstable();
    seams
}

fn ways(direction: Direction) -> impl Iterator<Item = Way> {
    let wanted = move |way: &Way| match direction {
        Direction::Auto => true,
        Direction::Upright => *way == Way::Upright,
        Direction::Level => *way == Way::Level,
    };
    [Way::Upright, Way::Level].into_iter().filter(wanted)
}

/// What is there already.
#[derive(Clone, Copy)]
struct Wall<'a> {
    below: &'a [Seam],
    canvas: &'a [Seam],
}

/// A direction of sheets and a way of lining them up.
struct Side<'a> {
    way: Way,
    in_rows: bool,
    slabs: &'a Slabs,
    across: Length,
    along: Length,
    terms: Terms<'a>,
}

impl<'a> Side<'a> {
    fn new(task: &'a Task, way: Way, in_rows: bool, wall: Wall<'a>) -> Option<Self> {
        let (across, along) = piece_size(task.form, way, in_rows)?;
        let longest = task.longest.unwrap_or(across.max(along));
        let none: &[Chord] = &[];
        let (bands_across, bands_along) = if in_rows {
            (task.bands.as_ref(), none)
        } else {
            (none, task.bands.as_ref())
        };
        Some(Self {
            way,
            in_rows,
            slabs: if in_rows {
                &task.frames.level
            } else {
                &task.frames.upright
            },
            across: across.min(longest),
            along: along.min(longest),
            terms: Terms {
                overlap: task.overlap,
                trim: task.trim,
                seam_distance: task.seam_distance,
                below: wall.below,
                canvas_distance: task.canvas_distance,
                canvas: wall.canvas,
                bands_across,
                bands_along,
            },
        })
    }

    const fn choice(&self, start: Start, rise: Start, plain: bool) -> Choice {
        Choice {
            across: self.across,
            along: self.along,
            start,
            rise,
            plain,
        }
    }

    /// As on the wall, whichever way pieces line up.
    fn on_the_wall(&self, laid: &[Rect]) -> Vec<Rect> {
        let turn = |rect: &Rect| if self.in_rows { rect.turned() } else { *rect };
        laid.iter().map(turn).collect()
    }
}

/// A sheet's size across and along its column or row; none where a roll's strips would lie across their lines.
fn piece_size(form: Form, way: Way, in_rows: bool) -> Option<(Length, Length)> {
    let (short, long) = (form.width.min(form.length), form.width.max(form.length));
    let lengthwise = (way == Way::Level) == in_rows;
    match (form.roll, lengthwise) {
        (true, true) => Some((form.width, form.length)),
        (true, false) => None,
        (false, true) => Some((short, long)),
        (false, false) => Some((long, short)),
    }
}

/// A layout with what it costs and where it came from.
struct Tried<'a> {
    cost: Cost,
    pieces: Vec<Rect>,
    seams: Vec<Seam>,
    seam_length: Length,
    too_near: TooNear,
    near_canvas: TooNear,
    side: &'a Side<'a>,
    start: Start,
}

/// The best layouts so far.
struct Best<'a> {
    task: &'a Task,
    tried: Vec<Tried<'a>>,
    /// The least stock of a layout whose seams all keep their distance: whatever takes more is beaten by it.
    least: Option<i64>,
    /// How much more stock an alternative may take that is carried along for the sake of the layers above.
    slack: i64,
    /// The least cost of a layout that is alike on both sides.
    alike: Option<Cost>,
}

impl<'a> Best<'a> {
    const fn new(task: &'a Task, stacks: usize) -> Self {
        Self {
            task,
            tried: Vec::new(),
            least: None,
            slack: if stacks > 1 { 1 } else { 0 },
            alike: None,
        }
    }

    /// Tries one choice and keeps it unless it is beaten.
    fn offer(&mut self, side: &'a Side<'a>, choice: Choice) {
        let most = self.least.map(|least| least.saturating_add(self.slack));
        let Some(tried) = self.tried(side, choice, most) else {
            return;
        };
        let cost = tried.cost;
        if cost.too_near == Length::ZERO {
            let least = self.least.unwrap_or(cost.stock);
            self.least = Some(least.min(cost.stock));
        }
        if cost.lopsided == 0 {
            self.alike = Some(self.alike.map_or(cost, |alike| alike.min(cost)));
        }
        self.tried.push(tried);
    }

    /// Lays one choice and weighs it; none where it takes more stock than it may.
    fn tried(&self, side: &'a Side<'a>, choice: Choice, most: Option<i64>) -> Option<Tried<'a>> {
        let laid = lay::lay(side.slabs, choice, &side.terms);
        let pieces = side.on_the_wall(&laid);
        let cut: Vec<(Rect, Way)> = pieces.iter().map(|piece| (*piece, side.way)).collect();
        let stock = stock::estimate(&cut, self.task.form);
        if most.is_some_and(|most| stock > most) {
            return None;
        }
        let (seams, seam_length) = seams::seams_of(&laid, side.slabs);
        let terms = &side.terms;
        let near = seams::closeness(&seams, terms.below, terms.seam_distance);
        let canvas = seams::closeness(&seams, terms.canvas, terms.canvas_distance);
        let axis = self.task.frames.axis;
        let lopsided = axis.is_some_and(|axis| !symmetry::is_alike(&pieces, axis));
        let cost = Cost {
            too_near: near.length + canvas.length,
            stock,
            seams: decimetres(seam_length),
            pieces: pieces.len(),
            lopsided: usize::from(lopsided),
            laid: pieces.iter().map(square_centimetres).sum(),
        };
        let told = |near: Closeness| near.nearest.map(|nearest| (near.length, nearest));
        Some(Tried {
            cost,
            pieces,
            seams,
            seam_length,
            too_near: told(near),
            near_canvas: told(canvas),
            side,
            start: choice.start,
        })
    }

    /// Where the best come from.
    fn leaders(&mut self, count: usize) -> Vec<(&'a Side<'a>, Start)> {
        self.tried.sort_by_key(|tried| tried.cost);
        self.tried
            .iter()
            .take(count)
            .map(|tried| (tried.side, tried.start))
            .collect()
    }

    /// The directions of the best so far, the best first.
    fn best_sides(&mut self, count: usize) -> Vec<&'a Side<'a>> {
        let mut sides: Vec<&Side<'_>> = Vec::new();
        for (side, _) in self.leaders(usize::MAX) {
            if !sides.iter().any(|known| std::ptr::eq(*known, side)) {
                sides.push(side);
            }
        }
        sides.truncate(count);
        sides
    }

    /// The best few, no two alike.
    fn layouts(mut self, count: usize) -> Vec<Layout> {
        self.tried.sort_by_key(|tried| tried.cost);
        let tried = std::mem::take(&mut self.tried);
        let mut found: Vec<Layout> = Vec::new();
        for tried in tried {
            let layout = self.layout(tried);
            if found.iter().all(|other| other.pieces != layout.pieces) {
                found.push(layout);
            }
            if found.len() == count {
                break;
            }
        }
        found
    }

    fn layout(&self, tried: Tried<'a>) -> Layout {
        let alike = match (self.task.frames.axis, tried.cost.lopsided, self.alike) {
            (None, _, _) => Alike::NotAsked,
            (Some(_), 0, _) => Alike::Yes,
            (Some(_), _, None) => Alike::No("takes more stock"),
            (Some(_), _, Some(alike)) => Alike::No(tried.cost.less_than(alike)),
        };
        Layout {
            way: tried.side.way,
            in_rows: tried.side.in_rows,
            pieces: in_laying_order(tried.pieces, self.task.laying),
            seam_length: tried.seam_length,
            too_near: tried.too_near,
            near_canvas: tried.near_canvas,
            alike,
            cost: tried.cost,
            seams: if tried.side.in_rows {
                turned(&tried.seams)
            } else {
                tried.seams
            },
        }
    }
}

/// The area of a piece in square centimetres, sides rounded up to a millimetre.
const fn square_centimetres(piece: &Rect) -> i64 {
    piece
        .width
        .to_mm_up()
        .saturating_mul(piece.height.to_mm_up())
        / 100
}
