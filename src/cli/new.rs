//! `facelay new DIR`: a job folder that plans as it stands.

use crate::files;
use crate::job;
use crate::job::Scene;
use crate::job::TemplateKind;

use super::Ending;
use super::args::New;
use super::say;

/// Writes the templates, or says why not.
pub(super) fn run(arguments: &New) -> Ending {
    let kind = if arguments.inches {
        TemplateKind::Imperial
    } else {
        TemplateKind::Metric
    };
    let like = arguments.like.as_deref();
    let scene = Scene::ALL
        .iter()
        .copied()
        .find(|scene| Some(scene.name()) == like);
    let templates = match job::template(kind, scene.unwrap_or(Scene::Hall)) {
        Ok(templates) => templates,
        Err(error) => {
            say::error(
                format!("the templates could not be made: {error}"),
                "report this",
            );
            return Ending::Refused;
        }
    };
    match files::write_new(&arguments.folder, &templates) {
        Ok(written) => {
            let folder = arguments.folder.display();
            let text = format!(
                "Started {folder} with {}.\n\
                 Fill in panels.xlsx with a spreadsheet program (its sheet `about` explains every\n\
                 column) and job.toml with a plain text editor, then:\n  \
                   facelay check {folder}\n  \
                   facelay plan {folder} --out {folder}/out\n",
                crate::diag::list(&written, "and"),
            );
            say::tell(&text)
        }
        Err(trouble) => {
            say::trouble(&trouble);
            Ending::Refused
        }
    }
}
