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
        Self {
            upright: Slabs::new(region),
            level: Slabs::new(&region.turned()),
        }
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
            0..=8 => Self {
                phases: 12,
                stacks: 3,
            },
            9..=60 => Self {
                phases: 8,
                stacks: 2,
            },
            61..=400 => Self {
                phases: 4,
                stacks: 1,
            },
            401..=2_000 => Self {
                phases: 2,
                stacks: 1,
            },
            _ => Self {
                phases: 0,
                stacks: 1,
            },
        }
    }

    /// The same, lessened where a shape has so many corners that every try takes long.
    pub(super) fn for_shape(self, frames: &Frames) -> Self {
        match frames.upright.len().max(frames.level.len()) {
            0..=2_000 => self,
            2_001..=50_000 => Self {
                phases: self.phases.min(3),
                stacks: 1,
            },
            _ => Self {
                phases: 0,
                stacks: 1,
            },
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
        let grown = stacks
            .iter()
            .flat_map(|stack| grow(stack, task, earlier, search));
        let mut grown: Vec<Stack> = grown.collect();
        grown.sort_by_key(|stack| stack.cost);
        grown.truncate(search.stacks);
        stacks = grown;
    }
    stacks
        .into_iter()
        .next()
        .map(|stack| stack.layers)
        .unwrap_or_default()
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
    best_layouts(task, below, search)
        .into_iter()
        .map(add)
        .collect()
}

/// The cost of a stack whose last layer is new: stock is counted again over all layers of its material.
fn total(layers: &[Rc<Layout>], task: &Task, earlier: &[Task], before: Cost) -> Cost {
    let shares = |other: &&(&Task, &Rc<Layout>)| other.0.material == task.material;
    let older: Vec<_> = earlier.iter().zip(layers).collect();
    let pooled = |layers: &[&Rc<Layout>]| {
        let pieces = layers
            .iter()
            .flat_map(|layer| layer.pieces.iter().map(|piece| (*piece, layer.way)));
        stock::estimate(&pieces.collect::<Vec<_>>(), task.form)
    };
    let mut same: Vec<&Rc<Layout>> = older
        .iter()
        .filter(shares)
        .map(|(_, layout)| *layout)
        .collect();
    let was = pooled(&same);
    let Some(newest) = layers.last() else {
        return before;
    };
    same.push(newest);
    Cost {
        too_near: before.too_near + newest.too_near.map_or(Length::ZERO, |(length, _)| length),
        stock: before.stock + pooled(&same) - was,
        seams: before.seams + newest.seam_length,
        pieces: before.pieces + newest.pieces.len(),
    }
}

/// The best few layouts of one layer over another, the best first.
///
/// Phases across are tried first with every column beginning flush; the phases along only on the best of those.
fn best_layouts(task: &Task, below: &[Seam], search: Search) -> Vec<Layout> {
    let turned: Vec<Seam> = sorted(below.iter().map(|seam| seam.turned()).collect());
    let sides: Vec<Side<'_>> = ways(task.direction)
        .flat_map(|way| [(way, false), (way, true)])
        .filter_map(|(way, in_rows)| {
            Side::new(task, way, in_rows, if in_rows { &turned } else { below })
        })
        .collect();
    let mut found = Best::new(search.stacks);
    for side in &sides {
        for phase in phase::across(side.slabs, side.across, task.overlap, search.phases) {
            found.offer(side, task, phase, Length::ZERO);
        }
    }
    for (side, phase) in found.leaders(search.stacks + 1) {
        let rises = phase::along(side.slabs, side.along, task.overlap, search.phases);
        for rise in rises.into_iter().skip(1) {
            found.offer(side, task, phase, rise);
        }
    }
    found.layouts(search.stacks)
}

/// The best layouts so far.
struct Best<'a> {
    tried: Vec<Tried<'a>>,
    /// The least stock of a layout whose seams all keep their distance: whatever takes more is beaten by it.
    least: Option<i64>,
    /// How much more stock an alternative may take that is carried along for the sake of the layers above.
    slack: i64,
}

