//! Many draws to a few figures: levels, drivers, classes.

use rust_decimal::Decimal;

use crate::job::Job;
use crate::units::Money;

use super::Drawn;
use super::days::Chain;
use super::draw::whole;
use super::outcome::Class;
use super::outcome::Driver;
use super::outcome::LEVELS;
use super::outcome::Level;
use super::outcome::Odds;
use crate::bid::Bid;

/// Classes of the histogram.
const CLASSES: u32 = 24;

/// Sums up the draws.
pub(super) fn of(job: &Job, bid: &Bid, chain: &Chain, drawn: &[Drawn]) -> Odds {
    let mut costs: Vec<Money> = drawn.iter().map(|drawn| drawn.cost).collect();
    costs.sort_unstable();
    let mut ends: Vec<i64> = drawn.iter().map(|drawn| drawn.finish).collect();
    ends.sort_unstable();
    let count = drawn.len();
    let share = |matches: &dyn Fn(&Drawn) -> bool| {
        ratio(drawn.iter().filter(|drawn| matches(drawn)).count(), count)
    };
    let cost = LEVELS.map(|percent| level(&costs, percent));
    let budget = bid.subtotal + bid.contingency;
    let due = job.hand_over.map(|day| chain.end_of(day));
    Odds {
        draws: u32::try_from(count).unwrap_or(u32::MAX),
        seed: job.odds.seed,
        cost,
        price: cost.map(|level| price(job, level.value)),
        finish: LEVELS.map(|percent| {
            let Level { value, from, to } = level(&ends, percent);
            Level {
                value: chain.moment(value),
                from: chain.moment(from),
                to: chain.moment(to),
            }
        }),
        mean: mean(costs.iter().copied()),
        enough: share(&|drawn| drawn.cost <= budget),
        in_time: due.map(|due| share(&|drawn| drawn.wall_clear <= due)),
        too_long: share(&|drawn| drawn.too_long),
        drivers: drivers(job, drawn),
        classes: classes(&costs),
    }
}

/// The value that a share of the sorted draws stays at or below, and the range that sampling leaves.
///
/// # Formula
/// Nearest rank ⌈n·p⌉; the range is that of the ranks n·p ± 1.96·√(n·p·(1−p)), which hold the true level with about 95 %.
///
/// # Sources
/// Confidence interval of a quantile from order statistics: W. J. Conover, Practical Nonparametric Statistics (cited from memory).
fn level<T: Copy + Default>(sorted: &[T], percent: u32) -> Level<T> {
    let share = f64::from(percent) / 100.0;
    let count = f64::from(u32::try_from(sorted.len()).unwrap_or(u32::MAX));
    let spread = 1.959_964 * (count * share * (1.0 - share)).sqrt();
    let at = |rank: f64| {
        let last = i64::try_from(sorted.len()).unwrap_or(i64::MAX);
        let rank = whole(rank.ceil()).clamp(1, last.max(1)) - 1;
        let found = usize::try_from(rank).ok().and_then(|rank| sorted.get(rank));
        found.copied().unwrap_or_default()
    };
    Level {
        value: at(count * share),
        from: at(count * share - spread),
        to: at(count * share + spread),
    }
}

/// The price with tax of a cost: overhead, markup and tax as in the bid, and no contingency.
fn price(job: &Job, cost: Money) -> Money {
    let terms = &job.terms;
    let overhead = terms.overhead.of(cost).cents();
    let markup = terms.markup.of(cost + overhead).cents();
    let before = cost + overhead + markup;
    before + terms.tax.of(before).cents()
}

fn mean(amounts: impl ExactSizeIterator<Item = Money>) -> Money {
    let count = Decimal::from(amounts.len());
    let sum: Money = amounts.sum();
    Money::new(sum.amount().checked_div(count).unwrap_or_default()).cents()
}

fn ratio(part: usize, of: usize) -> f64 {
    let number = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    number(part) / number(of.max(1))
}

/// What drives the cost, the strongest first; what never changes is left out.
///
/// # Sources
/// Spearman's rank correlation, ties at their mean rank: Pearson's coefficient of the ranks (every statistics handbook).
fn drivers(job: &Job, drawn: &[Drawn]) -> Vec<Driver> {
    let spreads = job.odds.spreads.iter().map(|spread| (&spread.name, false));
    let conditions = job
        .odds
        .conditions
        .iter()
        .map(|condition| (&condition.name, true));
    let costs: Vec<f64> = ranks(&drawn.iter().map(|drawn| drawn.cost).collect::<Vec<_>>());
    let mut drivers: Vec<Driver> = spreads
        .chain(conditions)
        .enumerate()
        .filter_map(|(at, (name, condition))| {
            let values: Vec<f64> = drawn
                .iter()
                .map(|drawn| drawn.drivers.get(at).copied().unwrap_or(1.0))
                .collect();
            let correlation = pearson(&ranks(&values), &costs)?;
            Some(Driver {
                name: name.clone(),
                correlation,
                share: 0.0,
                swing: swing(drawn, &values, condition),
            })
        })
        .collect();
    let all: f64 = drivers
        .iter()
        .map(|driver| driver.correlation.powi(2))
        .sum();
    for driver in &mut drivers {
        driver.share = if all > 0.0 {
            driver.correlation.powi(2) / all
        } else {
            0.0
        };
    }
    drivers.sort_by(|a, b| {
        b.share
            .total_cmp(&a.share)
            .then_with(|| a.name.cmp(&b.name))
    });
    drivers
}

