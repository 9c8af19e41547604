//! The `[[person]]` and `[[equipment]]` tables.

use std::collections::BTreeSet;

use crate::diag::Problems;
use crate::input::Field;
use crate::input::Section;
use crate::units::Money;
use crate::units::bound;

use super::bounds;
use super::calendar;
use super::terms::money;
use crate::job::Equipment;
use crate::job::Person;

/// Reads the people.
pub(super) fn read(root: &Section<'_>, currency: &str, problems: &mut Problems) -> Vec<Person> {
    let sections = root.required_sections("person", problems);
    unique_names(&sections, problems);
    sections
        .iter()
        .map(|section| person(section, currency, problems))
        .collect()
}

fn person(section: &Section<'_>, currency: &str, problems: &mut Problems) -> Person {
    section.known(
        &["name", "count", "skills", "cost", "charge", "away"],
        problems,
    );
    let skills = section.field("skills").required(problems);
    let words: BTreeSet<String> = skills
        .list(problems)
        .iter()
        .filter_map(|skill| skill.text(problems))
        .collect();
    if words.is_empty() && !skills.is_blank() {
        skills.problem(
            "nothing is in the list",
            "name at least one skill that the recipe's steps ask for",
            problems,
        );
    }
    Person {
        name: section
            .field("name")
            .required(problems)
            .text(problems)
            .unwrap_or_default(),
        count: people(&section.field("count"), problems),
        skills: words,
        cost: money(
            &section.field("cost").required(problems),
            currency,
            problems,
        )
        .unwrap_or(Money::ZERO),
        charge: money(
            &section.field("charge").required(problems),
            currency,
            problems,
        )
        .unwrap_or(Money::ZERO),
        away: calendar::days(section.field("away"), problems),
    }
}

/// How many people; a count that cannot be read is taken for enough, so that nothing else is said to be lacking.
fn people(field: &Field<'_>, problems: &mut Problems) -> u32 {
    const ENOUGH: u32 = 50;
    if field.is_blank() {
        return 1;
    }
    field.whole(bound::PEOPLE, problems).unwrap_or(ENOUGH)
}

/// Reads the equipment.
pub(super) fn equipment(
    root: &Section<'_>,
    currency: &str,
    problems: &mut Problems,
) -> Vec<Equipment> {
    let sections = root.field("equipment").sections(problems);
    unique_names(&sections, problems);
    let mut all = Vec::new();
    for section in &sections {
        section.known(
            &["name", "count", "moving", "hire_day", "hire_week"],
            problems,
        );
        all.push(Equipment {
            name: section
                .field("name")
                .required(problems)
                .text(problems)
                .unwrap_or_default(),
            count: section
                .field("count")
                .whole(bound::COUNT, problems)
                .unwrap_or(1),
            moving_minutes: section
                .field("moving")
                .minutes(bounds::MOVING, problems)
                .unwrap_or(0),
            hire_day: money(&section.field("hire_day"), currency, problems).unwrap_or(Money::ZERO),
            hire_week: money(&section.field("hire_week"), currency, problems),
        });
    }
    all
}

fn unique_names(sections: &[Section<'_>], problems: &mut Problems) {
    let mut seen = BTreeSet::new();
    for section in sections {
        let name = section.field("name");
        if !name.is_blank() && !seen.insert(name.shown()) {
            name.problem(
                format!("`{}` is there twice", name.shown()),
                "write one of them with a `count`, or rename it",
                problems,
            );
        }
    }
}
