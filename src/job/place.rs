//! A place of work: its hours, closed days, climate, limits and ways out.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::recipe::PlaceRole;
use crate::units::Length;
use crate::units::Temperature;
use crate::units::Volume;

/// A place of work.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// Site or studio.
    pub role: PlaceRole,
    /// Its name on the day sheet.
    pub name: String,
    /// Working hours as minutes of the day, Monday first, each sorted and apart.
    pub hours: [Vec<(u16, u16)>; 7],
    /// Days on which nobody works.
    pub closed: BTreeSet<Date>,
    /// Room temperature.
    pub temperature: Temperature,
    /// Relative humidity in percent.
    pub humidity: f64,
    /// Room volume in m³.
    pub room_m3: Option<f64>,
    /// Fresh air in m³/h.
    pub fresh_air_m3_h: Option<f64>,
    /// The most flammable liquid allowed there at once.
    pub flammable_limit: Option<Volume>,
    /// How many times longer drying takes here than a recipe's practical time at this climate; 1 if nothing is known.
    pub drying_factor: f64,
    /// Heights above the floor at which the reach from one lift of the scaffold ends and that from the next begins, from below.
    pub lifts: Vec<Length>,
    /// How far past such a height hands still reach from either side.
    pub lift_reach: Length,
    /// Doors, corners, lifts and vehicles on the way out.
    pub ways_out: Vec<WayOut>,
}

/// One thing a crate must pass.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WayOut {
    /// Its name, e.g. `west door`.
    pub name: String,
    /// What it is.
    pub kind: WayOutKind,
}

/// The kinds of way out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WayOutKind {
    /// A door: passed in any turn.
    Door {
        /// Clear width.
        width: Length,
        /// Clear height.
        height: Length,
    },
    /// A right-angled corner between two corridors.
    Corner {
        /// Width of the corridor before the corner.
        first: Length,
        /// Width of the corridor after it.
        second: Length,
        /// Clear height.
        height: Length,
    },
    /// A lift car: the crate may stand on its diagonal.
    Lift {
        /// Width inside.
        width: Length,
        /// Depth inside.
        depth: Length,
        /// Height inside.
        height: Length,
    },
    /// The inside of a vehicle.
    Vehicle {
        /// Length inside.
        length: Length,
        /// Width inside.
        width: Length,
        /// Height inside.
        height: Length,
    },
}
