//! Integration tests.

mod units;
