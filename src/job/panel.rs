//! A panel row: shape, openings, condition, treatment.

use jiff::civil::Date;

use crate::catalog::Adhesive;
use crate::catalog::Give;
use crate::catalog::Paint;
use crate::catalog::choices;
use crate::diag::Place;
use crate::geometry::Point;
use crate::units::Length;

/// A panel's plain shape; sizes are the row's width and height.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PanelShape {
    /// A rectangle.
    Rectangle,
    /// A circular segment: span the width, rise the height.
    Lunette,
    /// A rectangle up to the springing line, a circular segment above.
    Arch {
        /// Height of the springing line above the bottom edge.
        spring: Length,
    },
    /// An ellipse.
    Ellipse,
    /// A polygon through corners, in the order written.
    Outline(Vec<Point>),
}

choices! {
    /// Which way the painting is rolled.
    RollAlong {
        /// Whichever suits the drum.
        Auto = "auto",
        /// The width is wound up; the height lies along the drum.
        Width = "width",
        /// The height is wound up; the width lies along the drum.
        Height = "height",
    }
}

/// The shape of an opening; sizes are its width and height.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OpeningShape {
    /// A rectangle.
    Rectangle,
    /// A rectangle up to the springing line, a circular segment above.
    Arch {
        /// Height of the springing line above the opening's bottom.
        spring: Length,
    },
    /// An ellipse.
    Ellipse,
}

/// A door, window or vent within a panel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opening {
    /// Its shape.
    pub shape: OpeningShape,
    /// From the panel's left edge to the opening's.
    pub left: Length,
    /// From the panel's bottom edge to the opening's.
    pub bottom: Length,
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Length,
    /// The row it was written in.
    pub at: Place,
}

/// What was measured of a painting's single layers; the catalogue's class values stand for the rest.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MeasuredLayers {
    /// Thickness of the paint.
    pub paint_thickness: Option<Length>,
    /// Elastic modulus of the paint in MPa.
    pub paint_modulus: Option<f64>,
    /// Elastic modulus of the canvas in MPa, on its calliper.
    pub canvas_modulus: Option<f64>,
}

/// One row of the panels table.
#[derive(Clone, Debug, PartialEq)]
pub struct PanelRow {
    /// The row it was written in.
    pub at: Place,
    /// Its unique name.
    pub panel: String,
    /// How many identical ones.
    pub count: u32,
    /// Where it hangs, in words, e.g. `north wall`; scaffold bays follow from it.
    pub place: String,
    /// Its shape.
    pub shape: PanelShape,
    /// Width of the bounding box.
    pub width: Length,
    /// Height of the bounding box.
    pub height: Length,
    /// The recipe's id.
    pub recipe: String,
    /// The state of the paint.
    pub paint: Paint,
    /// How much bending it takes.
    pub give: Give,
    /// What holds it.
    pub adhesive: Adhesive,
    /// Square metres a person-hour released in a test patch, if one was made.
    pub release_rate: Option<f64>,
    /// How many times longer removal takes than the easiest, where a case says so; else paint and adhesive decide.
    pub removal_factor: Option<f64>,
    /// Thickness of canvas, ground, paint and residue together, if measured.
    pub thickness: Option<Length>,
    /// Mass in g/m², if measured.
    pub grams_per_m2: Option<f64>,
    /// What else was measured of single layers.
    pub measured: MeasuredLayers,
    /// Height of its bottom edge above the floor.
    pub height_above_floor: Length,
    /// Which way it is rolled.
    pub roll_along: RollAlong,
    /// Distances of the canvas's own upright seams from the left edge.
    pub seams: Vec<Length>,
    /// Where it goes to afterwards, in words; paintings for one destination travel together.
    pub destination: String,
    /// The day it is needed there.
    pub return_date: Option<Date>,
    /// Its turn there: 1 is needed first.
    pub return_order: Option<u32>,
    /// Mould has been seen.
    pub mould: bool,
    /// Lead is known or suspected.
    pub lead: bool,
    /// Anything else.
    pub notes: String,
    /// Its openings.
    pub openings: Vec<Opening>,
}
