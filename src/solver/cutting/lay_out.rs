//! Turns a pattern into places, offcuts and an order of cuts.

use crate::solver::cutting::plan::Cut;
use crate::solver::cutting::plan::Rect;
use crate::solver::cutting::tree::Laid;
use crate::solver::cutting::tree::Node;
use crate::solver::cutting::tree::Shape;
use crate::solver::cutting::tree::Tree;

/// A pattern worked out: all in real lengths, from the corner of the sheet.
#[derive(Debug, Default)]
pub(super) struct LaidOut {
    pub(super) placed: Vec<(Laid, u64, u64)>,
    pub(super) offcuts: Vec<Rect>,
    pub(super) cuts: Vec<Cut>,
    kerf: u64,
}

/// A part in hand; its size includes one saw cut each way.
#[derive(Clone, Copy, Debug)]
struct Hand {
    x: u64,
    y: u64,
    w: u64,
    h: u64,
}

/// Works out a pattern on a sheet of `width` by `length` with `trim` off each edge.
pub(super) fn lay_out(tree: &Tree, width: u64, length: u64, trim: u64, kerf: u64) -> LaidOut {
    let mut out = LaidOut { kerf, ..LaidOut::default() };
    let whole = Hand { x: trim, y: trim, w: u64::from(tree.w), h: u64::from(tree.h) };
    if trim > 0 {
        out.trim_edges(width, length, trim);
    }
    match tree.root() {
        Some(root) if tree.across && root.shape != Shape::Stack => {
            let rest = out.cut_across(whole, u64::from(root.h));
            out.node(tree, root, rest);
        }
        Some(root) => out.node(tree, root, whole),
        None => {}
    }
    out.offcuts.sort_by_key(|rect| core::cmp::Reverse((u128::from(rect.width) * u128::from(rect.length), rect.length)));
    out
}

impl LaidOut {
    fn trim_edges(&mut self, width: u64, length: u64, trim: u64) {
        let near = trim.saturating_sub(self.kerf);
        for at in [near, length.saturating_sub(trim)] {
            self.cuts.push(Cut { across: true, at, from: 0, to: width });
        }
        for at in [near, width.saturating_sub(trim)] {
            self.cuts.push(Cut { across: false, at, from: trim, to: length.saturating_sub(trim) });
        }
    }

    fn node(&mut self, tree: &Tree, node: &Node, hand: Hand) {
        let (w, h) = (u64::from(node.w), u64::from(node.h));
        let over_along = match node.shape {
            Shape::Row => (hand.w - w) * hand.h,
            Shape::Stack => (hand.h - h) * hand.w,
            Shape::Leaf => 0,
        };
        match node.shape {
            Shape::Row => {
                let hand = if (hand.h - h) * hand.w > over_along { self.cut_across(hand, h) } else { hand };
                self.row(tree, node, hand);
            }
            Shape::Stack => {
                let hand = if (hand.w - w) * hand.h > over_along && !is_first_of_roll(tree, node) {
                    self.cut_along(hand, w)
                } else {
                    hand
                };
                self.stack(tree, node, hand);
            }
            Shape::Leaf => {
                let hand = if (hand.h - h) * hand.w > (hand.w - w) * hand.h {
                    let rest = self.cut_across(hand, h);
                    self.cut_along(rest, w)
                } else {
                    let rest = self.cut_along(hand, w);
                    self.cut_across(rest, h)
                };
                self.placed.push((node.laid, hand.x, hand.y));
            }
        }
    }

    /// All cuts of a row first, then each part of it.
    fn row(&mut self, tree: &Tree, node: &Node, hand: Hand) {
        let mut rest = hand;
        let mut parts = Vec::new();
        for kid in tree.children(node) {
            let w = u64::from(kid.w);
            self.saw_along(rest, w);
            parts.push((kid, Hand { w, ..rest }));
            rest = Hand { x: rest.x + w, w: rest.w - w, ..rest };
        }
        self.offcut(rest);
        for (kid, part) in parts {
            self.node(tree, kid, part);
        }
    }

    /// All cuts of a stack first, then each part of it.
    fn stack(&mut self, tree: &Tree, node: &Node, hand: Hand) {
        let mut rest = hand;
        let mut parts = Vec::new();
        for kid in tree.children(node) {
            let h = u64::from(kid.h);
            self.saw_across(rest, h);
            parts.push((kid, Hand { h, ..rest }));
            rest = Hand { y: rest.y + h, h: rest.h - h, ..rest };
        }
        self.offcut(rest);
        for (kid, part) in parts {
            self.node(tree, kid, part);
        }
    }

    /// Cuts `hand` at length `h`; the rest is an offcut.
    fn cut_across(&mut self, hand: Hand, h: u64) -> Hand {
        self.saw_across(hand, h);
        self.offcut(Hand { y: hand.y + h, h: hand.h - h, ..hand });
        Hand { h, ..hand }
    }

    /// Cuts `hand` at width `w`; the rest is an offcut.
    fn cut_along(&mut self, hand: Hand, w: u64) -> Hand {
        self.saw_along(hand, w);
        self.offcut(Hand { x: hand.x + w, w: hand.w - w, ..hand });
        Hand { w, ..hand }
    }

    fn saw_across(&mut self, hand: Hand, h: u64) {
        if h < hand.h {
            let to = hand.x + hand.w - self.kerf;
            self.cuts.push(Cut { across: true, at: hand.y + h - self.kerf, from: hand.x, to });
        }
    }

    fn saw_along(&mut self, hand: Hand, w: u64) {
        if w < hand.w {
            let to = hand.y + hand.h - self.kerf;
            self.cuts.push(Cut { across: false, at: hand.x + w - self.kerf, from: hand.y, to });
        }
    }

    fn offcut(&mut self, hand: Hand) {
        if hand.w > self.kerf && hand.h > self.kerf {
            let (width, length) = (hand.w - self.kerf, hand.h - self.kerf);
            self.offcuts.push(Rect { x: hand.x, y: hand.y, width, length });
        }
    }
}

fn is_first_of_roll(tree: &Tree, node: &Node) -> bool {
    tree.across && tree.root().is_some_and(|root| core::ptr::eq(root, node))
}
