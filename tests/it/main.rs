//! Integration tests.

mod bid;
mod exposure;
mod purchase;
mod small_job;
