//! `choices.toml`: what was chosen on the page, in force for every command until the file is deleted.

use std::collections::BTreeMap;

use crate::diag::Place;
use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::input::Document;
use crate::input::Section;
use crate::recipe::PlaceRole;
use crate::recipe::Recipe;
use crate::units::NumberStyle;
use crate::units::bound;

use super::calendar;
use super::cases;
use super::cases::Known;
use super::settings;
use crate::job::CHOICES_FILE;
use crate::job::Case;
use crate::job::Choices;
use crate::job::Site;

const KEYS: &[&str] = &["case", "choice", "hours"];

/// The keys of a `[[choice]]`: some of those of a `[[case]]`.
const CHOICE_KEYS: &[&str] = &[
    "panels",
    "recipe",
    "people",
    "first_day",
    "hand_over",
    "order_day",
];

/// Opens the file, if the job folder has one.
pub(super) fn document(
    files: &BTreeMap<String, Vec<u8>>,
    style: NumberStyle,
    problems: &mut Problems,
) -> Option<Document> {
    Document::read(CHOICES_FILE, files.get(CHOICES_FILE)?, style, problems)
}

/// What the choices are, and where they name panels' recipes, by panel.
#[derive(Default)]
pub(super) struct Chosen {
    pub(super) choices: Choices,
    pub(super) recipe_at: BTreeMap<String, Place>,
}

/// Reads the choices; the recipes that they name are added to those in use. A note says that they are in force.
pub(super) fn read(
    root: &Section<'_>,
    known: Known<'_>,
    (cases, places): (&[Case], &[Site]),
    recipes: &mut BTreeMap<String, Recipe>,
    problems: &mut Problems,
) -> Chosen {
    root.known(KEYS, problems);
    let mut chosen = Chosen::default();
    chosen.choices.case = case(root, cases, problems);
    for section in root.field("choice").sections(problems) {
        let change = change(&section, known, recipes, problems);
        if change.recipe.is_some() {
            let named = (0..known.panels.len())
                .filter(|at| change.panels.as_ref().is_none_or(|few| few.contains(at)));
            for row in named.filter_map(|at| known.panels.get(at)) {
                let place = section.field("recipe").place();
                chosen.recipe_at.insert(row.panel.clone(), place);
            }
        }
        chosen.choices.changes.push(change);
    }
    chosen.choices.hours = hours(root, places, problems);
    if !chosen.choices.is_empty() {
        tell(&chosen, problems);
    }
    chosen
}

fn case(root: &Section<'_>, cases: &[Case], problems: &mut Problems) -> Option<String> {
    let field = root.field("case");
    let name = field.text(problems)?;
    if cases.iter().any(|case| case.name == name) {
        return Some(name);
    }
    let names: Vec<&str> = cases.iter().map(|case| case.name.as_str()).collect();
    let help = match nearest(&name, names.iter().copied()) {
        Some(near) => format!("write `{near}` if that is meant, or delete the line"),
        None if names.is_empty() => "delete the line: job.toml has no `[[case]]`".to_owned(),
        None => format!("write one of {}, or delete the line", list(&names, "or")),
    };
    field.problem(
        format!("there is no case `{}` in job.toml", field.shown()),
        help,
        problems,
    );
    None
}

fn change(
    section: &Section<'_>,
    known: Known<'_>,
    recipes: &mut BTreeMap<String, Recipe>,
    problems: &mut Problems,
) -> Case {
    section.known(CHOICE_KEYS, problems);
    let field = |key| section.field(key);
    if !field("panels").is_blank() && field("recipe").is_blank() {
        field("panels").problem(
            "panels are named, and nothing is chosen for them",
            "add `recipe = …`, or delete the line",
            problems,
        );
    }
    Case {
        panels: cases::panels(&field("panels"), known.panels, problems),
        recipe: cases::recipe(&field("recipe"), known.book, recipes, problems),
        people: cases::by_person(
            &field("people"),
            known.people,
            problems,
            |field, problems| field.whole(bound::PEOPLE, problems),
        ),
        first_day: settings::day(field("first_day"), problems),
        hand_over: settings::day(field("hand_over"), problems),
        order_day: settings::day(field("order_day"), problems),
        ..Case::default()
    }
}

fn hours(
    root: &Section<'_>,
    places: &[Site],
    problems: &mut Problems,
) -> BTreeMap<PlaceRole, [Vec<(u16, u16)>; 7]> {
    let Some(section) = root.field("hours").section(problems) else {
        return BTreeMap::new();
    };
    let roles: Vec<PlaceRole> = places.iter().map(|place| place.role).collect();
    let names: Vec<&str> = roles.iter().map(|role| role.name()).collect();
    section.known(&names, problems);
    roles
        .into_iter()
        .filter(|role| section.has(role.name()))
        .map(|role| (role, calendar::hours(section.field(role.name()), problems)))
        .collect()
}

/// Says what is in force, so that nobody wonders why job.toml is not followed.
fn tell(chosen: &Chosen, problems: &mut Problems) {
    let Choices {
        case,
        changes,
        hours,
    } = &chosen.choices;
    let mut parts: Vec<String> = Vec::new();
    parts.extend(case.iter().map(|name| format!("the case `{name}`")));
    match chosen.recipe_at.len() {
        0 => {}
        1 => parts.extend(
            chosen
                .recipe_at
                .keys()
                .map(|panel| format!("the recipe of `{panel}`")),
        ),
        many => parts.push(format!("the recipes of {many} panel rows")),
    }
    if changes.iter().any(|change| !change.people.is_empty()) {
        parts.push("how many people".to_owned());
    }
    let days = [
        (
            "the first day",
            changes.iter().any(|change| change.first_day.is_some()),
        ),
        (
            "the hand-over",
            changes.iter().any(|change| change.hand_over.is_some()),
        ),
        (
            "the order day",
            changes.iter().any(|change| change.order_day.is_some()),
        ),
    ];
    let chosen = days.into_iter().filter(|(_, is_chosen)| *is_chosen);
    parts.extend(chosen.map(|(name, _)| name.to_owned()));
    parts.extend(
        hours
            .keys()
            .map(|role| format!("the hours of the {}", role.name())),
    );
    if parts.is_empty() {
        return;
    }
    problems.note(
        Some(Place::File {
            file: CHOICES_FILE.to_owned(),
        }),
        format!(
            "choices made on the page go before job.toml and the tables: {}",
            parts.join(", ")
        ),
        format!("delete `{CHOICES_FILE}` to go back"),
    );
}
