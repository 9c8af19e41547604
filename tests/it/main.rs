//! Integration tests.

mod errors;
mod units;
