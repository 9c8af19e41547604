//! A cutting pattern as a tree: pieces at the leaves, rows and stacks above them.
//!
//! Every node knows its own size and the room it may grow into without the whole leaving the sheet, so whether
//! a piece fits beside a node is answered at once. Free space is not stored: it is what the room leaves over.
//! Idea of slicing trees with insertion at any node after Fleszar 2013, "Three insertion heuristics and a
//! justification improvement heuristic for two-dimensional bin packing with guillotine cuts".

/// No node.
const NONE: u32 = u32::MAX;

/// What a node is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    Leaf,
    /// Children side by side along x.
    Row,
    /// Children one behind the other along y.
    Stack,
}

/// A piece as it is laid: index of the part, and its size as it lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Laid {
    pub(super) part: u32,
    pub(super) w: u32,
    pub(super) h: u32,
    pub(super) turned: bool,
}

/// One node; sizes include the saw cut behind each piece.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    pub(super) shape: Shape,
    pub(super) laid: Laid,
    pub(super) w: u32,
    pub(super) h: u32,
    /// The greatest size it may take.
    pub(super) room_w: u32,
    pub(super) room_h: u32,
    parent: u32,
    first: u32,
    next: u32,
}

/// A pattern on one sheet or roll.
#[derive(Clone, Debug)]
pub(super) struct Tree {
    nodes: Vec<Node>,
    root: u32,
    /// Size of the part of the sheet that may be used.
    pub(super) w: u32,
    pub(super) h: u32,
    /// Size of the whole sheet.
    pub(super) full_w: u32,
    pub(super) full_h: u32,
    /// Whether the first cuts must go across.
    pub(super) across: bool,
    /// Area of the pieces.
    pub(super) area: u64,
    /// What could still be added at most.
    pub(super) free: Free,
    /// Every place where something could be added.
    spots: Vec<Spot>,
}

/// The greatest width, length and shorter side over a set of free rectangles.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Free {
    w: u32,
    h: u32,
    short: u32,
}

impl Free {
    pub(super) fn greatest(self, other: Self) -> Self {
        Self {
            w: self.w.max(other.w),
            h: self.h.max(other.h),
            short: self.short.max(other.short),
        }
    }

    /// Whether a piece could possibly lie in one of the rectangles.
    pub(super) fn may_hold(self, laid: Laid) -> bool {
        laid.w <= self.w && laid.h <= self.h && laid.w.min(laid.h) <= self.short
    }
}

/// Where a piece can be put: beside a node, in a row or a stack, and the free rectangle there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub(super) node: u32,
    pub(super) shape: Shape,
    pub(super) w: u32,
    pub(super) h: u32,
    /// The node's own extent in the direction across the growth, to see how flush a piece would lie.
    pub(super) flush: u32,
}

impl Tree {
    pub(super) fn new(w: u32, h: u32, across: bool) -> Self {
        Self {
            nodes: Vec::new(),
            root: NONE,
            w,
            h,
            full_w: w,
            full_h: h,
            across,
            area: 0,
            free: Free {
                w,
                h,
                short: w.min(h),
            },
            spots: vec![Spot {
                node: NONE,
                shape: Shape::Leaf,
                w,
                h,
                flush: 0,
            }],
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.nodes.is_empty()
    }

    /// The size all pieces take together.
    pub(super) fn size(&self) -> (u32, u32) {
        self.nodes
            .get(at(self.root))
            .map_or((0, 0), |node| (node.w, node.h))
    }

    /// The pieces.
    pub(super) fn laid(&self) -> impl Iterator<Item = Laid> + '_ {
        self.nodes
            .iter()
            .filter(|node| node.shape == Shape::Leaf)
            .map(|node| node.laid)
    }

    /// The root, if there is one.
    pub(super) fn root(&self) -> Option<&Node> {
        self.nodes.get(at(self.root))
    }

