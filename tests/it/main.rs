//! Integration tests.

mod crating;
mod rolling;
