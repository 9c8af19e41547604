//! Covering stretches of a line with spans that overlap, stay within reach and keep their ends off forbidden places.

use crate::geometry::Chord;
use crate::units::Length;

use super::avoid::Avoid;

/// Where the spans of a stretch begin and what is done with the length that they have to spare.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Start {
    /// The first span hangs out before the stretch by so much; what is to spare falls to the last.
    Out(Length),
    /// The overlaps share what is to spare.
    Wider,
    /// All spans are cut to the same size.
    Alike,
    /// A span lies over the middle, the others follow on both sides alike.
    MiddleSheet,
    /// Two spans lap in the middle, the others follow on both sides alike.
    MiddleSeam,
}

/// How spans are laid.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rule<'a> {
    /// The longest a span may be.
    pub size: Length,
    /// The least that neighbours overlap.
    pub overlap: Length,
    /// Where spans begin.
    pub start: Start,
    /// Stretches of which each span lies within one, from below, each reaching into the next; none for no limit.
    pub bands: &'a [Chord],
}

/// Covers every stretch by spans in order, each stretch on its own.
///
/// Neighbouring spans of a stretch overlap by at least the overlap. Ends within a stretch keep off the forbidden places
/// wherever that can be: spans are laid as far as they may reach, one after the other, so that whatever begins at the
/// same place and reaches the end at all does so here, with as few spans. Where nothing can, a span takes its full size.
pub(super) fn cover(stretches: &[Chord], rule: Rule<'_>, avoid: &Avoid) -> Vec<Vec<Chord>> {
    stretches
        .iter()
        .map(|stretch| cover_one(*stretch, rule, avoid))
        .collect()
}

fn cover_one(stretch: Chord, rule: Rule<'_>, avoid: &Avoid) -> Vec<Chord> {
    let length = stretch.to - stretch.from;
    let step = rule.size - rule.overlap;
    let end = rule.limit(stretch.from);
    if end >= stretch.to || !step.is_positive() {
        return vec![Chord {
            from: stretch.from,
            to: end.max(stretch.to.min(stretch.from + rule.size)),
        }];
    }
    // As few as would do without bands and forbidden places; at least two, since one does not.
    let count = steps_up(length - rule.overlap, step).max(2);
    let march = |rule: Rule<'_>, phase: Length| march(stretch, stretch.from - phase, rule, avoid);
    match rule.start {
        Start::Out(phase) => march(rule, phase),
        Start::Alike => {
            let whole = length + times(rule.overlap, count - 1);
            let size = Length::whole_mm(part(whole, count, true).to_mm_up());
            let size = size.min(rule.size);
            march(Rule { size, ..rule }, Length::ZERO)
        }
        Start::Wider => {
            let spare = times(rule.size, count) - length;
            let overlap = part(spare, count - 1, false).max(rule.overlap);
            if rule.size - overlap < step.half() {
                return march(rule, Length::ZERO);
            }
            march(Rule { overlap, ..rule }, Length::ZERO)
        }
        Start::MiddleSheet | Start::MiddleSeam if rule.bands.is_empty() => {
            from_middle(stretch, rule, avoid)
        }
        Start::MiddleSheet | Start::MiddleSeam => march(rule, Length::ZERO),
    }
}

impl Rule<'_> {
    /// How far a span may reach that covers the stretch from `start` on.
    fn limit(&self, start: Length) -> Length {
        self.band(start)
            .map_or(start + self.size, |band| band.to.min(start + self.size))
    }

    /// The band that reaches farthest of those that a place lies in.
    fn band(&self, at: Length) -> Option<&Chord> {
        self.bands.iter().rfind(|band| band.from <= at)
    }

    /// The least that a span must gain on the one before, so that no stretch falls into slivers.
    fn least_gain(&self) -> Length {
        (self.size - self.overlap)
            .times(0.125)
            .min(Length::whole_mm(40))
            .max(Length::steps(1))
    }
}

