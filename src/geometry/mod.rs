//! Plane shapes on walls: points, rings, polygons with holes and regions of several polygons.
//!
//! x runs to the right and y up, both from a panel's lower left corner. Everything is whole steps of an eighth of a
//! micrometre, so that two computations of one shape meet exactly.

mod arc;
mod crossing;
mod measure;
mod overlay;
mod shape;
mod slabs;

pub use arc::ellipse;
pub use arc::segment_arch;
pub use crossing::self_crossing;
pub use measure::area_of_double;
pub use shape::Point;
pub use shape::Polygon;
pub use shape::Rect;
pub use shape::Region;
pub use shape::Ring;
pub use slabs::Chord;
pub use slabs::Slabs;
