//! Engines that know no mural, no money and no date: packing, cutting, timetables, projects, integer programs.

pub mod conflict;
pub mod cutting;
pub mod milp;
pub mod packing;
pub mod project;
pub mod sourcing;
pub mod timetable;
