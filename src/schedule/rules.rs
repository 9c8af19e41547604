//! The rules that a schedule keeps, one by one, and what the engine's problem is without some of them.

use std::collections::BTreeSet;

use crate::recipe::Order;
use crate::recipe::When;
use crate::solver::timetable::Problem;
use crate::solver::timetable::Task;

use super::Given;
use super::chain;
use super::draft::Before;
use super::draft::Draft;
use super::engine;
use super::holds;
use super::hours;
use super::pace;

/// One rule that may be left out to see whether a schedule is possible then. Steps are named by recipe and index.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Rule<'a> {
    /// Days on which people of a row are away.
    Away(usize),
    /// Closed days of a place.
    Closed(usize),
    /// A step waits for the step above on all panels.
    All(&'a str, usize),
    /// A step is done in daylight or in cool hours only.
    When(&'a str, usize),
    /// A bay lets in one step at a time.
    Bay(usize),
    /// So much equipment there is.
    Equipment(usize),
    /// The fresh air of an hour at a place.
    AirOfHour(usize),
    /// The fresh air of a day at a place.
    AirOfDay(usize),
    /// Things move overnight, and over the days of travel.
    Moves,
    /// People with the skill of this bit.
    People(u8),
    /// Working hours of a place.
    Hours(usize),
    /// A step is done in one day, or without a break.
    SameDay(&'a str, usize),
    /// A step dries or cures before the next.
    Drying(&'a str, usize),
    /// A step's materials lie ready only then.
    Arrival(&'a str, usize),
    /// The rest is planned from today on.
    Today,
    /// A step must follow soon.
    Within(&'a str, usize),
    /// A day that the job holds an activity to.
    Hold(usize),
    /// The hand-over.
    HandOver,
}

/// Some of the tasks of the engine's problem, with the rules that they have to keep.
#[derive(Debug)]
pub(super) struct Part<'a, 'b> {
    given: &'b Given<'a>,
    /// The draft of each task.
    drafts: Vec<&'b Draft<'a>>,
    /// What each link came from, and the place of the draft that it waits for.
    waits: Vec<(Before, Option<usize>)>,
    problem: Problem,
}

impl<'a, 'b> Part<'a, 'b> {
    /// The tasks that are marked.
    pub(super) fn of(
        given: &'b Given<'a>,
        drafts: &'b [Draft<'a>],
        whole: &Problem,
        marked: &[bool],
    ) -> Self {
        let is_kept = |task: usize| marked.get(task).copied().unwrap_or(false);
        let mut number = vec![None; drafts.len()];
        let mut kept = Vec::new();
        for (task, number) in number.iter_mut().enumerate().filter(|(at, _)| is_kept(*at)) {
            *number = Some(kept.len());
            kept.push(task);
        }
        let renamed = |task: usize| number.get(task).copied().flatten();
        let mut problem = Problem {
            tasks: Vec::new(),
            links: Vec::new(),
            ..whole.clone()
        };
        for task in kept.iter().filter_map(|&task| whole.tasks.get(task)) {
            let mut task = task.clone();
            task.holds.retain_mut(|hold| {
                let until = renamed(hold.until);
                hold.until = until.unwrap_or(hold.until);
                until.is_some()
            });
            problem.tasks.push(task);
        }
        let mut waits = Vec::new();
        for ((_, before), link) in engine::waits(drafts).zip(&whole.links) {
            if let Some((first, second)) = renamed(link.before).zip(renamed(link.after)) {
                let mut link = *link;
                (link.before, link.after) = (first, second);
                problem.links.push(link);
                waits.push((*before, drafts.get(before.draft).map(|draft| draft.place)));
            }
        }
        Self {
            given,
            drafts: kept.iter().filter_map(|&task| drafts.get(task)).collect(),
            waits,
            problem,
        }
    }

    /// How many tasks there are.
    pub(super) fn len(&self) -> usize {
        self.drafts.len()
    }

    /// The rules that bear on these tasks, those that are most readily left out first.
    pub(super) fn rules(&self) -> Vec<Rule<'a>> {
        let job = self.given.job;
        let mut rules = BTreeSet::new();
        for (draft, task) in self.drafts.iter().zip(&self.problem.tasks) {
            rules.insert(Rule::Hours(draft.place));
            if job
                .places
                .get(draft.place)
                .is_some_and(|site| !site.closed.is_empty())
            {
                rules.insert(Rule::Closed(draft.place));
            }
            rules.extend(self.shared(task));
            rules.extend(task.skill.map(Rule::People));
            if task.earliest > self.from() {
                rules.extend(draft.step.map(|(at, _)| Rule::Arrival(draft.recipe, at)));
            }
            if let Some((at, step)) = draft.step.filter(|_| draft.done.is_none()) {
                let is = [
                    (step.same_day || !step.pausable).then_some(Rule::SameDay(draft.recipe, at)),
                    (step.when != When::Any).then_some(Rule::When(draft.recipe, at)),
                    (step.order == Order::All && at > 0).then_some(Rule::All(draft.recipe, at)),
                ];
                rules.extend(is.into_iter().flatten());
            }
            if task.due.is_some() {
                rules.insert(Rule::HandOver);
            }
        }
        rules.extend(self.timed());
        let rows = job.people.iter().enumerate();
        rules.extend(
            rows.filter(|(_, row)| !row.away.is_empty())
                .map(|(row, _)| Rule::Away(row)),
        );
        let holds = job.planning.holds.iter().enumerate();
        let held =
            holds.filter(|(_, hold)| self.drafts.iter().any(|draft| holds::is_meant(draft, hold)));
        rules.extend(held.map(|(at, _)| Rule::Hold(at)));
        if self.from() > 0 {
            rules.insert(Rule::Today);
        }
        rules.into_iter().collect()
    }

    /// Equipment, bays and air that a task takes.
    fn shared(&self, task: &Task) -> Vec<Rule<'a>> {
        let held = task.holds.iter().map(|hold| hold.resource);
        let taken = task
            .equipment
            .iter()
            .map(|(resource, _)| *resource)
            .chain(held);
        let rules = taken.map(|resource| self.rule_of(resource));
        let days = task.spends.iter().map(|_| Rule::AirOfDay(task.site));
        rules.chain(days).collect()
    }

    fn rule_of(&self, resource: usize) -> Rule<'a> {
        let (equipment, bays) = (
            self.given.job.equipment.len(),
            self.given.job.planning.bays.len(),
        );
        match resource.checked_sub(equipment) {
            None => Rule::Equipment(resource),
            Some(bay) if bay < bays => Rule::Bay(bay),
            Some(rest) => Rule::AirOfHour(rest - bays),
        }
    }

    /// Drying, longest times and moves between places.
    fn timed(&self) -> Vec<Rule<'a>> {
        let mut rules = Vec::new();
        for (at, link) in self.problem.links.iter().enumerate() {
            let (dry, moved) = self.lags(at);
            let first = self
                .drafts
                .get(link.before)
                .and_then(|draft| Some((draft.recipe, draft.step?.0)));
            let second = self
                .drafts
                .get(link.after)
                .and_then(|draft| Some((draft.recipe, draft.step?.0)));
            rules.extend(
                first
                    .filter(|_| dry > 0)
                    .map(|(recipe, step)| Rule::Drying(recipe, step)),
            );
            rules.extend((moved > 0).then_some(Rule::Moves));
            rules.extend(
                second
                    .filter(|_| link.within.is_some())
                    .map(|(recipe, step)| Rule::Within(recipe, step)),
            );
        }
        rules
    }

    /// The minutes of a link that are drying, and those of a move.
    fn lags(&self, link: usize) -> (u32, u32) {
        let Some(((before, from), link)) = self.waits.get(link).zip(self.problem.links.get(link))
        else {
            return (0, 0);
        };
        let (first, second) = (self.drafts.get(link.before), self.drafts.get(link.after));
        let moves = second.is_some_and(|draft| *from != Some(draft.place)) && before.dry > 0;
        let moved = if moves {
            chain::moving_minutes(self.given)
        } else {
            0
        };
        if before.dry != moved {
            return (before.dry, moved.min(before.dry));
        }
        let rows = self.given.exposure.drying.iter();
        let mut own = rows.filter(|row| {
            first.is_some_and(|draft| {
                draft.recipe == row.recipe && draft.step.is_some_and(|(at, _)| at == row.step)
            })
        });
        (
            own.next().map_or(0, |row| row.dry_minutes).min(before.dry),
            moved,
        )
    }

    /// The minute from which the rest is planned.
    fn from(&self) -> i64 {
        let days = self
            .given
            .job
            .planning
            .today
            .map(|today| (today - self.given.job.first_day).get_days());
        i64::from(days.unwrap_or(0).max(0)) * engine::MINUTES_A_DAY
    }

    /// The problem without the rules that are named.
    pub(super) fn without(&self, dropped: &BTreeSet<Rule<'a>>) -> Problem {
        let mut problem = self.problem.clone();
        problem.calendars = self.calendars(dropped);
        for (person, worker) in problem.people.iter_mut().zip(engine::workers(self.given)) {
            if dropped.contains(&Rule::Away(worker.row)) {
                person.absences.clear();
            }
        }
        if dropped.contains(&Rule::Moves) {
            problem.travel_days = None;
        }
        for (task, draft) in problem.tasks.iter_mut().zip(&self.drafts) {
            self.ease(task, draft, dropped);
        }
        let mut kept = Vec::new();
        for (at, link) in problem.links.iter().enumerate() {
            kept.extend(self.eased_link(at, *link, dropped));
        }
        problem.links = kept;
        problem
    }

    fn calendars(&self, dropped: &BTreeSet<Rule<'a>>) -> Vec<crate::solver::timetable::Calendar> {
        let places = self.given.job.places.iter().enumerate();
        let eased = places.flat_map(|(place, site)| {
            let mut site = site.clone();
            if dropped.contains(&Rule::Closed(place)) {
                site.closed.clear();
            }
            if dropped.contains(&Rule::Hours(place)) {
                site.hours = std::array::from_fn(|_| vec![(0, 24 * 60)]);
            }
            hours::of_place(self.given, &site)
        });
        eased.collect()
    }

    fn ease(&self, task: &mut Task, draft: &Draft<'a>, dropped: &BTreeSet<Rule<'a>>) {
        task.equipment
            .retain(|(resource, _)| !dropped.contains(&self.rule_of(*resource)));
        task.holds
            .retain(|hold| !dropped.contains(&self.rule_of(hold.resource)));
        if dropped.contains(&Rule::AirOfDay(draft.place)) {
            task.spends.clear();
        }
        if dropped.contains(&Rule::HandOver) {
            task.due = None;
        }
        let held = self.given.job.planning.holds.iter().enumerate();
        let mut let_go = held.filter(|(at, hold)| {
            dropped.contains(&Rule::Hold(*at)) && holds::is_meant(draft, hold)
        });
        if let_go.next().is_some() {
            task.earliest = draft.earliest;
            (task.fixed_start, task.latest_finish) = (None, None);
        }
        let Some((at, step)) = draft.step.filter(|_| draft.done.is_none()) else {
            return;
        };
        if dropped.contains(&Rule::Arrival(draft.recipe, at)) {
            task.earliest = task.earliest.min(self.from().max(draft.held_from));
        }
        if dropped.contains(&Rule::Today) && task.earliest <= self.from() {
            task.earliest = 0;
        }
        if dropped.contains(&Rule::SameDay(draft.recipe, at)) {
            (task.same_day, task.pausable) = (false, true);
        }
        if dropped.contains(&Rule::When(draft.recipe, at)) {
            task.calendar = draft.place * When::ALL.len();
        }
        if draft.work > 0 && dropped.contains(&Rule::AirOfHour(draft.place)) {
            let aired = Draft {
                air_minutes: 0,
                ..draft.clone()
            };
            task.durations = Some(pace::minutes(&aired, step));
        }
        if task
            .skill
            .is_some_and(|skill| dropped.contains(&Rule::People(skill)))
        {
            let fastest = task.durations.iter().flatten().min().copied();
            task.work = fastest.unwrap_or(task.work);
            (task.skill, task.durations) = (None, None);
        }
    }

    fn eased_link(
        &self,
        at: usize,
        mut link: crate::solver::timetable::Link,
        dropped: &BTreeSet<Rule<'a>>,
    ) -> Option<crate::solver::timetable::Link> {
        let step = |task: usize| {
            self.drafts
                .get(task)
                .and_then(|draft| Some((draft.recipe, draft.step?.0)))
        };
        let barrier = step(link.before).is_none();
        if let Some((recipe, step)) = step(link.after) {
            if barrier && dropped.contains(&Rule::All(recipe, step)) {
                return None;
            }
            if dropped.contains(&Rule::Within(recipe, step)) {
                link.within = None;
            }
        }
        let (dry, moved) = self.lags(at);
        let dries = !step(link.before)
            .is_some_and(|(recipe, step)| dropped.contains(&Rule::Drying(recipe, step)));
        let moves = !dropped.contains(&Rule::Moves);
        if !(dries && moves) {
            let left = if dries { dry } else { 0 }.max(if moves { moved } else { 0 });
            link.lag = link.lag.min(pace::up(i64::from(left)));
        }
        Some(link)
    }
}
