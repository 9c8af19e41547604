//! Serial schedule generation under longest lags: who comes too late for another puts it off.
//!
//! An activity is placed as early as the lags from and to all placed ones and the resources let it. If that is too late
//! for a longest lag, the placed activities that bind it are taken out again, with all that start after them, and may
//! start only so much later from then on.
//!
//! # Sources
//! Franck, Neumann & Schwindt, *Truncated branch-and-bound, schedule-construction, and schedule-improvement procedures for
//! resource-constrained project scheduling*, OR Spektrum 23 (2001) 297–324 (the direct method with unscheduling; cited from
//! memory).

use super::distances::Distances;
use super::network::to_size;
use super::problem::Problem;
use super::profile::Lanes;
use super::profile::Profile;

/// Placements a plan may take, as a multiple of the activities, before it is given up.
const PATIENCE: usize = 12;

/// Work space for plans of one problem.
#[derive(Debug, Clone)]
pub(super) struct Windows {
    distances: Distances,
    durations: Vec<usize>,
    /// Least time from every start to the end of the plan.
    tails: Vec<i64>,
    profile: Profile,
    length: i64,
    /// Least starts, by lags alone and as put off so far.
    first_heads: Vec<i64>,
    heads: Vec<i64>,
    earliest: Vec<i64>,
    latest: Vec<i64>,
    placed: Vec<bool>,
}

impl Windows {
    pub(super) fn new(problem: &Problem, distances: Distances) -> Self {
        let count = problem.activities().len();
        let duration = |to: usize| problem.activities().get(to).map_or(0, |one| one.duration);
        Self {
            tails: distances.tails(problem),
            durations: (0..count)
                .map(|activity| to_size(duration(activity)))
                .collect(),
            profile: Profile::new(Lanes::new(problem), to_size(problem.length())),
            length: problem.length(),
            first_heads: distances.heads(),
            heads: vec![0; count],
            earliest: vec![0; count],
            latest: vec![0; count],
            placed: vec![false; count],
            distances,
        }
    }

    /// Builds the plan of an order into `starts`; returns how many activities were placed and the plan's length.
    ///
    /// The order must name every activity once, after all that must start before it. There is no length if the plan
    /// would become longer than `longest`, or after `most` placements or too many for one plan.
    pub(super) fn generate(
        &mut self,
        order: &[usize],
        longest: usize,
        most: usize,
        starts: &mut [usize],
    ) -> (usize, Option<usize>) {
        let most = most.min(PATIENCE * order.len());
        let longest =
            i64::try_from(longest).map_or(self.length, |longest| longest.min(self.length));
        self.begin(longest);
        let (mut at, mut count) = (0, 0);
        while let Some(&activity) = order.get(at) {
            if self.placed[activity] {
                at += 1;
                continue;
            }
            if count == most {
                return (count, None);
            }
            count += 1;
            let duration = self.durations[activity];
            let earliest = to_size(self.earliest[activity]);
            let start = self.profile.earliest(activity, earliest, duration);
            let time = i64::try_from(start).unwrap_or(i64::MAX);
            if time + self.tails[activity] > longest {
                return (count, None);
            }
            if time <= self.latest[activity] {
                self.place(activity, start, starts);
                at += 1;
            } else if self.put_off(activity, time, longest, starts) {
                at = 0;
            } else {
                return (count, None);
            }
        }
        let ends = starts.iter().zip(&self.durations);
        (
            count,
            Some(
                ends.map(|(start, duration)| start + duration)
                    .max()
                    .unwrap_or(0),
            ),
        )
    }

    fn begin(&mut self, longest: i64) {
        self.profile.clear();
        self.placed.fill(false);
        self.heads.clone_from(&self.first_heads);
        self.free_windows(longest);
    }

    fn free_windows(&mut self, longest: i64) {
        self.earliest.clone_from(&self.heads);
        for (latest, tail) in self.latest.iter_mut().zip(&self.tails) {
            *latest = longest - tail;
        }
    }

    fn place(&mut self, activity: usize, start: usize, starts: &mut [usize]) {
        self.profile.take(activity, start, self.durations[activity]);
        starts[activity] = start;
        self.placed[activity] = true;
        self.narrow(activity, i64::try_from(start).unwrap_or(i64::MAX));
    }

    /// Narrows what a placed activity leaves to the others.
    fn narrow(&mut self, activity: usize, start: i64) {
        let ways = self.distances.from(activity);
        for (earliest, &way) in self.earliest.iter_mut().zip(ways) {
            *earliest = (*earliest).max(start + way);
        }
        for (other, latest) in self.latest.iter_mut().enumerate() {
            *latest = (*latest).min(start - self.distances.from(other)[activity]);
        }
    }

    /// Takes out the activities that bind one that can only start at `time`; says whether there were any.
    fn put_off(&mut self, activity: usize, time: i64, longest: i64, starts: &[usize]) -> bool {
        let ways = self.distances.from(activity).to_vec();
        let limit = self.latest[activity];
        let start = |other: usize| i64::try_from(starts[other]).unwrap_or(i64::MAX);
        let binding: Vec<usize> = (0..ways.len())
            .filter(|&other| self.placed[other] && start(other) - ways[other] == limit)
            .collect();
        let Some(first) = binding.iter().map(|&other| starts[other]).min() else {
            return false;
        };
        for &other in &binding {
            let head = start(other) + time - limit;
            for (to, &way) in self.distances.from(other).iter().enumerate() {
                self.heads[to] = self.heads[to].max(head + way);
            }
        }
        for (other, &own) in starts.iter().enumerate() {
            let is_late = own > first || self.heads[other] > start(other);
            if self.placed[other] && is_late {
                self.placed[other] = false;
                self.profile.give(other, own, self.durations[other]);
            }
        }
        self.free_windows(longest);
        for other in 0..ways.len() {
            if self.placed[other] {
                self.narrow(other, start(other));
            }
        }
        true
    }
}
