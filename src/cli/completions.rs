//! `facelay completions`, from the same definitions as the arguments.

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
