//! Lags: how far every start pushes the others, and cycles that cannot be kept.

/// For every side, the sides it pushes and by how much.
#[derive(Debug, Clone)]
pub(super) struct Pushes {
    out: Vec<Vec<(usize, i64)>>,
}

impl Pushes {
    /// Takes rules `start[to] >= start[from] + gap`.
    pub(super) fn new(count: usize, rules: &[(usize, usize, i64)]) -> Self {
        let mut out = vec![Vec::new(); 2 * count];
        for &(from, to, gap) in rules {
            out[2 * from].push((2 * to, gap));
            out[2 * to + 1].push((2 * from + 1, gap));
        }
        Self { out }
    }

    #[inline]
    pub(super) fn from(&self, side: usize) -> &[(usize, i64)] {
        &self.out[side]
    }
}

/// Says whether some cycle of rules would have a start after itself (Bellman–Ford).
pub(super) fn has_impossible_cycle(count: usize, rules: &[(usize, usize, i64)]) -> bool {
    let mut starts = vec![0_i64; count];
    for _ in 0..=count {
        let mut moved = false;
        for &(from, to, gap) in rules {
            let least = starts[from] + gap;
            if least > starts[to] {
                starts[to] = least;
                moved = true;
            }
        }
        if !moved {
            return false;
        }
    }
    true
}
