//! Measures as types: one constructor and one reader a unit, so that no bare number changes its meaning.

mod bounds;
mod length;
mod measure;
mod money;
mod parse;
mod quantity;
mod show;

pub use bounds::Bound;
pub use bounds::bound;
pub use length::Length;
pub use length::LengthUnit;
pub use measure::Area;
pub use measure::Mass;
pub use measure::Temperature;
pub use measure::Volume;
pub use money::Money;
pub use money::Percent;
pub use parse::Misread;
pub use parse::NumberStyle;
pub use parse::SizeOrder;
pub use parse::SizeText;
pub use parse::parse_area_density;
pub use parse::parse_areal_rate;
pub use parse::parse_decimal;
pub use parse::parse_length;
pub use parse::parse_mass;
pub use parse::parse_minutes;
pub use parse::parse_money;
pub use parse::parse_percent;
pub use parse::parse_size;
pub use parse::parse_temperature;
pub use parse::parse_volume;
pub use quantity::Quantity;
pub use quantity::Unit;
pub use show::show_length;
