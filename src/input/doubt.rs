//! A value that can be right and seldom is: said aloud, and planned all the same.

use crate::diag::Problems;
use crate::units::Bound;

use super::field::Field;

impl Field<'_> {
    /// Warns of a value outside what is usual; the value is in the bound's unit, none where nothing could be read.
    pub fn doubt(&self, value: Option<f64>, usual: Bound, problems: &mut Problems) {
        if value.is_none_or(|value| usual.holds(value)) {
            return;
        }
        self.warning(
            format!("`{}` is unusual: {}", self.shown(), usual.usual()),
            "check the number and its unit; leave it if it is right",
            problems,
        );
    }
}
