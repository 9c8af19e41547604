//! A region cut into upright slabs with straight tops and bottoms, to ask quickly what lies in a column or a cell.

use crate::units::Length;

use super::measure::edges;
use super::shape::Point;
use super::shape::Rect;
use super::shape::Region;

/// A stretch along a line within a region.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Chord {
    /// Where it begins.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
}

/// A region as trapezoids between the upright lines through its corners.
///
/// Where a slanted edge meets such a line, bottoms are rounded down and tops up to a whole step, so that nothing of the
/// region is lost; an answer may be a step (an eighth of a micrometre) too large, never too small.
#[derive(Clone, Debug, Default)]
pub struct Slabs {
    traps: Vec<Trap>,
    /// How far right the trapezoids up to each reach, to know where a search has to begin.
    reach: Vec<i64>,
    /// The upright edges, the longest first.
    uprights: Vec<Length>,
}

/// A trapezoid with upright sides, in steps.
#[derive(Clone, Copy, Debug)]
struct Trap {
    left: i64,
    right: i64,
    low: (i64, i64),
    high: (i64, i64),
}

/// Extents thinner than this many steps come from rounding alone.
const NOTHING: i64 = 3;

impl Slabs {
    /// Cuts a region into slabs.
    pub fn new(region: &Region) -> Self {
        let mut lines: Vec<(Point, Point)> = region.rings().flat_map(|ring| edges(ring)).collect();
        let uprights = upright_edges(&lines);
        lines.retain(|(a, b)| a.x != b.x);
        for (a, b) in &mut lines {
            if a.x > b.x {
                std::mem::swap(a, b);
            }
        }
        lines.sort();
        let mut cuts: Vec<i64> = lines
            .iter()
            .flat_map(|(a, b)| [a.x.to_steps(), b.x.to_steps()])
            .collect();
        cuts.sort_unstable();
        cuts.dedup();
        let traps = sweep(&lines, &cuts);
        let reach = traps
            .iter()
            .scan(i64::MIN, |most, trap| {
                *most = trap.right.max(*most);
                Some(*most)
            })
            .collect();
        Self {
            traps,
            reach,
            uprights,
        }
    }

    /// The number of trapezoids: how long an answer takes.
    pub fn len(&self) -> usize {
        self.traps.len()
    }

    /// Says whether the region is empty.
    pub fn is_empty(&self) -> bool {
        self.traps.is_empty()
    }

    /// Where the region has upright edges, the longest first, each place once.
    pub fn uprights(&self) -> &[Length] {
        &self.uprights
    }

    /// The trapezoids that reach into a column.
    fn within(&self, left: i64, right: i64) -> impl Iterator<Item = &Trap> {
        let first = self.reach.partition_point(|reach| *reach <= left);
        let rest = self.traps.get(first..).unwrap_or_default().iter();
        rest.take_while(move |trap| trap.left < right)
            .filter(move |trap| trap.right > left)
    }

    /// The stretches of height that the region takes in a column, from the bottom up.
    pub fn runs(&self, left: Length, right: Length) -> Vec<Chord> {
        let (left, right) = (left.to_steps(), right.to_steps());
        let spans = self.within(left, right).map(|trap| {
            let (a, b) = (trap.left.max(left), trap.right.min(right));
            (
                trap.low_at(a).min(trap.low_at(b)),
                trap.high_at(a).max(trap.high_at(b)),
            )
        });
        merged(spans.collect())
    }

    /// The stretches of width that the region takes, from left to right.
    pub fn widths(&self) -> Vec<Chord> {
        merged(
            self.traps
                .iter()
                .map(|trap| (trap.left, trap.right))
                .collect(),
        )
    }

    /// The stretches of height that the region takes over its whole width, from the bottom up.
    pub fn heights(&self) -> Vec<Chord> {
        self.runs(Length::steps(i64::MIN / 4), Length::steps(i64::MAX / 4))
    }

    /// The stretches of height within the region along one upright line.
    pub fn chords(&self, x: Length) -> Vec<Chord> {
        let x = x.to_steps();
        merged(
            self.within(x, x + 1)
                .map(|trap| (trap.low_at(x), trap.high_at(x)))
                .collect(),
        )
    }

