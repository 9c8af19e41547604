//! The keys and tables that the schedule goes around: `today`, `[[hold]]`, `[[bay]]` and the table of progress.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::diag::Problems;
use crate::diag::nearest;
use crate::input::Field;
use crate::input::Row;
use crate::input::Section;
use crate::units::Bound;
use crate::units::Mass;
use crate::units::either_percent;
use crate::units::parse_decimal;

use super::bounds;
use super::calendar;
use super::saved::Saved;
use super::settings::day;
use super::tables::Tables;
use crate::job::Bay;
use crate::job::Effort;
use crate::job::Equipment;
use crate::job::Hold;
use crate::job::PanelRow;
use crate::job::Planning;
use crate::job::Progress;

/// How much of a step is done.
const DONE: Bound = Bound {
    name: "what is done",
    least: 0.0,
    most: 100.0,
    unit: "%",
};

/// Reads everything but the recipes, which are joined later.
pub(super) fn read<'r>(
    root: &Section<'_>,
    (tables, saved): (&Tables, &Saved),
    panels: impl Iterator<Item = &'r PanelRow>,
    equipment: &[Equipment],
    problems: &mut Problems,
) -> Planning {
    let names: BTreeSet<&str> = panels.map(|row| row.panel.as_str()).collect();
    Planning {
        effort: Effort::default(),
        today: day(root.field("today"), problems),
        holds: root
            .field("hold")
            .sections(problems)
            .iter()
            .filter_map(|section| hold(section, problems))
            .collect(),
        progress: progress(tables, saved, problems),
        bays: bays(root, &names, equipment, problems),
        recipes: BTreeMap::new(),
    }
}

fn hold(section: &Section<'_>, problems: &mut Problems) -> Option<Hold> {
    section.known(&["activity", "day", "time", "earliest", "latest"], problems);
    let activity = section.field("activity").required(problems);
    let hold = Hold {
        activity: activity.text(problems)?,
        day: day(section.field("day"), problems),
        minute: time(&section.field("time"), problems),
        earliest: day(section.field("earliest"), problems),
        latest: day(section.field("latest"), problems),
        at: activity.place(),
    };
    if hold.day.is_none() && hold.earliest.is_none() && hold.latest.is_none() {
        activity.problem(
            format!("`{}` is held to no day", hold.activity),
            "write `day`, `earliest` or `latest`",
            problems,
        );
    }
    if hold.minute.is_some() && hold.day.is_none() {
        section.field("time").problem(
            "there is a time without a day",
            "write `day` too, or delete `time`",
            problems,
        );
    }
    let first = hold.day.max(hold.earliest);
    if let Some((first, last)) = first.zip(hold.latest).filter(|(first, last)| first > last) {
        section.field("latest").problem(
            format!("`{last}` is before `{first}`"),
            "check the days",
            problems,
        );
    }
    Some(hold)
}

/// A time of day, `HH:MM`.
fn time(field: &Field<'_>, problems: &mut Problems) -> Option<u16> {
    if field.is_blank() {
        return None;
    }
    let text = field.text(problems)?;
    let minute = calendar::minute(&text).filter(|minute| *minute < 24 * 60);
    if minute.is_none() {
        field.problem(
            format!("`{}` is no time of day", field.shown()),
            "write hours and minutes, such as `08:30`",
            problems,
        );
    }
    minute
}

/// The columns that a table of progress may have.
pub(super) const COLUMNS: &[&str] = &[
    "panel",
    "step",
    "done",
    "finished",
    "at",
    "actual hours",
    "actual solution",
    "notes",
];
/// Those it must have.
pub(super) const REQUIRED: [&str; 2] = ["panel", "step"];

/// The column of our own workbooks that lists everything there is to do: a step of which nothing is written is not done.
const LISTS_ALL: &str = "planned hours";

/// Reads what is done; where several files speak of one step, the one read last is true.
fn progress(tables: &Tables, saved: &Saved, problems: &mut Problems) -> Vec<Progress> {
    let own = tables
        .get("progress")
        .filter(|table| table.check_headings(COLUMNS, &REQUIRED, problems));
    let mut all: BTreeMap<(String, String), Progress> = BTreeMap::new();
    for table in own.into_iter().chain(&saved.progress) {
        let mut seen = BTreeSet::new();
        let lists_all = table.has(LISTS_ALL);
        for row in table.rows() {
            let Some(row) = row_of(&row, lists_all, problems) else {
                continue;
            };
            let key = (row.subject.clone(), row.step.clone());
            if !seen.insert(key.clone()) {
                problems.error(
                    Some(row.at.clone()),
                    format!("`{}` of `{}` is there twice", row.step, row.subject),
                    "keep the row that is true today",
                );
            }
            all.insert(key, row);
        }
    }
    all.into_values().filter(|row| row.done > 0.0).collect()
}

