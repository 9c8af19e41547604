//! The cheapest cover of one need, by dynamic programming over what has been bought so far.
//!
//! `least[q]` is the least cost of having bought `q` units, the last place standing for the need or more. Lines are taken
//! up one after the other. A price that holds from a number of packs on is taken as that many packs at once and then any
//! number of single ones, so that a line costs a pass over the table for every price.

use super::problem::Line;
use super::problem::Need;
use super::problem::Tier;

/// What an order costs this need.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Charge {
    /// The order may not be used.
    pub(super) closed: bool,
    /// For using it at all.
    pub(super) once: f64,
    /// What its goods count for each unit of money.
    pub(super) goods: f64,
    /// What its freight counts.
    pub(super) freight: f64,
}

/// A cover: its cost, and its lines with their packs.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cover {
    pub(super) cost: f64,
    pub(super) packs: Vec<(usize, u32)>,
}

/// Lines of a need that belong to one order, as they follow each other.
struct Group {
    from: usize,
    to: usize,
    charge: Charge,
}

/// Covers a need at least cost under the charges; none where that cannot be done.
pub(super) fn cover(need: &Need, charge: impl Fn(usize) -> Charge) -> Option<Cover> {
    let mut layers = Layers::new(need.amount);
    let groups = groups(need, charge);
    let mut trail = Vec::with_capacity(need.lines.len() + groups.len());
    layers.check(need, 0);
    for group in &groups {
        if !group.charge.closed {
            trail.push((None, layers.least.clone()));
            layers.enter(group.charge.once);
            for index in group.from..group.to {
                let line = need.lines.get(index)?;
                trail.push((Some((index, group.charge)), layers.inside.clone()));
                layers.take(line, group.charge);
            }
            layers.leave();
        }
        layers.check(need, group.to);
    }
    let cost = *layers.least.last()?;
    cost.is_finite().then(|| Cover {
        cost,
        packs: packs(need, &trail, &layers),
    })
}

fn groups(need: &Need, charge: impl Fn(usize) -> Charge) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    let mut last = None;
    for (index, line) in need.lines.iter().enumerate() {
        if let Some(group) = groups.last_mut().filter(|_| last == Some(line.order)) {
            group.to = index + 1;
        } else {
            groups.push(Group {
                from: index,
                to: index + 1,
                charge: charge(line.order),
            });
        }
        last = Some(line.order);
    }
    groups
}

/// The tables: outside any order, and inside the one at hand.
struct Layers {
    least: Vec<f64>,
    inside: Vec<f64>,
    scratch: Vec<f64>,
}

impl Layers {
    fn new(amount: usize) -> Self {
        let mut least = vec![f64::INFINITY; amount + 1];
        if let Some(none) = least.first_mut() {
            *none = 0.0;
        }
        Self {
            inside: Vec::new(),
            scratch: Vec::new(),
            least,
        }
    }

    fn enter(&mut self, once: f64) {
        self.inside.clear();
        self.inside
            .extend(self.least.iter().map(|cost| cost + once));
    }

    /// Not using the order at all stays open.
    fn leave(&mut self) {
        for (outside, inside) in self.least.iter_mut().zip(&self.inside) {
            *outside = outside.min(*inside);
        }
    }

    fn take(&mut self, line: &Line, charge: Charge) {
        let before = std::mem::take(&mut self.inside);
        let mut after = before.clone();
        for tier in &line.tiers {
            let (block, single) = costs(line, *tier, charge);
            self.scratch.clear();
            self.scratch.resize(before.len(), f64::INFINITY);
            with_tier(&mut self.scratch, &before, line.size, *tier, block, single);
            for (best, cost) in after.iter_mut().zip(&self.scratch) {
                *best = best.min(*cost);
            }
        }
        self.inside = after;
    }

    /// Less than what must be there by now is no way on.
    fn check(&mut self, need: &Need, lines: usize) {
        for check in need.checks.iter().filter(|check| check.lines == lines) {
            let amount = check.amount.min(self.least.len().saturating_sub(1));
            self.least
                .iter_mut()
                .take(amount)
                .for_each(|cost| *cost = f64::INFINITY);
        }
    }
}

/// What the first packs of a price cost at once, and each further pack.
fn costs(line: &Line, tier: Tier, charge: Charge) -> (f64, f64) {
    let single = tier.price * charge.goods + line.freight * charge.freight;
    (
        tier.fixed * charge.goods + single * f64::from(tier.from),
        single,
    )
}

