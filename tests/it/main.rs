//! Integration tests.

mod errors;
mod input;
mod units;
