//! One step of a treatment, with everything the planner needs to know of it.

use crate::catalog::Per;
use crate::catalog::Use;
use crate::catalog::choices;
use crate::units::Length;
use crate::units::Percent;

use super::steps::StepKind;

choices! {
    /// Which way sheets run.
    Direction {
        /// Whichever buys less.
        Auto = "auto",
        /// Long side up.
        Upright = "upright",
        /// Long side across.
        Level = "level",
    }
}

choices! {
    /// In which order the sheets of a layer are laid.
    Laying {
        /// From the top down, each height from left to right.
        TopDown = "top-down",
        /// From the middle of the layer outwards.
        MiddleOut = "middle-out",
    }
}

choices! {
    /// Where a step is done.
    PlaceRole {
        /// At the wall.
        Site = "site",
        /// In the studio.
        Studio = "studio",
    }
}

choices! {
    /// Whether a step may begin before the step above it is done on the same panel.
    Order {
        /// After the step above, on the same panel.
        Panel = "panel",
        /// After the step above is done on all panels of the job.
        All = "all",
    }
}

choices! {
    /// At which hours a step may be done.
    When {
        /// In all working hours.
        Any = "any",
        /// In daylight.
        Daylight = "daylight",
        /// In the cool hours.
        Cool = "cool",
    }
}

/// Person-minutes at a rate.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// Person-minutes a unit.
    pub minutes: f64,
    /// The unit.
    pub per: Per,
    /// The catalogue's rate that it came from, if not written in the recipe itself.
    pub rate: Option<String>,
}

/// One step of a treatment.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The id within the recipe.
    pub id: String,
    /// What is done, in words for the day sheet.
    pub name: String,
    /// The kind of step.
    pub kind: StepKind,
    /// The sheet or roll that is laid.
    pub material: Option<String>,
    /// The solution that is brushed on.
    pub solution: Option<String>,
    /// Least overlap of neighbouring sheets.
    pub overlap: Length,
    /// How far the layer goes past the panel's outline; negative stays inside.
    pub margin: Length,
    /// How far the layer laps into openings.
    pub opening_lap: Length,
    /// Least distance of its seams from seams that run alike in the layer below.
    pub seam_distance: Length,
    /// Least distance of its upright seams from the canvas's own.
    pub canvas_seam_distance: Length,
    /// The longest that a piece may be, so that a person can handle it; none if only the stock limits it.
    pub longest_piece: Option<Length>,
    /// In which order its sheets are laid.
    pub laying: Laying,
    /// What each piece is cut larger than what it covers, on each side that is trimmed.
    pub trim: Length,
    /// Which way its sheets run.
    pub direction: Direction,
    /// Solution brushed on, in g/m² of sheet laid (of panel, where none is laid).
    pub spread: Option<f64>,
    /// Loss on solution and on what is used by area.
    pub waste: Percent,
    /// The work.
    pub work: Vec<Work>,
    /// The skill that everyone on it must have.
    pub skill: String,
    /// Fewest and most people at once.
    pub crew: (u32, u32),
    /// How many people's work each crew does, from the fewest to the most people; empty if everyone does a whole share.
    pub speed: Vec<f64>,
    /// At which hours it may be done.
    pub when: When,
    /// Minutes to dry at 20 °C and 50 % humidity before the next step.
    pub drying_minutes: u32,
    /// Minutes at 20 °C and 50 % before the facing may be loaded or rolled; at least the drying time.
    pub cures_minutes: u32,
    /// Whether it must be finished within one working day.
    pub same_day: bool,
    /// Whether it may stand over breaks and nights.
    pub pausable: bool,
    /// The ids of the steps above that must be done on the same panel before it, all of which it waits for; where it does not say, it waits
    /// for the step above. An empty list waits for nothing.
    pub after: Option<Vec<String>>,
    /// The longest time on the clock from the end of what it follows to the start of this one.
    pub within_minutes: Option<u32>,
    /// Whether it waits for one panel or for all.
    pub order: Order,
    /// Equipment that it holds, with how many.
    pub equipment: Vec<(String, u32)>,
    /// What else it uses up.
    pub uses: Vec<Use>,
    /// Where it is done.
    pub place: PlaceRole,
}
