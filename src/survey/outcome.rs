//! What the survey hands on.

use crate::geometry::Polygon;
use crate::geometry::Ring;
use crate::units::Area;
use crate::units::Length;

/// Every physical panel, in the order of the rows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Survey {
    /// The panels.
    pub panels: Vec<Panel>,
}

/// One physical panel.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// Its name: the row's, or `C4/1`, `C4/2` … where the row counts several.
    pub id: String,
    /// The row in [`crate::job::Job::panels`].
    pub row: usize,
    /// Outline counter-clockwise from the lower left corner of its bounding box, arcs as chords.
    pub outline: Ring,
    /// Openings counter-clockwise, arcs as chords, cut to nothing beyond the outline.
    pub openings: Vec<Ring>,
    /// Outline less openings.
    pub shape: Polygon,
    /// Width of the bounding box.
    pub width: Length,
    /// Height of the bounding box.
    pub height: Length,
    /// Net area.
    pub area: Area,
    /// Length of the outer edge.
    pub edge: Length,
}
