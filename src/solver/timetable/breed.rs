//! A population of schedules that beget each other.
//!
//! A child takes its order partly from one schedule and partly from another, with some random changes. It is pressed to its end
//! with time running backwards, and what comes of that is pressed to its start.
//!
//! # Sources
//!
//! Li, K. Y., Willis, R. J. (1992). An iterative scheduling technique for resource-constrained project scheduling. European
//! Journal of Operational Research 56(3), 370-379 (backwards and forwards in turn). Valls, V., Ballestín, F., Quintanilla, S.
//! (2008). A hybrid genetic algorithm for the resource-constrained project scheduling problem. European Journal of
//! Operational Research 185(2), 495-508 (crossing of stretches of time). Both cited from memory; the sizes here are our own.

use std::collections::BTreeMap;

use rand::RngExt;
use rand_chacha::ChaCha8Rng;

use super::calendar::Minute;
use super::improve::Guide;
use super::improve::Plan;
use super::improve::Runner;
use super::mirror::Mirror;
use super::model::Model;
use super::place::State;
use super::rules;

/// Members of a population.
const MEMBERS: usize = 16;
/// A child has at most one random change for so many tasks, and their number lies in a range.
const TASKS_A_CHANGE: usize = 10;
const CHANGES: (usize, usize) = (3, 12);
/// By how much of its range a rule's keys are shaken for a new member, in hundredths.
const SHAKEN: i64 = 10;
/// Of so many tasks of a new member one has another number of people.
const OTHER_CREW: u32 = 10;

/// A schedule as a parent.
#[derive(Debug, Clone)]
pub(super) struct Member {
    guide: Guide,
    starts: Vec<Minute>,
    finishes: Vec<Minute>,
    caps: Vec<usize>,
}

/// Breeds from the schedules given until the effort is spent.
pub(super) fn breed(
    runner: &mut Runner,
    model: &mut Model,
    members: Vec<Member>,
    random: &mut ChaCha8Rng,
    stop: &mut dyn FnMut() -> bool,
) {
    let finish = members.iter().map(Member::finish).max().unwrap_or(0);
    let Some(mirror) = Mirror::new(model, finish) else {
        return;
    };
    let mut nursery = Nursery {
        runner,
        mirror,
        random,
        stop,
    };
    let mut members = members;
    for member in &mut members {
        nursery.improve(model, member);
    }
    nursery.fill(model, &mut members);
    nursery.renew(model, &mut members);
}

struct Nursery<'a> {
    runner: &'a mut Runner,
    mirror: Mirror,
    random: &'a mut ChaCha8Rng,
    stop: &'a mut dyn FnMut() -> bool,
}