/// Ranks from 1, ties at their mean rank.
fn ranks<T: PartialOrd + Copy>(values: &[T]) -> Vec<f64> {
    let mut order: Vec<(usize, T)> = values.iter().copied().enumerate().collect();
    order.sort_by(|(_, a), (_, b)| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal));
    let mut ranks = vec![0.0; values.len()];
    let mut before = 0_u32;
    for tied in order.chunk_by(|(_, a), (_, b)| a == b) {
        let count = u32::try_from(tied.len()).unwrap_or(u32::MAX);
        let rank = f64::from(before) + f64::from(count + 1) / 2.0;
        for (at, _) in tied {
            if let Some(place) = ranks.get_mut(*at) {
                *place = rank;
            }
        }
        before = before.saturating_add(count);
    }
    ranks
}

/// Pearson's correlation; none where one of the two never changes.
fn pearson(a: &[f64], b: &[f64]) -> Option<f64> {
    let count = f64::from(u32::try_from(a.len()).unwrap_or(u32::MAX));
    let mean = |values: &[f64]| values.iter().sum::<f64>() / count;
    let (mean_a, mean_b) = (mean(a), mean(b));
    let (mut both, mut of_a, mut of_b) = (0.0, 0.0, 0.0);
    for (a, b) in a.iter().zip(b) {
        both += (a - mean_a) * (b - mean_b);
        of_a += (a - mean_a).powi(2);
        of_b += (b - mean_b).powi(2);
    }
    (of_a > 0.0 && of_b > 0.0).then(|| both / (of_a * of_b).sqrt())
}

/// Mean cost at its worst less mean cost at its best: its highest and lowest tenth, or with and without a condition.
fn swing(drawn: &[Drawn], values: &[f64], condition: bool) -> Money {
    let mut order: Vec<(f64, Money)> = values
        .iter()
        .copied()
        .zip(drawn.iter().map(|drawn| drawn.cost))
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
    let (best, worst) = if condition {
        order.split_at(order.partition_point(|(holds, _)| *holds < 0.5))
    } else {
        let tenth = order.len().div_ceil(10);
        let (best, rest) = order.split_at(tenth);
        (best, rest.split_at(rest.len().saturating_sub(tenth)).1)
    };
    if best.is_empty() || worst.is_empty() {
        return Money::ZERO;
    }
    mean(worst.iter().map(|(_, cost)| *cost)) - mean(best.iter().map(|(_, cost)| *cost))
}

/// Classes of equal width from the least cost to the most, in whole cents; one where all are the same.
fn classes(sorted: &[Money]) -> Vec<Class> {
    let Some((least, most)) = sorted.first().zip(sorted.last()) else {
        return Vec::new();
    };
    let number = if least == most { 1 } else { CLASSES };
    let span = (*most - *least).amount();
    let edge = |at: u32| {
        if at == number {
            return *most;
        }
        let part = span.saturating_mul(at.into()).checked_div(number.into());
        (*least + Money::new(part.unwrap_or_default())).cents()
    };
    let mut before = 0;
    let mut classes = Vec::new();
    for at in 0..number {
        let to = edge(at + 1);
        let up_to = sorted.partition_point(|cost| *cost <= to);
        classes.push(Class {
            from: edge(at),
            to,
            count: u32::try_from(up_to.saturating_sub(before)).unwrap_or(u32::MAX),
            up_to: ratio(up_to, sorted.len()),
        });
        before = up_to;
    }
    classes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: ties at their mean rank; of 1, 2, 3, 4 and 1, 2.5, 2.5, 4 the sums of products are 4.5, 5 and 4.5: 4.5/√(5·4.5).
    #[test]
    fn ranks_with_ties_and_their_correlation() {
        assert_eq!(ranks(&[10, 20, 20, 30]), [1.0, 2.5, 2.5, 4.0]);
        assert_eq!(ranks(&[3.0, 1.0, 2.0]), [3.0, 1.0, 2.0]);
        let found = pearson(&ranks(&[1, 2, 3, 4]), &ranks(&[10, 20, 20, 30])).unwrap();
        assert!(
            (found - 4.5 / (5.0_f64 * 4.5).sqrt()).abs() < 1e-12,
            "{found}"
        );
        assert_eq!(pearson(&[1.0, 2.0], &[7.0, 7.0]), None);
    }

    /// By hand: nearest ranks of the numbers 1 to 100 are the levels themselves; the range at a half is 50 ± 1.96 · 5.
    #[test]
    fn levels_of_a_hundred_draws() {
        let sorted: Vec<i64> = (1..=100).collect();
        let levels = LEVELS.map(|percent| level(&sorted, percent).value);
        assert_eq!(levels, [10, 50, 80, 90]);
        let half = level(&sorted, 50);
        assert_eq!((half.from, half.to), (41, 60));
    }
}
