//! The command line: arguments, one file a command, messages, exit codes; the only module that prints.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "this is the module that speaks to people; anstream's macros expand to these"
)]

mod args;
mod check;
mod completions;
mod days;
mod fault;
mod load;
mod manual;
mod new;
mod plan;
mod progress;
mod say;
mod tables;
mod view;
mod why;

use std::process::ExitCode;

use clap::Parser;

use args::Arguments;
use args::Command;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ending {
    /// It did what was asked: exit code 0.
    Done,
    /// The job has errors, or a file could not be read or written: exit code 1.
    Refused,
}

/// Runs the program: reads the arguments, does the command, returns 0 (done), 1 (the job has errors) or 2 (bad usage).
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    if arguments.quiet {
        say::hush();
    }
    match fault::kept_in(|| run(arguments.command)) {
        Ending::Done => ExitCode::SUCCESS,
        Ending::Refused => ExitCode::from(1),
    }
}

fn run(command: Command) -> Ending {
    match command {
        Command::New(new) => new::run(&new),
        Command::Check(check) => check::run(&check),
        Command::Plan(plan) => plan::run(&plan),
        Command::Quantities(job) => {
            tables::of_things("quantities", &job.tables, job.panel.as_deref())
        }
        Command::Drums(job) => match job.panel {
            Some(panel) => tables::panel_drum(&job.tables, &panel),
            None => tables::of_things("drums", &job.tables, None),
        },
        Command::Days(job) => days::run(&job),
        Command::Buy(job) => tables::buy(&job),
        Command::Bid(bid) => tables::bid(&bid),
        Command::Compare(job) => tables::compare(&job),
        Command::Why(why) => why::run(&why),
        Command::View(view) => view::run(&view),
        Command::Completions(shell) => completions::shell(&shell),
        Command::Manual(manual) => manual::run(&manual),
    }
}
