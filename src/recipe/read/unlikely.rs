//! What a step can say and seldom means: warnings.

use crate::diag::Problems;
use crate::input::Section;
use crate::recipe::Step;
use crate::units::Length;
use crate::units::usual;

use rust_decimal::prelude::ToPrimitive;

const MINUTES_A_DAY: f64 = 24.0 * 60.0;

/// Warns of spreads, overlaps, waste and drying times beyond what is usual.
pub(super) fn step(section: &Section<'_>, step: &Step, problems: &mut Problems) {
    let mut doubt = |key, value, usual| section.field(key).doubt(Some(value), usual, problems);
    let length = |length: Length| length.to_mm();
    if let Some(spread) = step.spread {
        doubt("spread", spread, usual::SPREAD);
    }
    doubt("overlap", length(step.overlap), usual::OVERLAP);
    doubt("opening_lap", length(step.opening_lap), usual::OVERLAP);
    doubt(
        "waste",
        step.waste.value().to_f64().unwrap_or(0.0),
        usual::WASTE,
    );
    doubt(
        "drying",
        f64::from(step.drying_minutes) / MINUTES_A_DAY,
        usual::DRYING,
    );
}
