//! The lags as a network without cycles, read forwards in time and backwards.

use super::problem::Problem;

/// An arrow into an activity: it may start `ahead - back` after `from` starts (one of the two is 0).
#[derive(Debug, Clone, Copy)]
pub(super) struct Arrow {
    pub(super) from: usize,
    pub(super) ahead: usize,
    back: usize,
}

impl Arrow {
    /// The earliest start of the target when `from` starts at `start`.
    #[inline]
    pub(super) fn earliest(self, start: usize) -> usize {
        (start + self.ahead).saturating_sub(self.back)
    }

    fn new(from: usize, gap: i64) -> Self {
        let size = to_size(gap);
        let (ahead, back) = if gap >= 0 { (size, 0) } else { (0, size) };
        Self { from, ahead, back }
    }
}

/// The network as seen in one direction of time.
#[derive(Debug, Clone)]
pub(super) struct Direction {
    pub(super) durations: Vec<usize>,
    arrows: Vec<Arrow>,
    first_arrow: Vec<usize>,
    /// Activities in an order in which every arrow leads forwards.
    pub(super) order: Vec<usize>,
    /// The position of an activity in `order`.
    pub(super) rank: Vec<usize>,
    /// Least start of an activity with endless resources.
    pub(super) heads: Vec<usize>,
    /// Least time from an activity's start to the end of the plan.
    pub(super) tails: Vec<usize>,
    /// Whether sorting by start, then by rank, always respects the arrows.
    pub(super) sorted_is_valid: bool,
}

impl Direction {
    /// The arrows that lead into an activity.
    #[inline]
    pub(super) fn arrows_into(&self, activity: usize) -> &[Arrow] {
        &self.arrows[self.first_arrow[activity]..self.first_arrow[activity + 1]]
    }

    /// The length of the longest path.
    pub(super) fn critical_path(&self) -> usize {
        let through = self
            .heads
            .iter()
            .zip(&self.tails)
            .map(|(head, tail)| head + tail);
        through.max().unwrap_or(0)
    }

    /// Moves activities back in an order only as far as their arrows need.
    pub(super) fn respecting_arrows(&self, order: &[usize]) -> Vec<usize> {
        let mut placed = vec![false; order.len()];
        let mut valid = Vec::with_capacity(order.len());
        let mut pending = Vec::new();
        for &activity in order {
            pending.push(activity);
            while let Some(&top) = pending.last() {
                let missing = self
                    .arrows_into(top)
                    .iter()
                    .find(|arrow| !placed[arrow.from]);
                if let Some(arrow) = missing {
                    pending.push(arrow.from);
                    continue;
                }
                pending.pop();
                if !placed[top] {
                    placed[top] = true;
                    valid.push(top);
                }
            }
        }
        valid
    }
}

/// Both directions of a network without cycles and longest lags.
#[derive(Debug, Clone)]
pub(super) struct Network {
    pub(super) forwards: Direction,
    pub(super) backwards: Direction,
}

impl Network {
    /// Returns nothing if the lags have a cycle or a longest lag: then starts cannot simply be pushed later.
    pub(super) fn new(problem: &Problem) -> Option<Self> {
        if problem.lags().iter().any(|lag| lag.most.is_some()) {
            return None;
        }
        let duration = |activity: usize| {
            problem
                .activities()
                .get(activity)
                .map_or(0, |one| one.duration)
        };
        let there: Vec<(usize, usize, i64)> = problem
            .lags()
            .iter()
            .map(|lag| (lag.from, lag.to, lag.least))
            .collect();
        // Backwards, an activity's start is the end of the plan less its own end.
        let back = there
            .iter()
            .map(|&(from, to, least)| (to, from, least + duration(to) - duration(from)))
            .collect::<Vec<_>>();
        let order = topological(problem.activities().len(), &there)?;
        let reversed: Vec<usize> = order.iter().rev().copied().collect();
        let durations: Vec<usize> = problem
            .activities()
            .iter()
            .map(|one| to_size(one.duration))
            .collect();
        let mut forwards = direction(durations.clone(), &there, order);
        let mut backwards = direction(durations, &back, reversed);
        forwards.tails = tails(&backwards);
        backwards.tails = tails(&forwards);
        Some(Self {
            forwards,
            backwards,
        })
    }
}

/// A mirrored start and the activity's duration make its tail.
fn tails(mirrored: &Direction) -> Vec<usize> {
    mirrored
        .heads
        .iter()
        .zip(&mirrored.durations)
        .map(|(head, duration)| head + duration)
        .collect()
}

fn direction(durations: Vec<usize>, links: &[(usize, usize, i64)], order: Vec<usize>) -> Direction {
    let count = durations.len();
    let mut first_arrow = vec![0; count + 1];
    for &(_, to, _) in links {
        first_arrow[to + 1] += 1;
    }
    for at in 0..count {
        first_arrow[at + 1] += first_arrow[at];
    }
    let mut sorted: Vec<(usize, usize, i64)> = links.to_vec();
    sorted.sort_unstable_by_key(|&(from, to, gap)| (to, from, gap));
    let arrows = sorted
        .iter()
        .map(|&(from, _, gap)| Arrow::new(from, gap))
        .collect();
    let mut rank = vec![0; count];
    for (position, &activity) in order.iter().enumerate() {
        rank[activity] = position;
    }
    let sorted_is_valid = links.iter().all(|&(_, _, gap)| gap >= 0);
    let mut made = Direction {
        durations,
        arrows,
        first_arrow,
        heads: vec![0; count],
        tails: vec![0; count],
        order,
        rank,
        sorted_is_valid,
    };
    for position in 0..count {
        let activity = made.order[position];
        let earliest = made
            .arrows_into(activity)
            .iter()
            .map(|arrow| arrow.earliest(made.heads[arrow.from]));
        made.heads[activity] = earliest.max().unwrap_or(0);
    }
    made
}

/// Kahn's order, the lowest free activity first in the queue; nothing if there is a cycle.
fn topological(count: usize, links: &[(usize, usize, i64)]) -> Option<Vec<usize>> {
    let mut waiting = vec![0_usize; count];
    let mut following = vec![Vec::new(); count];
    for &(from, to, _) in links {
        waiting[to] += 1;
        following[from].push(to);
    }
    let mut order: Vec<usize> = (0..count)
        .filter(|&activity| waiting[activity] == 0)
        .collect();
    let mut next = 0;
    while let Some(&activity) = order.get(next) {
        next += 1;
        for &to in &following[activity] {
            waiting[to] -= 1;
            if waiting[to] == 0 {
                order.push(to);
            }
        }
    }
    (order.len() == count).then_some(order)
}

/// The size of a checked number as an index; the checks keep it far below the greatest index.
pub(super) fn to_size(value: i64) -> usize {
    usize::try_from(value.unsigned_abs()).unwrap_or(usize::MAX)
}
