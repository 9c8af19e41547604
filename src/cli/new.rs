//! `facelay new DIR`: a job folder that plans as it stands.

use anstream::println;

use crate::files;
use crate::job;
use crate::job::TemplateKind;

use super::Ending;
use super::args::New;
use super::say;

/// Writes the templates, or says why not.
pub(super) fn run(arguments: &New) -> Ending {
    let kind = if arguments.inches { TemplateKind::Imperial } else { TemplateKind::Metric };
    let templates = match job::template(kind) {
        Ok(templates) => templates,
        Err(error) => {
            anstream::eprintln!("error: the templates could not be made: {error}");
            return Ending::Refused;
        }
    };
    match files::write_new(&arguments.folder, &templates) {
        Ok(written) => {
            let folder = arguments.folder.display();
            println!("Started {folder} with {}.", written.join(", "));
            println!("Fill in panels.xlsx (its sheet `about` explains every column) and job.toml, then:");
            println!("  facelay check {folder}");
            println!("  facelay plan {folder} --out {folder}/out");
            Ending::Done
        }
        Err(trouble) => {
            say::trouble(&trouble);
            Ending::Refused
        }
    }
}
