//! Which phases are worth trying.

use crate::geometry::Chord;
use crate::geometry::Slabs;
use crate::units::Length;

/// Pairs of a phase across the columns and a rise along them, each pair once.
pub(super) fn pairs(slabs: &Slabs, across: Length, along: Length, overlap: Length, grid: u32) -> Vec<(Length, Length)> {
    let widths = slabs.widths();
    let bounds = Chord {
        from: widths.first().map_or(Length::ZERO, |chord| chord.from),
        to: widths.last().map_or(Length::ZERO, |chord| chord.to),
    };
    let across_phases = phases(bounds, across, overlap, slabs.uprights(), grid);
    let runs = slabs.runs(bounds.from, bounds.to);
    let tallest = runs.iter().map(|run| run.to - run.from).max().unwrap_or_default();
    let rises = phases(Chord { from: Length::ZERO, to: tallest }, along, overlap, &[], grid / 4);
    let pair = |phase: &Length| rises.iter().map(|rise| (*phase, *rise)).collect::<Vec<_>>();
    across_phases.iter().flat_map(pair).collect()
}

/// Phases within a period: flush left, centred, flush right, a grid between, and those that bring a sheet's edge to an
/// upright edge of the region, such as a door's jamb.
fn phases(stretch: Chord, size: Length, overlap: Length, edges: &[Length], grid: u32) -> Vec<Length> {
    let step = size - overlap;
    let length = stretch.to - stretch.from;
    if length <= size || !step.is_positive() {
        return vec![Length::ZERO];
    }
    let spare = remainder(step - remainder(length - overlap, step), step);
    let mut found = vec![Length::ZERO, spare.half(), spare];
    found.extend((1..=grid).map(|number| step.times(f64::from(number) / f64::from(grid + 1))));
    let most = usize::try_from(grid).unwrap_or(usize::MAX);
    for edge in edges.iter().take(most) {
        found.push(remainder(stretch.from + size - *edge, step));
        found.push(remainder(stretch.from - *edge, step));
    }
    // A first column that reaches hardly past its overlap is a sliver.
    found.retain(|phase| *phase < step - overlap);
    found.sort_unstable();
    found.dedup();
    found
}

fn remainder(length: Length, step: Length) -> Length {
    Length::steps(length.to_steps().rem_euclid(step.to_steps().max(1)))
}
