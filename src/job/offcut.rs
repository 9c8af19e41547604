//! Part sheets and roll ends on the shelf.

use crate::units::Length;

/// Offcuts of one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offcut {
    /// The material's id.
    pub material: String,
    /// Size along the width of a whole sheet or roll.
    pub width: Length,
    /// Size along the length of a whole sheet or roll.
    pub length: Length,
    /// How many there are.
    pub count: u64,
}
