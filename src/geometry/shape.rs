//! The shapes themselves; operations on them stand in the files beside this one.

use crate::units::Length;

/// A point on the wall.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Point {
    /// To the right of the panel's lower left corner.
    pub x: Length,
    /// Up from the panel's lower left corner.
    pub y: Length,
}

/// A closed line through points; the last joins the first.
pub type Ring = Vec<Point>;

/// An upright rectangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rect {
    /// Left edge.
    pub x: Length,
    /// Bottom edge.
    pub y: Length,
    /// Size to the right.
    pub width: Length,
    /// Size upwards.
    pub height: Length,
}

/// An area inside one outer ring (counter-clockwise) less its holes (clockwise).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Polygon {
    /// The outer ring.
    pub outer: Ring,
    /// The holes.
    pub holes: Vec<Ring>,
}

/// Several polygons that do not overlap; none is an empty region.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Region(pub Vec<Polygon>);
