//! Makes one schedule from an order of the tasks, lifting tasks off again where a tie to them fails.

use super::calendar::Minute;
use super::model::Exhausted;
use super::model::Model;
use super::network::Arc;
use super::network::Held;
use super::place::Slot;
use super::place::State;
use super::problem::End;

/// Times the same task may be put off before its ties are let go.
const PATIENCE: u32 = 40;

/// Makes schedules one after another, keeping its memory.
#[derive(Debug, Clone)]
pub(super) struct Generator {
    pub(super) state: State,
    position: Vec<usize>,
    /// Earliest start of each task as raised so far.
    raised: Vec<Minute>,
    /// No task starts sooner.
    pub(super) floor: Minute,
    tries: Vec<u32>,
}

impl Generator {
    /// Returns a generator for a model.
    pub(super) fn new(model: &Model) -> Self {
        let count = model.problem.tasks.len();
        Self {
            state: State::new(model),
            position: vec![0; count],
            raised: vec![0; count],
            floor: 0,
            tries: vec![0; count],
        }
    }

    /// Places all tasks in the given order, each with at most `caps` people, each as early as it can be.
    pub(super) fn run(
        &mut self,
        model: &Model,
        order: &[usize],
        caps: &[usize],
    ) -> Result<(), Exhausted> {
        self.begin(model, order);
        self.place_fixed(model, caps)?;
        let mut lifts_left = 20 * order.len() + 2000;
        let mut at = 0;
        while let Some(&task) = order.get(at) {
            if self.state.slots[task].placed {
                at += 1;
                continue;
            }
            let slots = &self.state.slots;
            let release = model.release(task, self.raised[task], |before| slots[before].ends());
            self.find(model, task, release, caps)?;
            let back = if lifts_left > 0 {
                self.mend(model, task)
            } else {
                None
            };
            if let Some(first) = back {
                lifts_left = lifts_left.saturating_sub(at - first + 1);
                self.lift(model, &order[first..at]);
                at = first;
            } else {
                self.note_overheld(model, task);
                self.state.enter(model, task);
                at += 1;
            }
        }
        Ok(())
    }

    fn begin(&mut self, model: &Model, order: &[usize]) {
        self.state.clear(model);
        self.tries.fill(0);
        for (at, &task) in order.iter().enumerate() {
            self.position[task] = at;
            self.raised[task] = model.heads[task].0.max(self.floor);
        }
    }

    fn place_fixed(&mut self, model: &Model, caps: &[usize]) -> Result<(), Exhausted> {
        let tasks = model.problem.tasks.iter().enumerate();
        let mut fixed: Vec<_> = tasks
            .filter_map(|(index, task)| Some((task.fixed_start?, index)))
            .collect();
        fixed.sort_unstable();
        for (start, task) in fixed {
            self.find(model, task, start, caps)?;
            self.state.enter(model, task);
        }
        Ok(())
    }

    fn find(
        &mut self,
        model: &Model,
        task: usize,
        release: Minute,
        caps: &[usize],
    ) -> Result<(), Exhausted> {
        if self.state.find(model, task, release, caps[task]) {
            Ok(())
        } else {
            Err(Exhausted { task })
        }
    }

    fn lift(&mut self, model: &Model, tasks: &[usize]) {
        for &task in tasks.iter().rev() {
            if model.problem.tasks[task].fixed_start.is_none() {
                self.state.lift(model, task);
            }
        }
    }

    /// Raises the tasks to which a tie of the found place fails; returns the first position to redo.
    fn mend(&mut self, model: &Model, task: usize) -> Option<usize> {
        let mut first: Option<usize> = None;
        for &arc in &model.network.into[task] {
            let arc = model.network.arcs[arc];
            if let Some(start) = self.start_for_reach(model, arc) {
                first = earlier(first, self.put_off(model, arc.before, start));
            }
        }
        for &held in &model.network.held[task] {
            let finish = self.state.slots[task].finish;
            if let Some(end) = self.held_conflict(model, task, held, finish) {
                first = earlier(first, self.put_off(model, held.owner, end));
            }
        }
        first
    }

