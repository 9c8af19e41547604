//! Dimension lines: a thin line between two ticks, its length in words beside it.

use super::Figure;
use super::Type;
use super::text_width;

/// Type of dimensions: 8 points and a little.
const FACE: Type = Type::bold(2.9);
const WEIGHT: f64 = 0.18;
/// Half of a tick.
const TICK: f64 = 1.1;
/// Between line and words.
const GAP: f64 = 0.9;

impl Figure {
    /// Marks a level length between two x, the line at a y, its words above it.
    pub(crate) fn level_dimension(&mut self, (from, to): (f64, f64), y: f64, words: &str) {
        self.line((from, y), (to, y), WEIGHT);
        for x in [from, to] {
            self.line((x - TICK, y + TICK), (x + TICK, y - TICK), WEIGHT);
        }
        let half = text_width(words, FACE.size, FACE.bold) / 2.0;
        let x = f64::midpoint(from, to).clamp(half, (self.width - half).max(half));
        self.centre((x, y - GAP), FACE, words);
    }

    /// Marks an upright length between two y, the line at an x, its words left of it and read upwards.
    pub(crate) fn upright_dimension(&mut self, (from, to): (f64, f64), x: f64, words: &str) {
        self.line((x, from), (x, to), WEIGHT);
        for y in [from, to] {
            self.line((x - TICK, y + TICK), (x + TICK, y - TICK), WEIGHT);
        }
        let half = text_width(words, FACE.size, FACE.bold) / 2.0;
        let y = f64::midpoint(from, to).clamp(half, (self.height - half).max(half));
        self.turn((x - GAP, y), FACE, words);
    }
}
