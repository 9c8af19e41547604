//! A whole choice from the linear program: what it takes most of is taken whole, the rest is priced again, and so on to the end.

use std::rc::Rc;

use super::bars::Bar;
use super::master::Master;
use super::pricing;
use super::scope::Branch;

/// Rounds of pricing between two stock tubes that are taken.
const ROUNDS: u64 = 8;
/// A stock tube of which so much is taken is taken whole at once.
const NEARLY: f64 = 0.999;

/// Dives to a choice that costs less than `below` cents, if there is one that way.
pub(super) fn dive(
    master: &Master<'_, '_, '_>,
    bars: &[Rc<Bar>],
    below: f64,
    work: &mut u64,
) -> Option<Vec<Bar>> {
    let mut scope = master.scope.clone();
    let mut branches: Vec<Branch> = master.branches.to_vec();
    let mut bars = bars.to_vec();
    let mut taken: Vec<Bar> = Vec::new();
    let mut cost = 0.0;
    while scope.wanted.iter().any(|wanted| *wanted > 0) {
        let master = Master {
            scope: &scope,
            branches: &branches,
            dearest: below - cost,
        };
        let priced = pricing::price(&master, &mut bars, (below - cost, ROUNDS), work)?;
        if cost + priced.bound >= below {
            return None;
        }
        bars.retain(|bar| master.allows(bar));
        let shares = master.shares(&bars)?.of_bars;
        let most = shares.iter().copied().fold(0.0, f64::max);
        let next: Vec<Rc<Bar>> = bars
            .iter()
            .zip(shares)
            .filter(|(_, share)| *share > 0.0 && *share >= most.min(NEARLY))
            .map(|(bar, _)| Rc::clone(bar))
            .collect();
        let before = taken.len();
        for bar in next {
            // Of several that could be taken, an earlier one may have left too little for a later one.
            if scope.allows(&bar) {
                cost += bar.cost;
                scope.take(&bar);
                for branch in &mut branches {
                    branch.number -= branch.on(&scope, &bar);
                }
                taken.push((*bar).clone());
            }
        }
        if taken.len() == before || cost >= below {
            return None;
        }
        bars.retain(|bar| scope.allows(bar));
    }
    Some(taken)
}
