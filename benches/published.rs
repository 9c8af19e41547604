//! Runs an engine on published instances: one tab-separated line each.
//!
//! `cargo bench --bench published -- packing|cutting|project|project-lags|timetable PATH… [--seconds S] [--schedules N]`; a path is a file or a
//! folder. Packing and cutting print name, value, lower bound, seconds; projects print name, makespan, lower bound, schedules, seconds;
//! timetables are JSON in and out.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a bench speaks to the terminal"
)]

mod published {
    pub(crate) mod common;
    pub(crate) mod cutting;
    pub(crate) mod packing;
    pub(crate) mod project;
    pub(crate) mod project_lags;
    pub(crate) mod timetable;
}

use std::process::ExitCode;

use published::common::Asked;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| word != "--bench")
        .collect();
    let Some((engine, rest)) = words.split_first() else {
        eprintln!("name an engine and paths: packing, cutting, project, project-lags, timetable");
        return ExitCode::SUCCESS;
    };
    match engine.as_str() {
        "packing" => with_asked(rest, published::packing::run),
        "cutting" => with_asked(rest, published::cutting::run),
        "project" => published::project::run(rest),
        "project-lags" => published::project_lags::run(rest),
        "timetable" => published::timetable::run(rest),
        other => {
            eprintln!(
                "no engine `{other}`; there are packing, cutting, project, project-lags, timetable"
            );
            ExitCode::from(2)
        }
    }
}

fn with_asked(words: &[String], run: fn(&Asked) -> bool) -> ExitCode {
    match Asked::read(words.iter().cloned()) {
        Ok(asked) if run(&asked) => ExitCode::SUCCESS,
        Ok(_) => ExitCode::FAILURE,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}
