//! An independent check of a plan: every rule read straight from the problem, nothing shared with the search.

use std::fmt;

use super::problem::Problem;

/// A rule a plan breaks; activities and resources are counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Broken {
    /// The plan does not state one start for every activity.
    Count {
        /// How many starts it states.
        starts: usize,
    },
    /// An activity starts before time 0.
    Early {
        /// The activity.
        activity: usize,
    },
    /// Two starts are nearer than the least lag or farther than the longest.
    Lag {
        /// The activity counted from.
        from: usize,
        /// The activity ruled.
        to: usize,
    },
    /// More of a resource is used than there is.
    Resource {
        /// The resource.
        resource: usize,
        /// When.
        time: i64,
    },
}

impl fmt::Display for Broken {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Count { starts } => write!(out, "the plan states {starts} starts"),
            Self::Early { activity } => write!(out, "activity {activity} starts before time 0"),
            Self::Lag { from, to } => write!(
                out,
                "the lag from activity {from} to activity {to} is not kept"
            ),
            Self::Resource { resource, time } => {
                write!(out, "resource {resource} is overdrawn at time {time}")
            }
        }
    }
}

/// Returns the first rule that a plan breaks, if there is one.
pub fn broken_rule(problem: &Problem, starts: &[i64]) -> Option<Broken> {
    if starts.len() != problem.activities().len() {
        return Some(Broken::Count {
            starts: starts.len(),
        });
    }
    if let Some(activity) = starts.iter().position(|&start| start < 0) {
        return Some(Broken::Early { activity });
    }
    for lag in problem.lags() {
        let apart = starts.get(lag.to)? - starts.get(lag.from)?;
        if apart < lag.least || lag.most.is_some_and(|most| apart > most) {
            return Some(Broken::Lag {
                from: lag.from,
                to: lag.to,
            });
        }
    }
    overdrawn(problem, starts)
}

/// Use is greatest when something has just started.
fn overdrawn(problem: &Problem, starts: &[i64]) -> Option<Broken> {
    for (resource, &capacity) in problem.capacities().iter().enumerate() {
        for &time in starts {
            let running = problem
                .activities()
                .iter()
                .zip(starts)
                .filter(|(activity, start)| **start <= time && time < **start + activity.duration);
            let used: i64 = running
                .filter_map(|(activity, _)| activity.demands.get(resource))
                .sum();
            if used > capacity {
                return Some(Broken::Resource { resource, time });
            }
        }
    }
    None
}
