//! The problem: activities, the resources they share and the lags between their starts, checked when built.

use std::fmt;

/// The greatest value of a capacity, and of a lag in either direction.
const MOST: i64 = 1 << 30;

/// The longest plan accepted, as the sum of all durations and lags: the search keeps one row of numbers a time unit.
const MOST_LENGTH: i64 = 1 << 24;

/// A piece of work of fixed length that uses a constant amount of every resource while it runs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Activity {
    /// Length in time units, 0 for a milestone.
    pub duration: i64,
    /// Units used of every resource, in the order of the capacities.
    pub demands: Vec<i64>,
}

/// A rule between two starts: `start[to] - start[from]` is at least `least` and, if given, at most `most`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lag {
    /// The activity counted from, by position.
    pub from: usize,
    /// The activity ruled, by position.
    pub to: usize,
    /// The least time from start to start; may be negative.
    pub least: i64,
    /// The longest time from start to start, if there is one.
    pub most: Option<i64>,
}

/// A project with renewable resources and integer times.
#[derive(Debug, Clone)]
pub struct Problem {
    capacities: Vec<i64>,
    activities: Vec<Activity>,
    lags: Vec<Lag>,
}

impl Problem {
    /// Checks and keeps a project; the order of activities is the order of the answer's starts.
    ///
    /// # Errors
    /// A [`ProblemError`] naming the first activity, resource or lag that cannot be planned.
    ///
    /// # Examples
    /// ```
    /// use facelay::solver::project::{Activity, Effort, Lag, Problem, solve};
    ///
    /// let facing = Activity { duration: 3, demands: vec![2] };
    /// let drying = Activity { duration: 4, demands: vec![0] };
    /// let rolling = Activity { duration: 2, demands: vec![3] };
    /// let lags = vec![Lag { from: 0, to: 1, least: 3, most: None }, Lag { from: 1, to: 2, least: 4, most: None }];
    /// let problem = Problem::new(vec![3], vec![facing, drying, rolling], lags)?;
    /// let solution = solve(&problem, &Effort { schedules: 100, seed: 1 }, &mut || false)?;
    /// assert_eq!((solution.starts, solution.makespan), (vec![0, 3, 7], 9));
    ///
    /// let crowd = Activity { duration: 1, demands: vec![4] };
    /// let refused = Problem::new(vec![3], vec![crowd], vec![]).unwrap_err();
    /// assert_eq!(refused.to_string(), "activity 0 needs 4 of resource 0, which has 3");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn new(
        capacities: Vec<i64>,
        activities: Vec<Activity>,
        lags: Vec<Lag>,
    ) -> Result<Self, ProblemError> {
        check_capacities(&capacities)?;
        for (position, activity) in activities.iter().enumerate() {
            check_activity(position, activity, &capacities)?;
        }
        for lag in &lags {
            check_lag(lag, activities.len())?;
        }
        let problem = Self {
            capacities,
            activities,
            lags,
        };
        problem.check_length()?;
        Ok(problem)
    }

    /// Returns what every resource has at any time.
    pub fn capacities(&self) -> &[i64] {
        &self.capacities
    }

    /// Returns the activities in the order of the starts.
    pub fn activities(&self) -> &[Activity] {
        &self.activities
    }

    /// Returns the rules between starts.
    pub fn lags(&self) -> &[Lag] {
        &self.lags
    }

    /// A time by which some plan ends if any plan exists.
    ///
    /// Push every activity in turn as early as the others let it: it waits for at most the end of another or one lag.
    pub(crate) fn length(&self) -> i64 {
        let mut longest: Vec<i64> = self.activities.iter().map(|one| one.duration).collect();
        for lag in &self.lags {
            let reach = lag.least.max(lag.most.map_or(0, |most| -most));
            if let Some(own) = longest.get_mut(if lag.least >= reach { lag.from } else { lag.to }) {
                *own = (*own).max(reach);
            }
        }
        longest.iter().sum()
    }

    fn check_length(&self) -> Result<(), ProblemError> {
        let length = self.length();
        if length > MOST_LENGTH {
            return Err(ProblemError::TooLong { length });
        }
        Ok(())
    }
}

fn check_capacities(capacities: &[i64]) -> Result<(), ProblemError> {
    for (resource, &capacity) in capacities.iter().enumerate() {
        if !(0..=MOST).contains(&capacity) {
            return Err(ProblemError::Capacity { resource, capacity });
        }
    }
    Ok(())
}

