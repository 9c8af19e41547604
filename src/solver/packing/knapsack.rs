//! The best fill of one bar: a knapsack with a limit on each length.

use crate::solver::packing::effort::Effort;

/// Largest table the dynamic programme may use; beyond it branch and bound answers.
const TABLE: usize = 1_500_000;
/// Largest table for a value alone.
const VALUE_TABLE: usize = 120_000_000;
/// Nodes after which branch and bound settles for the best it has: for the last word, and for a quick one.
pub(super) const THOROUGH: u64 = 400_000;
pub(super) const QUICK: u64 = 15_000;

/// The best fill found.
#[derive(Clone, Debug, Default)]
pub(super) struct Fill {
    pub(super) value: u64,
    /// (index of the length, count).
    pub(super) items: Vec<(usize, u64)>,
    /// Whether no better fill exists.
    pub(super) exact: bool,
    /// Fills met on the way that were the best at that time, the latest last.
    pub(super) others: Vec<Vec<(usize, u64)>>,
}

/// The fill of `room` with the greatest value, at most `most[i]` of length `lengths[i]`.
pub(super) fn best_fill(
    lengths: &[u64],
    values: &[u64],
    most: &[u64],
    room: u64,
    nodes: u64,
    effort: &mut Effort<'_>,
) -> Fill {
    let wanted = useful(lengths, values, most, room);
    let parts = split_counts(&wanted, lengths, most, room);
    let cells = usize::try_from(room)
        .ok()
        .and_then(|r| r.checked_add(1))
        .and_then(|r| r.checked_mul(parts.len()));
    match cells {
        Some(cells) if cells <= TABLE => by_table(lengths, values, &parts, room, effort),
        _ => Branch::new(lengths, values, most, &wanted, room).run(nodes, effort),
    }
}

/// The value of the best fill, by the table without its rows: slower to learn less, but exact where branch and bound
/// gave up. `None` if even that is too large.
pub(super) fn best_value(
    lengths: &[u64],
    values: &[u64],
    most: &[u64],
    room: u64,
    effort: &mut Effort<'_>,
) -> Option<u64> {
    let wanted = useful(lengths, values, most, room);
    let parts = split_counts(&wanted, lengths, most, room);
    let width = usize::try_from(room).ok()?.checked_add(1)?;
    if width.checked_mul(parts.len())? > VALUE_TABLE || !effort.is_left() {
        return None;
    }
    let mut best = vec![0_u64; width];
    for &(i, copies) in &parts {
        let (length, value) = (index(lengths[i] * copies), values[i].saturating_mul(copies));
        for r in (length..width).rev() {
            best[r] = best[r].max(best[r - length].saturating_add(value));
        }
    }
    effort.spend((width * parts.len()) as u64 / 2);
    best.last().copied()
}

fn useful(lengths: &[u64], values: &[u64], most: &[u64], room: u64) -> Vec<usize> {
    let fits = |i: &usize| values[*i] > 0 && most[*i] > 0 && (1..=room).contains(&lengths[*i]);
    (0..lengths.len()).filter(fits).collect()
}

/// Counts as sums of powers of two: at most `log2(count) + 1` parts a length, as (index, copies).
fn split_counts(wanted: &[usize], lengths: &[u64], most: &[u64], room: u64) -> Vec<(usize, u64)> {
    let mut parts = Vec::new();
    for &i in wanted {
        let mut left = most[i].min(room / lengths[i]);
        let mut size = 1;
        while left > 0 {
            let copies = left.min(size);
            parts.push((i, copies));
            left -= copies;
            size *= 2;
        }
    }
    parts
}

