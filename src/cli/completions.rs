//! `facelay completions` and `facelay manual`, from the same definitions as the arguments.

use clap::CommandFactory;

use super::Ending;
use super::args::Arguments;
use super::args::Completions;

/// Prints completions for a shell.
pub(super) fn shell(arguments: &Completions) -> Ending {
    let mut command = Arguments::command();
    clap_complete::generate(arguments.shell, &mut command, "facelay", &mut std::io::stdout());
    Ending::Done
}

/// Prints the man page.
pub(super) fn manual() -> Ending {
    match clap_mangen::Man::new(Arguments::command()).render(&mut std::io::stdout()) {
        Ok(()) => Ending::Done,
        Err(_) => Ending::Refused,
    }
}
