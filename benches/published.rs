//! Published instances: `cargo bench --bench published -- KIND PATH…` solves them and prints one line each.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a bench speaks to the terminal"
)]

#[path = "published/project.rs"]
mod project;
#[path = "published/project_lags.rs"]
mod project_lags;

use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args()
        .skip(1)
        .filter(|one| one != "--bench")
        .collect();
    let Some((kind, rest)) = arguments.split_first() else {
        return usage();
    };
    match kind.as_str() {
        "project" => project::run(rest),
        "project-lags" => project_lags::run(rest),
        _ => usage(),
    }
}

fn usage() -> ExitCode {
    eprintln!(
        "usage: cargo bench --bench published -- project|project-lags PATH… [--schedules N] [--seconds S]"
    );
    ExitCode::from(2)
}
