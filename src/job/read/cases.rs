//! The `[[case]]` tables.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::catalog::Adhesive;
use crate::catalog::Give;
use crate::catalog::Paint;
use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::input::Field;
use crate::input::Section;
use crate::recipe::Recipe;
use crate::units::Money;
use crate::units::bound;

use super::bounds;
use super::joining::Book;
use super::settings;
use super::settings::Settings;
use super::terms::money;
use crate::job::ByOthers;
use crate::job::Case;
use crate::job::PanelRow;
use crate::job::Person;

const KEYS: &[&str] = &[
    "name",
    "text",
    "panels",
    "recipe",
    "paint",
    "give",
    "adhesive",
    "lead",
    "mould",
    "removal_factor",
    "people",
    "cost",
    "charge",
    "first_day",
    "hand_over",
    "order_day",
    "contingency",
    "overhead",
    "markup",
    "by_others",
];

/// What a case may name.
#[derive(Clone, Copy)]
pub(super) struct Known<'a> {
    pub(super) panels: &'a [PanelRow],
    pub(super) people: &'a [Person],
    pub(super) book: &'a Book<'a>,
    pub(super) currency: &'a str,
}

/// Reads the cases; the recipes that they name are added to those in use.
pub(super) fn read(
    root: &Section<'_>,
    known: Known<'_>,
    recipes: &mut BTreeMap<String, Recipe>,
    problems: &mut Problems,
) -> Vec<Case> {
    let mut names = BTreeSet::new();
    let sections = root.field("case").sections(problems);
    let mut cases = Vec::new();
    for section in &sections {
        let case = case(section, known, recipes, problems);
        if !case.name.is_empty() && !names.insert(case.name.clone()) {
            section.field("name").problem(
                format!("there are two cases `{}`", case.name),
                "give each case a name of its own",
                problems,
            );
        }
        cases.push(case);
    }
    cases
}

fn case(
    section: &Section<'_>,
    known: Known<'_>,
    recipes: &mut BTreeMap<String, Recipe>,
    problems: &mut Problems,
) -> Case {
    section.known(KEYS, problems);
    let field = |key| section.field(key);
    let percent = |key, problems: &mut Problems| field(key).percent(bound::RATE, problems);
    Case {
        name: field("name")
            .required(problems)
            .text(problems)
            .unwrap_or_default(),
        text: field("text").text(problems).unwrap_or_default(),
        panels: panels(&field("panels"), known.panels, problems),
        recipe: recipe(&field("recipe"), known.book, recipes, problems),
        paint: field("paint").choice(Paint::ALL, Paint::name, problems),
        give: field("give").choice(Give::ALL, Give::name, problems),
        adhesive: field("adhesive").choice(Adhesive::ALL, Adhesive::name, problems),
        lead: field("lead").yes_no(problems),
        mould: field("mould").yes_no(problems),
        removal_factor: field("removal_factor").number(bounds::REMOVAL_FACTOR, problems),
        people: by_person(
            &field("people"),
            known.people,
            problems,
            |field, problems| field.whole(bound::PEOPLE, problems),
        ),
        cost: rates(&field("cost"), known, problems),
        charge: rates(&field("charge"), known, problems),
        first_day: settings::day(field("first_day"), problems),
        hand_over: settings::day(field("hand_over"), problems),
        order_day: settings::day(field("order_day"), problems),
        contingency: percent("contingency", problems),
        overhead: percent("overhead", problems),
        markup: percent("markup", problems),
        by_others: by_others(&field("by_others"), known.currency, problems),
    }
}

