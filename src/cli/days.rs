//! `facelay days`: by day, by person, by panel, vapour, and what a change would bring.

use crate::diag::nearest;
use crate::plan::Change;
use crate::plan::Plan;
use crate::plan::what_if;
use crate::report::Report;
use crate::report::answers;

use super::Ending;
use super::args::Days;
use super::load;
use super::progress::Progress;
use super::say;
use super::tables;

/// Plans the job and prints what is asked for.
pub(super) fn run(arguments: &Days) -> Ending {
    let changes = match changes(arguments) {
        Ok(changes) => changes,
        Err(word) => {
            say::error(
                format!("`{word}` is no change that can be tried"),
                "write `person=NAME`, `equipment=NAME`, `hours=1`, `saturday` or `recipe=ID`, or nothing for the usual ones",
            );
            return Ending::Refused;
        }
    };
    let days = load::Instead {
        today: arguments.today,
        progress: &arguments.given.progress,
        effort: arguments.search.effort,
        seconds: arguments.search.seconds,
        ..load::Instead::default()
    };
    let Some(plan) = load::plan_on(&arguments.tables.job, days) else {
        return Ending::Refused;
    };
    let report = match answer(&plan, arguments, changes) {
        Ok(report) => report,
        Err(ending) => return ending,
    };
    tables::print(&report, &arguments.tables, &plan.job.locale)
}

/// The changes to try; none if that is not asked for.
fn changes(arguments: &Days) -> Result<Option<Vec<Change>>, String> {
    let Some(words) = &arguments.what_if else {
        return Ok(None);
    };
    let read = |word: &String| Change::read(word).ok_or_else(|| word.clone());
    words
        .iter()
        .map(read)
        .collect::<Result<Vec<_>, _>>()
        .map(Some)
}

fn answer(plan: &Plan, arguments: &Days, changes: Option<Vec<Change>>) -> Result<Report, Ending> {
    if let Some(changes) = changes {
        return trials(plan, changes, arguments.search.seconds);
    }
    if arguments.air {
        return Ok(answers::of_air(plan));
    }
    if let Some(name) = &arguments.person {
        let known = plan
            .schedule
            .workers
            .iter()
            .map(|worker| worker.name.as_str());
        return answers::of_person(plan, name).ok_or_else(|| unknown("person", name, known));
    }
    if let Some(name) = &arguments.panel {
        let known = plan.survey.panels.iter().map(|panel| panel.id.as_str());
        return answers::of_panel(plan, name).ok_or_else(|| unknown("panel or crate", name, known));
    }
    tables::named(plan, "days").ok_or(Ending::Refused)
}

fn trials(plan: &Plan, changes: Vec<Change>, seconds: Option<f64>) -> Result<Report, Ending> {
    let usual = changes.is_empty();
    let changes = if usual {
        Change::usual(&plan.job)
    } else {
        changes
    };
    if let Some(change) = changes
        .iter()
        .find(|change| !usual && change.apply(&plan.job).is_none())
    {
        say::error(
            format!("`{}` changes nothing in this job", change.words()),
            "write the names as job.toml has them; a recipe must be built in or in the job's folder",
        );
        return Err(Ending::Refused);
    }
    let progress = Progress::start();
    let trials = what_if(plan, &changes, &mut progress.until(seconds));
    Ok(answers::of_trials(plan, &trials))
}

fn unknown<'a>(what: &str, name: &str, known: impl Iterator<Item = &'a str>) -> Ending {
    let help = nearest(name, known).map_or_else(
        || "leave the option out to see all names".to_owned(),
        |near| format!("write `{near}` if that is meant"),
    );
    say::error(format!("there is no {what} `{name}`"), &help);
    Ending::Refused
}
