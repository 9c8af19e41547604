//! A choice of stock tubes improved: the paintings of every two, and of every three with few, are parted anew as well as can be.
//!
//! For every set of the paintings, the cheapest stock tube that takes it, one drum a kin; then the best way to part all of them into two or
//! three such sets.

use std::collections::BTreeSet;

use crate::units::Length;

use super::bars::Bar;
use super::scope::Scope;

/// Two stock tubes with more paintings than this are left alone, and three with more than that.
const MOST_OF_TWO: usize = 15;
const MOST_OF_THREE: usize = 13;
/// In cents: less is no improvement.
const LEAST: f64 = 0.5;

/// Three at a time are parted only among so many stock tubes.
const FEW: usize = 8;

/// Parts paintings anew until nothing is gained by it.
pub(super) fn resplit(scope: &Scope<'_, '_>, mut bars: Vec<Bar>) -> Vec<Bar> {
    loop {
        let count = bars.len();
        let twos = pairs(count).map(|(a, b)| vec![a, b]);
        let threes = pairs(if count <= FEW { count } else { 0 })
            .flat_map(|(a, b)| (b + 1..count).map(move |c| vec![a, b, c]));
        let mut is_better = false;
        for which in twos.chain(threes) {
            if let Some(better) = parted(scope, &bars, &which) {
                is_better = true;
                let fewer = better.len() < which.len();
                for at in which.into_iter().rev() {
                    bars.swap_remove(at);
                }
                bars.extend(better);
                if fewer {
                    break;
                }
            }
        }
        if !is_better {
            return bars;
        }
    }
}

/// What had better take the place of some stock tubes, given in ascending order.
fn parted(scope: &Scope<'_, '_>, bars: &[Bar], which: &[usize]) -> Option<Vec<Bar>> {
    let most = if which.len() == 2 {
        MOST_OF_TWO
    } else {
        MOST_OF_THREE
    };
    let parted: Vec<&Bar> = which.iter().map(|at| &bars[*at]).collect();
    let mut paintings: Vec<usize> = parted
        .iter()
        .flat_map(|bar| bar.drums.iter().flatten())
        .map(|(class, _)| *class)
        .collect();
    paintings.sort_unstable();
    if paintings.len() > most {
        return None;
    }
    let cost: f64 = parted.iter().map(|bar| bar.cost).sum();
    let stocks: Vec<usize> = parted.iter().map(|bar| bar.stock).collect();
    Sets::new(scope, paintings, &stocks).parted(which.len(), cost - LEAST)
}

/// Every two of so many.
fn pairs(count: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..count).flat_map(move |a| (a + 1..count).map(move |b| (a, b)))
}

/// The cheapest stock tube for every set of a few paintings; a set is the bits of a number.
struct Sets<'s, 'a, 'b> {
    scope: &'s Scope<'a, 'b>,
    /// The class of each painting.
    paintings: Vec<usize>,
    /// By set, its cost in cents and its stock.
    cheapest: Vec<(f64, usize)>,
}

impl<'s, 'a, 'b> Sets<'s, 'a, 'b> {
    /// Finds them; stock from the shelf counts only where it is one of those that are parted.
    fn new(scope: &'s Scope<'a, 'b>, paintings: Vec<usize>, parted: &[usize]) -> Self {
        let mut sets = Self {
            scope,
            cheapest: vec![(f64::INFINITY, 0); 1 << paintings.len()],
            paintings,
        };
        sets.cheapest[0] = (0.0, 0);
        for tube in scope.tubes() {
            let stocks = scope.market.stocks.iter().enumerate();
            let stocks: Vec<usize> = stocks
                .filter(|(at, stock)| {
                    stock.tube == tube && (stock.supply.is_none() || parted.contains(at))
                })
                .map(|(at, _)| at)
                .collect();
            sets.on_tube(tube, &stocks);
        }
        sets
    }

