//! A smallest set of rules that cannot be kept together, found by leaving rules out and asking again.

use std::ops::Range;

/// Rules that cannot be kept together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Conflict {
    /// The rules, ascending.
    pub rules: Vec<usize>,
    /// Whether all of them were tried, so that leaving out any one of them lets the others be kept.
    pub is_least: bool,
}

/// Looks for a smallest set of `count` rules that cannot be kept together, knowing that all of them cannot; `is_possible` is asked, at
/// most `most` times, whether those that are marked can.
///
/// # Method
///
/// Rules are left out for good where the rest still cannot be kept: first halves of them, then halves of those, down to single rules,
/// once from the first and once from the last. The smaller of the two sets is returned. No smaller set lies within it, but there may be a
/// smaller one elsewhere.
///
/// # Sources
///
/// Chinneck, J. W., Dravnieks, E. W. (1991). Locating minimal infeasible constraint sets in linear programs. ORSA Journal on Computing
/// 3(2), 157-168 (leaving out one by one). Junker, U. (2004). QUICKXPLAIN: preferred explanations and relaxations for over-constrained
/// problems. AAAI, 167-172 (by halves). Both cited from memory.
///
/// # Examples
///
/// ```
/// use facelay::solver::conflict::smallest;
///
/// // A bag of 10 kg for things of 2, 7, 4 and 6 kg: two of them together may already be too heavy.
/// let kg = [2, 7, 4, 6];
/// let fits = |packed: &[bool]| {
///     let sum: i32 = kg.iter().zip(packed).filter(|(_, is)| **is).map(|(kg, _)| kg).sum();
///     sum <= 10
/// };
/// assert_eq!(smallest(4, 100, &mut { fits }).rules, [1, 3]);
/// ```
pub fn smallest(
    count: usize,
    most: usize,
    is_possible: &mut dyn FnMut(&[bool]) -> bool,
) -> Conflict {
    let mut from_first = Filter::new(count, most / 2);
    from_first.leave_out(0..count, false, is_possible);
    let mut from_last = Filter::new(count, most / 2);
    from_last.leave_out(0..count, true, is_possible);
    let found = [from_first.conflict(), from_last.conflict()];
    let best = found
        .into_iter()
        .min_by_key(|found| (!found.is_least, found.rules.len()));
    best.unwrap_or_default()
}

/// One way through the rules.
struct Filter {
    kept: Vec<bool>,
    asks_left: usize,
    is_least: bool,
}

impl Filter {
    fn new(count: usize, asks: usize) -> Self {
        Self {
            kept: vec![true; count],
            asks_left: asks,
            is_least: true,
        }
    }

    /// Leaves out what it can of a stretch of rules, the later half of each stretch first if asked.
    fn leave_out(
        &mut self,
        stretch: Range<usize>,
        backwards: bool,
        is_possible: &mut dyn FnMut(&[bool]) -> bool,
    ) {
        if stretch.is_empty() {
            return;
        }
        if self.asks_left == 0 {
            self.is_least = false;
            return;
        }
        self.asks_left -= 1;
        self.mark(stretch.clone(), false);
        if !is_possible(&self.kept) {
            return;
        }
        self.mark(stretch.clone(), true);
        if stretch.len() == 1 {
            return;
        }
        let middle = usize::midpoint(stretch.start, stretch.end);
        let mut halves = [stretch.start..middle, middle..stretch.end];
        if backwards {
            halves.reverse();
        }
        for half in halves {
            self.leave_out(half, backwards, is_possible);
        }
    }

    fn mark(&mut self, stretch: Range<usize>, kept: bool) {
        if let Some(rules) = self.kept.get_mut(stretch) {
            rules.fill(kept);
        }
    }

    fn conflict(self) -> Conflict {
        let rules = self.kept.iter().enumerate().filter(|(_, kept)| **kept);
        Conflict {
            rules: rules.map(|(rule, _)| rule).collect(),
            is_least: self.is_least,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Asks of sets that cannot be kept: possible is what holds none of them.
    fn possible<'a>(conflicts: &'a [&'a [usize]]) -> impl Fn(&[bool]) -> bool + 'a {
        move |kept: &[bool]| {
            !conflicts
                .iter()
                .any(|rules| rules.iter().all(|&rule| kept[rule]))
        }
    }

    #[test]
    fn what_is_found_cannot_be_kept_and_anything_less_can() {
        let cases: [(usize, &[&[usize]]); 5] = [
            (1, &[&[0]]),
            (9, &[&[4]]),
            (9, &[&[0, 8]]),
            (12, &[&[1, 5, 9], &[0, 2, 3, 4, 6]]),
            (30, &[&[3, 7, 11, 29], &[5, 6]]),
        ];
        for (count, conflicts) in cases {
            let ask = possible(conflicts);
            let found = smallest(count, 1_000, &mut |kept: &[bool]| ask(kept));
            assert!(found.is_least, "{conflicts:?}");
            assert!(
                conflicts.contains(&found.rules.as_slice()),
                "{conflicts:?} {found:?}"
            );
        }
    }

    #[test]
    fn the_smaller_of_two_conflicts_is_found_from_either_end() {
        let conflicts: &[&[usize]] = &[&[0, 1], &[5, 6, 7, 8]];
        let ask = possible(conflicts);
        let found = smallest(9, 1_000, &mut |kept: &[bool]| ask(kept));
        assert_eq!(found.rules, [0, 1]);
        let conflicts: &[&[usize]] = &[&[0, 1, 2, 3], &[7, 8]];
        let ask = possible(conflicts);
        let found = smallest(9, 1_000, &mut |kept: &[bool]| ask(kept));
        assert_eq!(found.rules, [7, 8]);
    }

    #[test]
    fn a_search_cut_short_says_so() {
        let conflicts: &[&[usize]] = &[&[2, 17]];
        let ask = possible(conflicts);
        let found = smallest(20, 8, &mut |kept: &[bool]| ask(kept));
        assert!(!found.is_least);
        assert!(found.rules.contains(&2) && found.rules.contains(&17));
    }
}
