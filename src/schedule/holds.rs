//! Days that single activities are held to.

use crate::diag::Problems;
use crate::diag::nearest;
use crate::job::Hold;
use crate::solver::timetable::Calendar;

use super::Given;
use super::draft::Draft;
use super::engine::MINUTES_A_DAY;

/// Holds drafts to the days that the job names; what names no activity, or a day on which nobody works, is an error.
pub(super) fn apply(
    given: &Given<'_>,
    drafts: &mut [Draft<'_>],
    calendars: &[Calendar],
    problems: &mut Problems,
) {
    for hold in &given.job.planning.holds {
        let sections: Vec<usize> = (0..drafts.len())
            .filter(|&at| drafts.get(at).is_some_and(|draft| is_meant(draft, hold)))
            .collect();
        let Some((&first, &last)) = sections.first().zip(sections.last()) else {
            unknown(drafts, hold, problems);
            continue;
        };
        if let Some(draft) = drafts.get_mut(first) {
            start(given, draft, hold, calendars, problems);
        }
        let evening = hold.latest.map(|day| midnight(given, day) + MINUTES_A_DAY);
        if let Some(draft) = drafts.get_mut(last) {
            draft.latest = evening;
        }
    }
}

/// The activity itself, or one of its day sections.
pub(super) fn is_meant(draft: &Draft<'_>, hold: &Hold) -> bool {
    let rest = draft.id.strip_prefix(hold.activity.as_str());
    draft.step.is_some()
        && draft.done.is_none()
        && rest.is_some_and(|rest| {
            rest.is_empty()
                || rest
                    .strip_prefix('/')
                    .is_some_and(|number| number.parse::<u32>().is_ok())
        })
}

fn start(
    given: &Given<'_>,
    draft: &mut Draft<'_>,
    hold: &Hold,
    calendars: &[Calendar],
    problems: &mut Problems,
) {
    if let Some(day) = hold.earliest {
        draft.held_from = draft.held_from.max(midnight(given, day));
    }
    let Some(day) = hold.day else {
        return;
    };
    let morning = midnight(given, day);
    let wanted = morning + i64::from(hold.minute.unwrap_or(0));
    let open = calendars
        .get(draft.calendar())
        .and_then(|calendar| calendar.next_work(wanted))
        .filter(|open| {
            hold.minute
                .map_or(*open < morning + MINUTES_A_DAY, |_| *open == wanted)
        });
    match open {
        Some(open) => draft.fixed = Some(open),
        None => problems.error(
            Some(hold.at.clone()),
            format!(
                "`{}` is held to {day}, when nobody works there",
                hold.activity
            ),
            "hold it to a working day and hour of its place, or change the hours",
        ),
    }
}

fn midnight(given: &Given<'_>, day: jiff::civil::Date) -> i64 {
    (i64::from((day - given.job.first_day).get_days()) * MINUTES_A_DAY).max(0)
}

fn unknown(drafts: &[Draft<'_>], hold: &Hold, problems: &mut Problems) {
    let done = drafts
        .iter()
        .any(|draft| draft.done.is_some() && draft.id == hold.activity);
    if done {
        return;
    }
    let names = drafts
        .iter()
        .filter(|draft| draft.step.is_some())
        .map(|draft| draft.id.as_str());
    let help = nearest(&hold.activity, names).map_or_else(
        || "write panel and step, such as `N1/release`, as `facelay days` shows them".to_owned(),
        |near| format!("write `{near}` if that is meant"),
    );
    problems.error(
        Some(hold.at.clone()),
        format!("there is no activity `{}`", hold.activity),
        help,
    );
}
