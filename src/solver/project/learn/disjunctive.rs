//! Pairs that can never run together: which one goes first is a decision of its own.

use super::domains::Domains;
use super::domains::Fact;
use super::domains::Reason;

/// Activities up to which pairs are kept: their number grows with the square.
const MOST_PAIRED: usize = 2000;

/// Two activities and the variable that is 1 if `first` goes first and 0 if `second` does.
#[derive(Debug, Clone, Copy)]
struct Pair {
    first: usize,
    second: usize,
    variable: usize,
}

/// All pairs, with those of every activity.
#[derive(Debug, Clone)]
pub(super) struct Pairs {
    durations: Vec<i64>,
    all: Vec<Pair>,
    of: Vec<Vec<usize>>,
    first_variable: usize,
}

impl Pairs {
    /// Finds pairs of `demands` that some capacity forbids; their variables are numbered from `first_variable`.
    pub(super) fn new(
        durations: Vec<i64>,
        demands: &[Vec<i64>],
        capacities: &[i64],
        first_variable: usize,
    ) -> Self {
        let mut pairs = Vec::new();
        let mut of = vec![Vec::new(); durations.len()];
        // Without the pairs the resources still see every clash, only later.
        let paired = if demands.len() > MOST_PAIRED {
            0
        } else {
            demands.len()
        };
        for second in 0..paired {
            for first in 0..second {
                let both = demands[first].iter().zip(&demands[second]);
                let clash = both
                    .zip(capacities)
                    .any(|((one, other), capacity)| one + other > *capacity);
                if clash && durations[first] > 0 && durations[second] > 0 {
                    of[first].push(pairs.len());
                    of[second].push(pairs.len());
                    pairs.push(Pair {
                        first,
                        second,
                        variable: first_variable + pairs.len(),
                    });
                }
            }
        }
        Self {
            durations,
            all: pairs,
            of,
            first_variable,
        }
    }

    pub(super) fn len(&self) -> usize {
        self.all.len()
    }

    /// Says which of the two goes first in a plan: 1 for the first.
    pub(super) fn value_in(&self, plan: &[i64], variable: usize) -> i64 {
        let pair = self.all[variable - self.first_variable];
        i64::from(plan[pair.first] < plan[pair.second])
    }

    /// Follows a change of an activity's range or of a pair's variable; returns statements that cannot all hold.
    pub(super) fn propagate(
        &self,
        domains: &mut Domains,
        variable: usize,
    ) -> Result<(), Vec<Fact>> {
        if variable >= self.first_variable {
            return self.propagate_pair(domains, self.all[variable - self.first_variable]);
        }
        for &pair in self.of.get(variable).map_or(&[][..], Vec::as_slice) {
            self.propagate_pair(domains, self.all[pair])?;
        }
        Ok(())
    }

    fn propagate_pair(&self, domains: &mut Domains, pair: Pair) -> Result<(), Vec<Fact>> {
        let Pair {
            first,
            second,
            variable,
        } = pair;
        self.exclude(domains, first, second, Fact::at_most(variable, 0))?;
        self.exclude(domains, second, first, Fact::at_least(variable, 1))?;
        if domains.earliest(variable) == 1 {
            self.order(domains, first, second, Fact::at_least(variable, 1))?;
        } else if domains.latest(variable) == 0 {
            self.order(domains, second, first, Fact::at_most(variable, 0))?;
        }
        Ok(())
    }

    /// If `first` ends too late to go before `second`, the pair is decided the other way.
    fn exclude(
        &self,
        domains: &mut Domains,
        first: usize,
        second: usize,
        otherwise: Fact,
    ) -> Result<(), Vec<Fact>> {
        let latest = domains.latest(second);
        let too_late = latest - self.durations[first] + 1;
        if domains.earliest(first) < too_late || domains.holds(otherwise) {
            return Ok(());
        }
        let reason = domains.store(&[
            Fact::at_least(first, too_late),
            Fact::at_most(second, latest),
        ]);
        narrow(domains, otherwise, reason)
    }

    /// Keeps `first` before `second`.
    fn order(
        &self,
        domains: &mut Domains,
        first: usize,
        second: usize,
        decided: Fact,
    ) -> Result<(), Vec<Fact>> {
        let gap = self.durations[first];
        let after = Fact::at_least(second, domains.earliest(first) + gap);
        narrow(
            domains,
            after,
            Reason::Order {
                decided,
                side: 2 * first,
                gap,
            },
        )?;
        let before = Fact::at_most(first, domains.latest(second) - gap);
        narrow(
            domains,
            before,
            Reason::Order {
                decided,
                side: 2 * second + 1,
                gap,
            },
        )
    }
}

/// Moves a bound or tells what contradicts it.
pub(super) fn narrow(domains: &mut Domains, fact: Fact, reason: Reason) -> Result<(), Vec<Fact>> {
    if domains.narrow(fact, reason) {
        Ok(())
    } else {
        Err(vec![fact, fact.opposite()])
    }
}
