//! Integration tests.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::indexing_slicing,
    reason = "a failing test may stop where it fails"
)]

mod builder;
mod facing_check;
mod survey;
mod takeoff;
mod takeoff_random;