fn row_of(row: &Row<'_>, lists_all: bool, problems: &mut Problems) -> Option<Progress> {
    let written = |heading| !row.field(heading).is_blank();
    let told = written("done") || written("finished");
    let taken = written("actual hours") || written("actual solution");
    if lists_all && !told {
        if taken || written("at") {
            row.field("done").problem(
                "something is written of the step, but not how much of it is done",
                "write `yes` or a percentage such as `50 %`",
                problems,
            );
        }
        return None;
    }
    let subject = row.field("panel").required(problems);
    let step = row.field("step").required(problems);
    Some(Progress {
        at: subject.place(),
        subject: subject.text(problems)?,
        step_at: step.place(),
        step: step.text(problems)?,
        done: share(&row.field("done"), problems),
        finished: day(row.field("finished"), problems),
        minute: time(&row.field("at"), problems),
        hours: row
            .field("actual hours")
            .number(bounds::HOURS_TAKEN, problems),
        solution: row
            .field("actual solution")
            .mass(bounds::USED, problems)
            .map(Mass::to_g),
    })
}

/// `yes`, `no` or a percentage; an empty cell means all of it.
fn share(field: &Field<'_>, problems: &mut Problems) -> f64 {
    let Some(text) = field.text(problems) else {
        return 1.0;
    };
    match text.trim().to_lowercase().as_str() {
        "yes" | "x" | "done" | "true" => return 1.0,
        "no" | "false" => return 0.0,
        _ => {}
    }
    let number = text.trim().trim_end_matches('%').trim();
    let percent = parse_decimal(number, field.number_style()).unwrap_or(Decimal::NEGATIVE_ONE);
    let has_sign = text.trim().ends_with('%');
    if !has_sign && percent.is_sign_positive() && !percent.is_zero() {
        field.problem(
            format!(
                "`{}` has no % sign, so it is not sure what it is a share of",
                field.shown()
            ),
            without_sign(percent),
            problems,
        );
        return 1.0;
    }
    let percent = percent.to_f64().unwrap_or(-1.0);
    if DONE.holds(percent) {
        return percent / 100.0;
    }
    field.problem(
        format!("`{}`: {}", field.shown(), DONE.allowed()),
        "write `yes`, `no` or a percentage such as `50 %`",
        problems,
    );
    1.0
}

/// What to write instead of a share without its sign, which may be percent, a part of one, or a count of something.
fn without_sign(number: Decimal) -> String {
    let number = number.normalize();
    if number < Decimal::ONE {
        either_percent(number)
    } else if number <= Decimal::ONE_HUNDRED {
        format!("write `{number} %` if so much of the step is done, `yes` if all of it is")
    } else {
        "write `yes`, `no` or a percentage such as `50 %`".to_owned()
    }
}

fn bays(
    root: &Section<'_>,
    panels: &BTreeSet<&str>,
    equipment: &[Equipment],
    problems: &mut Problems,
) -> Vec<Bay> {
    let mut taken: BTreeSet<String> = BTreeSet::new();
    let mut all = Vec::new();
    for section in root.field("bay").sections(problems) {
        section.known(&["name", "tower", "panels"], problems);
        let name = section.field("name").required(problems).text(problems);
        let tower = section.field("tower").required(problems);
        let named = tower.text(problems).unwrap_or_default();
        if !named.is_empty() && equipment.iter().all(|row| row.name != named) {
            let near = nearest(&named, equipment.iter().map(|row| row.name.as_str()));
            let help = near.map_or_else(
                || format!("add `[[equipment]]` with `name = \"{named}\"`"),
                |near| format!("write `{near}`"),
            );
            tower.problem(
                format!("the job has no equipment `{named}`"),
                help,
                problems,
            );
        }
        let list = section.field("panels").required(problems);
        let mut reached = Vec::new();
        for item in list.list(problems) {
            let Some(panel) = item.text(problems) else {
                continue;
            };
            if !panels.is_empty() && !panels.contains(panel.as_str()) {
                let help = nearest(&panel, panels.iter().copied()).map_or_else(
                    || "write a panel as its row names it".to_owned(),
                    |near| format!("write `{near}` if that is meant"),
                );
                item.problem(format!("there is no panel `{panel}`"), help, problems);
            } else if taken.insert(panel.clone()) {
                reached.push(panel);
            } else {
                item.problem(
                    format!("`{panel}` is in two bays"),
                    "name it in the bay from which it is worked at",
                    problems,
                );
            }
        }
        all.push(Bay {
            name: name.unwrap_or_default(),
            tower: named,
            panels: reached,
        });
    }
    all
}