    /// Puts every set that a tube takes on the cheapest of its stocks.
    fn on_tube(&mut self, tube: usize, stocks: &[usize]) {
        let market = self.scope.market;
        let fresh = market.margin + market.kerf;
        let setup = market.opened(tube);
        let kin_of = |class: usize| self.scope.kin_of[class];
        let kins: BTreeSet<usize> = self.paintings.iter().map(|class| kin_of(*class)).collect();
        let lying: Vec<Option<(u32, i64, f64)>> = self
            .paintings
            .iter()
            .map(|class| {
                let (_, lying) = market.narrowest(*class, tube)?;
                let cost = market.laid(tube, &lying);
                let kin = kins.iter().position(|kin| *kin == kin_of(*class))?;
                Some((1_u32 << kin, lying.width, cost))
            })
            .collect();
        // By set: length with a saw cut more than there is, cost, and its kins as bits; nothing where one of the paintings cannot lie here.
        let mut sums: Vec<Option<(i64, f64, u32)>> = vec![Some((0, 0.0, 0)); self.cheapest.len()];
        for set in 1..self.cheapest.len() {
            let first = lying[set.trailing_zeros() as usize];
            let sum = sums[set & (set - 1)].zip(first);
            let sum = sum.map(|((length, cost, kins), (kin, width, more))| {
                if kins & kin == 0 {
                    (length + width + fresh, cost + more + setup, kins | kin)
                } else {
                    (length + width, cost + more, kins)
                }
            });
            sums[set] = sum;
            let Some((length, cost, _)) = sum else {
                continue;
            };
            let fitting = stocks.iter().map(|stock| (*stock, market.stocks[*stock]));
            let fitting = fitting.filter(|(_, stock)| length <= stock.length + market.kerf);
            let least = fitting.min_by(|a, b| a.1.cents.total_cmp(&b.1.cents));
            if let Some((index, stock)) = least
                && cost + stock.cents < self.cheapest[set].0
                && self.holds(set, tube)
            {
                self.cheapest[set] = (cost + stock.cents, index);
            }
        }
    }

    /// Whether each kin's paintings of a set hold on one drum.
    fn holds(&self, set: usize, tube: usize) -> bool {
        let market = self.scope.market;
        self.drums(set, tube).iter().all(|on| {
            let lying = || {
                on.iter()
                    .map(|(class, way)| &market.classes[*class].ways[tube][*way])
            };
            let face = market.margin + lying().map(|lying| lying.width).sum::<i64>();
            let heaviest = lying().map(|lying| lying.load).fold(0.0, f64::max);
            let outside = lying().map(|lying| lying.winding.outside).max();
            market.holds(
                tube,
                face,
                (heaviest, outside.unwrap_or(Length::ZERO), on.len()),
            )
        })
    }

    /// A set on drums of a tube, one a kin.
    fn drums(&self, set: usize, tube: usize) -> Vec<Vec<(usize, usize)>> {
        let mut by_kin = vec![Vec::new(); self.scope.kins];
        for (at, class) in self.paintings.iter().enumerate() {
            if set >> at & 1 == 1
                && let Some((way, _)) = self.scope.market.narrowest(*class, tube)
            {
                by_kin[self.scope.kin_of[*class]].push((*class, way));
            }
        }
        by_kin.retain(|on| !on.is_empty());
        by_kin
    }

    /// The paintings on two or three stock tubes or fewer, where that costs less than `below` cents.
    fn parted(&self, parts: usize, below: f64) -> Option<Vec<Bar>> {
        let all = self.cheapest.len() - 1;
        let mut best = (below, None);
        for one in (1..=all).step_by(2) {
            let (cost, _) = self.cheapest[one];
            if cost >= best.0 {
                continue;
            }
            let rest = all ^ one;
            // Of three parts, the second is each part of the rest in turn.
            let mut two = rest;
            loop {
                let sum = cost + self.cheapest[two].0 + self.cheapest[rest ^ two].0;
                if sum < best.0 {
                    best = (sum, Some([one, two, rest ^ two]));
                }
                if parts == 2 || two == 0 {
                    break;
                }
                two = (two - 1) & rest;
            }
        }
        let sets = best.1?.into_iter().filter(|set| *set != 0);
        let bars: Vec<Bar> = sets.map(|set| self.bar(set)).collect();
        // Two that take the same stock from the shelf may want more of it than there is.
        bars.iter()
            .all(|bar| self.is_had(bar, &bars))
            .then_some(bars)
    }

    fn bar(&self, set: usize) -> Bar {
        let stock = self.cheapest[set].1;
        let tube = self.scope.market.stocks[stock].tube;
        Bar::new(self.scope.market, stock, self.drums(set, tube))
    }

    fn is_had(&self, bar: &Bar, bars: &[Bar]) -> bool {
        self.scope.market.stocks[bar.stock].supply.is_none()
            || bars.iter().filter(|other| other.stock == bar.stock).count() == 1
    }
}
