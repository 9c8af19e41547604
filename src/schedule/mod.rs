//! Work to dated activities: people, drying, access, materials; states the problem to the timetable engine and reads it back.
//!
//! *In*: job, survey, takeoff, rolling, crating, exposure. *Out*: [`Schedule`]. *Rules*: people work in working hours, drying runs on the
//! clock, same-day steps never cross a night, longest lags hold, nothing starts before its materials can have arrived.

mod outcome;

pub use outcome::Activity;
pub use outcome::Batch;
pub use outcome::Follows;
pub use outcome::Schedule;
pub use outcome::Worker;