/// Fills `after` with the cost of every amount if this price is taken.
fn with_tier(after: &mut [f64], before: &[f64], size: usize, tier: Tier, block: f64, single: f64) {
    let last = before.len().saturating_sub(1);
    let jump = size.saturating_mul(usize::try_from(tier.from).unwrap_or(usize::MAX));
    if jump <= last {
        // All but the amounts that reach the need, which fall together.
        let (reached, open) = before.split_at(last - jump + 1);
        if let Some(places) = after.get_mut(jump..) {
            for (place, cost) in places.iter_mut().zip(reached) {
                *place = cost + block;
            }
        }
        if let Some(end) = after.last_mut() {
            *end = open.iter().fold(*end, |best, cost| best.min(cost + block));
        }
    } else if let Some(end) = after.last_mut() {
        *end = before
            .iter()
            .fold(*end, |best, cost| best.min(cost + block));
    }
    for at in size..last {
        let step = after.get(at - size).copied().unwrap_or(f64::INFINITY) + single;
        if let Some(place) = after.get_mut(at) {
            *place = place.min(step);
        }
    }
    // From anywhere within a pack of the need one more reaches it.
    let from = last.saturating_sub(size);
    let step = after
        .get(from..last)
        .into_iter()
        .flatten()
        .copied()
        .fold(f64::INFINITY, f64::min)
        + single;
    if let Some(end) = after.last_mut() {
        *end = end.min(step);
    }
}

type Trail = Vec<(Option<(usize, Charge)>, Vec<f64>)>;

/// Reads back which packs the least cost is made of.
fn packs(need: &Need, trail: &Trail, layers: &Layers) -> Vec<(usize, u32)> {
    let mut at = need.amount;
    let mut value = layers.least.last().copied().unwrap_or(f64::INFINITY);
    let mut inside = false;
    let mut taken = Vec::new();
    // Backwards: a group is entered at its last line, where the cost inside equals the one sought.
    let mut after: Option<&Vec<f64>> = None;
    let mut ends: Vec<Vec<f64>> = group_ends(need, trail);
    for (step, before) in trail.iter().rev() {
        match step {
            None => {
                // The outside table before the group.
                if inside {
                    value = before.get(at).copied().unwrap_or(f64::INFINITY);
                }
                inside = false;
                after = None;
            }
            Some((index, charge)) => {
                let Some(line) = need.lines.get(*index) else {
                    continue;
                };
                if after.is_none() {
                    let end = ends.pop().unwrap_or_default();
                    let reached = end.get(at).copied().unwrap_or(f64::INFINITY);
                    inside = reached <= value;
                    if inside {
                        value = reached;
                    }
                }
                after = Some(before);
                if !inside {
                    continue;
                }
                let skipped = before.get(at).copied().unwrap_or(f64::INFINITY);
                if skipped <= value {
                    value = skipped;
                    continue;
                }
                if let Some((from, count, cost)) = back(line, *charge, before, at) {
                    taken.push((*index, count));
                    at = from;
                    value = cost;
                }
            }
        }
    }
    taken.reverse();
    taken
}

/// The table inside each group after its last line, in order.
fn group_ends(need: &Need, trail: &Trail) -> Vec<Vec<f64>> {
    let mut ends = Vec::new();
    for (place, (step, before)) in trail.iter().enumerate() {
        let Some((index, charge)) = step else {
            continue;
        };
        let is_last = trail.get(place + 1).is_none_or(|(next, _)| next.is_none());
        if let Some(line) = need.lines.get(*index).filter(|_| is_last) {
            let mut layers = Layers {
                least: Vec::new(),
                inside: before.clone(),
                scratch: Vec::new(),
            };
            layers.take(line, *charge);
            ends.push(layers.inside);
        }
    }
    ends
}

/// The cheapest way to an amount by packs of a line: from where, how many, what it had cost there.
fn back(line: &Line, charge: Charge, before: &[f64], at: usize) -> Option<(usize, u32, f64)> {
    let last = before.len().saturating_sub(1);
    let mut best: Option<(f64, (usize, u32, f64))> = None;
    for tier in &line.tiers {
        let (block, single) = costs(line, *tier, charge);
        let mut consider = |from: usize, count: u32| {
            let known = before.get(from).copied().unwrap_or(f64::INFINITY);
            let cost = known + block + single * f64::from(count.saturating_sub(tier.from));
            if cost.is_finite() && best.as_ref().is_none_or(|(least, _)| cost < *least) {
                best = Some((cost, (from, count, known)));
            }
        };
        if at == last {
            for from in 0..=last {
                let count =
                    u32::try_from((last - from).div_ceil(line.size.max(1))).unwrap_or(u32::MAX);
                consider(from, count.max(tier.from));
            }
        } else {
            let mut count = tier.from;
            while let Some(from) = usize::try_from(count)
                .ok()
                .and_then(|count| count.checked_mul(line.size))
                .and_then(|jump| at.checked_sub(jump))
            {
                consider(from, count);
                count = count.saturating_add(1);
            }
        }
    }
    best.map(|(_, way)| way)
}