/// Lays spans from `first` on, each as far as it may reach.
fn march(stretch: Chord, first: Length, rule: Rule<'_>, avoid: &Avoid) -> Vec<Chord> {
    let gain = rule.least_gain();
    let mut spans: Vec<Chord> = Vec::new();
    let mut start = first;
    let mut reached = stretch.from + rule.overlap;
    loop {
        let inside = start.max(stretch.from);
        start = rule.band(inside).map_or(start, |band| start.max(band.from));
        let whole = start + rule.size;
        let limit = Some(rule.limit(inside).min(whole))
            .filter(|limit| *limit > reached)
            .unwrap_or(whole);
        if limit >= stretch.to {
            spans.push(Chord {
                from: start,
                to: limit,
            });
            return spans;
        }
        let free = avoid.floor(limit);
        let end = if free >= reached + gain { free } else { limit };
        spans.push(Chord {
            from: start,
            to: end,
        });
        let free = avoid.floor(end - rule.overlap);
        start = if rule.limit(free) >= end + gain {
            free
        } else {
            end - rule.overlap
        };
        reached = end;
    }
}

/// Lays spans on both sides of the middle alike.
fn from_middle(stretch: Chord, rule: Rule<'_>, avoid: &Avoid) -> Vec<Chord> {
    let ends = stretch.from + stretch.to;
    let mirrored = |at: Length| ends - at;
    let mut spans = Vec::new();
    let start = if rule.start == Start::MiddleSheet {
        let end = avoid.floor(part(ends + rule.size, 2, false));
        let middle = Chord {
            from: mirrored(end),
            to: end,
        };
        if middle.to - middle.from < rule.overlap + rule.overlap + rule.least_gain() {
            return march(stretch, stretch.from, rule, avoid);
        }
        spans.push(middle);
        avoid.floor(end - rule.overlap)
    } else {
        avoid.floor(part(ends - rule.overlap, 2, false))
    };
    let rest = Chord {
        from: start,
        to: stretch.to,
    };
    let right = march(rest, start, rule, avoid);
    let left: Vec<Chord> = right
        .iter()
        .rev()
        .map(|span| Chord {
            from: mirrored(span.to),
            to: mirrored(span.from),
        })
        .collect();
    left.into_iter().chain(spans).chain(right).collect()
}

/// How many steps a length takes, the last one begun.
fn steps_up(length: Length, step: Length) -> i64 {
    -(-length.to_steps()).div_euclid(step.to_steps().max(1))
}

fn times(length: Length, count: i64) -> Length {
    Length::steps(length.to_steps().saturating_mul(count))
}

