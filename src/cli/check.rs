//! `facelay check JOB`: every problem at once.

use crate::diag::Problems;

use super::Ending;
use super::args::Check;
use super::load;
use super::say;

/// Reads and plans the job, so that it says all that `plan` would say; writes nothing.
pub(super) fn run(arguments: &Check) -> Ending {
    let given = load::Instead {
        progress: &arguments.given.progress,
        ..load::Instead::default()
    };
    let Some(problems) = load::problems(&arguments.job, given) else {
        return Ending::Refused;
    };
    let printed = if arguments.json {
        say::print((json(&problems) + "\n").as_bytes())
    } else if problems.is_empty() {
        say::print(b"no problems\n")
    } else {
        say::problems(&problems);
        Ending::Done
    };
    if problems.has_errors() {
        Ending::Refused
    } else {
        printed
    }
}

fn json(problems: &Problems) -> String {
    let rows: Vec<serde_json::Value> = problems
        .iter()
        .map(|problem| {
            serde_json::json!({
                "level": problem.level.name(),
                "where": problem.place.as_ref().map(ToString::to_string),
                "text": problem.text,
                "help": problem.help.join("; "),
            })
        })
        .collect();
    serde_json::to_string_pretty(&rows).unwrap_or_default()
}
