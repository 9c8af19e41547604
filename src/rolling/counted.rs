//! Stock tubes and drums counted, not filled: a bound on every choice, and which tube each painting had best lie on.
//!
//! Paintings are shared out among tubes as if they could be poured into drums, and drums among stock tubes; only the drums and stock tubes
//! come in whole numbers. Whatever fills them for real costs no less. Where paintings are small beside their drums, what costs as little
//! can as a rule be filled: there the two meet.

use std::collections::BTreeMap;

use rust_decimal::prelude::ToPrimitive;

use crate::solver::milp;
use crate::solver::milp::Model;
use crate::solver::milp::Status;
use crate::solver::milp::Var;
use crate::units::Length;

use super::market::Class;
use super::market::Lying;
use super::market::Market;
use super::serve::Kin;
use super::serve::Winding;
use super::tube::from_i64;
use super::tube::from_u64;

/// A program with more shares than this is not begun; the pure Rust engine takes long over much smaller ones.
const MOST_SHARES: usize = if cfg!(feature = "highs") { 6_000 } else { 300 };
/// Up to so many shares the program is stated as tightly as it can be and searched to its end; beyond, for a bound that is near.
const FEW_SHARES: usize = 1_200;
/// Nodes of the search, and the gap at which it ends: for few shares, and beyond.
const SEARCH: (u32, f64) = (400, 1e-7);
const SHORT_SEARCH: (u32, f64) = (20, 1e-3);
/// Paintings wider than a half, a third or a quarter of a length: only so many of them go into it.
const PARTS: [i64; 3] = [2, 3, 4];

/// What was counted.
#[derive(Clone, Debug, Default)]
pub(super) struct Counted {
    /// No choice costs less, in cents.
    pub(super) bound: f64,
    /// How often each stock is taken, by stock of the market; nothing where nothing was found.
    pub(super) stocks: Vec<u64>,
    /// A tube and winding for every roll that some tube serves: roll, tube, winding.
    pub(super) lying: Vec<(usize, usize, Winding)>,
}

/// A share of a class: so many of its paintings lie in one way on one tube.
struct Share<'a> {
    class: usize,
    tube: usize,
    lying: &'a Lying,
    var: Var,
}

/// The drums of one kin on one tube.
struct Drums {
    tube: usize,
    var: Var,
    /// The longest face that one of them can have, in whole mm.
    longest: i64,
}

/// Counts stock tubes and drums for a choice that costs less than `known` cents; nothing where there is too much to count.
pub(super) fn count(market: &Market<'_>, known: f64) -> Counted {
    let shares: usize = market
        .classes
        .iter()
        .flat_map(|class| &class.ways)
        .map(Vec::len)
        .sum();
    if shares == 0 || shares > MOST_SHARES {
        return Counted::default();
    }
    let mut program = Program::new(market, known);
    let is_small = shares <= FEW_SHARES;
    program.cover();
    if is_small {
        program.tie_to_drums();
    }
    program.fill_drums();
    program.fill_stocks();
    let (nodes, gap) = if is_small { SEARCH } else { SHORT_SEARCH };
    let effort = milp::Effort { nodes, gap };
    let answer = milp::solve(&program.model, None, effort);
    match answer.status {
        Status::Optimal | Status::Feasible => Counted {
            bound: answer.bound.max(0.0),
            stocks: program.counts(&answer.values),
            lying: program.lying(&answer.values),
        },
        // Nothing is left that costs less than what is known.
        Status::Infeasible => Counted {
            bound: known,
            ..Counted::default()
        },
        Status::Unknown => Counted::default(),
    }
}

struct Program<'a> {
    market: &'a Market<'a>,
    model: Model,
    shares: Vec<Share<'a>>,
    drums: BTreeMap<(Kin<'a>, usize), Drums>,
    /// A variable a stock of the market, and how often it can be taken.
    stocks: Vec<(Var, f64)>,
}

