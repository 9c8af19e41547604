//! What rolling hands on.

use crate::takeoff::Need;
use crate::units::Length;
use crate::units::Mass;
use crate::units::Money;

/// Drums with their panels, panels that stay flat, and what all of it needs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rolling {
    /// How each panel bends, an entry a panel of the survey.
    pub bending: Vec<Option<Bending>>,
    /// The drums, `D1`, `D2` ….
    pub drums: Vec<Drum>,
    /// Panels that may not be rolled, or that no tube serves.
    pub flats: Vec<Flat>,
    /// What the drums cost together, and how sure it is that nothing costs less.
    pub choice: Choice,
    /// How tubes are cut from stock lengths.
    pub tube_cuts: Vec<TubeCut>,
    /// Tubes, interleaf, padding, covers and whatever else drums take.
    pub needs: Vec<Need>,
}

/// The cost of a choice of drums: tubes, what goes on and with each drum, interleaf, and an estimate of their crates.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Choice {
    /// What the choice costs.
    pub cost: Money,
    /// No choice under the same rules costs less.
    pub lower_bound: Money,
    /// Whether the two have been proved to be one.
    pub proven: bool,
    /// What a pair of stands to turn the drums on costs; none where the kit names none or nothing is rolled.
    pub stands: Option<Stands>,
}

/// The pair of stands on which drums turn while paintings are rolled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stands {
    /// The price of a pair, where it can be bought.
    pub bought: Option<Money>,
    /// Its hire for a day, where it can be hired.
    pub a_day: Option<Money>,
}

impl Stands {
    /// The hire for so many days, where it can be hired.
    pub fn hired(&self, days: usize) -> Option<Money> {
        let days = u64::try_from(days).unwrap_or(u64::MAX);
        self.a_day.map(|a_day| a_day.times(days.into()))
    }

    /// Says whether hiring for so many days costs less than buying.
    pub fn is_hired(&self, days: usize) -> bool {
        match (self.bought, self.hired(days)) {
            (Some(bought), Some(hired)) => hired < bought,
            (None, Some(_)) => true,
            (_, None) => false,
        }
    }
}

/// What decided a least diameter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Governs {
    /// The strain in the paint.
    Strain,
    /// The common-practice floor of the class.
    Floor,
}

/// How a panel's paint is strained on a drum.
#[derive(Clone, Debug, PartialEq)]
pub struct Bending {
    /// The least diameter of drum.
    pub least_diameter: Length,
    /// What decided it.
    pub governs: Governs,
    /// The most strain in the paint that its class allows, before the reserve.
    pub limit: f64,
    /// The reserve factor.
    pub reserve: f64,
    /// Whether the cold at the place has lowered the limit.
    pub cold: bool,
    /// The common-practice floor.
    pub floor: Length,
    /// The least diameter by strain alone.
    pub by_strain: Length,
    /// The neutral axis above the reverse, all layers bonded.
    pub neutral_axis: Length,
    /// The paint's outer face above the reverse.
    pub paint_face: Length,
    /// Distance from the axis that strains the paint most, the worse of bonded and slipping layers.
    pub lever: Length,
    /// Thickness of the whole, facing included.
    pub thickness: Length,
    /// Mass an area of the whole, facing included, in g/m².
    pub grams_per_m2: f64,
}

/// A drum and what is on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Drum {
    /// `D1`, `D2` ….
    pub id: String,
    /// The tube material's id.
    pub tube: String,
    /// Outer diameter of the tube.
    pub diameter: Length,
    /// Length of the tube's face.
    pub face: Length,
    /// The least diameter of all panels on it.
    pub least_diameter: Length,
    /// The strain in the paint of the panel whose limit it comes nearest to.
    pub strain: f64,
    /// That panel's limit.
    pub strain_limit: f64,
    /// That panel's reserve factor.
    pub reserve: f64,
    /// The most turns of any panel on it.
    pub turns: f64,
    /// Diameter over the finished roll.
    pub outside_diameter: Length,
    /// Tube, paintings and what is wound in.
    pub mass: Mass,
    /// Sag between bearings at the ends.
    pub deflection: Length,
    /// How hard the tube is used on its bearings.
    pub loads: Loads,
    /// The panels, from one end of the face to the other. Where the job gives turns at the destination, this is the order in which they are
    /// rolled, what is needed first last; else the schedule decides.
    pub panels: Vec<Rolled>,
}

/// How hard a drum's tube is used while it hangs in two bearings at its ends.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Loads {
    /// Bending stress in the tube's wall at mid-span, in MPa.
    pub stress: f64,
    /// The most that may be used for storage, in MPa.
    pub stress_limit: f64,
    /// Load on each bearing in N.
    pub bearing: f64,
    /// Load across the tube where it lies on its line, in N/mm, with the most that may be used; none where the catalogue gives none.
    pub crush: Option<(f64, f64)>,
    /// Force at the rim that turns the drum in its bearings, in N.
    pub turning: f64,
}

/// A panel on a drum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rolled {
    /// The panel, an index of the survey.
    pub panel: usize,
    /// Whether its width is wound up (its height lies along the drum).
    pub along_width: bool,
    /// Its turns.
    pub turns: f64,
    /// The strain in its paint in the first turn.
    pub strain: f64,
    /// The strain in its paint in the last turn.
    pub last_strain: f64,
    /// Where it begins on the face, from one end.
    pub start: Length,
    /// How much of the face it takes.
    pub across: Length,
}

/// A panel that comes off the wall and stays flat.
#[derive(Clone, Debug, PartialEq)]
pub struct Flat {
    /// The panel, an index of the survey.
    pub panel: usize,
    /// Why, in a sentence.
    pub why: String,
    /// What would let it be rolled, in sentences.
    pub instead: Vec<String>,
    /// Thickness of the whole, facing included.
    pub thickness: Length,
    /// Mass an area of the whole, facing included, in g/m².
    pub grams_per_m2: f64,
}

/// One stock tube and the drum faces cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TubeCut {
    /// The tube material's id.
    pub material: String,
    /// Its number within the material, from 1.
    pub stock: u64,
    /// The stock length.
    pub length: Length,
    /// Drum ids and face lengths, in cutting order.
    pub pieces: Vec<(String, Length)>,
}