    /// The smallest rectangle round what of the region lies in a cell; none if nothing does.
    pub fn bounds(&self, cell: &Rect) -> Option<Rect> {
        self.parts(cell, Length::steps(i64::MAX / 4)).pop()
    }

    /// Says whether anything of the region lies in a cell.
    pub fn reaches(&self, cell: &Rect) -> bool {
        let (bottom, top) = (cell.y.to_steps(), cell.top().to_steps());
        let (left, right) = (cell.x.to_steps(), cell.right().to_steps());
        self.within(left, right)
            .filter_map(|trap| trap.clipped(left, right, bottom, top))
            .any(|[l, r, b, t]| r - l > NOTHING && t - b > NOTHING)
    }

    /// The smallest rectangles round what of the region lies in a cell, from left to right, apart where an upright gap
    /// between them is at least so wide.
    pub fn parts(&self, cell: &Rect, gap: Length) -> Vec<Rect> {
        let (bottom, top) = (cell.y.to_steps(), cell.top().to_steps());
        let (left, right) = (cell.x.to_steps(), cell.right().to_steps());
        let clipped = self
            .within(left, right)
            .filter_map(|trap| trap.clipped(left, right, bottom, top));
        let mut boxes: Vec<[i64; 4]> = clipped.collect();
        boxes.sort_unstable();
        let mut parts: Vec<[i64; 4]> = Vec::new();
        for [l, r, b, t] in boxes {
            match parts.last_mut() {
                Some(part) if l - part[1] < gap.to_steps().max(NOTHING + 1) => {
                    *part = [part[0], part[1].max(r), part[2].min(b), part[3].max(t)];
                }
                Some(_) | None => parts.push([l, r, b, t]),
            }
        }
        parts.retain(|[l, r, b, t]| r - l > NOTHING && t - b > NOTHING);
        parts.iter().map(to_rect).collect()
    }

    /// How much of a level line within a column lies in the region.
    pub fn level_length(&self, y: Length, left: Length, right: Length) -> Length {
        let (left, right, y) = (left.to_steps(), right.to_steps(), y.to_steps());
        let inside = self
            .within(left, right)
            .filter_map(|trap| trap.crossed_at(y, left, right));
        Length::steps(inside.map(|(from, to)| (to - from).max(0)).sum())
    }

    /// How much of an upright line between two heights lies in the region.
    pub fn upright_length(&self, x: Length, bottom: Length, top: Length) -> Length {
        self.chords(x)
            .iter()
            .map(|chord| (chord.to.min(top) - chord.from.max(bottom)).max(Length::ZERO))
            .sum()
    }
}

fn to_rect([left, right, bottom, top]: &[i64; 4]) -> Rect {
    let low = Point::new(Length::steps(*left), Length::steps(*bottom));
    Rect::between(low, Point::new(Length::steps(*right), Length::steps(*top)))
}

/// The places of upright edges, the longest first.
fn upright_edges(lines: &[(Point, Point)]) -> Vec<Length> {
    let upright = lines.iter().filter(|(a, b)| a.x == b.x);
    let mut edges: Vec<(Length, Length)> =
        upright.map(|(a, b)| (-(b.y - a.y).abs(), a.x)).collect();
    edges.sort_unstable();
    let mut places: Vec<Length> = Vec::new();
    for (_, x) in edges {
        if !places.contains(&x) {
            places.push(x);
        }
        if places.len() == 16 {
            break;
        }
    }
    places
}

/// Pairs up, in every gap between two upright lines, the edges that cross it: bottom, top, bottom, top ….
fn sweep(lines: &[(Point, Point)], cuts: &[i64]) -> Vec<Trap> {
    let mut traps = Vec::new();
    let mut open: Vec<(Point, Point)> = Vec::new();
    let mut next = lines.iter().peekable();
    for (&left, &right) in cuts.iter().zip(cuts.iter().skip(1)) {
        open.retain(|(_, end)| end.x.to_steps() > left);
        while let Some(line) = next.next_if(|(start, _)| start.x.to_steps() <= left) {
            open.push(*line);
        }
        open.sort_by_key(|line| {
            let middle =
                i128::from(height(line, left, false)) + i128::from(height(line, right, false));
            (middle, *line)
        });
        for pair in open.chunks_exact(2) {
            if let [low, high] = pair {
                traps.push(Trap {
                    left,
                    right,
                    low: (height(low, left, false), height(low, right, false)),
                    high: (height(high, left, true), height(high, right, true)),
                });
            }
        }
    }
    traps
}

