//! How good a schedule is, and which rules it breaks.

use super::calendar::Minute;
use super::model::Model;
use super::outcome::Broken;
use super::place::State;

/// What is compared, the most important first; less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Score {
    pub(super) broken: usize,
    pub(super) broken_by: Minute,
    pub(super) late_by: Minute,
    pub(super) finish: Minute,
    pub(super) cost: i64,
    pub(super) changes: usize,
}

impl Score {
    /// Whether no rule is broken and nothing is late.
    pub(super) fn is_sound(self) -> bool {
        self.broken == 0 && self.late_by == 0
    }
}

/// Judges a finished schedule.
pub(super) fn score(model: &Model, state: &State) -> Score {
    let broken = broken(model, state);
    let finish = state
        .slots
        .iter()
        .map(|slot| slot.finish)
        .max()
        .unwrap_or(0);
    Score {
        broken: broken.len(),
        broken_by: broken.iter().map(Broken::minutes).sum(),
        late_by: late(model, state, finish),
        finish,
        cost: cost(model, state),
        changes: changes(model, state),
    }
}

/// Returns the largest excess of the whole over the hand-over, and of any task over its due minute.
fn late(model: &Model, state: &State, finish: Minute) -> Minute {
    let whole = model.problem.hand_over.map(|due| finish - due);
    let tasks = model.problem.tasks.iter().zip(&state.slots);
    let excesses = tasks.filter_map(|(stated, slot)| Some(slot.finish - stated.due?));
    excesses.chain(whole).max().unwrap_or(0).max(0)
}

/// Lists the rules that a schedule breaks.
pub(super) fn broken(model: &Model, state: &State) -> Vec<Broken> {
    let mut broken = Vec::new();
    for (link, arc) in model.network.arcs.iter().enumerate() {
        let (before, after) = (&state.slots[arc.before], &state.slots[arc.after]);
        let soon = before.finish + arc.lag - after.start;
        if soon > 0 {
            broken.push(Broken::TooSoon {
                link,
                minutes: soon,
            });
        }
        if let Some(reach) = arc.reach {
            let minutes = after.end(reach.to) - before.finish - reach.minutes;
            if minutes > 0 {
                broken.push(Broken::TooLate { link, minutes });
            }
        }
    }
    for (task, stated) in model.problem.tasks.iter().enumerate() {
        let slot = &state.slots[task];
        if let Some(minutes) = stated
            .latest_finish
            .map(|latest| slot.finish - latest)
            .filter(|&m| m > 0)
        {
            broken.push(Broken::PastWindow { task, minutes });
        }
        if let Some(minutes) = stated
            .fixed_start
            .map(|fixed| slot.start - fixed)
            .filter(|&m| m > 0)
        {
            broken.push(Broken::PastFixedStart { task, minutes });
        }
    }
    let over = state
        .overheld
        .iter()
        .map(|&(task, resource)| Broken::HeldTooOften { task, resource });
    broken.extend(over);
    broken
}

fn cost(model: &Model, state: &State) -> i64 {
    let rate = |person: &usize| model.problem.people[*person].rate;
    let costs = state.slots.iter().map(|slot| {
        let rates: i64 = slot.crew.iter().map(rate).sum();
        slot.minutes.saturating_mul(rates)
    });
    costs.fold(0, i64::saturating_add)
}

fn changes(model: &Model, state: &State) -> usize {
    let mut turns: Vec<(usize, Minute, usize)> = Vec::new();
    for (task, slot) in state.slots.iter().enumerate() {
        let tag = model.problem.tasks[task].tag;
        turns.extend(slot.crew.iter().map(|&person| (person, slot.start, tag)));
    }
    turns.sort_unstable();
    turns
        .windows(2)
        .filter(|two| two[0].0 == two[1].0 && two[0].2 != two[1].2)
        .count()
}
