//! Laying the sheets of every layer of a panel: sizes, directions and phases are tried, the cheapest stack is kept.

mod cover;
mod lay;
mod phase;
mod seams;
mod stock;

use std::rc::Rc;

use crate::geometry::Rect;
use crate::geometry::Region;
use crate::geometry::Slabs;
use crate::recipe::Direction;
use crate::units::Area;
use crate::units::Length;

use super::outcome::Way;
use lay::Choice;
use lay::Terms;
use seams::Closeness;
use seams::Seam;
pub(super) use stock::Form;

/// What a layer has to cover, and with what.
#[derive(Clone, Debug)]
pub(super) struct Task {
    /// The region, and the same with x and y exchanged.
    pub frames: Rc<Frames>,
    /// The stock's number among the materials of the stack: layers of one material share offcuts.
    pub material: usize,
    /// The stock.
    pub form: Form,
    /// Which way its sheets run.
    pub direction: Direction,
    /// Least overlap.
    pub overlap: Length,
    /// Least distance from like seams of the layer below.
    pub seam_distance: Length,
    /// Trim of cut sides.
    pub trim: Length,
}

/// A region cut into columns one way and rows the other.
#[derive(Debug)]
pub(super) struct Frames {
    upright: Slabs,
    level: Slabs,
}

impl Frames {
    /// Prepares a region for laying.
    pub(super) fn new(region: &Region) -> Self {
        Self { upright: Slabs::new(region), level: Slabs::new(&region.turned()) }
    }
}

/// How hard to search: all limits are counts, so that the same job gives the same layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Search {
    /// How many phases are tried across, besides those that follow from the shape.
    pub phases: u32,
    /// How many stacks are kept from layer to layer.
    pub stacks: usize,
}

impl Search {
    /// The search that a number of distinct panels leaves time for.
    pub(super) const fn within_means(panels: usize) -> Self {
        match panels {
            0..=40 => Self { phases: 12, stacks: 3 },
            41..=400 => Self { phases: 6, stacks: 1 },
            _ => Self { phases: 2, stacks: 1 },
        }
    }

    /// The same, lessened where a shape has so many corners that every try takes long.
    pub(super) fn for_shape(self, frames: &Frames) -> Self {
        match frames.upright.len().max(frames.level.len()) {
            0..=2_000 => self,
            2_001..=50_000 => Self { phases: self.phases.min(3), stacks: 1 },
            _ => Self { phases: 0, stacks: 1 },
        }
    }
}

/// One layer as laid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Layout {
    /// Which way the sheets run.
    pub way: Way,
    /// Whether pieces line up in rows rather than columns.
    pub in_rows: bool,
    /// The pieces, in laying order: top down, left to right.
    pub pieces: Vec<Rect>,
    /// Length of seams within the region.
    pub seam_length: Length,
    /// Length over which they come too near to those of the layer below, and the least distance found.
    pub too_near: Option<(Length, Length)>,
    seams: Vec<Seam>,
}

impl Layout {
    /// Area of the pieces together, overlaps twice.
    pub(super) fn area(&self) -> Area {
        self.pieces.iter().map(Rect::area).sum()
    }
}

/// What a layout costs; the earlier fields weigh infinitely more than the later.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Cost {
    too_near: Length,
    stock: i64,
    seams: Length,
    pieces: usize,
}

/// Layers laid so far.
#[derive(Clone, Debug, Default)]
struct Stack {
    layers: Vec<Rc<Layout>>,
    cost: Cost,
}

/// Lays every layer of a stack, the first next to the paint.
///
/// For each layer every direction, both ways of lining pieces up (in columns or in rows) and a set of phases are tried;
/// a few of the best stacks are carried on to the next layer. What counts, in this order: seams nearer than allowed
/// to like seams of the layer below, stock (pieces of one material in all layers share sheets), length of seams over
/// the region, number of pieces.
pub(super) fn lay_stack(tasks: &[Task], search: Search) -> Vec<Rc<Layout>> {
    let mut stacks = vec![Stack::default()];
    for (number, task) in tasks.iter().enumerate() {
        let earlier = tasks.get(..number).unwrap_or_default();
        let grown = stacks.iter().flat_map(|stack| grow(stack, task, earlier, search));
        let mut grown: Vec<Stack> = grown.collect();
        grown.sort_by_key(|stack| stack.cost);
        grown.truncate(search.stacks);
        stacks = grown;
    }
    stacks.into_iter().next().map(|stack| stack.layers).unwrap_or_default()
}

