//! The longest ways between all starts: how much later, at least, each activity starts than each other.

use super::problem::Problem;

/// No way leads from one activity to the other.
const NONE: i64 = i64::MIN / 4;

/// Activities up to which the square table is kept.
const MOST: usize = 1000;

/// `start[to] - start[from]` is at least the entry of `from` and `to`, for all pairs.
#[derive(Debug, Clone)]
pub(super) struct Distances {
    count: usize,
    rows: Vec<i64>,
}

impl Distances {
    /// Follows all lags (Floyd 1962); nothing if the project is too large for the table or some cycle of lags cannot be kept.
    pub(super) fn new(problem: &Problem) -> Option<Self> {
        let count = problem.activities().len();
        if count > MOST {
            return None;
        }
        let mut made = Self {
            count,
            rows: vec![NONE; count * count],
        };
        for activity in 0..count {
            made.raise(activity, activity, 0);
        }
        for lag in problem.lags() {
            made.raise(lag.from, lag.to, lag.least);
            if let Some(most) = lag.most {
                made.raise(lag.to, lag.from, -most);
            }
        }
        for middle in 0..count {
            made.lead_through(middle);
        }
        let is_kept = (0..count).all(|activity| made.rows[activity * count + activity] == 0);
        is_kept.then_some(made)
    }

    fn raise(&mut self, from: usize, to: usize, least: i64) {
        let own = &mut self.rows[from * self.count + to];
        *own = least.max(*own);
    }

    fn lead_through(&mut self, middle: usize) {
        let onwards = self.from(middle).to_vec();
        for row in self.rows.chunks_exact_mut(self.count) {
            let first = row[middle];
            if first <= NONE / 2 {
                continue;
            }
            for (own, &second) in row.iter_mut().zip(&onwards) {
                *own = (*own).max(first + second);
            }
        }
    }

    /// The same as seen from the end of the plan, where an activity's start is the end of the plan less its own end.
    pub(super) fn mirrored(&self, durations: &[usize]) -> Self {
        let duration = |activity: usize| i64::try_from(durations[activity]).unwrap_or(0);
        let mut rows = vec![NONE; self.rows.len()];
        for from in 0..self.count {
            for to in 0..self.count {
                let back = self.from(to)[from];
                if Self::is_way(back) {
                    rows[from * self.count + to] = back + duration(from) - duration(to);
                }
            }
        }
        Self {
            count: self.count,
            rows,
        }
    }

    /// The entries of all ways out of an activity; those below [`Distances::is_way`] are none.
    #[inline]
    pub(super) fn from(&self, activity: usize) -> &[i64] {
        &self.rows[activity * self.count..(activity + 1) * self.count]
    }

    /// The least start of every activity.
    pub(super) fn heads(&self) -> Vec<i64> {
        let mut heads = vec![0; self.count];
        for from in 0..self.count {
            for (head, &way) in heads.iter_mut().zip(self.from(from)) {
                *head = way.max(*head);
            }
        }
        heads
    }

    /// The least time from every start to the end of the plan.
    pub(super) fn tails(&self, problem: &Problem) -> Vec<i64> {
        let tail = |from: usize| {
            let ways = self.from(from).iter().zip(problem.activities());
            ways.filter(|(way, _)| Self::is_way(**way))
                .map(|(way, to)| way + to.duration)
                .max()
                .unwrap_or(0)
        };
        (0..self.count).map(tail).collect()
    }

    /// Whether an entry stands for a way.
    #[inline]
    pub(super) fn is_way(entry: i64) -> bool {
        entry > NONE / 2
    }

    /// Whether the first of two must start before the second, or may start with it but not after.
    pub(super) fn is_before(&self, first: usize, second: usize) -> bool {
        let (there, back) = (self.from(first)[second], self.from(second)[first]);
        there > 0 || (there == 0 && back < 0)
    }

    /// Whether each of two holds the other by a longest lag, through others or not.
    pub(super) fn are_tied(&self, one: usize, other: usize) -> bool {
        Self::is_way(self.from(one)[other]) && Self::is_way(self.from(other)[one])
    }
}
