//! Plane shapes on walls: points, rings, polygons with holes and regions of several polygons.
//!
//! x runs to the right and y up, both from a panel's lower left corner.

mod shape;

pub use shape::Point;
pub use shape::Polygon;
pub use shape::Rect;
pub use shape::Region;
pub use shape::Ring;