/// The height of a line at x, rounded down or up to a step.
fn height(line: &(Point, Point), x: i64, up: bool) -> i64 {
    let (a, b) = line;
    interpolate(
        (a.x.to_steps(), a.y.to_steps()),
        (b.x.to_steps(), b.y.to_steps()),
        x,
        up,
    )
}

/// The value at `x` on the line through two points, rounded down or up to a step.
fn interpolate(a: (i64, i64), b: (i64, i64), x: i64, up: bool) -> i64 {
    if a.1 == b.1 || x == a.0 || a.0 == b.0 {
        return a.1;
    }
    if x == b.0 {
        return b.1;
    }
    let (run, rise, by) = (b.0 - a.0, b.1 - a.1, x - a.0);
    let (run, by) = if run < 0 { (-run, -by) } else { (run, by) };
    // Whatever fits on a wall fits 64 bits; the wide form is for shapes that no wall has.
    let steps = match rise.checked_mul(by) {
        Some(product) if up => -(-product).div_euclid(run),
        Some(product) => product.div_euclid(run),
        None => wide_steps(rise, by, run, up),
    };
    a.1.saturating_add(steps)
}

fn wide_steps(rise: i64, by: i64, run: i64, up: bool) -> i64 {
    let (product, run) = (i128::from(rise) * i128::from(by), i128::from(run));
    let steps = if up {
        -(-product).div_euclid(run)
    } else {
        product.div_euclid(run)
    };
    i64::try_from(steps).unwrap_or(0)
}

impl Trap {
    fn low_at(&self, x: i64) -> i64 {
        interpolate((self.left, self.low.0), (self.right, self.low.1), x, false)
    }

    fn high_at(&self, x: i64) -> i64 {
        interpolate((self.left, self.high.0), (self.right, self.high.1), x, true)
    }

    /// Left, right, bottom and top of what lies in a cell.
    fn clipped(&self, left: i64, right: i64, bottom: i64, top: i64) -> Option<[i64; 4]> {
        let (lowest, highest) = (self.low.0.min(self.low.1), self.high.0.max(self.high.1));
        if lowest >= top || highest <= bottom {
            return None;
        }
        let (l, r) = (self.left.max(left), self.right.min(right));
        if self.low.0.max(self.low.1) <= bottom && self.high.0.min(self.high.1) >= top {
            return Some([l, r, bottom, top]);
        }
        if (l, r) == (self.left, self.right) && lowest >= bottom && highest <= top {
            return (highest - lowest > NOTHING).then_some([l, r, lowest, highest]);
        }
        let (l, r) = self.between(left, right, bottom, top)?;
        let low = self.low_at(l).min(self.low_at(r)).max(bottom);
        let high = self.high_at(l).max(self.high_at(r)).min(top);
        (high - low > NOTHING).then_some([l, r, low, high])
    }

    /// The stretch of a level line inside.
    fn crossed_at(&self, y: i64, left: i64, right: i64) -> Option<(i64, i64)> {
        self.between(left, right, y, y)
    }

    /// The stretch of a column over which the lower edge stays below `top` and the upper edge above `bottom`.
    fn between(&self, left: i64, right: i64, bottom: i64, top: i64) -> Option<(i64, i64)> {
        let (l, r) = (self.left.max(left), self.right.min(right));
        let (l, r) = shortened(l, r, (self.low_at(l), self.low_at(r)), top)?;
        // Mirrored, the upper edge is cut by the bottom in the same way.
        shortened(l, r, (-self.high_at(l), -self.high_at(r)), -bottom)
    }
}

