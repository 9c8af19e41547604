//! `facelay manual [PAGE]`: man pages from the same definitions as the arguments, and the page on everything that a job may say.

use std::io;

use clap::CommandFactory;
use clap_mangen::Man;

use crate::diag::list;
use crate::diag::nearest;
use crate::job;

use super::Ending;
use super::args::Arguments;
use super::args::Manual;
use super::say;

/// The page that is no command's.
const INPUTS: &str = "inputs";

/// Prints the page of a name; the main one without.
pub(super) fn run(arguments: &Manual) -> Ending {
    let mut main = Arguments::command();
    main.build();
    let page = match arguments.page.as_deref() {
        None => man_page(&main),
        Some(INPUTS) => return say::print(job::guide().as_bytes()),
        Some(name) => match main.find_subcommand(name) {
            Some(command) => man_page(command),
            None => return unknown(&main, name),
        },
    };
    match page {
        Ok(page) => say::print(&page),
        Err(error) => {
            say::error(
                format!("the man page could not be made: {error}"),
                "report this",
            );
            Ending::Refused
        }
    }
}

/// A command's page; its examples stand as they are typed, which the library would fill into one paragraph.
fn man_page(command: &clap::Command) -> io::Result<Vec<u8>> {
    let examples = command.get_after_help().map(ToString::to_string);
    let bare = command.clone().after_help(None::<&str>);
    let mut page = Vec::new();
    Man::new(bare).manual("facelay").render(&mut page)?;
    if let Some(examples) = examples {
        page.extend_from_slice(b".SH EXAMPLES\n.nf\n");
        for line in examples.lines() {
            page.extend_from_slice(verbatim(line).as_bytes());
        }
        page.extend_from_slice(b".fi\n");
    }
    Ok(page)
}

/// A line that groff prints as it is.
fn verbatim(line: &str) -> String {
    let escaped = line.replace('\\', "\\e").replace('-', "\\-");
    let guard = if escaped.starts_with(['.', '\'']) {
        "\\&"
    } else {
        ""
    };
    format!("{guard}{escaped}\n")
}

fn unknown(main: &clap::Command, name: &str) -> Ending {
    let commands = main.get_subcommands().map(clap::Command::get_name);
    let known: Vec<&str> = commands
        .filter(|name| *name != "help")
        .chain([INPUTS])
        .collect();
    let help = nearest(name, known.iter().copied()).map_or_else(
        || format!("write one of {}", list(&known, "or")),
        |near| format!("write `{near}` if that is meant"),
    );
    say::error(format!("there is no page `{name}`"), &help);
    Ending::Refused
}