/// Checks the order of days of every case that states one of them.
pub(super) fn days(
    root: &Section<'_>,
    settings: &Settings,
    cases: &[Case],
    problems: &mut Problems,
) {
    // Problems of the tables themselves are told where they are read.
    let sections = root.field("case").sections(&mut Problems::new());
    for (section, case) in sections.iter().zip(cases) {
        let Some(first) = case.first_day.or(settings.first_day) else {
            continue;
        };
        let stated = |key: &'static str| {
            let own = section.field(key);
            if own.is_blank() {
                section.field("first_day")
            } else {
                own
            }
        };
        let moved = case.first_day.is_some();
        let last = case.hand_over.or(settings.hand_over);
        if let Some(last) = last.filter(|last| *last < first && (moved || case.hand_over.is_some()))
        {
            let text = format!(
                "in this case the hand-over, `{last}`, is before the first working day, `{first}`"
            );
            stated("hand_over").problem(text, "check both days", problems);
        }
        let order = case.order_day.or(settings.order_day);
        if let Some(order) =
            order.filter(|order| *order > first && (moved || case.order_day.is_some()))
        {
            let text = format!(
                "in this case orders are sent on `{order}`, after the first working day, `{first}`"
            );
            stated("order_day").problem(
                text,
                "write the day on which the first orders are sent",
                problems,
            );
        }
    }
}

/// Reads a list of panels as the rows that it names.
pub(super) fn panels(
    field: &Field<'_>,
    rows: &[PanelRow],
    problems: &mut Problems,
) -> Option<Vec<usize>> {
    if field.is_blank() {
        return None;
    }
    let mut found = Vec::new();
    for item in field.list(problems) {
        let Some(name) = item.text(problems) else {
            continue;
        };
        match rows.iter().position(|row| row.panel == name) {
            Some(at) => found.push(at),
            None => item.problem(
                format!("there is no panel `{name}`"),
                near(&name, rows.iter().map(|row| row.panel.as_str()), "panel"),
                problems,
            ),
        }
    }
    Some(found)
}

fn near<'a>(name: &str, known: impl Iterator<Item = &'a str>, what: &str) -> String {
    match nearest(name, known) {
        Some(near) => format!("write `{near}` if that is meant"),
        None => format!("write the name of a {what} as its table has it"),
    }
}

/// Reads a recipe's id; the recipe is added to those in use.
pub(super) fn recipe(
    field: &Field<'_>,
    book: &Book<'_>,
    recipes: &mut BTreeMap<String, Recipe>,
    problems: &mut Problems,
) -> Option<String> {
    let id = field.text(problems)?;
    if !recipes.contains_key(&id) {
        if !book.is_known(&id) {
            let known = book.ids();
            let help = match nearest(&id, known.iter().copied()) {
                Some(near) => format!("write `{near}` if that is meant"),
                None => format!("write one of {}", list(&known, "or")),
            };
            field.problem(format!("there is no recipe `{id}`"), help, problems);
            return None;
        }
        recipes.insert(id.clone(), book.get(&id, problems)?);
    }
    Some(id)
}

/// Reads a table whose keys are names of people.
pub(super) fn by_person<T>(
    field: &Field<'_>,
    people: &[Person],
    problems: &mut Problems,
    read: impl Fn(&Field<'_>, &mut Problems) -> Option<T>,
) -> BTreeMap<String, T> {
    let Some(section) = field.section(problems) else {
        return BTreeMap::new();
    };
    let names: Vec<&str> = people.iter().map(|person| person.name.as_str()).collect();
    section.known(&names, problems);
    let mut values = BTreeMap::new();
    for name in names.into_iter().filter(|name| section.has(name)) {
        if let Some(value) = read(&section.field(name), problems) {
            values.insert(name.to_owned(), value);
        }
    }
    values
}

fn rates(field: &Field<'_>, known: Known<'_>, problems: &mut Problems) -> BTreeMap<String, Money> {
    by_person(field, known.people, problems, |field, problems| {
        money(field, known.currency, problems)
    })
}

fn by_others(field: &Field<'_>, currency: &str, problems: &mut Problems) -> Option<ByOthers> {
    let section = field.section(problems)?;
    section.known(&["text", "amount"], problems);
    Some(ByOthers {
        text: section
            .field("text")
            .required(problems)
            .text(problems)
            .unwrap_or_default(),
        amount: money(
            &section.field("amount").required(problems),
            currency,
            problems,
        )
        .unwrap_or(Money::ZERO),
    })
}
