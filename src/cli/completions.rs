//! `facelay completions` and `facelay manual`, from the same definitions as the arguments.

use clap::CommandFactory;

use super::Ending;
use super::args::Arguments;
use super::args::Completions;
use super::say;

/// Prints completions for a shell.
pub(super) fn shell(arguments: &Completions) -> Ending {
    let (mut command, mut text) = (Arguments::command(), Vec::new());
    clap_complete::generate(arguments.shell, &mut command, "facelay", &mut text);
    say::print(&text)
}

/// Prints the man page.
pub(super) fn manual() -> Ending {
    let mut text = Vec::new();
    match clap_mangen::Man::new(Arguments::command()).render(&mut text) {
        Ok(()) => say::print(&text),
        Err(error) => {
            say::error(
                format!("the man page could not be made: {error}"),
                "report this",
            );
            Ending::Refused
        }
    }
}
