//! Physical data: solvents, what bending paint takes, and the layers of a painting.

use crate::units::Length;
use crate::units::Temperature;

/// Physical, fire and exposure data of a solvent, each group with its source.
#[derive(Clone, Debug, PartialEq)]
pub struct Solvent {
    /// The id that materials use.
    pub id: String,
    /// The solvent's name.
    pub name: String,
    /// Molar mass in g/mol.
    pub molar_mass: f64,
    /// Density at 20 °C in g/ml.
    pub density: f64,
    /// Antoine constants for `log10(P/Pa) = A - B/(T/K + C)`.
    pub antoine: [f64; 3],
    /// Boiling point in °C.
    pub boiling_c: Option<f64>,
    /// Flash point in °C; none if it does not burn.
    pub flash_c: Option<f64>,
    /// Lower explosive limit in percent by volume; none if it does not burn.
    pub lower_explosive_percent: Option<f64>,
    /// The exposure limit to plan with, in ppm over a shift; none for water.
    pub limit_ppm: Option<f64>,
    /// Which limit that is, with its source and year.
    pub limit_source: String,
    /// Where the physical data come from.
    pub source: String,
}

/// What bending a class of paint takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Strain {
    /// The most strain in the paint.
    pub limit: f64,
    /// The factor by which the computed strain must stay under the limit.
    pub reserve: f64,
    /// The least diameter that common practice allows.
    pub floor: Length,
    /// The most turns on one drum.
    pub turns: f64,
    /// Where a source says so: in the cold the paint takes less.
    pub cold: Option<Cold>,
    /// Where the limit comes from.
    pub source: String,
}

/// What a class of paint takes below a temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cold {
    /// Below this temperature the lower limit holds.
    pub below: Temperature,
    /// The most strain in the paint there.
    pub limit: f64,
}

/// A layer of the painting itself where a panel row says nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerClass {
    /// Thickness.
    pub thickness: Length,
    /// Elastic modulus in MPa.
    pub modulus: f64,
    /// Density in g/ml.
    pub density: f64,
    /// Where the values come from.
    pub source: String,
}
