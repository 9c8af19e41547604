//! The engine's numbers in words: which rules a plan breaks, why no plan is possible.

use crate::diag::Level;
use crate::diag::Place;
use crate::diag::Problems;
use crate::solver::timetable::Broken;
use crate::solver::timetable::Infeasible;
use crate::solver::timetable::Problem;
use crate::solver::timetable::Reason;
use crate::solver::timetable::Timetable;

use super::Given;
use super::conflict::Case;
use super::draft::Draft;
use super::engine::Ids;

/// Warns of every rule that the best plan found does not keep.
pub(super) fn broken(case: &Case<'_, '_>, timetable: &Timetable, problems: &mut Problems) {
    let (drafts, problem) = (case.drafts, case.problem);
    for rule in &timetable.broken {
        let (tasks, text) = match *rule {
            Broken::TooSoon { link, minutes } => (
                ends(problem, link),
                format!("starts {} before what it follows is dry", span(minutes)),
            ),
            Broken::TooLate { link, minutes } => (
                ends(problem, link),
                format!("comes {} later than its longest time allows", span(minutes)),
            ),
            Broken::PastWindow { task, minutes } => (
                vec![task],
                format!("ends {} after its last moment", span(minutes)),
            ),
            Broken::PastFixedStart { task, minutes } => (
                vec![task],
                format!("starts {} after its fixed start", span(minutes)),
            ),
            Broken::HeldTooOften { task, .. } => (
                vec![task],
                "holds equipment that is held elsewhere".to_owned(),
            ),
        };
        let names: Vec<&str> = tasks
            .iter()
            .rev()
            .filter_map(|&task| drafts.get(task))
            .map(|draft| draft.id.as_str())
            .collect();
        let place = tasks
            .last()
            .and_then(|&task| row_place(case.given, drafts.get(task)?));
        problems.warning(
            place,
            format!("no schedule was found that keeps every rule: `{}` {text}", names.join("` after `")),
            "add people or hours, lengthen `within` in the recipe, or plan these panels in two campaigns",
        );
    }
    if timetable.broken.is_empty() {
        return;
    }
    let help = case.behind_broken(timetable);
    if !help.is_empty() {
        problems.push(crate::diag::Problem {
            level: Level::Warning,
            place: None,
            text: "some rules of this job were not found to be possible together".to_owned(),
            help,
        });
    }
}

fn ends(problem: &Problem, link: usize) -> Vec<usize> {
    problem
        .links
        .get(link)
        .map_or_else(Vec::new, |link| vec![link.before, link.after])
}

pub(super) fn span(minutes: i64) -> String {
    if minutes < 120 {
        format!("{minutes} minutes")
    } else {
        format!("{} hours", (minutes + 59) / 60)
    }
}

fn row_place(given: &Given<'_>, draft: &Draft<'_>) -> Option<Place> {
    let panel = given.survey.panels.get(draft.panel?)?;
    given.job.panels.get(panel.row).map(|row| row.at.clone())
}

/// Says, as errors, why no schedule is possible; the same step is named once however many panels it concerns.
pub(super) fn impossible(case: &Case<'_, '_>, infeasible: &Infeasible, problems: &mut Problems) {
    let (given, drafts) = (case.given, case.drafts);
    let mut said: Vec<String> = Vec::new();
    for reason in &infeasible.reasons {
        let (text, help) = sentence(given, drafts, case.ids, reason);
        if !said.contains(&text) {
            let place = task_of(reason).and_then(|task| row_place(given, drafts.get(task)?));
            let mut help = vec![help.to_owned()];
            help.extend(case.behind(reason));
            problems.push(crate::diag::Problem {
                level: Level::Error,
                place: place.or(Some(Place::File {
                    file: "job.toml".into(),
                })),
                text: text.clone(),
                help,
            });
            said.push(text);
        }
    }
}

/// The task that a reason is about, or the last of several.
fn task_of(reason: &Reason) -> Option<usize> {
    match reason {
        Reason::TooFewPeople { task, .. }
        | Reason::TooLong { task, .. }
        | Reason::CalendarEnds { task, .. }
        | Reason::TooLittle { task, .. }
        | Reason::TooMuchADay { task, .. }
        | Reason::HoldWithoutLink { task, .. }
        | Reason::Window { task, .. } => Some(*task),
        Reason::Circle { tasks } | Reason::Contradiction { tasks } => tasks.last().copied(),
        Reason::Unknown { .. } | Reason::OutOfRange { .. } => None,
    }
}

