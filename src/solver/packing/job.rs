//! The grouped cutting-stock job that every engine in this folder works on.

/// A kind of bar: what a pattern may be cut from.
#[derive(Clone, Debug)]
pub(super) struct Kind {
    pub(super) length: u64,
    pub(super) cost: u64,
    pub(super) supply: Option<u64>,
}

/// Distinct lengths in falling order, how many of each, and the bars.
#[derive(Clone, Debug)]
pub(super) struct Job {
    pub(super) lengths: Vec<u64>,
    pub(super) demand: Vec<u64>,
    pub(super) kinds: Vec<Kind>,
}

/// How one bar is cut: its kind, and how many of each length, as (index of the length, count).
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pattern {
    pub(super) kind: usize,
    pub(super) items: Vec<(usize, u64)>,
}

/// Patterns with the number of times each is cut.
pub(super) type Cuts = Vec<(Pattern, u64)>;

impl Job {
    /// Pieces still to be cut.
    pub(super) fn pieces(&self) -> u64 {
        self.demand.iter().sum()
    }

    /// The longest bar there is.
    pub(super) fn longest(&self) -> u64 {
        self.kinds
            .iter()
            .filter(|kind| kind.supply != Some(0))
            .map(|kind| kind.length)
            .max()
            .unwrap_or(0)
    }

    /// How often `pattern` can still be cut without cutting more than is asked or than there are bars.
    pub(super) fn times(&self, pattern: &Pattern) -> u64 {
        let by_pieces = pattern
            .items
            .iter()
            .map(|&(i, n)| self.demand[i] / n.max(1))
            .min()
            .unwrap_or(0);
        by_pieces.min(self.kinds[pattern.kind].supply.unwrap_or(u64::MAX))
    }

    /// Takes `times` cuts of `pattern` off the job.
    pub(super) fn take(&mut self, pattern: &Pattern, times: u64) {
        for &(i, n) in &pattern.items {
            self.demand[i] = self.demand[i].saturating_sub(n.saturating_mul(times));
        }
        if let Some(supply) = self.kinds[pattern.kind].supply.as_mut() {
            *supply = supply.saturating_sub(times);
        }
    }

    /// The length of a pattern's pieces together.
    pub(super) fn used(&self, pattern: &Pattern) -> u64 {
        pattern
            .items
            .iter()
            .map(|&(i, n)| self.lengths[i].saturating_mul(n))
            .fold(0, u64::saturating_add)
    }
}

/// What a set of cuts costs: pieces left over, then money, then bars.
pub(super) fn score(job: &Job, cuts: &Cuts) -> (u64, u128, u64) {
    let (mut made, mut cost, mut bars) = (0_u64, 0_u128, 0_u64);
    for (pattern, times) in cuts {
        made += pattern.items.iter().map(|item| item.1).sum::<u64>() * times;
        cost += u128::from(job.kinds[pattern.kind].cost) * u128::from(*times);
        bars += times;
    }
    (job.pieces().saturating_sub(made), cost, bars)
}
