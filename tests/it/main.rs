//! Integration tests.

mod errors;
mod input;
mod job;
mod units;
