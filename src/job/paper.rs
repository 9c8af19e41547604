//! The paper that a job's outputs are printed on.

use crate::units::LengthUnit;
use crate::units::Locale;

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

    /// The paper of a name, else the one that is usual in the country, else where people measure in the unit.
    pub(super) fn named(name: Option<&str>, locale: Option<Locale>, unit: LengthUnit) -> Self {
        let letter = match name {
            Some("a4") => false,
            Some("letter") => true,
            _ => locale.map_or_else(|| unit.is_imperial(), |locale| locale.letter),
        };
        if letter { Self::Letter } else { Self::A4 }
    }
}
