//! The search: propagate, decide, learn, start again.

use super::analysis::Analysis;
use super::clauses::Clauses;
use super::cumulative::Resource;
use super::disjunctive::Pairs;
use super::domains::Domains;
use super::domains::Fact;
use super::domains::Reason;
use super::temporal::Pushes;
use super::temporal::has_impossible_cycle;
use crate::solver::project::problem::Problem;

/// How a search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ending {
    /// No plan is better than the one found; or there is none at all if none was found.
    Proved,
    /// The effort was spent or the caller stopped it.
    Stopped,
}

/// A search for the shortest plan of one problem.
#[derive(Debug)]
pub(crate) struct Prover {
    /// The position of the milestone that ends the plan.
    end: usize,
    domains: Domains,
    pushes: Pushes,
    pairs: Pairs,
    resources: Vec<Resource>,
    /// The resources every activity uses.
    uses: Vec<Vec<usize>>,
    waiting: Vec<bool>,
    clauses: Clauses,
    analysis: Analysis,
    /// The first step not propagated yet.
    next: usize,
    scores: Vec<f64>,
    score_step: f64,
    impossible: bool,
    most_clauses: usize,
    /// Starts to decide towards; none at first.
    aim: Vec<i64>,
    /// The starts of the best plan, the end of it last.
    pub(crate) best: Option<Vec<i64>>,
    /// Dead ends met and plans found.
    pub(crate) effort: u64,
}

impl Prover {
    /// Prepares the search for plans no longer than `longest`.
    pub(crate) fn new(problem: &Problem, longest: i64) -> Self {
        let count = problem.activities().len();
        let mut durations: Vec<i64> = problem
            .activities()
            .iter()
            .map(|one| one.duration)
            .collect();
        let mut rules = Vec::new();
        for lag in problem.lags() {
            rules.push((lag.from, lag.to, lag.least));
            rules.extend(lag.most.map(|most| (lag.to, lag.from, -most)));
        }
        rules.extend(
            durations
                .iter()
                .enumerate()
                .map(|(activity, &duration)| (activity, count, duration)),
        );
        durations.push(0);
        let demands: Vec<Vec<i64>> = problem
            .activities()
            .iter()
            .map(|one| one.demands.clone())
            .collect();
        let pairs = Pairs::new(durations.clone(), &demands, problem.capacities(), count + 1);
        let mut resources: Vec<Resource> = Vec::new();
        for (resource, &capacity) in problem.capacities().iter().enumerate() {
            let made = Resource::new(
                capacity,
                &durations,
                demands.iter().map(|row| row[resource]),
            );
            if !made.is_ample() {
                resources.push(made);
            }
        }
        let mut uses = vec![Vec::new(); count + 1];
        for (index, resource) in resources.iter().enumerate() {
            for activity in resource.activities() {
                uses[activity].push(index);
            }
        }
        let variables = count + 1 + pairs.len();
        let mut latest = vec![longest; variables];
        latest[count + 1..].fill(1);
        let impossible = longest < 0 || has_impossible_cycle(count + 1, &rules);
        let mut made = Self {
            end: count,
            domains: Domains::new(&latest),
            pushes: Pushes::new(variables, &rules),
            pairs,
            waiting: vec![true; resources.len()],
            resources,
            uses,
            clauses: Clauses::new(2 * variables),
            analysis: Analysis::new(2 * variables),
            next: 0,
            scores: vec![0.0; variables],
            score_step: 1.0,
            impossible,
            most_clauses: 4000,
            aim: Vec::new(),
            best: None,
            effort: 0,
        };
        made.start();
        made
    }

    /// Propagates the lags and pairs once from every side.
    fn start(&mut self) {
        if self.impossible {
            return;
        }
        for side in 0..2 * (self.end + 1) {
            if self.push_from(side).is_err() {
                self.impossible = true;
                return;
            }
        }
        for activity in 0..self.end {
            if self.pairs.propagate(&mut self.domains, activity).is_err() {
                self.impossible = true;
                return;
            }
        }
        self.impossible |= self.propagate().is_err();
    }

    /// The shortest any plan can be, as far as known.
    pub(crate) fn bound(&self) -> i64 {
        let step = self
            .domains
            .steps
            .iter()
            .rfind(|step| step.level == 0 && step.side == 2 * self.end);
        step.map_or(0, |step| step.new)
    }

    /// Looks only for plans shorter than a known one, and near it first.
    pub(crate) fn improve_on(&mut self, starts: &[i64], makespan: i64) {
        self.aim = starts.to_vec();
        self.aim.push(makespan);
        self.shorten(makespan);
    }

    fn shorten(&mut self, makespan: i64) {
        let shorter = Fact::at_most(self.end, makespan - 1);
        self.impossible |=
            !self.domains.narrow(shorter, Reason::Choice) || self.propagate().is_err();
    }

    /// Searches until the best plan is proved, `effort` dead ends and plans are spent, or `stop` says so.
    pub(crate) fn search(&mut self, effort: u64, stop: &mut dyn FnMut() -> bool) -> Ending {
        let limit = self.effort.saturating_add(effort);
        let mut round = 1;
        while !self.impossible {
            let length = 100 * luby(round);
            // The first of every two rounds starts where the plan starts, the other where the trouble is.
            if self.round(
                length.min(limit.saturating_sub(self.effort)),
                round % 2 == 0,
                stop,
            ) || self.effort >= limit
            {
                self.back(0);
                return if self.impossible {
                    Ending::Proved
                } else {
                    Ending::Stopped
                };
            }
            self.back(0);
            if self.clauses.len() > self.most_clauses {
                self.clauses.forget();
                self.most_clauses += self.most_clauses / 20;
            }
            round += 1;
        }
        Ending::Proved
    }

