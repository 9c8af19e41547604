//! Column generation: better patterns priced in until none helps, and the exact lower bound that follows.

use crate::solver::packing::effort::Effort;
use crate::solver::packing::job::Cuts;
use crate::solver::packing::job::Job;
use crate::solver::packing::job::Pattern;
use crate::solver::packing::knapsack::QUICK;
use crate::solver::packing::knapsack::THOROUGH;
use crate::solver::packing::knapsack::best_fill;
use crate::solver::packing::knapsack::best_value;
use crate::solver::packing::knapsack::real;
use crate::solver::packing::master::Master;

/// Prices are whole numbers of this part of the dearest bar's cost.
const SCALE: f64 = 1_099_511_627_776.0; // 2^40

/// Fills priced in a row, each from what those before it leave: columns that go well together.
const COMPLEMENTS: usize = 6;

/// The linear relaxation of a job.
#[derive(Debug)]
pub(super) struct Relaxation {
    /// Patterns with how often they are cut, fractions and all.
    pub(super) used: Vec<(Pattern, f64)>,
    /// All patterns found, to start the next program from.
    pub(super) pool: Vec<Pattern>,
    /// No set of cuts costs less. Exact: proved in whole numbers.
    pub(super) lower_bound: u128,
    /// Whether the bars cannot yield all pieces.
    pub(super) short: bool,
}

/// Solves the relaxation, starting from `pool`; stops early once the bound reaches `enough`.
pub(super) fn relax(
    job: &Job,
    pool: &[Pattern],
    enough: u128,
    effort: &mut Effort<'_>,
) -> Relaxation {
    let dearest = job
        .kinds
        .iter()
        .map(|kind| kind.cost)
        .max()
        .unwrap_or(0)
        .max(1);
    let costs = job
        .kinds
        .iter()
        .map(|kind| (real(kind.cost) / real(dearest)).max(1e-6))
        .collect();
    let mut master = Master::new(job, costs);
    master.add(one_length_each(job));
    master.add(
        pool.iter()
            .filter(|pattern| job.times(pattern) > 0)
            .cloned(),
    );
    let mut found = Relaxation {
        used: Vec::new(),
        pool: Vec::new(),
        lower_bound: 0,
        short: false,
    };
    loop {
        if !master.optimise(effort) {
            break;
        }
        let mut priced = price(job, &master, effort);
        if priced.better.is_empty() && !priced.exact {
            priced.settle(job, effort);
        }
        if priced.exact {
            let bound = proved(job, &priced, dearest);
            found.lower_bound = found.lower_bound.max(bound);
        }
        let solved = priced.better.is_empty();
        found.short = solved && master.solution().1 > 1e-6;
        if solved || !effort.is_left() || found.lower_bound >= enough {
            break;
        }
        master.add(priced.better);
    }
    let (used, _) = master.solution();
    found.used = used
        .into_iter()
        .map(|(c, at)| (master.columns()[c].clone(), at))
        .collect();
    found.pool = master.columns().to_vec();
    found
}

/// For each length and bar kind the pattern of nothing but that length.
fn one_length_each(job: &Job) -> Vec<Pattern> {
    let mut patterns = Vec::new();
    for (i, &length) in job
        .lengths
        .iter()
        .enumerate()
        .filter(|(i, _)| job.demand[*i] > 0)
    {
        for (kind, bar) in job
            .kinds
            .iter()
            .enumerate()
            .filter(|(_, bar)| bar.supply != Some(0))
        {
            let fit = bar
                .length
                .checked_div(length)
                .unwrap_or(0)
                .min(job.demand[i]);
            if fit > 0 {
                patterns.push(Pattern {
                    kind,
                    items: vec![(i, fit)],
                });
            }
        }
    }
    patterns
}

struct Priced {
    better: Vec<Pattern>,
    prices: Vec<u64>,
    /// Best worth of a pattern of each kind under `prices`.
    worth: Vec<u64>,
    exact: bool,
}

impl Priced {
    /// Makes the worths exact where that is not too much work.
    fn settle(&mut self, job: &Job, effort: &mut Effort<'_>) {
        let values = job.kinds.iter().map(|bar| {
            let room = if bar.supply == Some(0) { 0 } else { bar.length };
            best_value(&job.lengths, &self.prices, &job.demand, room, effort)
        });
        if let Some(worth) = values.collect::<Option<Vec<u64>>>() {
            self.worth = worth;
            self.exact = true;
        }
    }

    fn keep_if_worth(&mut self, pattern: Pattern, limit: f64) {
        let worths = pattern
            .items
            .iter()
            .map(|&(i, n)| self.prices[i].saturating_mul(n));
        if real(worths.fold(0, u64::saturating_add)) > limit {
            self.better.push(pattern);
        }
    }
}

