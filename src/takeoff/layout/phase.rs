//! Which phases are worth trying.

use crate::geometry::Chord;
use crate::geometry::Slabs;
use crate::units::Length;

/// Phases across the columns.
pub(super) fn across(slabs: &Slabs, across: Length, overlap: Length, grid: u32) -> Vec<Length> {
    phases(whole(slabs), across, overlap, slabs.uprights(), grid)
}

/// Phases along the columns, nought first.
pub(super) fn along(slabs: &Slabs, along: Length, overlap: Length, grid: u32) -> Vec<Length> {
    let Chord { from, to } = whole(slabs);
    let tallest = slabs
        .runs(from, to)
        .iter()
        .map(|run| run.to - run.from)
        .max()
        .unwrap_or_default();
    phases(
        Chord {
            from: Length::ZERO,
            to: tallest,
        },
        along,
        overlap,
        &[],
        grid / 2,
    )
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

/// Phases within a period: flush left, centred, flush right, a grid between, and those that bring a sheet's edge to an
/// upright edge of the region, such as a door's jamb.
fn phases(
    stretch: Chord,
    size: Length,
    overlap: Length,
    edges: &[Length],
    grid: u32,
) -> Vec<Length> {
    let step = size - overlap;
    let length = stretch.to - stretch.from;
    if length <= size || !step.is_positive() {
        return vec![Length::ZERO];
    }
    let spare = remainder(step - remainder(length - overlap, step), step);
    let mut found = vec![Length::ZERO, spare.half(), spare];
    found.extend((1..=grid).map(|number| step.times(f64::from(number) / f64::from(grid + 1))));
    let most = usize::try_from(grid / 2).unwrap_or(usize::MAX);
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
