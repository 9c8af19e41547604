//! How hard to search for a layout.

use super::Frames;

/// How hard to search: all limits are counts, so that the same job gives the same layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::takeoff) struct Search {
    /// How many phases are tried across, besides those that follow from the shape.
    pub phases: u32,
    /// How many directions of sheets and lines are looked at beyond the first try.
    pub sides: usize,
    /// How many stacks are kept from layer to layer.
    pub stacks: usize,
}

impl Search {
    /// The search that a number of distinct panels leaves time for.
    pub(in crate::takeoff) const fn within_means(panels: usize) -> Self {
        let (phases, sides, stacks) = match panels {
            0..=8 => (12, 4, 3),
            9..=60 => (8, 4, 2),
            61..=400 => (4, 4, 1),
            401..=2_000 => (2, 4, 1),
            _ => (0, 1, 1),
        };
        Self {
            phases,
            sides,
            stacks,
        }
    }

    /// The same, lessened where a shape has so many corners that every try takes long.
    pub(in crate::takeoff) fn for_shape(self, frames: &Frames) -> Self {
        let (phases, sides) = match frames.upright.len().max(frames.level.len()) {
            0..=2_000 => return self,
            2_001..=50_000 => (self.phases.min(3), self.sides),
            _ => (0, 1),
        };
        Self {
            phases,
            sides,
            stacks: 1,
        }
    }
}