    /// Searches until so many dead ends are met; says whether the caller wants to stop.
    fn round(&mut self, dead_ends: u64, by_score: bool, stop: &mut dyn FnMut() -> bool) -> bool {
        let until = self.effort + dead_ends;
        while !self.impossible && self.effort < until {
            if let Err(broken) = self.propagate() {
                self.effort += 1;
                self.backjump(&broken);
                if self.effort.is_multiple_of(16) && stop() {
                    return true;
                }
            } else if let Some(choice) = self.choose(by_score) {
                self.domains.open_level();
                self.domains.narrow(choice, Reason::Choice);
            } else {
                self.effort += 1;
                self.found();
                if stop() {
                    return true;
                }
            }
        }
        false
    }

    fn found(&mut self) {
        let plan: Vec<i64> = (0..=self.end)
            .map(|activity| self.domains.earliest(activity))
            .collect();
        let makespan = plan[self.end];
        self.aim.clone_from(&plan);
        self.best = Some(plan);
        self.back(0);
        self.shorten(makespan);
    }

    fn back(&mut self, level: usize) {
        self.domains.back_to(level);
        self.next = self.next.min(self.domains.steps.len());
    }

    fn backjump(&mut self, broken: &[Fact]) {
        let (scores, step) = (&mut self.scores, self.score_step);
        let seen = |side: usize| scores[side / 2] += step;
        let Some(lesson) = self
            .analysis
            .learn(&self.domains, &mut self.clauses, broken, seen)
        else {
            self.impossible = true;
            return;
        };
        self.score_step *= 1.05;
        if self.score_step > 1e100 {
            self.score_step *= 1e-100;
            self.scores.iter_mut().for_each(|score| *score *= 1e-100);
        }
        self.clauses.age();
        self.back(lesson.level);
        let first = lesson.facts[0];
        let reason = if lesson.facts.len() > 1 {
            Reason::Clause(self.clauses.add(lesson.facts))
        } else {
            Reason::Choice
        };
        self.impossible |= !self.domains.narrow(first, reason);
    }

    /// The next decision; nothing if every start is decided.
    fn choose(&self, by_score: bool) -> Option<Fact> {
        let is_open =
            |variable: &usize| self.domains.earliest(*variable) < self.domains.latest(*variable);
        if by_score {
            let activity = (0..self.scores.len())
                .filter(is_open)
                .max_by(|&one, &other| self.scores[one].total_cmp(&self.scores[other]))?;
            return Some(self.towards_best(activity));
        }
        let activity = (0..=self.end).filter(is_open).min_by_key(|&activity| {
            (
                self.domains.earliest(activity),
                self.domains.latest(activity),
            )
        })?;
        Some(Fact::at_most(activity, self.domains.earliest(activity)))
    }

    /// Decides towards the start in the best plan, or the earliest.
    fn towards_best(&self, activity: usize) -> Fact {
        let (earliest, latest) = (
            self.domains.earliest(activity),
            self.domains.latest(activity),
        );
        let wanted = (!self.aim.is_empty()).then(|| {
            if activity <= self.end {
                self.aim[activity]
            } else {
                self.pairs.value_in(&self.aim, activity)
            }
        });
        match wanted {
            Some(time) if earliest < time && time <= latest => Fact::at_least(activity, time),
            Some(time) if earliest == time => Fact::at_most(activity, time),
            Some(_) | None => Fact::at_most(activity, earliest),
        }
    }

    /// Narrows all ranges as far as the rules can see; returns statements that cannot all hold.
    fn propagate(&mut self) -> Result<(), Vec<Fact>> {
        let outcome = self.propagate_all();
        if outcome.is_err() {
            self.next = self.domains.steps.len();
            self.waiting.fill(true);
        }
        outcome
    }

    fn propagate_all(&mut self) -> Result<(), Vec<Fact>> {
        loop {
            while let Some(&step) = self.domains.steps.get(self.next) {
                self.next += 1;
                self.push_from(step.side)?;
                if let Some(clause) =
                    self.clauses
                        .propagate(&mut self.domains, step.side, step.old, step.new)
                {
                    self.clauses.reward(clause);
                    return Err(self
                        .clauses
                        .facts(clause)
                        .iter()
                        .map(|fact| fact.opposite())
                        .collect());
                }
                let variable = step.side / 2;
                self.pairs.propagate(&mut self.domains, variable)?;
                for &resource in self.uses.get(variable).map_or(&[][..], Vec::as_slice) {
                    self.waiting[resource] = true;
                }
            }
            let Some(resource) = self.waiting.iter().position(|&waits| waits) else {
                return Ok(());
            };
            self.waiting[resource] = false;
            self.resources[resource].propagate(&mut self.domains)?;
        }
    }

    fn push_from(&mut self, side: usize) -> Result<(), Vec<Fact>> {
        let bound = self.domains.bound(side);
        for &(to, gap) in self.pushes.from(side) {
            let fact = Fact {
                side: to,
                value: bound + gap,
            };
            if !self.domains.narrow(fact, Reason::Lag { side, gap }) {
                return Err(vec![fact, fact.opposite()]);
            }
        }
        Ok(())
    }
}

/// The sequence 1, 1, 2, 1, 1, 2, 4, … (Luby, Sinclair & Zuckerman 1993).
fn luby(position: u64) -> u64 {
    let mut length = 1;
    while length < position {
        length = 2 * length + 1;
    }
    let mut left = position;
    while left != length {
        length /= 2;
        if left > length {
            left -= length;
        }
    }
    length.div_ceil(2)
}
