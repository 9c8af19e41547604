//! Integration tests: one binary, a file a stage or subject.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::indexing_slicing,
    clippy::too_many_lines,
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::format_push_string,
    clippy::format_collect,
    clippy::cast_precision_loss,
    clippy::disallowed_methods,
    clippy::semicolon_if_nothing_returned,
    clippy::match_same_arms,
    missing_docs,
    reason = "a failing test may stop where it fails, says so, and reads its environment"
)]

mod bid;
mod builder;
mod catalog_tables;
mod catalogs;
mod cli;
mod crating;
mod cut_sheets;
mod cutting;
mod day_pages;
mod errors;
mod exposure;
mod facing_check;
mod faults;
mod folders;
mod guides;
mod help;
mod input;
mod job;
mod kept;
mod metamorphic;
mod museum;
mod numbers;
mod odds;
mod page;
mod planning;
mod purchase;
#[allow(
    unreachable_pub,
    reason = "the fuzzer, a package of its own, uses it too"
)]
mod random_job;
mod readme;
mod recipes;
mod report;
mod rolling;
mod saved;
mod schedule;
mod schedule_rules;
mod small_job;
mod survey;
mod takeoff;
mod takeoff_limits;
mod takeoff_random;
mod tidy;
mod units;
mod view;
