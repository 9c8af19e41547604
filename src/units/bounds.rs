//! Limits on numbers that a person may write, those that several readers share: name, least, most, reason.

/// A range that an input number must lie in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bound {
    /// What the number is, in words.
    pub name: &'static str,
    /// The least allowed.
    pub least: f64,
    /// The most allowed.
    pub most: f64,
    /// The unit of both, in words.
    pub unit: &'static str,
}

impl Bound {
    /// Says whether a number lies in the range; what is not a number never does.
    pub fn holds(&self, value: f64) -> bool {
        value >= self.least && value <= self.most
    }

    /// Says in words what is allowed.
    pub fn allowed(&self) -> String {
        format!(
            "{} must be from {} to {} {}",
            self.name, self.least, self.most, self.unit
        )
        .trim_end()
        .to_owned()
    }

    /// Says in words what is usual, of a range that is no limit.
    pub fn usual(&self) -> String {
        let Self {
            name,
            least,
            most,
            unit,
        } = self;
        if *least > 0.0 {
            format!("{name} is seldom under {least} or over {most} {unit}")
        } else {
            format!("{name} is seldom over {most} {unit}")
        }
        .trim_end()
        .to_owned()
    }
}

/// Declares bounds as constants of one module.
macro_rules! bounds {
    ($(#[$about:meta])* $module:ident: $($(#[$doc:meta])* $id:ident = $name:literal, $least:literal ..= $most:literal, $unit:literal;)*) => {
        $(#[$about])*
        pub mod $module {
            use super::Bound;
            $($(#[$doc])* pub const $id: Bound = Bound { name: $name, least: $least, most: $most, unit: $unit };)*
        }
    };
}

bounds! {
    /// The limits themselves.
    bound:
    /// The widest wall we know of is a panorama of about 120 m.
    PANEL_SIDE = "a panel's width or height", 10.0..=120_000.0, "mm";
    /// Openings smaller than a switch plate are not laid around.
    OPENING_SIDE = "an opening's width or height", 10.0..=120_000.0, "mm";
    /// Identical panels on one row.
    COUNT = "count", 1.0..=10_000.0, "";
    /// Overlaps, margins, laps.
    ALLOWANCE = "an overlap, margin or lap", 0.0..=2_000.0, "mm";
    /// Stock of any kind in a catalogue.
    STOCK_SIDE = "a stock dimension", 0.001..=500_000.0, "mm";
    /// Solution brushed on.
    SPREAD = "spread", 1.0..=5_000.0, "g/m2";
    /// Waste on a material.
    WASTE = "waste", 0.0..=300.0, "%";
    /// Relative humidity.
    HUMIDITY = "humidity", 0.0..=99.0, "%";
    /// Room temperature in which people work with solutions.
    TEMPERATURE = "temperature", 1.0..=45.0, "°C";
    /// Percentages on money.
    RATE = "a percentage on money", 0.0..=200.0, "%";
    /// Working minutes of one rate.
    WORK = "work", 0.0..=100_000.0, "minutes";
    /// Drying and curing.
    DRYING = "a drying time", 0.0..=525_600.0, "minutes";
    /// People in one row.
    PEOPLE = "a number of people", 0.0..=500.0, "";
    /// Room volume.
    ROOM = "a room's volume", 1.0..=1_000_000.0, "m3";
    /// Fresh air.
    AIR = "fresh air", 0.0..=10_000_000.0, "m3/h";
    /// Mass of a painting an area.
    AREAL_MASS = "mass of the painting", 10.0..=50_000.0, "g/m2";
    /// Thickness of a painting on canvas, residue included.
    THICKNESS = "thickness of the painting", 0.05..=50.0, "mm";
    /// Elastic modulus of a layer of a painting or of a material.
    MODULUS = "a modulus", 0.001..=1_000_000.0, "MPa";
    /// Money amounts.
    MONEY = "an amount of money", 0.0..=1_000_000_000.0, "";
}

bounds! {
    /// What is usual: beyond it a number can be right, and more often has lost its unit. Common practice, as far as we know it; the
    /// catalogue's own values all lie well within.
    usual:
    /// Over two tall storeys a painting on canvas is taken down in parts.
    PANEL_HEIGHT = "a panel's height", 50.0..=20_000.0, "mm";
    /// Panoramas are wide.
    PANEL_WIDTH = "a panel's width", 50.0..=60_000.0, "mm";
    /// Canvas, ground, paint and residue of adhesive.
    THICKNESS = "the thickness of a painting on canvas", 0.2..=15.0, "mm";
    /// The same, weighed.
    AREAL_MASS = "the mass of a painting on canvas", 100.0..=15_000.0, "g/m2";
    /// A whole film is under 500 g/m2 wet.
    SPREAD = "the spread of a solution", 10.0..=1_500.0, "g/m2";
    /// Overlaps and laps are a few fingers wide.
    OVERLAP = "an overlap", 0.0..=300.0, "mm";
    /// What is spoilt, trimmed and left over.
    WASTE = "waste", 0.0..=80.0, "%";
    /// Longer, and the recipe waits for something else.
    DRYING = "a drying time", 0.0..=21.0, "days";
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIDE: Bound = Bound {
        name: "a side",
        least: 10.0,
        most: 200.0,
        unit: "mm",
    };

    #[test]
    fn a_range_holds_its_ends_and_nothing_beyond() {
        for (value, inside) in [(10.0, true), (200.0, true), (9.99, false), (200.01, false)] {
            assert_eq!(SIDE.holds(value), inside, "{value}");
        }
        assert!(!SIDE.holds(f64::NAN) && !SIDE.holds(f64::INFINITY));
    }

    #[test]
    fn ranges_are_said_in_words() {
        assert_eq!(SIDE.allowed(), "a side must be from 10 to 200 mm");
        assert_eq!(SIDE.usual(), "a side is seldom under 10 or over 200 mm");
        let share = Bound {
            name: "a share",
            least: 0.0,
            most: 80.0,
            unit: "",
        };
        assert_eq!(share.allowed(), "a share must be from 0 to 80");
        assert_eq!(share.usual(), "a share is seldom over 80");
    }
}
