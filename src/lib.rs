//! Plans the removal of mural paintings on canvas: materials, drums, days, orders and price.
//!
//! A job goes through the stages in this order, each a pure function from the ones before it:
//! job → survey → takeoff → rolling → crating → exposure → schedule → purchase → bid → plan.
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::float_cmp,
        clippy::indexing_slicing,
        clippy::too_many_lines,
        clippy::cast_possible_wrap,
        clippy::wildcard_enum_match_arm,
        clippy::semicolon_if_nothing_returned,
        clippy::doc_markdown,
        reason = "a failing test may stop where it fails"
    )
)]

pub mod diag;
pub mod geometry;
pub mod input;
pub mod solver;
pub mod units;

pub mod catalog;
pub mod job;
pub mod recipe;

pub mod bid;
pub mod crating;
pub mod exposure;
pub mod plan;
pub mod purchase;
pub mod rolling;
pub mod schedule;
pub mod survey;
pub mod takeoff;

pub mod cli;
pub mod files;
pub mod format;
pub mod report;
pub mod view;
