//! The ranges of all starts, every narrowing with its reason, and the way back.

/// A statement about a start: the bound of `side` is at least `value`.
///
/// Side `2a` is the earliest start of activity `a`; side `2a + 1` is its latest start with the sign changed. So every
/// statement has one form, and the opposite of "start at least v" is "minus start at least 1 - v".
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Fact {
    pub(super) side: usize,
    pub(super) value: i64,
}

impl Fact {
    /// The start of the activity is at least `time`.
    pub(super) fn at_least(activity: usize, time: i64) -> Self {
        Self {
            side: 2 * activity,
            value: time,
        }
    }

    /// The start of the activity is at most `time`.
    pub(super) fn at_most(activity: usize, time: i64) -> Self {
        Self {
            side: 2 * activity + 1,
            value: -time,
        }
    }

    /// The statement that is true exactly when this one is not.
    pub(super) fn opposite(self) -> Self {
        Self {
            side: self.side ^ 1,
            value: 1 - self.value,
        }
    }
}

/// Why a bound moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reason {
    /// The search chose it, or it holds always.
    Choice,
    /// A lag of this size from the bound of another side.
    Lag { side: usize, gap: i64 },
    /// A pair decided this way, and a lag from the bound of another side.
    Order {
        decided: Fact,
        side: usize,
        gap: i64,
    },
    /// All other statements of a learned clause are false.
    Clause(usize),
    /// The statements from this place of the store of reasons on, so many.
    Stored { first: usize, count: usize },
}

/// One narrowing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    pub(super) side: usize,
    pub(super) old: i64,
    pub(super) new: i64,
    pub(super) level: usize,
    pub(super) reason: Reason,
    /// The narrowing of the same side before this one.
    before: Option<usize>,
}

/// Bounds with their history.
#[derive(Debug, Clone)]
pub(super) struct Domains {
    bounds: Vec<i64>,
    latest: Vec<Option<usize>>,
    pub(super) steps: Vec<Step>,
    pub(super) stored: Vec<Fact>,
    /// Where each decision level begins, in steps and in stored reasons.
    levels: Vec<(usize, usize)>,
}

impl Domains {
    /// Every start from 0 to its latest.
    pub(super) fn new(latest_starts: &[i64]) -> Self {
        let bounds: Vec<i64> = latest_starts
            .iter()
            .flat_map(|&latest| [0, -latest])
            .collect();
        Self {
            latest: vec![None; bounds.len()],
            bounds,
            steps: Vec::new(),
            stored: Vec::new(),
            levels: Vec::new(),
        }
    }

    #[inline]
    pub(super) fn bound(&self, side: usize) -> i64 {
        self.bounds[side]
    }

    #[inline]
    pub(super) fn earliest(&self, activity: usize) -> i64 {
        self.bounds[2 * activity]
    }

    #[inline]
    pub(super) fn latest(&self, activity: usize) -> i64 {
        -self.bounds[2 * activity + 1]
    }

    #[inline]
    pub(super) fn holds(&self, fact: Fact) -> bool {
        self.bounds[fact.side] >= fact.value
    }

    #[inline]
    pub(super) fn is_false(&self, fact: Fact) -> bool {
        self.holds(fact.opposite())
    }

    pub(super) fn open_level(&mut self) {
        self.levels.push((self.steps.len(), self.stored.len()));
    }

    /// Moves a bound; says whether the range still has a time in it. A statement that holds already changes nothing.
    pub(super) fn narrow(&mut self, fact: Fact, reason: Reason) -> bool {
        let old = self.bounds[fact.side];
        if fact.value <= old {
            return true;
        }
        let step = Step {
            side: fact.side,
            old,
            new: fact.value,
            level: self.levels.len(),
            reason,
            before: self.latest[fact.side],
        };
        self.latest[fact.side] = Some(self.steps.len());
        self.steps.push(step);
        self.bounds[fact.side] = fact.value;
        fact.value + self.bounds[fact.side ^ 1] <= 0
    }

    /// Keeps the statements behind a narrowing until the search goes back.
    pub(super) fn store(&mut self, facts: &[Fact]) -> Reason {
        let first = self.stored.len();
        self.stored.extend_from_slice(facts);
        Reason::Stored {
            first,
            count: facts.len(),
        }
    }

    /// Undoes all narrowings deeper than `level`.
    pub(super) fn back_to(&mut self, level: usize) {
        let Some(&(step, stored)) = self.levels.get(level) else {
            return;
        };
        while self.steps.len() > step {
            let Some(undone) = self.steps.pop() else {
                break;
            };
            self.bounds[undone.side] = undone.old;
            self.latest[undone.side] = undone.before;
        }
        self.stored.truncate(stored);
        self.levels.truncate(level);
    }

    /// The step that first made a fact true, looking at steps before `limit` only; nothing if it always held.
    pub(super) fn made_by(&self, fact: Fact, limit: usize) -> Option<usize> {
        let mut at = self.latest[fact.side];
        while let Some(index) = at {
            let step = &self.steps[index];
            if index < limit && step.old < fact.value {
                return Some(index);
            }
            at = step.before;
        }
        None
    }
}
