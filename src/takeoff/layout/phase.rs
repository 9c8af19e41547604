//! Which ways of lining sheets up are worth trying.

use crate::geometry::Chord;
use crate::geometry::Slabs;
use crate::units::Length;

use super::cover::Start;

/// Ways across the columns, flush first.
pub(super) fn across(slabs: &Slabs, across: Length, overlap: Length, grid: u32) -> Vec<Start> {
    starts(whole(slabs), across, overlap, slabs.uprights(), grid)
}

/// Ways along the columns, flush first.
pub(super) fn along(slabs: &Slabs, along: Length, overlap: Length, grid: u32) -> Vec<Start> {
    let Chord { from, to } = whole(slabs);
    let tallest = slabs
        .runs(from, to)
        .iter()
        .map(|run| run.to - run.from)
        .max()
        .unwrap_or_default();
    let stretch = Chord {
        from: Length::ZERO,
        to: tallest,
    };
    starts(stretch, along, overlap, &[], grid / 2)
}

/// The region from its left to its right end.
fn whole(slabs: &Slabs) -> Chord {
    let widths = slabs.widths();
    let from = widths.first().map_or(Length::ZERO, |chord| chord.from);
    Chord {
        from,
        to: widths.last().map_or(from, |chord| chord.to),
    }
}

/// Flush left and right, from the middle, even sizes, even overlaps, a grid between, and those that bring a sheet's edge
/// to an upright edge of the region, such as a door's jamb.
fn starts(
    stretch: Chord,
    size: Length,
    overlap: Length,
    edges: &[Length],
    grid: u32,
) -> Vec<Start> {
    let step = size - overlap;
    let length = stretch.to - stretch.from;
    if length <= size || !step.is_positive() {
        return vec![Start::Out(Length::ZERO)];
    }
    let mut phases = vec![remainder(step - remainder(length - overlap, step), step)];
    phases.extend((1..=grid).map(|number| step.times(f64::from(number) / f64::from(grid + 1))));
    let most = usize::try_from(grid / 2).unwrap_or(usize::MAX);
    for edge in edges.iter().take(most) {
        phases.push(remainder(stretch.from + size - *edge, step));
        phases.push(remainder(stretch.from - *edge, step));
    }
    // A first column that reaches hardly past its overlap is a sliver.
    phases.retain(|phase| phase.is_positive() && *phase < step - overlap);
    phases.sort_unstable();
    phases.dedup();
    let even = [Start::Alike, Start::MiddleSheet, Start::MiddleSeam];
    let mut found = vec![Start::Out(Length::ZERO)];
    found.extend(even);
    if grid > 0 {
        found.push(Start::Wider);
    }
    found.extend(phases.into_iter().map(Start::Out));
    found
}

fn remainder(length: Length, step: Length) -> Length {
    Length::steps(length.to_steps().rem_euclid(step.to_steps().max(1)))
}
