//! What goes with every drum and crate, and what any step uses up.

use crate::units::Length;
use crate::units::Mass;
use crate::units::Percent;

use super::condition::choices;

choices! {
    /// What a rate is counted by.
    Per {
        /// Square metre of the panel (of sheet laid, where the step lays any).
        M2 = "m2",
        /// Metre of the panel's outer edge.
        MEdge = "m-edge",
        /// Panel.
        Panel = "panel",
        /// Drum.
        Drum = "drum",
        /// Crate.
        Crate = "crate",
        /// Person-hour of the step's work.
        PersonHour = "person-hour",
        /// Person and day on which they work at the step.
        PersonDay = "person-day",
        /// Mixed batch of the step's solution.
        Batch = "batch",
        /// The whole job, once.
        Job = "job",
    }
}

choices! {
    /// Which way the paint faces on its drum.
    #[derive(Default)]
    PaintSide {
        /// Outwards: the paint is stretched, never creased (common practice).
        #[default]
        Out = "out",
        /// Inwards: the paint is pressed.
        In = "in",
    }
}

/// A material used up at a rate.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    /// The material's id.
    pub material: String,
    /// How much in the material's unit (for rolls used by area or edge: square metres or metres of material).
    pub rate: f64,
    /// What the rate is counted by.
    pub per: Per,
}

/// What goes on and with every drum.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DrumKit {
    /// Which way the paint faces.
    pub paint: PaintSide,
    /// Free face at each end beyond the painting.
    pub end_margin: Length,
    /// Unpainted leader and tail along the roll, each.
    pub leader: Length,
    /// Roll material wound in between turns.
    pub interleaf: Option<String>,
    /// How far the interleaf stands out beyond the painting on every side.
    pub interleaf_margin: Length,
    /// Board or roll material that pads the tube's face.
    pub padding: Option<String>,
    /// Roll material that covers tube and finished roll, one wrap each.
    pub cover: Option<String>,
    /// How much looser than its thickness the roll is wound.
    pub looseness: Percent,
    /// The most sag allowed between bearings, as a fraction of the face length.
    pub sag_limit: f64,
    /// The share of the tube's strength that may be used for storage.
    pub stress_share: f64,
    /// Saw cut between two tubes of one stock length.
    pub kerf: Length,
    /// Diameter of the bar on which the drum turns.
    pub bar: Length,
    /// The pair of bearing stands on which drums turn while they are rolled, if it is bought.
    pub stand: Option<String>,
    /// The same pair hired for a day.
    pub stand_hire: Option<String>,
    /// Whatever else each drum takes.
    pub uses: Vec<Use>,
}

/// What every crate is built from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CrateKit {
    /// Space between roll and boards on every side.
    pub clearance: Length,
    /// Space between the drum's end and the end board, for the cradle.
    pub end_clearance: Length,
    /// Board for the six faces.
    pub board: String,
    /// Timber for battens and skids.
    pub batten: String,
    /// Greatest distance between battens round the crate.
    pub batten_spacing: Length,
    /// Timber for skids; battens where none is named.
    pub skid: Option<String>,
    /// Foam board for cradles, cushions and pads.
    pub foam: String,
    /// Board that carries a flat panel; the crate's board where none is named.
    pub support: Option<String>,
    /// How far the support stands out beyond a flat panel on every side, for the facing's flaps and the collar.
    pub support_margin: Length,
    /// Roll material that lines the boards inside.
    pub lining: Option<String>,
    /// Roll material that keeps water vapour out.
    pub barrier: Option<String>,
    /// Saw cut.
    pub kerf: Length,
    /// Material that steadies humidity, with grams a cubic metre inside.
    pub buffer: Option<(String, f64)>,
    /// Screw, with pieces a metre of board edge.
    pub screw: Option<(String, f64)>,
    /// Bolt of the lid, with pieces a metre of its edge; screws where none is named.
    pub bolt: Option<(String, f64)>,
    /// The most drums or flat panels in one crate; one where it is nought.
    pub most_together: u32,
    /// The most that a crate with several drums or flat panels may weigh; a crate with one may weigh more.
    pub heaviest_together: Mass,
    /// Whatever else each crate takes.
    pub uses: Vec<Use>,
}
