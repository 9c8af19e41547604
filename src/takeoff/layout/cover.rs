//! Covering stretches of a line with spans of one size that overlap and keep their ends off forbidden places.

use crate::geometry::Chord;
use crate::units::Length;

/// Places that no seam may come near.
#[derive(Clone, Debug, Default)]
pub(super) struct Avoid {
    /// The places, sorted.
    pub places: Vec<Length>,
    /// How near is too near.
    pub distance: Length,
}

impl Avoid {
    /// Sorts places that seams must keep a distance from.
    pub(super) fn new(mut places: Vec<Length>, distance: Length) -> Self {
        places.sort_unstable();
        places.dedup();
        Self { places, distance }
    }

    /// The largest place not above `at` that is far enough from all.
    fn floor(&self, at: Length) -> Length {
        if !self.distance.is_positive() {
            return at;
        }
        let mut free = at;
        let above = self.places.partition_point(|place| *place < at + self.distance);
        for place in self.places.get(..above).unwrap_or_default().iter().rev() {
            if *place + self.distance <= free {
                break;
            }
            free = free.min(*place - self.distance);
        }
        free
    }

    fn allows(&self, at: Length) -> bool {
        self.floor(at) == at
    }
}

/// How spans are laid.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rule {
    /// The longest a span may be.
    pub size: Length,
    /// The least that neighbours overlap.
    pub overlap: Length,
    /// How much of the first span hangs out before the stretch.
    pub phase: Length,
}

/// Covers every stretch by spans in order, each stretch on its own.
///
/// Neighbouring spans of a stretch overlap by at least the overlap. Ends within a stretch keep off the forbidden places
/// where that is possible at all; where it is not, the span takes its full size.
pub(super) fn cover(stretches: &[Chord], rule: Rule, avoid: &Avoid) -> Vec<Vec<Chord>> {
    stretches.iter().map(|stretch| cover_one(*stretch, rule, avoid)).collect()
}

fn cover_one(stretch: Chord, rule: Rule, avoid: &Avoid) -> Vec<Chord> {
    let step = rule.size - rule.overlap;
    if stretch.to - stretch.from <= rule.size || !step.is_positive() {
        return vec![Chord { from: stretch.from, to: stretch.from + rule.size }];
    }
    let mut spans = vec![first(stretch, rule, avoid)];
    while let Some(last) = spans.last().copied().filter(|last| last.to < stretch.to) {
        spans.push(next(last, stretch.to, rule, avoid));
    }
    spans
}

/// The least that a span must gain on the one before, so that no stretch falls into slivers.
fn least_gain(rule: Rule) -> Length {
    (rule.size - rule.overlap).times(0.125).max(Length::steps(1))
}

/// The first span, moved out as far as its end needs to be allowed.
fn first(stretch: Chord, rule: Rule, avoid: &Avoid) -> Chord {
    let end = stretch.from - rule.phase + rule.size;
    if end >= stretch.to {
        return Chord { from: end - rule.size, to: end };
    }
    let free = avoid.floor(end);
    let end = if free >= stretch.from + rule.overlap + least_gain(rule) { free } else { end };
    Chord { from: end - rule.size, to: end }
}

/// The span after another: whole where that can be, else cut short, so that both its ends are allowed.
fn next(before: Chord, last: Length, rule: Rule, avoid: &Avoid) -> Chord {
    let wanted = before.to - rule.overlap;
    let free = avoid.floor(wanted);
    let start = if free + rule.size >= before.to + least_gain(rule) { free } else { wanted };
    let end = start + rule.size;
    if end >= last {
        return Chord { from: start, to: end };
    }
    let free = avoid.floor(end);
    if free < before.to + least_gain(rule) {
        return Chord { from: start, to: end };
    }
    if avoid.allows(free - rule.size) { Chord { from: free - rule.size, to: free } } else { Chord { from: start, to: free } }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: i64) -> Length {
        Length::whole_mm(value)
    }

    fn spans(from: i64, to: i64, size: i64, overlap: i64, phase: i64, avoid: &Avoid) -> Vec<(f64, f64)> {
        let rule = Rule { size: mm(size), overlap: mm(overlap), phase: mm(phase) };
        let covered = cover(&[Chord { from: mm(from), to: mm(to) }], rule, avoid);
        covered[0].iter().map(|span| (span.from.to_mm(), span.to.to_mm())).collect()
    }

    /// Source: trade.md 1.4, n = ceil((W - ov) / (w - ov)), and F-1, F-4: computed there.
    #[test]
    fn as_few_spans_as_the_formula_says() {
        let none = Avoid::default();
        assert_eq!(spans(0, 4360, 900, 15, 0, &none).len(), 5);
        assert_eq!(spans(0, 2180, 600, 15, 0, &none).len(), 4);
        assert_eq!(spans(0, 3050, 600, 20, 0, &none).len(), 6);
        assert_eq!(spans(0, 600, 600, 20, 0, &none), [(0.0, 600.0)]);
    }

    #[test]
    fn seams_keep_their_distance_without_another_sheet() {
        let below = Avoid::new(vec![mm(585), mm(600), mm(1170), mm(1185), mm(1755), mm(1770)], mm(100));
        let above = spans(0, 2180, 600, 15, 0, &below);
        assert_eq!(above.len(), 4);
        for (from, to) in above {
            for place in [585.0, 600.0, 1170.0, 1185.0, 1755.0, 1770.0] {
                assert!(from <= 0.0 || (from - place).abs() >= 100.0, "{from}");
                assert!(to >= 2180.0 || (to - place).abs() >= 100.0, "{to}");
            }
        }
    }

    #[test]
    fn where_no_place_is_free_the_stretch_is_covered_all_the_same() {
        let everywhere = Avoid::new((0..100).map(|i| mm(i * 50)).collect(), mm(100));
        let covered = spans(0, 3000, 600, 15, 100, &everywhere);
        assert!(covered[0].0 <= 0.0 && covered.last().unwrap().1 >= 3000.0);
        assert!(covered.windows(2).all(|pair| pair[0].1 - pair[1].0 >= 15.0));
    }
}