/// A stack with one more layer, in the best few ways.
fn grow(stack: &Stack, task: &Task, earlier: &[Task], search: Search) -> Vec<Stack> {
    let nothing = Vec::new();
    let below = stack.layers.last().map_or(&nothing, |layer| &layer.seams);
    let add = |layout: Layout| {
        let mut layers = stack.layers.clone();
        layers.push(Rc::new(layout));
        let cost = total(&layers, task, earlier, stack.cost);
        Stack { layers, cost }
    };
    best_layouts(task, below, search).into_iter().map(add).collect()
}

/// The cost of a stack whose last layer is new: stock is counted again over all layers of its material.
fn total(layers: &[Rc<Layout>], task: &Task, earlier: &[Task], before: Cost) -> Cost {
    let shares = |other: &&(&Task, &Rc<Layout>)| other.0.material == task.material;
    let older: Vec<_> = earlier.iter().zip(layers).collect();
    let pooled = |layers: &[&Rc<Layout>]| {
        let pieces = layers.iter().flat_map(|layer| layer.pieces.iter().map(|piece| (*piece, layer.way)));
        stock::estimate(&pieces.collect::<Vec<_>>(), task.form)
    };
    let mut same: Vec<&Rc<Layout>> = older.iter().filter(shares).map(|(_, layout)| *layout).collect();
    let was = pooled(&same);
    let Some(newest) = layers.last() else { return before };
    same.push(newest);
    Cost {
        too_near: before.too_near + newest.too_near.map_or(Length::ZERO, |(length, _)| length),
        stock: before.stock + pooled(&same) - was,
        seams: before.seams + newest.seam_length,
        pieces: before.pieces + newest.pieces.len(),
    }
}

/// The best few layouts of one layer over another, the best first.
fn best_layouts(task: &Task, below: &[Seam], search: Search) -> Vec<Layout> {
    let turned: Vec<Seam> = sorted(below.iter().map(|seam| seam.turned()).collect());
    let mut found: Vec<(Cost, Layout)> = Vec::new();
    for way in ways(task.direction) {
        for in_rows in [false, true] {
            let Some((across, along)) = piece_size(task.form, way, in_rows) else { continue };
            let slabs = if in_rows { &task.frames.level } else { &task.frames.upright };
            let below = if in_rows { &turned[..] } else { below };
            for (phase, rise) in phase::pairs(slabs, across, along, task.overlap, search.phases) {
                let choice = Choice { across, along, phase, rise };
                found.push(tried(task, slabs, choice, below, (way, in_rows)));
            }
        }
    }
    found.sort_by(|a, b| a.0.cmp(&b.0));
    found.dedup_by(|a, b| a.1.pieces == b.1.pieces);
    found.truncate(search.stacks);
    found.into_iter().map(|(_, layout)| layout).collect()
}

/// Lays one choice and weighs it.
fn tried(task: &Task, slabs: &Slabs, choice: Choice, below: &[Seam], (way, in_rows): (Way, bool)) -> (Cost, Layout) {
    let terms = Terms { overlap: task.overlap, trim: task.trim, seam_distance: task.seam_distance };
    let pieces = lay::lay(slabs, choice, terms, below);
    let (seams, seam_length) = seams::seams_of(&pieces, slabs);
    let Closeness { length, nearest } = seams::closeness(&seams, below, task.seam_distance);
    let pieces = in_laying_order(if in_rows { pieces.iter().map(Rect::turned).collect() } else { pieces });
    let seams = if in_rows { sorted(seams.into_iter().map(Seam::turned).collect()) } else { seams };
    let cut: Vec<(Rect, Way)> = pieces.iter().map(|piece| (*piece, way)).collect();
    let cost = Cost {
        too_near: length,
        stock: stock::estimate(&cut, task.form),
        seams: seam_length,
        pieces: pieces.len(),
    };
    (cost, Layout { way, in_rows, pieces, seam_length, too_near: nearest.map(|nearest| (length, nearest)), seams })
}

fn sorted(mut seams: Vec<Seam>) -> Vec<Seam> {
    seams.sort_unstable();
    seams
}

/// Top down, left to right.
fn in_laying_order(mut pieces: Vec<Rect>) -> Vec<Rect> {
    pieces.sort_unstable_by_key(|piece| (-piece.top(), piece.x, piece.y));
    pieces
}

fn ways(direction: Direction) -> impl Iterator<Item = Way> {
    let wanted = move |way: &Way| match direction {
        Direction::Auto => true,
        Direction::Upright => *way == Way::Upright,
        Direction::Level => *way == Way::Level,
    };
    [Way::Upright, Way::Level].into_iter().filter(wanted)
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
