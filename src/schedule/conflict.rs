//! Which rules cannot be kept together, where no schedule keeps them all: as few as can be found, each with where it is written.

use std::collections::BTreeSet;

use crate::solver::conflict::smallest;
use crate::solver::timetable::Broken;
use crate::solver::timetable::Problem;
use crate::solver::timetable::Reason;
use crate::solver::timetable::Search;
use crate::solver::timetable::Timetable;
use crate::solver::timetable::impossible;
use crate::solver::timetable::is_possible;

use super::Given;
use super::draft::Draft;
use super::engine::Ids;
use super::rule_words;
use super::rules::Part;
use super::rules::Rule;

/// Times that a set of rules is tried.
const MOST_TRIALS: usize = 240;

/// Schedules tried for a set of rules, shared out over the tasks.
const EFFORT: usize = 3_000;

/// More tasks than this are not scheduled again for every set of rules.
const MOST_TASKS: usize = 1_500;

/// What a conflict is told from: the job, its drafts, the engine's problem and ids.
#[derive(Clone, Copy, Debug)]
pub(super) struct Case<'a, 'b> {
    pub(super) given: &'b Given<'a>,
    pub(super) drafts: &'b [Draft<'a>],
    pub(super) problem: &'b Problem,
    pub(super) ids: &'b Ids,
}

impl<'a, 'b> Case<'a, 'b> {
    /// The rules behind a reason why there can be no schedule, in lines of help; empty where the reason says it all by itself.
    pub(super) fn behind(&self, reason: &Reason) -> Vec<String> {
        let tasks: Vec<usize> = match reason {
            Reason::Window { task, .. } => vec![*task],
            Reason::Contradiction { tasks } => tasks.clone(),
            Reason::TooFewPeople { .. }
            | Reason::TooLong { .. }
            | Reason::CalendarEnds { .. }
            | Reason::TooLittle { .. }
            | Reason::TooMuchADay { .. }
            | Reason::Circle { .. }
            | Reason::HoldWithoutLink { .. }
            | Reason::Unknown { .. }
            | Reason::OutOfRange { .. } => return Vec::new(),
        };
        let part = self.part(&self.before(&tasks));
        // A proof needs no schedules, however many tasks there are.
        self.told(&part, Some(Rule::HandOver), true, &mut |problem| {
            impossible(problem).is_none()
        })
    }

    /// The rules behind those that the best schedule found breaks, in lines of help; empty where the job is too large to look for them.
    pub(super) fn behind_broken(&self, timetable: &Timetable) -> Vec<String> {
        let tasks: Vec<usize> = timetable
            .broken
            .iter()
            .flat_map(|rule| self.tasks_of(rule))
            .collect();
        let found = |part: &Part<'a, 'b>| {
            let search = search(part.len());
            self.told(part, Some(Rule::HandOver), false, &mut |problem| {
                is_possible(problem, search)
            })
        };
        // What comes before them may be enough to see it.
        for marked in [self.before(&tasks), vec![true; self.drafts.len()]] {
            let part = self.part(&marked);
            if part.len() > MOST_TASKS {
                return Vec::new();
            }
            let told = found(&part);
            if !told.is_empty() {
                return told;
            }
        }
        Vec::new()
    }

    /// What keeps the hand-over from being met, in lines of help; empty where the job is too large to look for it.
    pub(super) fn behind_hand_over(&self) -> Vec<String> {
        let part = self.part(&vec![true; self.drafts.len()]);
        if part.len() > MOST_TASKS {
            return Vec::new();
        }
        let search = search(part.len());
        self.told(&part, None, false, &mut |problem| {
            is_possible(problem, search)
        })
    }

    fn tasks_of(&self, broken: &Broken) -> Vec<usize> {
        match *broken {
            Broken::TooSoon { link, .. } | Broken::TooLate { link, .. } => {
                let link = self.problem.links.get(link);
                link.map_or_else(Vec::new, |link| vec![link.before, link.after])
            }
            Broken::PastWindow { task, .. }
            | Broken::PastFixedStart { task, .. }
            | Broken::HeldTooOften { task, .. } => vec![task],
        }
    }

    fn part(&self, marked: &[bool]) -> Part<'a, 'b> {
        Part::of(self.given, self.drafts, self.problem, marked)
    }

    /// Marks tasks and everything that comes before them.
    fn before(&self, tasks: &[usize]) -> Vec<bool> {
        let mut before = vec![Vec::new(); self.drafts.len()];
        for link in &self.problem.links {
            if let Some(known) = before.get_mut(link.after) {
                known.push(link.before);
            }
        }
        let mut marked = vec![false; self.drafts.len()];
        let mut open = tasks.to_vec();
        while let Some(task) = open.pop() {
            if let Some(mark @ false) = marked.get_mut(task) {
                *mark = true;
                open.extend(before.get(task).into_iter().flatten());
            }
        }
        marked
    }

    /// The smallest set found, told; empty where all rules of the part but `aside` can be kept together. `proven` says whether what is
    /// not possible is proven to be so.
    fn told(
        &self,
        part: &Part<'a, 'b>,
        aside: Option<Rule<'a>>,
        proven: bool,
        is_possible: &mut dyn FnMut(&Problem) -> bool,
    ) -> Vec<String> {
        let aside: BTreeSet<Rule<'a>> = aside.into_iter().collect();
        if is_possible(&part.without(&aside)) {
            return Vec::new();
        }
        let mut rules = part.rules();
        rules.retain(|rule| !aside.contains(rule));
        let conflict = smallest(rules.len(), MOST_TRIALS, &mut |kept| {
            let dropped = rules.iter().zip(kept).filter(|(_, kept)| !**kept);
            let dropped = dropped.map(|(rule, _)| *rule).chain(aside.iter().copied());
            is_possible(&part.without(&dropped.collect()))
        });
        let found: Vec<Rule<'a>> = conflict
            .rules
            .iter()
            .filter_map(|&at| rules.get(at))
            .copied()
            .collect();
        rule_words::lines(self.given, self.ids, &found, (proven, conflict.is_least))
    }
}

/// A short search for a part of so many tasks.
fn search(tasks: usize) -> Search {
    let effort = (EFFORT / tasks.max(1)).clamp(2, 40);
    Search {
        effort: u64::try_from(effort).unwrap_or(2),
        seed: 1,
    }
}
