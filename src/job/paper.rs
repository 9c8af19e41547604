//! The paper that a job's outputs are printed on.

use crate::units::LengthUnit;

/// Paper sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm.
    A4,
    /// 8½ × 11 in.
    Letter,
}

impl Paper {
    /// The words that a job may write.
    pub(super) const NAMES: &'static [&'static str] = &["a4", "letter"];

    /// The paper of a name, else the one that is usual where people measure in the unit.
    pub(super) fn named(name: Option<&str>, unit: LengthUnit) -> Self {
        match name {
            Some("a4") => Self::A4,
            Some("letter") => Self::Letter,
            _ if unit.is_imperial() => Self::Letter,
            _ => Self::A4,
        }
    }
}