fn price(job: &Job, master: &Master, effort: &mut Effort<'_>) -> Priced {
    let prices: Vec<u64> = master
        .piece_prices()
        .iter()
        .map(|price| whole(price * SCALE))
        .collect();
    let mut priced = Priced {
        better: Vec::new(),
        prices,
        worth: Vec::new(),
        exact: true,
    };
    for (kind, bar) in job.kinds.iter().enumerate() {
        if bar.supply == Some(0) {
            priced.worth.push(0);
            continue;
        }
        let limit = (master.bar_price(kind) + 1e-8) * SCALE;
        let (lengths, room) = (&job.lengths, bar.length);
        let mut fill = best_fill(lengths, &priced.prices, &job.demand, room, QUICK, effort);
        if !fill.exact && real(fill.value) <= limit {
            fill = best_fill(lengths, &priced.prices, &job.demand, room, THOROUGH, effort);
        }
        priced.worth.push(fill.value);
        priced.exact &= fill.exact;
        let mut left = job.demand.clone();
        let mut next = fill;
        for _ in 0..COMPLEMENTS {
            if real(next.value) <= limit {
                break;
            }
            for &(i, n) in &next.items {
                left[i] -= n;
            }
            let earlier = next.others.into_iter().rev().take(3);
            for items in earlier.chain([next.items]) {
                priced.keep_if_worth(Pattern { kind, items }, limit);
            }
            next = best_fill(lengths, &priced.prices, &left, room, QUICK, effort);
        }
    }
    priced
}

/// A price as a whole number; negative prices are nought.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the range first"
)]
fn whole(price: f64) -> u64 {
    price.clamp(0.0, 1_125_899_906_842_624.0) as u64 // 2^50
}

/// The bound that any prices prove: scaled down until no unlimited bar is worth more than it costs, with the
/// excess worth of limited bars taken off; rounded up to what costs can add up to.
fn proved(job: &Job, priced: &Priced, dearest: u64) -> u128 {
    bound_of(job, priced, dearest).unwrap_or(0)
}

fn bound_of(job: &Job, priced: &Priced, dearest: u64) -> Option<u128> {
    let unit = 1_i128 << 40;
    let dearest = i128::from(dearest);
    // One price unit is dearest / unit. A kind's worth is allowed up to cost * unit / dearest.
    let (mut over, mut under) = (1_i128, 1_i128);
    for (kind, &worth) in job.kinds.iter().zip(&priced.worth) {
        let allowed = i128::from(kind.cost).checked_mul(unit)? / dearest;
        let worth = i128::from(worth);
        if kind.supply.is_none() && worth.checked_mul(under)? > allowed.checked_mul(over)? {
            (over, under) = (worth, allowed);
        }
    }
    let mut total = 0_i128;
    for (&n, &price) in job.demand.iter().zip(&priced.prices) {
        total = total.checked_add(i128::from(n).checked_mul(i128::from(price))?)?;
    }
    total = total.checked_mul(under)?;
    for (kind, &worth) in job.kinds.iter().zip(&priced.worth) {
        let Some(supply) = kind.supply else { continue };
        let allowed = i128::from(kind.cost).checked_mul(unit)? / dearest;
        let excess = i128::from(worth)
            .checked_mul(under)?
            .checked_sub(allowed.checked_mul(over)?)?
            .max(0);
        total = total.checked_sub(excess.checked_mul(i128::from(supply))?)?;
    }
    // cost = total / over price units = total * dearest / (over * unit)
    let cost = ceil_div(total.max(0).checked_mul(dearest)?, over.checked_mul(unit)?)?;
    let step = job
        .kinds
        .iter()
        .map(|kind| i128::from(kind.cost))
        .fold(0, gcd);
    let rounded = if step > 0 {
        ceil_div(cost, step)?.checked_mul(step)?
    } else {
        cost
    };
    u128::try_from(rounded).ok()
}

fn ceil_div(a: i128, b: i128) -> Option<i128> {
    let whole = a.checked_div(b)?;
    if a.checked_rem(b)? > 0 {
        whole.checked_add(1)
    } else {
        Some(whole)
    }
}

fn gcd(a: i128, b: i128) -> i128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// The whole parts of the relaxation, cut as often as the job allows.
pub(super) fn whole_parts(job: &mut Job, used: &[(Pattern, f64)]) -> Cuts {
    let mut cuts = Cuts::new();
    for (pattern, at) in used {
        let times = whole(at + 1e-6).min(job.times(pattern));
        if times > 0 {
            job.take(pattern, times);
            cuts.push((pattern.clone(), times));
        }
    }
    cuts
}