/// One of so many equal parts, rounded down or up to a step.
fn part(length: Length, count: i64, up: bool) -> Length {
    let (steps, count) = (length.to_steps(), count.max(1));
    Length::steps(if up {
        -(-steps).div_euclid(count)
    } else {
        steps.div_euclid(count)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: i64) -> Length {
        Length::whole_mm(value)
    }

    fn chord(from: i64, to: i64) -> Chord {
        Chord {
            from: mm(from),
            to: mm(to),
        }
    }

    fn rule(size: i64, overlap: i64, start: Start) -> Rule<'static> {
        Rule {
            size: mm(size),
            overlap: mm(overlap),
            start,
            bands: &[],
        }
    }

    fn spans(to: i64, rule: Rule<'_>, avoid: &Avoid) -> Vec<(f64, f64)> {
        cover(&[chord(0, to)], rule, avoid)[0]
            .iter()
            .map(|span| (span.from.to_mm(), span.to.to_mm()))
            .collect()
    }

    const FLUSH: Start = Start::Out(Length::ZERO);

    /// Source: trade.md 1.4, n = ceil((W - ov) / (w - ov)), and F-1, F-4: computed there.
    #[test]
    fn as_few_spans_as_the_formula_says() {
        let none = Avoid::default();
        for start in [FLUSH, Start::Wider, Start::Alike] {
            assert_eq!(spans(4360, rule(900, 15, start), &none).len(), 5);
            assert_eq!(spans(2180, rule(600, 15, start), &none).len(), 4);
            assert_eq!(spans(3050, rule(600, 20, start), &none).len(), 6);
            assert_eq!(spans(600, rule(600, 20, start), &none), [(0.0, 600.0)]);
        }
    }

    #[test]
    fn what_is_to_spare_goes_into_the_overlaps_or_off_every_sheet() {
        let none = Avoid::default();
        assert_eq!(
            spans(1500, rule(600, 20, Start::Wider), &none),
            [(0.0, 600.0), (450.0, 1050.0), (900.0, 1500.0)]
        );
        assert_eq!(
            spans(1500, rule(600, 30, Start::Alike), &none),
            [(0.0, 520.0), (490.0, 1010.0), (980.0, 1500.0)]
        );
    }

    #[test]
    fn from_the_middle_both_sides_are_alike() {
        let none = Avoid::default();
        assert_eq!(
            spans(1500, rule(600, 20, Start::MiddleSheet), &none),
            [(-130.0, 470.0), (450.0, 1050.0), (1030.0, 1630.0)]
        );
        assert_eq!(
            spans(1000, rule(600, 20, Start::MiddleSeam), &none),
            [(-90.0, 510.0), (490.0, 1090.0)]
        );
        let below = Avoid::new(
            [450, 470, 1030, 1050]
                .map(|at| (mm(at), mm(60)))
                .into_iter(),
        );
        for start in [Start::MiddleSheet, Start::MiddleSeam] {
            let laid = spans(1500, rule(600, 20, start), &below);
            let turned: Vec<_> = laid
                .iter()
                .rev()
                .map(|(from, to)| (1500.0 - to, 1500.0 - from))
                .collect();
            assert_eq!(laid, turned);
            for (from, to) in laid {
                assert!(from <= 0.0 || below.floor(Length::mm(from)) == Length::mm(from));
                assert!(to >= 1500.0 || below.floor(Length::mm(to)) == Length::mm(to));
            }
        }
    }

    #[test]
    fn no_span_leaves_the_band_it_began_in() {
        let bands = [chord(-9000, 2300), chord(1700, 4300), chord(3700, 9000)];
        for start in [FLUSH, Start::Out(mm(350)), Start::Wider, Start::Alike] {
            let laid = cover(
                &[chord(0, 5000)],
                Rule {
                    bands: &bands,
                    ..rule(900, 20, start)
                },
                &Avoid::default(),
            );
            for span in &laid[0] {
                let within = |band: &Chord| band.from <= span.from && span.to <= band.to;
                assert!(bands.iter().any(within), "{span:?}");
            }
            assert!(
                laid[0]
                    .windows(2)
                    .all(|pair| pair[0].to - pair[1].from >= mm(20))
            );
            assert!(laid[0].last().unwrap().to >= mm(5000));
        }
    }

    #[test]
    fn seams_keep_their_distance_without_another_sheet() {
        let places = [585, 600, 1170, 1185, 1755, 1770];
        let below = Avoid::new(places.map(|at| (mm(at), mm(100))).into_iter());
        let above = spans(2180, rule(600, 15, FLUSH), &below);
        assert_eq!(above.len(), 4);
        for (from, to) in above {
            for place in places {
                let place = Length::whole_mm(place).to_mm();
                assert!(from <= 0.0 || (from - place).abs() >= 100.0, "{from}");
                assert!(to >= 2180.0 || (to - place).abs() >= 100.0, "{to}");
            }
        }
    }

    #[test]
    fn where_no_place_is_free_the_stretch_is_covered_all_the_same() {
        let everywhere = Avoid::new((0..100).map(|i| (mm(i * 50), mm(100))));
        for start in [
            Start::Out(mm(100)),
            Start::Wider,
            Start::Alike,
            Start::MiddleSheet,
        ] {
            let covered = spans(3000, rule(600, 15, start), &everywhere);
            assert!(covered[0].0 <= 0.0 && covered.last().unwrap().1 >= 3000.0);
            assert!(covered.windows(2).all(|pair| pair[0].1 - pair[1].0 >= 15.0));
        }
    }
}
