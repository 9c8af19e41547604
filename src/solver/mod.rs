//! Engines that know no mural, no money and no date: packing, cutting, timetables, projects, integer programs.

pub mod conflict;
mod cores;
pub mod cutting;
pub mod milp;
pub mod packing;
pub mod project;
pub mod sourcing;
pub mod timetable;

pub use cores::on_all_cores;
