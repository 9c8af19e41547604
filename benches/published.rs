//! Runs an engine on published instances: one tab-separated line each, name, value, lower bound, seconds.
//!
//! `cargo bench --bench published -- packing PATH… [--seconds S]`; a path is a file or a folder.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a bench speaks to the terminal"
)]

mod published {
    pub(crate) mod common;
    pub(crate) mod cutting;
    pub(crate) mod packing;
}

use std::process::ExitCode;

use published::common::Asked;

fn main() -> ExitCode {
    let mut words = std::env::args().skip(1).filter(|word| word != "--bench");
    let Some(engine) = words.next() else {
        eprintln!("name an engine: packing, cutting");
        return ExitCode::SUCCESS;
    };
    let asked = match Asked::read(words) {
        Ok(asked) => asked,
        Err(message) => {
            eprintln!("{message}");
            return ExitCode::FAILURE;
        }
    };
    let all_read = match engine.as_str() {
        "packing" => published::packing::run(&asked),
        "cutting" => published::cutting::run(&asked),
        other => {
            eprintln!("no engine `{other}`; there are packing, cutting");
            false
        }
    };
    if all_read {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}
