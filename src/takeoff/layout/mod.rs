//! Laying the sheets of every layer of a panel: sizes, directions and phases are tried, the cheapest stack is kept.

mod avoid;
mod choose;
mod cost;
mod cover;
mod lay;
mod order;
mod phase;
mod seams;
mod search;
mod stock;
mod symmetry;

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::geometry::Chord;
use crate::geometry::Rect;
use crate::geometry::Region;
use crate::geometry::Slabs;
use crate::recipe::Direction;
use crate::recipe::Laying;
use crate::units::Area;
use crate::units::Length;

use super::outcome::Way;
use cost::Cost;
use seams::Seam;
pub(super) use search::Search;
pub(super) use stock::Form;

/// What a layer has to cover, and with what.
#[derive(Clone, Debug)]
pub(super) struct Task {
    /// The region, and the same with x and y exchanged.
    pub frames: Arc<Frames>,
    /// The stock's number among the materials of the stack: layers of one material share offcuts.
    pub material: usize,
    /// The stock.
    pub form: Form,
    /// Which way its sheets run.
    pub direction: Direction,
    /// Least overlap of outer edges.
    pub overlap: Length,
    /// Least distance from like seams of the layer below.
    pub seam_distance: Length,
    /// Trim of cut sides.
    pub trim: Length,
    /// The longest that a piece may be.
    pub longest: Option<Length>,
    /// Where the canvas has its own upright seams.
    pub canvas: Arc<[Length]>,
    /// Least distance of upright seams from those.
    pub canvas_distance: Length,
    /// The reach from each lift of a scaffold, from below; none where one reaches everything.
    pub bands: Arc<[Chord]>,
    /// In which order pieces are laid.
    pub laying: Laying,
}

/// A region cut into columns one way and rows the other.
#[derive(Debug)]
pub(super) struct Frames {
    upright: Slabs,
    level: Slabs,
    /// Twice the x of the axis about which the region is the same on both sides, if there is one.
    axis: Option<Length>,
}

impl Frames {
    /// Prepares a region for laying.
    pub(super) fn new(region: &Region) -> Self {
        Self {
            upright: Slabs::new(region),
            level: Slabs::new(&region.turned()),
            axis: symmetry::axis(region),
        }
    }
}

/// Whether the sheets lie alike on both sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Alike {
    /// The region itself is not the same on both sides.
    NotAsked,
    /// They do.
    Yes,
    /// They do not, though the region is the same on both sides: what every layout does that is.
    No(&'static str),
}

/// Where seams come too near: over which length, and the least distance found.
pub(super) type TooNear = Option<(Length, Length)>;

/// One layer as laid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Layout {
    /// Which way the sheets run.
    pub way: Way,
    /// Whether pieces line up in rows rather than columns.
    pub in_rows: bool,
    /// The pieces, in laying order.
    pub pieces: Vec<Rect>,
    /// Length of seams within the region.
    pub seam_length: Length,
    /// Where they come too near to those of the layer below.
    pub too_near: TooNear,
    /// Where they come too near to the canvas's own.
    pub near_canvas: TooNear,
    /// Whether they lie alike on both sides.
    pub alike: Alike,
    cost: Cost,
    seams: Vec<Seam>,
}

impl Layout {
    /// Area of the pieces together, overlaps twice.
    pub(super) fn area(&self) -> Area {
        self.pieces.iter().map(Rect::area).sum()
    }
}

/// Layers laid so far.
#[derive(Clone, Debug, Default)]
struct Stack {
    layers: Vec<Arc<Layout>>,
    cost: Cost,
    /// What the layers of each material take together.
    stock: BTreeMap<usize, i64>,
}

/// Lays every layer of a stack, the first next to the paint.
///
/// For each layer every direction, both ways of lining pieces up (in columns or in rows) and a set of phases are tried;
/// a few of the best stacks are carried on to the next layer. What counts, in this order: seams nearer than allowed
/// to like seams of the layer below or to the canvas's own, stock (pieces of one material in all layers share sheets),
/// length of seams over the region, number of pieces, both sides alike where the region is, area laid.
///
/// # Formula
/// A run of width W from sheets of width w with an overlap of o takes ⌈(W − o) / (w − o)⌉ sheets, one where W ≤ w; each piece is cut to
/// what it covers plus the trim. The plain grid of such runs is always among the layouts tried, so no layer takes more than it.
///
/// # Sources
/// Counts of plain grids: trade.md section 1.4, F-1 to F-6. No published figure for overlaps was found (section 1.3): those of the
/// built-in recipes are workshop defaults.
pub(super) fn lay_stack(tasks: &[Task], search: Search) -> Vec<Arc<Layout>> {
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
    let mut found = choose::best_layouts(task, below, search).into_iter();
    if search.stacks == 1 {
        // Nothing to compare: the stack's own cost is of no use.
        return found
            .next()
            .map(|layout| on_top(stack, layout))
            .into_iter()
            .collect();
    }
    found
        .map(|layout| added(stack, layout, task, earlier))
        .collect()
}

fn on_top(stack: &Stack, layout: Layout) -> Stack {
    let mut layers = stack.layers.clone();
    layers.push(Arc::new(layout));
    Stack {
        layers,
        ..Stack::default()
    }
}

/// A stack with one more layer and its cost: stock is counted again over all layers of its material.
fn added(stack: &Stack, layout: Layout, task: &Task, earlier: &[Task]) -> Stack {
    let same = earlier.iter().zip(&stack.layers);
    let pieces: Vec<(Rect, Way)> = same
        .filter(|(other, _)| other.material == task.material)
        .map(|(_, layer)| layer.as_ref())
        .chain(std::iter::once(&layout))
        .flat_map(|layer| layer.pieces.iter().map(|piece| (*piece, layer.way)))
        .collect();
    let pooled = if pieces.len() == layout.pieces.len() {
        layout.cost.stock
    } else {
        stock::estimate(&pieces, task.form)
    };
    let mut stock = stack.stock.clone();
    let was = stock.insert(task.material, pooled).unwrap_or(0);
    let cost = stack
        .cost
        .plus(layout.cost, stack.cost.stock.saturating_add(pooled - was));
    Stack {
        cost,
        stock,
        ..on_top(stack, layout)
    }
}
