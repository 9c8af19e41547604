//! The cheapest drums, for a few paintings as a rule proved: stock tubes with their drums as columns of a linear program, in a tree of branches.
//!
//! The program's dual gives every painting a price; a stock tube is worth adding where its paintings' prices exceed its cost. When none is,
//! the sum of prices is a bound. Where the program takes parts of stock tubes, the search branches on whole numbers of them, of drums of a
//! kin, or of paintings on a tube; a branch is closed when its bound reaches the best choice known, or when so few stock tubes can still be
//! part of a better one that a whole-number program picks among them.
//!
//! # Sources
//! Gilmore and Gomory 1961, "A linear programming approach to the cutting-stock problem", Operations Research 9 (prices); Barnhart et al.
//! 1998, "Branch-and-price: column generation for solving huge integer programs", Operations Research 46; Baldacci, Christofides and Mingozzi
//! 2008, "An exact algorithm for the vehicle routing problem based on the set partitioning formulation", Mathematical Programming 115 (listing
//! what is within the gap); all from memory.

use std::rc::Rc;

use crate::rolling::market::Market;
use crate::rolling::tube::from_i64;

use self::branching::Fork;
use self::dive::dive;
use self::master::Master;
use self::master::copies;
use self::resplit::resplit;
use self::scope::Branch;
use self::scope::Scope;

mod bars;
mod branching;
mod dive;
mod headroom;
mod master;
mod pricing;
mod resplit;
mod scope;

pub(super) use self::bars::Bar;

/// Branches looked at, at most, and the work of pricing in all: a third of a minute or less.
const BRANCHES: usize = 400;
const WORK: u64 = 2_400_000;
/// A search is begun where there is work for so many rounds of pricing: fewer bring nothing.
const LEAST_ROUNDS: u64 = 40;
/// The search dives from each of the first branches, then from one in so many.
const FIRST_DIVES: usize = 3;
const DIVES_EVERY: usize = 8;
/// What a dive may cost above the best choice known: parted anew, it may cost less.
const DIVE_ABOVE: f64 = 1.06;
/// Nodes of the whole-number program over what is listed.
const NODES: u32 = 2_000;
/// In cents: less is no gap.
const SLACK: f64 = 0.5;

/// What was found, and what was proved.
#[derive(Clone, Debug, Default)]
pub(super) struct Proof {
    /// A choice that is cheaper than the one known before, if there is one.
    pub(super) bars: Option<Vec<Bar>>,
    /// No choice costs less, in cents.
    pub(super) bound: f64,
}

/// Looks for the cheapest choice, below one that costs `known` cents, and for a bound.
pub(super) fn cheapest(market: &Market<'_>, known: f64) -> Proof {
    let scope = Scope::new(market);
    if scope.work().saturating_mul(LEAST_ROUNDS) > WORK {
        return Proof::default();
    }
    let mut tree = Tree {
        open: vec![Node {
            bound: 0.0,
            branches: Vec::new(),
            bars: pricing::singles(&scope),
        }],
        scope: &scope,
        best: None,
        cost: known,
        given_up: f64::INFINITY,
        work: WORK,
    };
    for turn in 1..=BRANCHES {
        let Some(node) = tree.next() else { break };
        tree.look_into(node, turn);
        if tree.work == 0 {
            break;
        }
    }
    let left = tree.open.iter().map(|node| node.bound);
    Proof {
        bound: left.fold(tree.given_up, f64::min).min(tree.cost),
        bars: tree.best,
    }
}

/// A part of all choices.
struct Node {
    /// None of them costs less, in cents.
    bound: f64,
    /// What holds for them.
    branches: Vec<Branch>,
    /// Stock tubes to begin with.
    bars: Vec<Rc<Bar>>,
}

/// The search.
struct Tree<'s, 'a, 'b> {
    scope: &'s Scope<'a, 'b>,
    open: Vec<Node>,
    best: Option<Vec<Bar>>,
    cost: f64,
    /// The least bound of the branches that could be taken no further.
    given_up: f64,
    work: u64,
}

impl Tree<'_, '_, '_> {
    /// The branch with the least bound, if a better choice can be in it.
    fn next(&mut self) -> Option<Node> {
        let cost = self.cost;
        self.open.retain(|node| node.bound < cost - SLACK);
        let bounds = self.open.iter().enumerate();
        let least = bounds.min_by(|a, b| a.1.bound.total_cmp(&b.1.bound))?.0;
        Some(self.open.swap_remove(least))
    }

    /// Prices a branch, tries for a better choice in it, and closes it or forks it.
    fn look_into(&mut self, mut node: Node, turn: usize) {
        let scope = self.scope;
        let master = Master {
            scope,
            branches: &node.branches,
            dearest: self.cost,
        };
        node.bars.retain(|bar| master.allows(bar));
        let below = self.cost - SLACK;
        // Of many paintings even the first program may not come to its end: half of the work is kept for a dive.
        let rounds = if turn == 1 {
            self.work / 2 / scope.work().max(1)
        } else {
            u64::MAX
        };
        let Some(priced) = pricing::price(&master, &mut node.bars, (below, rounds), &mut self.work)
        else {
            self.given_up = self.given_up.min(node.bound);
            return;
        };
        let bound = node.bound.max(priced.bound);
        if bound >= below {
            return;
        }
        if turn <= FIRST_DIVES || turn.is_multiple_of(DIVES_EVERY) {
            let below = self.cost * DIVE_ABOVE;
            if let Some(bars) = dive(&master, &node.bars, below, &mut self.work) {
                self.offer(resplit(scope, bars));
            }
        }
        let shares = master.shares(&node.bars).filter(|_| priced.is_done);
        let Some(shares) = shares else {
            self.given_up = self.given_up.min(bound);
            return;
        };
        if !shares.misses && shares.of_bars.iter().all(|share| is_whole(*share)) {
            self.offer(copies(&node.bars, shares.of_bars));
            return;
        }
        // What falls short of the values by more cannot be in a better choice; the branch's bound may be higher than what they come to.
        let gap = self.cost - priced.total + SLACK;
        if let Some(listed) = pricing::list(&master, &priced.values, gap) {
            let (found, is_proved) = master.whole(&listed, NODES);
            if let Some(found) = found {
                self.offer(found);
            }
            if is_proved {
                return;
            }
        }
        let Some(fork) = Fork::new(&master, &node.bars, &shares.of_bars) else {
            self.given_up = self.given_up.min(bound);
            return;
        };
        node.bars
            .retain(|bar| priced.values.shortfall(scope, bar) < gap);
        self.open.extend(fork.sides().map(|side| Node {
            bound,
            branches: node.branches.iter().cloned().chain(side).collect(),
            bars: node.bars.clone(),
        }));
    }

    /// Keeps a choice that costs less than the best.
    fn offer(&mut self, bars: Vec<Bar>) {
        let cost: f64 = bars.iter().map(|bar| bar.cost).sum();
        if cost < self.cost - SLACK / 2.0 {
            (self.best, self.cost) = (Some(bars), cost);
        }
    }
}

/// Whether a share is a whole number but for the noise of the arithmetic.
fn is_whole(share: f64) -> bool {
    (share - share.round()).abs() < 1e-5
}

fn count(number: usize) -> f64 {
    from_i64(i64::try_from(number).unwrap_or(i64::MAX))
}