    /// A node's children in order.
    pub(super) fn children(&self, node: &Node) -> impl Iterator<Item = &Node> + '_ {
        let mut next = node.first;
        core::iter::from_fn(move || {
            let node = self.nodes.get(at(next))?;
            next = node.next;
            Some(node)
        })
    }

    /// Number of nodes, which is what looking through the spots costs.
    pub(super) fn nodes(&self) -> usize {
        self.nodes.len()
    }

    /// Every place where something could be added.
    pub(super) fn spots(&self) -> &[Spot] {
        &self.spots
    }

    /// Looks for the places anew, and for the most that they hold.
    fn find_spots(&mut self) {
        self.spots.clear();
        self.free = Free::default();
        if self.is_empty() {
            self.add_spot(Spot {
                node: NONE,
                shape: Shape::Leaf,
                w: self.w,
                h: self.h,
                flush: 0,
            });
        }
        for n in 0..self.nodes.len() {
            let node = self.nodes[n];
            let above = self
                .nodes
                .get(at(node.parent))
                .map_or(Shape::Leaf, |parent| parent.shape);
            let barred = self.across && n == at(self.root) && node.shape == Shape::Stack;
            if above != Shape::Row && node.room_w > node.w && !barred {
                self.add_spot(Spot {
                    node: id(n),
                    shape: Shape::Row,
                    w: node.room_w - node.w,
                    h: node.room_h,
                    flush: node.h,
                });
            }
            if above != Shape::Stack && node.room_h > node.h {
                self.add_spot(Spot {
                    node: id(n),
                    shape: Shape::Stack,
                    w: node.room_w,
                    h: node.room_h - node.h,
                    flush: node.w,
                });
            }
        }
    }

    fn add_spot(&mut self, spot: Spot) {
        self.free = self.free.greatest(Free {
            w: spot.w,
            h: spot.h,
            short: spot.w.min(spot.h),
        });
        self.spots.push(spot);
    }

    /// Adds a piece at a spot of this tree.
    pub(super) fn insert(&mut self, spot: Spot, laid: Laid) {
        self.area += u64::from(laid.w) * u64::from(laid.h);
        let leaf = self.push(Shape::Leaf, laid);
        if spot.shape == Shape::Leaf || self.root == NONE {
            self.root = leaf;
        } else if self.nodes[at(spot.node)].shape == spot.shape {
            self.append(spot.node, leaf);
            self.grow(spot.node);
        } else {
            let above = self.wrap(spot.node, spot.shape);
            self.append(above, leaf);
            self.grow(above);
        }
        self.give_room();
    }

    /// The pattern with only the pieces that `keep` wants, asked in a fixed order; those taken out go into `out`.
    pub(super) fn thinned(&self, mut keep: impl FnMut(Laid) -> bool, out: &mut Vec<Laid>) -> Self {
        let mut thinned = Self {
            full_w: self.full_w,
            full_h: self.full_h,
            nodes: Vec::with_capacity(self.nodes.len() + 2),
            ..Self::new(self.w, self.h, self.across)
        };
        if self.root != NONE {
            let kept = self.copy(self.root, &mut thinned, &mut keep, out);
            thinned.root = thinned.place(kept);
        }
        thinned.give_room();
        thinned
    }

    /// Lets the pieces use no more than `w` by `h`, and takes out all of them if they do not keep within it.
    pub(super) fn narrow(&mut self, w: u32, h: u32) -> Vec<Laid> {
        let size = self.size();
        (self.w, self.h) = (w, h);
        let mut out = Vec::new();
        *self = self.thinned(|_| size.0 <= w && size.1 <= h, &mut out);
        out
    }

    /// Whether the sheet may only be used in part.
    pub(super) fn is_narrowed(&self) -> bool {
        self.w < self.full_w || self.h < self.full_h
    }

    /// A pattern of whole patterns, one behind the other along y.
    pub(super) fn stacked(w: u32, h: u32, across: bool, strips: &[&Self]) -> Self {
        let mut all = Self::new(w, h, across);
        let mut kids = Vec::new();
        for strip in strips.iter().filter(|strip| strip.root != NONE) {
            let copied = strip.copy(strip.root, &mut all, &mut |_| true, &mut Vec::new());
            all.join(copied, Shape::Stack, &mut kids);
        }
        all.root = match kids.as_slice() {
            [] => NONE,
            [one] => *one,
            _ => all.place(Copied::Many(Shape::Stack, kids)),
        };
        all.give_room();
        all
    }

    fn push(&mut self, shape: Shape, laid: Laid) -> u32 {
        let node = Node {
            shape,
            laid,
            w: laid.w,
            h: laid.h,
            room_w: 0,
            room_h: 0,
            parent: NONE,
            first: NONE,
            next: NONE,
        };
        self.nodes.push(node);
        id(self.nodes.len() - 1)
    }

    /// Puts a new node of `shape` in the place of `n`, with `n` as its only child.
    fn wrap(&mut self, n: u32, shape: Shape) -> u32 {
        let above = self.push(shape, self.nodes[at(n)].laid);
        let Node { parent, next, .. } = self.nodes[at(n)];
        self.nodes[at(above)].parent = parent;
        self.nodes[at(above)].next = next;
        self.nodes[at(above)].first = n;
        self.nodes[at(n)].parent = above;
        self.nodes[at(n)].next = NONE;
        if parent == NONE {
            self.root = above;
        } else if self.nodes[at(parent)].first == n {
            self.nodes[at(parent)].first = above;
        } else {
            let mut before = self.nodes[at(parent)].first;
            while self.nodes[at(before)].next != n {
                before = self.nodes[at(before)].next;
            }
            self.nodes[at(before)].next = above;
        }
        above
    }

    fn append(&mut self, parent: u32, child: u32) {
        self.nodes[at(child)].parent = parent;
        self.nodes[at(child)].next = self.nodes[at(parent)].first;
        self.nodes[at(parent)].first = child;
    }

    /// Sizes anew from `n` up to the root.
    fn grow(&mut self, n: u32) {
        let mut n = n;
        while n != NONE {
            let (mut w, mut h) = (0_u32, 0_u32);
            let shape = self.nodes[at(n)].shape;
            let mut child = self.nodes[at(n)].first;
            while child != NONE {
                let kid = &self.nodes[at(child)];
                if shape == Shape::Row {
                    (w, h) = (w.saturating_add(kid.w), h.max(kid.h));
                } else {
                    (w, h) = (w.max(kid.w), h.saturating_add(kid.h));
                }
                child = kid.next;
            }
            self.nodes[at(n)].w = w;
            self.nodes[at(n)].h = h;
            n = self.nodes[at(n)].parent;
        }
    }

    /// Room of every node, from the root down.
    fn give_room(&mut self) {
        let mut open = Vec::with_capacity(16);
        if self.root != NONE {
            self.nodes[at(self.root)].room_w = self.w;
            self.nodes[at(self.root)].room_h = self.h;
            open.push(self.root);
        }
        while let Some(n) = open.pop() {
            let Node {
                shape,
                w,
                h,
                room_w,
                room_h,
                first,
                ..
            } = self.nodes[at(n)];
            let mut child = first;
            while child != NONE {
                let kid = &mut self.nodes[at(child)];
                if shape == Shape::Row {
                    (kid.room_w, kid.room_h) =
                        (kid.w.saturating_add(room_w.saturating_sub(w)), room_h);
                } else {
                    (kid.room_w, kid.room_h) =
                        (room_w, kid.h.saturating_add(room_h.saturating_sub(h)));
                }
                if kid.shape != Shape::Leaf {
                    open.push(child);
                }
                child = kid.next;
            }
        }
        self.find_spots();
    }

    /// Copies the kept part below `n` into `to`.
    fn copy(
        &self,
        n: u32,
        to: &mut Self,
        keep: &mut impl FnMut(Laid) -> bool,
        out: &mut Vec<Laid>,
    ) -> Copied {
        let node = self.nodes[at(n)];
        if node.shape == Shape::Leaf {
            if !keep(node.laid) {
                out.push(node.laid);
                return Copied::Nothing;
            }
            to.area += u64::from(node.laid.w) * u64::from(node.laid.h);
            return Copied::One(to.push(Shape::Leaf, node.laid));
        }
        let mut parts = Vec::new();
        let mut child = node.first;
        while child != NONE {
            let part = self.copy(child, to, keep, out);
            if !matches!(part, Copied::Nothing) {
                parts.push(part);
            }
            child = self.nodes[at(child)].next;
        }
        if parts.len() < 2 {
            return parts.pop().unwrap_or(Copied::Nothing);
        }
        let mut kids = Vec::new();
        for part in parts {
            to.join(part, node.shape, &mut kids);
        }
        Copied::Many(node.shape, kids)
    }

    /// Adds what was copied to the children of a node of `shape`; a split of the same shape dissolves into it.
    fn join(&mut self, copied: Copied, shape: Shape, kids: &mut Vec<u32>) {
        match copied {
            Copied::Many(inner, many) if inner == shape => kids.extend(many),
            Copied::Nothing | Copied::One(_) | Copied::Many(..) => kids.push(self.place(copied)),
        }
    }

    /// Makes a node of what was copied.
    fn place(&mut self, copied: Copied) -> u32 {
        match copied {
            Copied::Nothing => NONE,
            Copied::One(n) => n,
            Copied::Many(shape, kids) => {
                let laid = Laid {
                    part: NONE,
                    w: 0,
                    h: 0,
                    turned: false,
                };
                let above = self.push(shape, laid);
                for kid in kids.into_iter().rev() {
                    self.append(above, kid);
                }
                self.grow(above);
                above
            }
        }
    }
}

/// The copied part of a tree; children of a split stay open so that equal splits can merge.
enum Copied {
    Nothing,
    One(u32),
    Many(Shape, Vec<u32>),
}

/// A node number as an index; no node is out of range.
fn at(n: u32) -> usize {
    n as usize
}

/// An index as a node number; trees stay far below 2^32 nodes.
fn id(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(NONE)
}