impl Nursery<'_> {
    /// Adds new members: rules shaken, with the people of the best schedule.
    fn fill(&mut self, model: &mut Model, members: &mut Vec<Member>) {
        let rules = rules::ALL.iter().cycle();
        // A rule that cannot be placed is only tried again so often.
        for rule in rules.take(2 * MEMBERS) {
            if members.len() >= MEMBERS || self.is_over() {
                return;
            }
            let mut plan = Plan {
                keys: rule.keys(model),
                caps: self.runner.best.caps.clone(),
            };
            let range = plan.keys.iter().max().zip(plan.keys.iter().min());
            let reach = range.map_or(0, |(most, least)| most - least).max(1) * SHAKEN / 100;
            for (task, key) in plan.keys.iter_mut().enumerate() {
                *key += self.random.random_range(-reach..=reach);
                if self.random.random_range(0..OTHER_CREW) == 0 {
                    plan.caps[task] = any_crew(model, task, self.random);
                }
            }
            if let Some(score) = self.runner.run(model, &plan) {
                let mut made = self.runner.member(model, score, &plan.caps);
                self.improve(model, &mut made);
                members.push(made);
            }
        }
    }

    /// Presses a member, if that makes it better.
    fn improve(&mut self, model: &mut Model, member: &mut Member) {
        if let Some(pressed) = self.press(model, member.clone())
            && pressed.guide < member.guide
        {
            *member = pressed;
        }
    }

    /// Lets members beget children, which take the places of the worst.
    fn renew(&mut self, model: &mut Model, members: &mut [Member]) {
        while members.len() > 1 && !self.is_over() {
            let child = self.child(model, members);
            let Some(child) = self.press(model, child) else {
                continue;
            };
            let is_known = members.iter().any(|member| member.guide == child.guide);
            let worst = members.iter_mut().max_by_key(|member| member.guide);
            if let Some(worst) = worst.filter(|worst| child.guide < worst.guide && !is_known) {
                *worst = child;
            }
        }
    }

    /// Makes a schedule of the order in which a member's tasks finish: each as late as it can, then each as early.
    ///
    /// `None` where a calendar has no room or the effort is spent.
    fn press(&mut self, model: &mut Model, member: Member) -> Option<Member> {
        if self.is_over() {
            return None;
        }
        self.runner.schedules += 1;
        let finish = member.finish();
        let starts = self
            .mirror
            .latest_starts(&member.finishes, &member.caps, finish)?;
        if self.is_over() {
            return None;
        }
        let plan = Plan {
            keys: starts,
            caps: member.caps,
        };
        let score = self.runner.run(model, &plan)?;
        Some(self.runner.member(model, score, &plan.caps))
    }

    fn is_over(&mut self) -> bool {
        self.runner.is_over(self.stop)
    }

    fn child(&mut self, model: &Model, members: &[Member]) -> Member {
        let one = self.parent(members);
        let other = self.parent(members);
        // A parent would have the same child with itself.
        let other = if one == other {
            (other + 1) % members.len()
        } else {
            other
        };
        let (one, other) = (&members[one], &members[other]);
        let mut child = one.clone();
        if self.random.random_range(0..3_u8) == 0 {
            let mut from_other = BTreeMap::new();
            for (task, stated) in model.problem.tasks.iter().enumerate() {
                let drawn = from_other.entry(stated.tag);
                if *drawn.or_insert_with(|| self.random.random_bool(0.5)) {
                    child.take_over(task, other);
                }
            }
        } else {
            let first = one.starts.iter().min().copied().unwrap_or(0);
            let moments = first..=one.finish().max(first);
            let mut moment = || self.random.random_range(moments.clone());
            let (a, b) = (moment(), moment());
            let stretch = a.min(b)..=a.max(b);
            for task in 0..child.starts.len() {
                if !stretch.contains(&one.starts[task]) {
                    child.take_over(task, other);
                }
            }
        }
        let most = (child.starts.len() / TASKS_A_CHANGE).clamp(CHANGES.0, CHANGES.1);
        for _ in 0..self.random.random_range(0..=most) {
            child.change(model, self.random);
        }
        child
    }

    /// The better of two members drawn.
    fn parent(&mut self, members: &[Member]) -> usize {
        let mut draw = || self.random.random_range(0..members.len());
        let (one, other) = (draw(), draw());
        if members[other].guide < members[one].guide {
            other
        } else {
            one
        }
    }
}

impl Member {
    /// Takes a schedule and the most people that each task of it could have.
    pub(super) fn new(state: &State, guide: Guide, caps: &[usize]) -> Self {
        let slots = &state.slots;
        Self {
            guide,
            starts: slots.iter().map(|slot| slot.start).collect(),
            finishes: slots.iter().map(|slot| slot.finish).collect(),
            caps: caps.to_vec(),
        }
    }

    fn finish(&self) -> Minute {
        self.finishes.iter().max().copied().unwrap_or(0)
    }

    fn take_over(&mut self, task: usize, other: &Self) {
        self.starts[task] = other.starts[task];
        self.finishes[task] = other.finishes[task];
        self.caps[task] = other.caps[task];
    }

    fn shift(&mut self, task: usize, minutes: Minute) {
        self.starts[task] += minutes;
        self.finishes[task] += minutes;
    }

    /// Moves a task or all of its tag to where another stands, or gives one task or all of its kind another number of people.
    fn change(&mut self, model: &Model, random: &mut ChaCha8Rng) {
        let count = self.starts.len();
        let task = random.random_range(0..count);
        match random.random_range(0..8_u8) {
            0..=2 => {
                let other = random.random_range(0..count);
                let beside = self.starts[other] + random.random_range(-1..=1_i64);
                self.shift(task, beside - self.starts[task]);
            }
            3 | 4 => {
                let other = random.random_range(0..count);
                let minutes = self.starts[other] - self.starts[task];
                let tasks = &model.problem.tasks;
                for moved in (0..count).filter(|&moved| tasks[moved].tag == tasks[task].tag) {
                    self.shift(moved, minutes);
                }
            }
            5 => {
                let cap = any_crew(model, task, random);
                for same in (0..count).filter(|&same| model.kinds[same] == model.kinds[task]) {
                    self.caps[same] = cap;
                }
            }
            _ => self.caps[task] = any_crew(model, task, random),
        }
    }
}

/// Returns one of the numbers of people that can do a task.
pub(super) fn any_crew(model: &Model, task: usize, random: &mut ChaCha8Rng) -> usize {
    let crews = &model.crews[task];
    crews[random.random_range(0..crews.len())].0
}