fn by_table(
    lengths: &[u64],
    values: &[u64],
    parts: &[(usize, u64)],
    room: u64,
    effort: &mut Effort<'_>,
) -> Fill {
    let width = index(room) + 1;
    let mut best = vec![0_u64; width];
    let mut taken = vec![false; width * parts.len()];
    for (row, &(i, copies)) in parts.iter().enumerate() {
        let (length, value) = (index(lengths[i] * copies), values[i].saturating_mul(copies));
        let row = &mut taken[row * width..(row + 1) * width];
        for r in (length..width).rev() {
            let with = best[r - length].saturating_add(value);
            if with > best[r] {
                best[r] = with;
                row[r] = true;
            }
        }
    }
    effort.spend((width * parts.len()) as u64 / 2);
    let mut counts = vec![0_u64; lengths.len()];
    let mut r = width - 1;
    for (row, &(i, copies)) in parts.iter().enumerate().rev() {
        if taken[row * width + r] {
            counts[i] += copies;
            r -= index(lengths[i] * copies);
        }
    }
    Fill {
        value: best[width - 1],
        items: listed(&counts),
        exact: true,
        others: Vec::new(),
    }
}

/// A room small enough to be a table index; the caller has checked it.
fn index(length: u64) -> usize {
    usize::try_from(length).unwrap_or(usize::MAX)
}

fn listed(counts: &[u64]) -> Vec<(usize, u64)> {
    counts
        .iter()
        .enumerate()
        .filter(|(_, n)| **n > 0)
        .map(|(i, n)| (i, *n))
        .collect()
}

/// Depth-first branch and bound, lengths in falling order of value a unit of length.
struct Branch {
    order: Vec<Ware>,
    /// Shortest length from here on in `order`.
    least: Vec<u64>,
    /// Lengths in rising order with the best value so far: the best single piece for a small room.
    singles: Vec<(u64, u64, usize)>,
    counts: Vec<u64>,
    best: Fill,
    nodes: u64,
    limit: u64,
    total: usize,
    room: u64,
}

struct Ware {
    i: usize,
    length: u64,
    value: u64,
    most: u64,
    rate: f64,
}

impl Branch {
    fn new(lengths: &[u64], values: &[u64], most: &[u64], wanted: &[usize], room: u64) -> Self {
        let mut order: Vec<Ware> = wanted
            .iter()
            .map(|&i| Ware {
                i,
                length: lengths[i],
                value: values[i],
                most: most[i].min(room / lengths[i]),
                rate: real(values[i]) / real(lengths[i]),
            })
            .collect();
        order.sort_by(|a, b| b.rate.total_cmp(&a.rate).then(b.length.cmp(&a.length)));
        let mut least = vec![u64::MAX; order.len() + 1];
        for (k, ware) in order.iter().enumerate().rev() {
            least[k] = least[k + 1].min(ware.length);
        }
        let counts = vec![0; order.len()];
        let singles = singles(&order);
        Self {
            order,
            least,
            singles,
            counts,
            best: Fill::default(),
            nodes: 0,
            limit: THOROUGH,
            total: lengths.len(),
            room,
        }
    }

    fn run(mut self, nodes: u64, effort: &mut Effort<'_>) -> Fill {
        self.limit = nodes;
        self.visit(0, self.room, 0);
        effort.spend(self.nodes);
        self.best.exact = self.nodes < self.limit;
        self.best
    }

    fn visit(&mut self, from: usize, room: u64, value: u64) {
        self.nodes += 1;
        self.keep(value, None);
        if self.nodes >= self.limit || from >= self.order.len() || room < self.least[from] {
            return;
        }
        if room < self.least[from].saturating_mul(2) && self.try_single(room, value) {
            return;
        }
        for k in from..self.order.len() {
            let ware = &self.order[k];
            let bound = real(value) + real(room) * ware.rate + 1.0;
            if bound <= real(self.best.value) {
                return;
            }
            if ware.length > room || self.counts[k] >= ware.most {
                continue;
            }
            let (length, worth) = (ware.length, ware.value);
            let next = if self.counts[k] + 1 < ware.most {
                k
            } else {
                k + 1
            };
            self.counts[k] += 1;
            self.visit(next, room - length, value + worth);
            self.counts[k] -= 1;
            if self.nodes >= self.limit {
                return;
            }
        }
    }