impl<'a> Program<'a> {
    fn new(market: &'a Market<'a>, known: f64) -> Self {
        let mut program = Self {
            market,
            model: Model::new(),
            shares: Vec::new(),
            drums: BTreeMap::new(),
            stocks: Vec::new(),
        };
        let all: f64 = market.classes.iter().map(|class| size(class)).sum();
        for stock in &market.stocks {
            // Each carries a drum at least, and all together cost no more than what is known.
            let each = market.drums.get(stock.tube).map_or(0.0, |drum| drum.each) + stock.cents;
            let paid = if each > 0.0 {
                (known / each).floor()
            } else {
                all
            };
            let supply = stock.supply.map_or(all, from_u64);
            let most = all.min(paid).min(supply);
            let var = program.model.whole(stock.cents, 0.0, most);
            program.stocks.push((var, most));
        }
        for (index, class) in market.classes.iter().enumerate() {
            for (tube, ways) in class.ways.iter().enumerate() {
                if ways.is_empty() {
                    continue;
                }
                program
                    .drums
                    .entry((class.kin, tube))
                    .or_insert_with(|| Drums {
                        tube,
                        var: program.model.whole(market.opened(tube), 0.0, all),
                        longest: longest(market, class.kin, tube),
                    });
                for lying in ways {
                    let cost = market.laid(tube, lying);
                    let var = program.model.continuous(cost, 0.0, size(class));
                    program.shares.push(Share {
                        class: index,
                        tube,
                        lying,
                        var,
                    });
                }
            }
        }
        program
    }

    /// Every painting lies somewhere.
    fn cover(&mut self) {
        for on in self.shares.chunk_by(|a, b| a.class == b.class) {
            let class = on
                .first()
                .and_then(|share| self.market.classes.get(share.class));
            self.model.at_least(
                class.map_or(0.0, size),
                on.iter().map(|share| (share.var, 1.0)),
            );
        }
    }

    /// Where any painting lies, there is a drum.
    fn tie_to_drums(&mut self) {
        for share in &self.shares {
            let class = self.market.classes.get(share.class);
            let Some((class, drums)) =
                class.and_then(|class| Some((class, self.drums.get(&(class.kin, share.tube))?)))
            else {
                continue;
            };
            self.model
                .at_most(0.0, [(share.var, 1.0), (drums.var, -size(class))]);
        }
    }

    /// Faces are long enough for what lies on them.
    fn fill_drums(&mut self) {
        for ((kin, tube), drums) in &self.drums {
            let kin_of = |share: &Share<'_>| self.market.classes.get(share.class).map(|c| c.kin);
            let on: Vec<&Share<'_>> = self
                .shares
                .iter()
                .filter(|share| share.tube == *tube && kin_of(share) == Some(*kin))
                .collect();
            let room = drums.longest - self.market.margin;
            fill(&mut self.model, &on, room, &[(drums.var, room)]);
        }
    }

    /// Stock tubes are long enough for their drums, each with a margin and all but the first with a saw cut.
    fn fill_stocks(&mut self) {
        let market = self.market;
        for tube in 0..market.tubes.len() {
            let stocks: Vec<(Var, i64)> = market
                .stocks
                .iter()
                .zip(&self.stocks)
                .filter(|(stock, _)| stock.tube == tube)
                .map(|(stock, (var, _))| (*var, stock.length))
                .collect();
            let on: Vec<&Share<'_>> = self
                .shares
                .iter()
                .filter(|share| share.tube == tube)
                .collect();
            let drums: Vec<Var> = self
                .drums
                .values()
                .filter(|drums| drums.tube == tube)
                .map(|drums| drums.var)
                .collect();
            let ends = from_i64(market.margin + market.kerf);
            let widths = on
                .iter()
                .map(|share| (share.var, from_i64(share.lying.width)));
            let faces = drums.iter().map(|var| (*var, ends));
            let lengths = stocks
                .iter()
                .map(|(var, length)| (*var, -from_i64(length + market.kerf)));
            self.model.at_most(0.0, widths.chain(faces).chain(lengths));
            let rooms: Vec<(Var, i64)> = stocks
                .iter()
                .map(|(var, length)| (*var, length - market.margin))
                .collect();
            for (_, room) in &rooms {
                few(&mut self.model, &on, *room, &rooms);
            }
            // A stock tube without a drum is none.
            let bars = stocks.iter().map(|(var, _)| (*var, 1.0));
            let faces = drums.iter().map(|var| (*var, -1.0));
            self.model.at_most(0.0, bars.chain(faces));
        }
    }

