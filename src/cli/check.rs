//! `facelay check JOB`: every problem at once.

use anstream::println;

use crate::diag::Problems;

use super::Ending;
use super::args::Check;
use super::load;
use super::say;

/// Reads and plans the job, so that it says all that `plan` would say; writes nothing.
pub(super) fn run(arguments: &Check) -> Ending {
    let Some(problems) = load::problems(&arguments.job) else { return Ending::Refused };
    if arguments.json {
        println!("{}", json(&problems));
    } else if problems.is_empty() {
        println!("No problems.");
    } else {
        say::problems(&problems);
    }
    if problems.has_errors() { Ending::Refused } else { Ending::Done }
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