    /// Where only one more piece can fit, looks it up; false if that piece is used up.
    fn try_single(&mut self, room: u64, value: u64) -> bool {
        let upto = self.singles.partition_point(|single| single.0 <= room);
        let Some(&(_, worth, k)) = upto.checked_sub(1).and_then(|at| self.singles.get(at)) else {
            return true;
        };
        if value + worth <= self.best.value {
            return true;
        }
        if self.counts[k] >= self.order[k].most {
            return false;
        }
        self.keep(value + worth, Some(k));
        true
    }

    fn keep(&mut self, value: u64, extra: Option<usize>) {
        if value <= self.best.value {
            return;
        }
        let mut counts = vec![0; self.total];
        for (k, n) in self.counts.iter().enumerate().filter(|(_, n)| **n > 0) {
            counts[self.order[k].i] += n;
        }
        if let Some(k) = extra {
            counts[self.order[k].i] += 1;
        }
        let before = core::mem::replace(&mut self.best.items, listed(&counts));
        if !before.is_empty() {
            self.best.others.push(before);
        }
        self.best.value = value;
    }
}

fn singles(order: &[Ware]) -> Vec<(u64, u64, usize)> {
    let mut by_length: Vec<(u64, u64, usize)> = order
        .iter()
        .enumerate()
        .map(|(k, ware)| (ware.length, ware.value, k))
        .collect();
    by_length.sort_unstable();
    let mut best = (0, 0);
    for single in &mut by_length {
        if single.1 > best.0 {
            best = (single.1, single.2);
        }
        (single.1, single.2) = best;
    }
    by_length
}

/// A whole number as a real one, for bounds that are rounded in the safe direction afterwards.
#[allow(
    clippy::cast_precision_loss,
    reason = "callers keep numbers under 2^52 or add slack"
)]
pub(super) fn real(number: u64) -> f64 {
    number as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn brute(lengths: &[u64], values: &[u64], most: &[u64], room: u64) -> u64 {
        let Some((&length, rest)) = lengths.split_first() else {
            return 0;
        };
        (0..=most[0])
            .take_while(|n| n * length <= room)
            .map(|n| n * values[0] + brute(rest, &values[1..], &most[1..], room - n * length))
            .max()
            .unwrap_or(0)
    }

    proptest! {
        #[test]
        fn both_methods_find_the_best_fill(wares in prop::collection::vec((1_u64..40, 0_u64..60, 0_u64..4), 1..6), room in 1_u64..90) {
            let lengths: Vec<u64> = wares.iter().map(|w| w.0).collect();
            let values: Vec<u64> = wares.iter().map(|w| w.1).collect();
            let most: Vec<u64> = wares.iter().map(|w| w.2).collect();
            let expected = brute(&lengths, &values, &most, room);
            let mut effort = Effort::steps(u64::MAX);
            let table = best_fill(&lengths, &values, &most, room, THOROUGH, &mut effort);
            let wanted: Vec<usize> = (0..lengths.len()).filter(|&i| values[i] > 0 && most[i] > 0 && lengths[i] <= room).collect();
            let branch = Branch::new(&lengths, &values, &most, &wanted, room).run(THOROUGH, &mut effort);
            prop_assert_eq!(best_value(&lengths, &values, &most, room, &mut effort), Some(expected));
            for fill in [table, branch] {
                prop_assert_eq!(fill.value, expected);
                let worth: u64 = fill.items.iter().map(|&(i, n)| n * values[i]).sum();
                let long: u64 = fill.items.iter().map(|&(i, n)| n * lengths[i]).sum();
                prop_assert!(worth == expected && long <= room && fill.items.iter().all(|&(i, n)| n <= most[i]));
            }
        }
    }
}