fn check_activity(
    activity: usize,
    given: &Activity,
    capacities: &[i64],
) -> Result<(), ProblemError> {
    let duration = given.duration;
    if !(0..=MOST_LENGTH).contains(&duration) {
        return Err(ProblemError::Duration { activity, duration });
    }
    if given.demands.len() != capacities.len() {
        let (found, resources) = (given.demands.len(), capacities.len());
        return Err(ProblemError::DemandCount {
            activity,
            found,
            resources,
        });
    }
    for (resource, (&demand, &capacity)) in given.demands.iter().zip(capacities).enumerate() {
        if !(0..=capacity).contains(&demand) {
            return Err(ProblemError::Demand {
                activity,
                resource,
                demand,
                capacity,
            });
        }
    }
    Ok(())
}

fn check_lag(lag: &Lag, count: usize) -> Result<(), ProblemError> {
    let Lag {
        from,
        to,
        least,
        most,
    } = *lag;
    for activity in [from, to] {
        if activity >= count {
            return Err(ProblemError::Unknown { activity, count });
        }
    }
    if from == to {
        return Err(ProblemError::Itself { activity: from });
    }
    for value in [Some(least), most].into_iter().flatten() {
        if !(-MOST..=MOST).contains(&value) {
            return Err(ProblemError::LagSize { from, to, value });
        }
    }
    Ok(())
}

/// Why a project cannot be planned as given; activities and resources are counted from 0.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum ProblemError {
    /// A capacity is negative or too great.
    Capacity {
        /// The resource.
        resource: usize,
        /// Its capacity.
        capacity: i64,
    },
    /// A duration is negative or too great.
    Duration {
        /// The activity.
        activity: usize,
        /// Its duration.
        duration: i64,
    },
    /// An activity does not state one demand for every resource.
    DemandCount {
        /// The activity.
        activity: usize,
        /// How many demands it states.
        found: usize,
        /// How many resources there are.
        resources: usize,
    },
    /// A demand is negative or more than the resource ever has.
    Demand {
        /// The activity.
        activity: usize,
        /// The resource.
        resource: usize,
        /// What the activity needs of it.
        demand: i64,
        /// What the resource has.
        capacity: i64,
    },
    /// A lag names an activity that is not there.
    Unknown {
        /// The activity named.
        activity: usize,
        /// How many activities there are.
        count: usize,
    },
    /// A lag leads from an activity to itself.
    Itself {
        /// The activity.
        activity: usize,
    },
    /// A lag is too great to calculate with.
    LagSize {
        /// The activity counted from.
        from: usize,
        /// The activity ruled.
        to: usize,
        /// The lag.
        value: i64,
    },
    /// All durations and lags together are longer than the search can hold.
    TooLong {
        /// Their sum.
        length: i64,
    },
}

impl fmt::Display for ProblemError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Capacity { resource, capacity } => {
                write!(
                    out,
                    "resource {resource} has {capacity}, allowed are 0 to {MOST}"
                )
            }
            Self::Duration { activity, duration } => {
                write!(
                    out,
                    "activity {activity} lasts {duration}, allowed are 0 to {MOST_LENGTH}"
                )
            }
            Self::DemandCount {
                activity,
                found,
                resources,
            } => {
                write!(
                    out,
                    "activity {activity} states {found} demands for {resources} resources"
                )
            }
            Self::Demand {
                activity,
                resource,
                demand,
                capacity,
            } => {
                write!(
                    out,
                    "activity {activity} needs {demand} of resource {resource}, which has {capacity}"
                )
            }
            Self::Unknown { activity, count } => {
                write!(
                    out,
                    "a lag names activity {activity}, but the last is {}",
                    count.saturating_sub(1)
                )
            }
            Self::Itself { activity } => write!(out, "activity {activity} has a lag to itself"),
            Self::LagSize { from, to, value } => {
                write!(
                    out,
                    "the lag from activity {from} to activity {to} is {value}, allowed are -{MOST} to {MOST}"
                )
            }
            Self::TooLong { length } => {
                write!(
                    out,
                    "durations and lags add up to {length} time units, at most {MOST_LENGTH} can be planned: use a coarser unit"
                )
            }
        }
    }
}

impl std::error::Error for ProblemError {}
