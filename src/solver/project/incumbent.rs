//! The best plan so far, the effort spent on it and the reasons to stop.

use std::fmt;

/// What a search improves.
pub(super) struct Incumbent<'a> {
    starts: Vec<usize>,
    makespan: usize,
    bound: usize,
    /// Activities placed so far and at most.
    placed: u64,
    most_placed: u64,
    count: u64,
    stopped: bool,
    stop: &'a mut dyn FnMut() -> bool,
}

impl fmt::Debug for Incumbent<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "Incumbent {} after {} placements",
            self.makespan, self.placed
        )
    }
}

impl<'a> Incumbent<'a> {
    /// Begins with no plan, no schedule allowed and what is known of the shortest plan of so many activities.
    pub(super) fn new(activities: usize, bound: usize, stop: &'a mut dyn FnMut() -> bool) -> Self {
        let count = u64::try_from(activities).unwrap_or(u64::MAX).max(1);
        Self {
            starts: vec![0; activities],
            makespan: usize::MAX,
            bound,
            placed: 0,
            most_placed: 0,
            count,
            stopped: false,
            stop,
        }
    }

    pub(super) fn starts(&self) -> &[usize] {
        &self.starts
    }

    pub(super) fn makespan(&self) -> usize {
        self.makespan
    }

    pub(super) fn bound(&self) -> usize {
        self.bound
    }

    /// Raises what is known of the shortest plan.
    pub(super) fn raise_bound(&mut self, bound: usize) {
        self.bound = self.bound.max(bound).min(self.makespan);
    }

    /// Keeps a plan if it is shorter.
    pub(super) fn offer(&mut self, makespan: usize, starts: &[usize]) {
        if makespan < self.makespan {
            self.makespan = makespan;
            self.starts.clear();
            self.starts.extend_from_slice(starts);
        }
    }

    /// Counts placements and asks whether to stop.
    pub(super) fn count(&mut self, placed: usize) {
        self.placed = self
            .placed
            .saturating_add(u64::try_from(placed).unwrap_or(u64::MAX));
        self.is_stopped();
    }

    /// Counts whole schedules.
    pub(super) fn count_schedules(&mut self, schedules: u64) {
        self.placed = self
            .placed
            .saturating_add(schedules.saturating_mul(self.count));
    }

    /// Schedules spent: as many activities placed as the project has make one, whether or not in one plan.
    pub(super) fn schedules(&self) -> u64 {
        self.placed.div_ceil(self.count)
    }

    /// Placements still allowed.
    pub(super) fn placements_left(&self) -> usize {
        let left = self.most_placed.saturating_sub(self.placed);
        usize::try_from(left).unwrap_or(usize::MAX)
    }

    /// Changes how many schedules are allowed in all.
    pub(super) fn allow(&mut self, schedules: u64) {
        self.most_placed = schedules.saturating_mul(self.count);
    }

    pub(super) fn meets_bound(&self) -> bool {
        self.makespan <= self.bound
    }

    /// Whether no whole schedule is allowed any more, none can be shorter, or the caller wants to stop.
    pub(super) fn is_done(&self) -> bool {
        (self.stopped && self.placed > 0)
            || self.meets_bound()
            || self.placed.saturating_add(self.count) > self.most_placed
    }

    /// Asks the caller whether to stop.
    pub(super) fn is_stopped(&mut self) -> bool {
        self.stopped = self.stopped || (self.stop)();
        self.stopped
    }
}
