//! What is free of every resource at every time, several resources to one machine word.

use super::problem::Problem;

/// How resources share words: each has a lane wide enough for its capacity and one guard bit above it.
///
/// With the guard bits set in the free amounts, one subtraction tells whether a demand fits in all lanes of a word:
/// a lane that runs short borrows from its guard bit and from nothing else.
#[derive(Debug, Clone)]
pub(super) struct Lanes {
    full: Vec<u64>,
    guards: Vec<u64>,
    /// One row of words an activity.
    demands: Vec<Vec<u64>>,
}

impl Lanes {
    /// Packs the resources that can ever run short; the others bind no plan and are left out.
    pub(super) fn new(problem: &Problem) -> Self {
        let mut lanes = Self {
            full: Vec::new(),
            guards: Vec::new(),
            demands: vec![Vec::new(); problem.activities().len()],
        };
        let mut used = u64::BITS;
        for (resource, &capacity) in problem.capacities().iter().enumerate() {
            let demand = |activity: &super::problem::Activity| {
                let own = activity.demands.get(resource).copied().unwrap_or(0);
                if activity.duration == 0 {
                    0
                } else {
                    own.unsigned_abs()
                }
            };
            let all: u64 = problem.activities().iter().map(demand).sum();
            let capacity = capacity.unsigned_abs();
            if all <= capacity {
                continue;
            }
            let width = u64::BITS - capacity.leading_zeros() + 1;
            if used + width > u64::BITS {
                lanes.add_word();
                used = 0;
            }
            let last = lanes.full.len() - 1;
            lanes.full[last] |= (capacity | (1 << (width - 1))) << used;
            lanes.guards[last] |= 1 << (used + width - 1);
            for (row, activity) in lanes.demands.iter_mut().zip(problem.activities()) {
                row[last] |= demand(activity) << used;
            }
            used += width;
        }
        lanes
    }

    fn add_word(&mut self) {
        self.full.push(0);
        self.guards.push(0);
        for row in &mut self.demands {
            row.push(0);
        }
    }
}

/// The free amounts over time while a plan is being built.
#[derive(Debug, Clone)]
pub(super) struct Profile {
    lanes: Lanes,
    free: Vec<Vec<u64>>,
    used_until: usize,
}

impl Profile {
    /// Starts with everything free until `length`.
    pub(super) fn new(lanes: Lanes, length: usize) -> Self {
        let free = lanes.full.iter().map(|&full| vec![full; length]).collect();
        Self {
            lanes,
            free,
            used_until: 0,
        }
    }

    /// Frees everything again.
    pub(super) fn clear(&mut self) {
        for (row, &full) in self.free.iter_mut().zip(&self.lanes.full) {
            let until = self.used_until.min(row.len());
            row[..until].fill(full);
        }
        self.used_until = 0;
    }

    /// Returns the first time from `from` on at which the activity fits for its whole duration.
    #[inline]
    pub(super) fn earliest(&self, activity: usize, from: usize, duration: usize) -> usize {
        let mut start = from;
        if duration == 0 {
            return start;
        }
        'again: loop {
            for (word, (row, &guards)) in self.free.iter().zip(&self.lanes.guards).enumerate() {
                let demand = self.lanes.demands[activity][word];
                if demand == 0 {
                    continue;
                }
                let end = (start + duration).min(row.len());
                let window = &row[start.min(end)..end];
                if let Some(last) = window
                    .iter()
                    .rposition(|free| free.wrapping_sub(demand) & guards != guards)
                {
                    start += last + 1;
                    continue 'again;
                }
            }
            return start;
        }
    }

    /// Takes the activity's demands from `start` on.
    #[inline]
    pub(super) fn take(&mut self, activity: usize, start: usize, duration: usize) {
        let end = start + duration;
        for (row, &demand) in self.free.iter_mut().zip(&self.lanes.demands[activity]) {
            let until = end.min(row.len());
            for free in &mut row[start.min(until)..until] {
                *free = free.wrapping_sub(demand);
            }
        }
        self.used_until = self.used_until.max(end);
    }

    /// Gives back what the activity took from `start` on.
    pub(super) fn give(&mut self, activity: usize, start: usize, duration: usize) {
        for (row, &demand) in self.free.iter_mut().zip(&self.lanes.demands[activity]) {
            let until = (start + duration).min(row.len());
            for free in &mut row[start.min(until)..until] {
                *free = free.wrapping_add(demand);
            }
        }
    }
}
