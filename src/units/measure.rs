//! Areas, masses, volumes and temperatures: physical estimates, so binary fractions with a unit in the type.

use std::iter::Sum;
use std::ops::Add;
use std::ops::AddAssign;
use std::ops::Sub;

/// Defines a measure on `f64` with addition, scaling and a pair of unit functions.
macro_rules! measure {
    ($(#[$doc:meta])* $name:ident, $unit:ident, $reader:ident, $words:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// Nothing.
            pub const ZERO: Self = Self(0.0);

            #[doc = concat!("Makes the measure from ", $words, ".")]
            pub const fn $unit(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("Returns the measure in ", $words, ".")]
            pub const fn $reader(self) -> f64 {
                self.0
            }

            /// Returns the measure scaled by a plain factor.
            #[must_use]
            pub fn times(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                items.fold(Self::ZERO, |total, item| total + item)
            }
        }
    };
}

measure!(
    /// An area.
    Area, m2, to_m2, "square metres"
);
measure!(
    /// A mass.
    Mass, g, to_g, "grams"
);
measure!(
    /// A volume of liquid.
    Volume, ml, to_ml, "millilitres"
);

impl Mass {
    /// Makes the mass from kilograms.
    pub const fn kg(kg: f64) -> Self {
        Self(kg * 1_000.0)
    }

    /// Returns the mass in kilograms.
    pub const fn to_kg(self) -> f64 {
        self.0 / 1_000.0
    }
}

/// A temperature.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Temperature(f64);

impl Temperature {
    /// Makes the temperature from degrees Celsius.
    pub const fn celsius(degrees: f64) -> Self {
        Self(degrees)
    }

    /// Makes the temperature from degrees Fahrenheit.
    pub const fn fahrenheit(degrees: f64) -> Self {
        Self((degrees - 32.0) / 1.8)
    }

    /// Returns degrees Celsius.
    pub const fn to_celsius(self) -> f64 {
        self.0
    }

    /// Returns kelvin.
    pub const fn to_kelvin(self) -> f64 {
        self.0 + 273.15
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kilograms_and_grams() {
        assert_eq!(Mass::kg(2.5), Mass::g(2_500.0));
        assert_eq!(Mass::g(1_250.0).to_kg(), 1.25);
    }

    /// Fixed points: water freezes at 0 °C, 32 °F, 273.15 K (BIPM, SI Brochure, 9th edition, 2.3.1, for the kelvin).
    #[test]
    fn scales_of_temperature_meet() {
        assert_eq!(Temperature::fahrenheit(32.0).to_celsius(), 0.0);
        assert!((Temperature::fahrenheit(212.0).to_celsius() - 100.0).abs() < 1e-12);
        assert_eq!(Temperature::celsius(0.0).to_kelvin(), 273.15);
        assert_eq!(Temperature::celsius(20.0).to_kelvin(), 293.15);
    }
}