    /// Returns the start that the earlier task of an arc needs where the found place is too late for it.
    fn start_for_reach(&self, model: &Model, arc: Arc) -> Option<Minute> {
        let reach = arc.reach?;
        let (before, after) = (&self.state.slots[arc.before], &self.state.slots[arc.after]);
        let needed = after.end(reach.to) - reach.minutes;
        (before.finish < needed)
            .then(|| model.start_to_finish_by(arc.before, needed, before.minutes))
    }

    /// Raises a task's earliest start; `None` where it may not move or its ties were let go.
    ///
    /// A task that was put off too often goes back to where it would stand without ties: a broken tie is better early than
    /// years later.
    fn put_off(&mut self, model: &Model, task: usize, start: Minute) -> Option<usize> {
        let tries = self.tries[task];
        if model.problem.tasks[task].fixed_start.is_some() || tries > PATIENCE {
            return None;
        }
        self.tries[task] += 1;
        if tries == PATIENCE {
            self.raised[task] = model.heads[task].0.max(self.floor);
            return Some(self.position[task]);
        }
        // Small steps first; doubling steps, up to some days, when they do not help.
        let step = if tries < 8 {
            1
        } else {
            1 << (tries - 8).min(13)
        };
        self.raised[task] = start.max(self.state.slots[task].start + step);
        Some(self.position[task])
    }

    /// Returns the end of the last stretch before `to` in which a hold that the task ends is taken twice.
    fn held_conflict(&self, model: &Model, task: usize, held: Held, to: Minute) -> Option<Minute> {
        let slot = &self.state.slots[task];
        let from = self.state.slots[held.owner].finish;
        let level = &self.state.levels[held.resource];
        let ending = model.network.held[task]
            .iter()
            .filter(|other| other.resource == held.resource);
        let kept: i64 = ending.map(|other| other.units).sum();
        let most = model.problem.resources[held.resource].capacity - kept;
        // While the task runs, what it takes of the resource itself comes on top.
        let needs = model.needs[task]
            .iter()
            .filter(|need| need.0 == held.resource);
        let own: i64 = needs.map(|need| need.1).sum();
        let last = level.conflict(slot.start.max(from), slot.finish, most - own);
        let whole = level.conflict(from, to, most);
        last.max(whole)
    }

    fn note_overheld(&mut self, model: &Model, task: usize) {
        let slots = &self.state.slots;
        let finish = slots[task].finish;
        let given_back = model.network.held[task].iter().filter(|held| {
            let conflict = self.held_conflict(model, task, **held, finish);
            conflict.is_some()
        });
        let given_back: Vec<_> = given_back.map(|held| (held.owner, held.resource)).collect();
        let own = model.problem.tasks[task].holds.iter();
        let fixed = own.filter(|hold| slots[hold.until].placed);
        let kept = fixed.map(|hold| {
            let until = slots[hold.until].finish;
            (task, hold.resource, hold.units, (finish, until))
        });
        let over = kept.filter(|&(_, resource, units, (from, to))| {
            let most = model.problem.resources[resource].capacity - units;
            let level = &self.state.levels[resource];
            from < to && level.conflict(from, to, most).is_some()
        });
        let over: Vec<_> = over
            .map(|(owner, resource, ..)| (owner, resource))
            .collect();
        self.state.overheld.extend(given_back);
        self.state.overheld.extend(over);
    }
}

impl Slot {
    /// Returns its start and finish.
    pub(super) fn ends(&self) -> (Minute, Minute) {
        (self.start, self.finish)
    }

    /// Returns one of its ends.
    pub(super) fn end(&self, end: End) -> Minute {
        match end {
            End::Start => self.start,
            End::Finish => self.finish,
        }
    }
}

fn earlier(first: Option<usize>, other: Option<usize>) -> Option<usize> {
    match (first, other) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (one, None) | (None, one) => one,
    }
}