/// What is wrong and what to do about it.
fn sentence(
    given: &Given<'_>,
    drafts: &[Draft<'_>],
    ids: &Ids,
    reason: &Reason,
) -> (String, &'static str) {
    missing(given, drafts, ids, reason)
        .or_else(|| contradiction(drafts, reason))
        .unwrap_or_else(|| {
            (
                "a number of this job is too large to reckon with".to_owned(),
                "look for a count, a rate or a drying time that is far too large",
            )
        })
}

/// People, hours, equipment or air that there is too little of.
fn missing(
    given: &Given<'_>,
    drafts: &[Draft<'_>],
    ids: &Ids,
    reason: &Reason,
) -> Option<(String, &'static str)> {
    let step = |task: usize| step_name(drafts, task);
    Some(match reason {
        Reason::TooFewPeople {
            task,
            skill,
            needed,
            have,
        } => (
            format!(
                "{} needs {} with the skill `{}`, the job has {have}",
                step(*task),
                crate::diag::count(*needed, "person"),
                ids.skills
                    .get(usize::from(*skill))
                    .map_or("", String::as_str)
            ),
            "add people with that skill to job.toml, or name another skill in the recipe",
        ),
        Reason::TooLong {
            task,
            minutes,
            longest,
        } => (
            format!(
                "{} takes {} with everybody who can do it, and no working day is longer than {}",
                step(*task),
                span(*minutes),
                span(*longest)
            ),
            "lengthen the hours, add people, or let the step be split or paused in the recipe",
        ),
        Reason::CalendarEnds { task, .. } => (
            format!(
                "{} never finds working hours at {}",
                step(*task),
                place_name(given, drafts, *task)
            ),
            "give the place hours on at least one day that is not closed",
        ),
        Reason::TooLittle {
            task,
            resource,
            needed,
            capacity,
        } => (
            format!(
                "{} needs {needed} of `{}`, the job has {capacity}",
                step(*task),
                super::resources::name(given, *resource)
            ),
            "raise its count in job.toml, or need less of it in the recipe",
        ),
        Reason::TooMuchADay { task, .. } => (
            format!(
                "{} gives off more vapour than the fresh air of a day takes up",
                step(*task)
            ),
            "bring more fresh air, plan local extraction, or let the step take longer",
        ),
        Reason::Circle { .. }
        | Reason::Contradiction { .. }
        | Reason::Window { .. }
        | Reason::HoldWithoutLink { .. }
        | Reason::Unknown { .. }
        | Reason::OutOfRange { .. } => return None,
    })
}

/// The step and recipe of a draft, in words.
fn step_name(drafts: &[Draft<'_>], task: usize) -> String {
    let draft = drafts.get(task);
    draft
        .and_then(|draft| {
            Some(format!(
                "step `{}` of recipe `{}`",
                draft.step?.1.id, draft.recipe
            ))
        })
        .unwrap_or_default()
}

/// Rules that contradict one another.
fn contradiction(drafts: &[Draft<'_>], reason: &Reason) -> Option<(String, &'static str)> {
    let step = |task: usize| step_name(drafts, task);
    let names = |tasks: &[usize]| {
        let named = tasks.iter().take(6).filter_map(|&task| drafts.get(task));
        crate::diag::list(
            &named.map(|draft| draft.id.as_str()).collect::<Vec<_>>(),
            "and",
        )
    };
    Some(match reason {
        Reason::Circle { tasks } => (
            format!(
                "these activities wait for one another in a circle: {}",
                names(tasks)
            ),
            "mend the order of the recipe",
        ),
        Reason::Contradiction { tasks } => (
            format!(
                "the longest times between these activities are shorter than their drying and work: {}",
                names(tasks)
            ),
            "lengthen `within`, or shorten the drying times, in the recipe",
        ),
        Reason::Window { task, .. } => (
            format!(
                "{} cannot be done between its first and last moment",
                step(*task)
            ),
            "widen the days it is held to, order its materials earlier, or shorten what comes before it",
        ),
        Reason::HoldWithoutLink { task, .. } => (
            format!(
                "{} holds equipment for a step that does not follow it",
                step(*task)
            ),
            "mend the order of the recipe",
        ),
        Reason::TooFewPeople { .. }
        | Reason::TooLong { .. }
        | Reason::CalendarEnds { .. }
        | Reason::TooLittle { .. }
        | Reason::TooMuchADay { .. }
        | Reason::Unknown { .. }
        | Reason::OutOfRange { .. } => return None,
    })
}

fn place_name<'a>(given: &Given<'a>, drafts: &[Draft<'_>], task: usize) -> &'a str {
    drafts
        .get(task)
        .and_then(|draft| given.job.places.get(draft.place))
        .map_or("", |site| site.name.as_str())
}