/// Shortens a stretch to where a line between two values stays below a limit, rounded outwards.
fn shortened(l: i64, r: i64, values: (i64, i64), limit: i64) -> Option<(i64, i64)> {
    let (from, to) = match (values.0 < limit, values.1 < limit) {
        (true, true) => (l, r),
        (false, false) => return None,
        (true, false) => (l, interpolate((values.0, l), (values.1, r), limit, true)),
        (false, true) => (interpolate((values.1, r), (values.0, l), limit, false), r),
    };
    (from < to).then_some((from, to))
}

/// Joins stretches that touch or overlap.
fn merged(mut spans: Vec<(i64, i64)>) -> Vec<Chord> {
    spans.retain(|(from, to)| to - from > NOTHING);
    spans.sort_unstable();
    let mut whole: Vec<(i64, i64)> = Vec::new();
    for (from, to) in spans {
        match whole.last_mut() {
            Some(last) if from <= last.1 + NOTHING => last.1 = last.1.max(to),
            Some(_) | None => whole.push((from, to)),
        }
    }
    whole
        .iter()
        .map(|&(from, to)| Chord {
            from: Length::steps(from),
            to: Length::steps(to),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::arc::segment_arch;

    fn mm(value: i64) -> Length {
        Length::whole_mm(value)
    }

    fn rect(x: i64, y: i64, width: i64, height: i64) -> Rect {
        Rect {
            x: mm(x),
            y: mm(y),
            width: mm(width),
            height: mm(height),
        }
    }

    fn wall_with_window() -> Slabs {
        let wall = Region::of_ring(&rect(0, 0, 4000, 3000).ring());
        Slabs::new(&wall.difference(&Region::of_ring(&rect(1000, 1000, 500, 800).ring())))
    }

    #[test]
    fn a_column_behind_a_window_has_two_runs() {
        let slabs = wall_with_window();
        let runs = slabs.runs(mm(1100), mm(1400));
        assert_eq!(
            runs,
            [
                Chord {
                    from: mm(0),
                    to: mm(1000)
                },
                Chord {
                    from: mm(1800),
                    to: mm(3000)
                }
            ]
        );
        assert_eq!(
            slabs.runs(mm(900), mm(1400)),
            [Chord {
                from: mm(0),
                to: mm(3000)
            }]
        );
        assert_eq!(slabs.runs(mm(4000), mm(4400)), []);
    }

    #[test]
    fn a_cell_is_trimmed_to_what_it_covers() {
        let slabs = wall_with_window();
        assert_eq!(
            slabs.bounds(&rect(1000, 900, 500, 600)),
            Some(rect(1000, 900, 500, 100))
        );
        assert_eq!(slabs.bounds(&rect(1100, 1100, 300, 300)), None);
        assert_eq!(
            slabs.bounds(&rect(3900, 2900, 600, 600)),
            Some(rect(3900, 2900, 100, 100))
        );
    }

    #[test]
    fn a_slope_is_cut_where_it_meets_the_cell() {
        let triangle = vec![
            Point::new(mm(0), mm(0)),
            Point::new(mm(1000), mm(0)),
            Point::new(mm(0), mm(1000)),
        ];
        let slabs = Slabs::new(&Region::of_ring(&triangle));
        assert_eq!(
            slabs.bounds(&rect(500, 250, 600, 600)),
            Some(rect(500, 250, 250, 250))
        );
        assert_eq!(slabs.level_length(mm(400), mm(0), mm(2000)), mm(600));
        assert_eq!(slabs.upright_length(mm(400), mm(100), mm(2000)), mm(500));
    }

    #[test]
    fn slabs_agree_with_clipping() {
        let lunette = Region::of_ring(&segment_arch(mm(4000), mm(1500), mm(0))).offset(mm(50));
        let slabs = Slabs::new(&lunette);
        for x in (-50..4000).step_by(370) {
            for y in (-50..1600).step_by(290) {
                let cell = rect(x, y, 400, 300);
                let clipped = lunette.clip(&cell).bounds();
                let quick = slabs.bounds(&cell);
                assert_eq!(clipped.is_some(), quick.is_some(), "{cell:?}");
                if let (Some(a), Some(b)) = (clipped, quick) {
                    assert!(
                        (a.x - b.x).abs() <= Length::steps(50)
                            && (a.top() - b.top()).abs() <= Length::steps(50),
                        "{a:?} {b:?}"
                    );
                }
            }
        }
    }
}