    /// How often each stock is taken.
    fn counts(&self, values: &[f64]) -> Vec<u64> {
        let value = |var: &Var| values.get(var.index()).copied().unwrap_or(0.0);
        let counts = self
            .stocks
            .iter()
            .map(|(var, _)| value(var).round().to_u64());
        counts.map(Option::unwrap_or_default).collect()
    }

    /// Whole paintings for the shares: each class goes to its ways by how much of it lies there, the largest remainders first.
    fn lying(&self, values: &[f64]) -> Vec<(usize, usize, Winding)> {
        let mut lying = Vec::new();
        for on in self.shares.chunk_by(|a, b| a.class == b.class) {
            let mut left: Vec<(f64, &Share<'_>)> = on
                .iter()
                .map(|share| (values.get(share.var.index()).copied().unwrap_or(0.0), share))
                .collect();
            let class = on
                .first()
                .and_then(|share| self.market.classes.get(share.class));
            for roll in class.map_or(&[] as &[usize], |class| &class.rolls) {
                let most = left.iter_mut().max_by(|a, b| a.0.total_cmp(&b.0));
                if let Some((part, share)) = most {
                    *part -= 1.0;
                    lying.push((*roll, share.tube, share.lying.winding));
                }
            }
        }
        lying.sort_by_key(|(roll, ..)| *roll);
        lying
    }
}

/// What lies on drums is no longer than they have room for.
fn fill(model: &mut Model, on: &[&Share<'_>], room: i64, rooms: &[(Var, i64)]) {
    let widths = on
        .iter()
        .map(|share| (share.var, from_i64(share.lying.width)));
    let lengths = rooms.iter().map(|(var, room)| (*var, -from_i64(*room)));
    model.at_most(0.0, widths.chain(lengths));
    few(model, on, room, rooms);
}

/// Of paintings wider than a part of a room, each room takes so many whole ones.
fn few(model: &mut Model, on: &[&Share<'_>], room: i64, rooms: &[(Var, i64)]) {
    for parts in PARTS {
        let least = room / parts + 1;
        let wide: Vec<(Var, f64)> = on
            .iter()
            .filter(|share| share.lying.width >= least)
            .map(|share| (share.var, 1.0))
            .collect();
        if !wide.is_empty() {
            let takes = rooms
                .iter()
                .map(|(var, room)| (*var, -from_i64(room / least)));
            model.at_most(0.0, wide.into_iter().chain(takes));
        }
    }
}

/// The longest face that a drum of a kin on a tube can have, in whole mm: its lightest and thinnest paintings on it, or the widest alone.
fn longest(market: &Market<'_>, kin: Kin<'_>, tube: usize) -> i64 {
    let ways = || {
        market
            .classes
            .iter()
            .filter(move |class| class.kin == kin)
            .filter_map(move |class| class.ways.get(tube))
            .flatten()
    };
    let alone = ways()
        .map(|lying| lying.width + market.margin)
        .max()
        .unwrap_or(0);
    let lightest = ways().map(|lying| lying.load).fold(f64::INFINITY, f64::min);
    let thinnest = ways()
        .map(|lying| lying.winding.outside)
        .min()
        .unwrap_or(Length::ZERO);
    alone.max(market.longest(tube, (lightest, thinnest)))
}

/// How many paintings a class has.
fn size(class: &Class<'_>) -> f64 {
    from_u64(u64::try_from(class.rolls.len()).unwrap_or(u64::MAX))
}