impl<'a> Best<'a> {
    const fn new(stacks: usize) -> Self {
        Self {
            tried: Vec::new(),
            least: None,
            slack: if stacks > 1 { 1 } else { 0 },
        }
    }

    /// Tries one choice and keeps it unless it is beaten.
    fn offer(&mut self, side: &'a Side<'a>, task: &Task, phase: Length, rise: Length) {
        let most = self.least.map(|least| least.saturating_add(self.slack));
        let Some(tried) = side.tried(task, phase, rise, most) else {
            return;
        };
        if tried.cost.too_near == Length::ZERO {
            self.least = Some(
                self.least
                    .map_or(tried.cost.stock, |least| least.min(tried.cost.stock)),
            );
        }
        self.tried.push(tried);
    }

    /// Where the best come from.
    fn leaders(&mut self, count: usize) -> Vec<(&'a Side<'a>, Length)> {
        self.tried.sort_by_key(|tried| tried.cost);
        self.tried
            .iter()
            .take(count)
            .map(|tried| (tried.side, tried.phase))
            .collect()
    }

    /// The best few, no two alike.
    fn layouts(mut self, count: usize) -> Vec<Layout> {
        self.tried.sort_by_key(|tried| tried.cost);
        self.tried
            .dedup_by(|a, b| a.layout.pieces == b.layout.pieces);
        self.tried.truncate(count);
        self.tried.into_iter().map(|tried| tried.layout).collect()
    }
}

/// A direction of sheets and a way of lining them up.
struct Side<'a> {
    way: Way,
    in_rows: bool,
    slabs: &'a Slabs,
    across: Length,
    along: Length,
    below: &'a [Seam],
}

/// A layout with what it costs and where it came from.
struct Tried<'a> {
    cost: Cost,
    layout: Layout,
    side: &'a Side<'a>,
    phase: Length,
}

impl<'a> Side<'a> {
    fn new(task: &'a Task, way: Way, in_rows: bool, below: &'a [Seam]) -> Option<Self> {
        let (across, along) = piece_size(task.form, way, in_rows)?;
        let slabs = if in_rows {
            &task.frames.level
        } else {
            &task.frames.upright
        };
        Some(Self {
            way,
            in_rows,
            slabs,
            across,
            along,
            below,
        })
    }

    /// Lays one choice and weighs it; none where it takes more stock than it may.
    fn tried(
        &'a self,
        task: &Task,
        phase: Length,
        rise: Length,
        most: Option<i64>,
    ) -> Option<Tried<'a>> {
        let terms = Terms {
            overlap: task.overlap,
            trim: task.trim,
            seam_distance: task.seam_distance,
        };
        let choice = Choice {
            across: self.across,
            along: self.along,
            phase,
            rise,
        };
        let laid = lay::lay(self.slabs, choice, terms, self.below);
        let turn = |rect: &Rect| if self.in_rows { rect.turned() } else { *rect };
        let pieces = in_laying_order(laid.iter().map(turn).collect());
        let cut: Vec<(Rect, Way)> = pieces.iter().map(|piece| (*piece, self.way)).collect();
        let stock = stock::estimate(&cut, task.form);
        if most.is_some_and(|most| stock > most) {
            return None;
        }
        let (seams, seam_length) = seams::seams_of(&laid, self.slabs);
        let Closeness { length, nearest } =
            seams::closeness(&seams, self.below, task.seam_distance);
        let seams = if self.in_rows {
            sorted(seams.into_iter().map(Seam::turned).collect())
        } else {
            seams
        };
        let cost = Cost {
            too_near: length,
            stock,
            seams: seam_length,
            pieces: pieces.len(),
        };
        let layout = Layout {
            way: self.way,
            in_rows: self.in_rows,
            pieces,
            seam_length,
            too_near: nearest.map(|nearest| (length, nearest)),
            seams,
        };
        Some(Tried {
            cost,
            layout,
            side: self,
            phase,
        })
    }
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
