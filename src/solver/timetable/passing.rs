//! The least time that must pass on the clock between two tasks.

use std::collections::BTreeSet;

use super::calendar::Minute;
use super::model::Model;

/// Memory for reckoning the least minutes that pass between tasks, without calendars.
pub(super) struct Passing {
    /// From the finish of the first task to the start of each; −1 where it cannot be reached.
    passed: Vec<Minute>,
    place: Vec<usize>,
    touched: Vec<usize>,
}

impl Passing {
    /// Returns memory for a model.
    pub(super) fn new(model: &Model) -> Self {
        let mut place = vec![0; model.network.order.len()];
        for (at, &task) in model.network.order.iter().enumerate() {
            place[task] = at;
        }
        Self {
            passed: vec![-1; place.len()],
            place,
            touched: Vec::new(),
        }
    }

    /// Returns the least minutes from the finish of one task to the start of another that follows it.
    pub(super) fn between(&mut self, model: &Model, first: usize, last: usize) -> Option<Minute> {
        let network = &model.network;
        let mut next = BTreeSet::from([(self.place[first], first)]);
        while let Some((_, task)) = next.pop_first() {
            if task == last {
                break;
            }
            let leave = if task == first {
                0
            } else {
                self.passed[task] + model.shortest(task)
            };
            for &arc in &network.out[task] {
                let arc = network.arcs[arc];
                if self.place[arc.after] <= self.place[last] {
                    self.touched.push(arc.after);
                    let passed = &mut self.passed[arc.after];
                    *passed = (*passed).max(leave + arc.lag);
                    next.insert((self.place[arc.after], arc.after));
                }
            }
        }
        let found = self.passed[last];
        for task in self.touched.drain(..) {
            self.passed[task] = -1;
        }
        (found >= 0).then_some(found)
    }
}
