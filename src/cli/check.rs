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
        say::tell("no problems: the job can be planned\n")
    } else {
        say::problems(&problems);
        can_be_planned(&problems)
    };
    if problems.has_errors() {
        Ending::Refused
    } else {
        printed
    }
}

/// Says that warnings alone do not stop a plan, which their colour may make one think.
fn can_be_planned(problems: &Problems) -> Ending {
    if problems.has_errors() {
        return Ending::Done;
    }
    say::tell("no errors: the job can be planned; a warning says what to look after\n")
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
