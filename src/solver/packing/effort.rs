//! How hard a search may try: a counted number of steps, so that the same input gives the same answer.

use core::fmt;

/// Steps between two questions to the stop callback.
const ASK_EVERY: u64 = 10_000;

/// A budget of steps, with an optional callback that may end the search early.
///
/// One step is one candidate looked at in an inner loop: a few nanoseconds to a few tens of them.
/// A search without a callback depends on nothing but its input.
///
/// ```
/// use facelay::solver::packing::Effort;
///
/// let mut effort = Effort::steps(10);
/// assert!(effort.spend(9));
/// assert!(!effort.spend(9));
/// ```
pub struct Effort<'a> {
    left: u64,
    spent: u64,
    ask_in: u64,
    stop: Option<&'a mut dyn FnMut() -> bool>,
    stopped: bool,
}

impl<'a> Effort<'a> {
    /// A budget of `steps` and nothing else.
    pub fn steps(steps: u64) -> Self {
        Self {
            left: steps,
            spent: 0,
            ask_in: ASK_EVERY,
            stop: None,
            stopped: false,
        }
    }

    /// A budget of `steps` that also ends when `stop` answers true.
    pub fn until(steps: u64, stop: &'a mut dyn FnMut() -> bool) -> Self {
        Self {
            left: steps,
            spent: 0,
            ask_in: 0,
            stop: Some(stop),
            stopped: false,
        }
    }

    /// Takes `steps` from the budget; false once it is used up or the callback said stop.
    pub fn spend(&mut self, steps: u64) -> bool {
        self.left = self.left.saturating_sub(steps);
        self.spent = self.spent.saturating_add(steps);
        if self.ask_in > steps {
            self.ask_in -= steps;
        } else {
            self.ask();
        }
        self.is_left()
    }

    /// Whether the search may go on.
    pub fn is_left(&self) -> bool {
        self.left > 0 && !self.stopped
    }

    /// Steps taken so far.
    pub fn spent(&self) -> u64 {
        self.spent
    }

    /// Steps that remain; the callback may still end the search before they are used.
    pub fn left(&self) -> u64 {
        if self.stopped { 0 } else { self.left }
    }

    /// Lets `search` use at most `steps` of what is left, and books what it used.
    pub fn share<T>(&mut self, steps: u64, search: impl FnOnce(&mut Self) -> T) -> T {
        let kept = self.left.saturating_sub(steps);
        self.left -= kept;
        let found = search(self);
        self.left = self.left.saturating_add(kept);
        found
    }

    fn ask(&mut self) {
        self.ask_in = ASK_EVERY;
        if let Some(stop) = self.stop.as_mut() {
            self.stopped = self.stopped || stop();
        }
    }
}

impl fmt::Debug for Effort<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Effort")
            .field("left", &self.left)
            .field("spent", &self.spent)
            .finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_callback_ends_the_search() {
        let mut stop = || true;
        let mut effort = Effort::until(1_000_000, &mut stop);
        assert!(!effort.spend(1));
        assert_eq!(effort.left(), 0);
    }

    #[test]
    fn a_share_leaves_the_rest() {
        let mut effort = Effort::steps(100);
        let went_on = effort.share(10, |part| part.spend(10));
        assert!(!went_on);
        assert_eq!((effort.left(), effort.spent()), (90, 10));
    }
}
