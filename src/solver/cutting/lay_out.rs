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
    let mut out = LaidOut {
        kerf,
        ..LaidOut::default()
    };
    if let Some(root) = tree.root() {
        let sheet = Hand {
            x: 0,
            y: 0,
            w: width.saturating_add(kerf),
            h: length.saturating_add(kerf),
        };
        let used = Hand {
            x: trim,
            y: trim,
            w: u64::from(tree.full_w),
            h: u64::from(tree.full_h),
        };
        if tree.across {
            out.roll(tree, root, sheet, used);
        } else {
            let sheet = out.trim_across(sheet, used);
            out.trim_along(sheet, used);
            out.node(tree, root, used);
        }
    }
    out.offcuts.sort_by_key(|rect| {
        core::cmp::Reverse((
            u128::from(rect.width) * u128::from(rect.length),
            rect.length,
        ))
    });
    out
}

impl LaidOut {
    /// Strips off the roll first; each is trimmed at its sides by itself.
    fn roll(&mut self, tree: &Tree, root: &Node, sheet: Hand, used: Hand) {
        let strips = if root.shape == Shape::Stack {
            tree.children(root).collect()
        } else {
            vec![root]
        };
        let mut rest = self.trim_across(sheet, used);
        let mut parts = Vec::new();
        for strip in strips {
            let h = u64::from(strip.h);
            self.saw_across(rest, h);
            parts.push((strip, Hand { h, ..rest }));
            rest = Hand {
                y: rest.y + h,
                h: rest.h - h,
                ..rest
            };
        }
        self.offcut(rest);
        for (strip, part) in parts {
            let part = self.trim_along(part, used);
            self.node(tree, strip, part);
        }
    }

    /// Takes the edges off at both ends of `hand`, down to `used`.
    fn trim_across(&mut self, hand: Hand, used: Hand) -> Hand {
        let (low, high) = (
            used.y.saturating_sub(self.kerf),
            used.y + used.h - self.kerf,
        );
        for at in [low, high] {
            if used.y > 0 {
                self.cuts.push(Cut {
                    across: true,
                    at,
                    from: hand.x,
                    to: hand.x + hand.w - self.kerf,
                });
            }
        }
        Hand {
            y: used.y,
            h: used.h,
            ..hand
        }
    }

    /// Takes the edges off at both sides of `hand`, down to `used`.
    fn trim_along(&mut self, hand: Hand, used: Hand) -> Hand {
        let (low, high) = (
            used.x.saturating_sub(self.kerf),
            used.x + used.w - self.kerf,
        );
        for at in [low, high] {
            if used.x > 0 {
                self.cuts.push(Cut {
                    across: false,
                    at,
                    from: hand.y,
                    to: hand.y + hand.h - self.kerf,
                });
            }
        }
        Hand {
            x: used.x,
            w: used.w,
            ..hand
        }
    }

    fn node(&mut self, tree: &Tree, node: &Node, hand: Hand) {
        let (w, h) = (u64::from(node.w), u64::from(node.h));
        // Of the two ways to take off what is left over, the one with the greater part in one.
        let (beside, behind) = ((hand.w - w) * hand.h, (hand.h - h) * hand.w);
        match node.shape {
            Shape::Row => {
                let hand = if behind > beside {
                    self.cut_across(hand, h)
                } else {
                    hand
                };
                self.row(tree, node, hand);
            }
            Shape::Stack => {
                let hand = if beside > behind {
                    self.cut_along(hand, w)
                } else {
                    hand
                };
                self.stack(tree, node, hand);
            }
            Shape::Leaf => {
                let hand = if behind > beside {
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
            rest = Hand {
                x: rest.x + w,
                w: rest.w - w,
                ..rest
            };
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
            rest = Hand {
                y: rest.y + h,
                h: rest.h - h,
                ..rest
            };
        }
        self.offcut(rest);
        for (kid, part) in parts {
            self.node(tree, kid, part);
        }
    }

    /// Cuts `hand` at length `h`; the rest is an offcut.
    fn cut_across(&mut self, hand: Hand, h: u64) -> Hand {
        self.saw_across(hand, h);
        self.offcut(Hand {
            y: hand.y + h,
            h: hand.h - h,
            ..hand
        });
        Hand { h, ..hand }
    }

    /// Cuts `hand` at width `w`; the rest is an offcut.
    fn cut_along(&mut self, hand: Hand, w: u64) -> Hand {
        self.saw_along(hand, w);
        self.offcut(Hand {
            x: hand.x + w,
            w: hand.w - w,
            ..hand
        });
        Hand { w, ..hand }
    }

    fn saw_across(&mut self, hand: Hand, h: u64) {
        if h < hand.h {
            let to = hand.x + hand.w - self.kerf;
            self.cuts.push(Cut {
                across: true,
                at: hand.y + h - self.kerf,
                from: hand.x,
                to,
            });
        }
    }

    fn saw_along(&mut self, hand: Hand, w: u64) {
        if w < hand.w {
            let to = hand.y + hand.h - self.kerf;
            self.cuts.push(Cut {
                across: false,
                at: hand.x + w - self.kerf,
                from: hand.y,
                to,
            });
        }
    }

    fn offcut(&mut self, hand: Hand) {
        if hand.w > self.kerf && hand.h > self.kerf {
            let (width, length) = (hand.w - self.kerf, hand.h - self.kerf);
            self.offcuts.push(Rect {
                x: hand.x,
                y: hand.y,
                width,
                length,
            });
        }
    }
}
