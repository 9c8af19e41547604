//! What is picked on the page: form fields to picks, picks to `choices.toml`.

use std::collections::BTreeMap;
use std::fmt::Write;

use jiff::civil::Date;

use crate::job::Case;
use crate::job::Job;
use crate::recipe::PlaceRole;

/// The fields of a posted form, by name.
pub type Fields = BTreeMap<String, String>;

/// The field of the case.
pub(super) const CASE: &str = "case";

/// The field of the case that the page showed its values for.
pub(super) const SHOWN_CASE: &str = "shown_case";

/// The field of a recipe for all panels.
pub(super) const ALL_PANELS: &str = "recipe_of_all";

/// A thing that can be picked. Panels and people are named by their rows, so that no name has to survive a form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Pick {
    /// The recipe of a panel row.
    Recipe(usize),
    /// How many people a row has.
    People(usize),
    /// A day of the job.
    Day(Day),
    /// The hours of a place on a weekday, Monday 0.
    Hours(PlaceRole, usize),
}

/// The days of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Day {
    /// The first working day.
    First,
    /// The day on which the wall must be clear.
    HandOver,
    /// The day of the first orders.
    Order,
}

impl Day {
    /// All days, in the order of time.
    pub(super) const ALL: [Self; 3] = [Self::Order, Self::First, Self::HandOver];

    /// The key in job.toml.
    pub(super) const fn key(self) -> &'static str {
        match self {
            Self::First => "first_day",
            Self::HandOver => "hand_over",
            Self::Order => "order_day",
        }
    }

    const fn of(self, job: &Job) -> Option<Date> {
        match self {
            Self::First => Some(job.first_day),
            Self::HandOver => job.hand_over,
            Self::Order => Some(job.order_day),
        }
    }
}

/// Weekdays as `choices.toml` has them.
pub(super) const WEEKDAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

impl Pick {
    /// The name of its form field.
    pub(super) fn field(self) -> String {
        match self {
            Self::Recipe(row) => format!("recipe.{row}"),
            Self::People(row) => format!("people.{row}"),
            Self::Day(day) => day.key().to_owned(),
            Self::Hours(role, day) => {
                format!("hours.{}.{}", role.name(), WEEKDAYS.get(day).unwrap_or(&""))
            }
        }
    }

    /// Says whether an empty field means something of its own: a day without hours. Others then go back to the job's.
    const fn may_be_empty(self) -> bool {
        match self {
            Self::Hours(..) => true,
            Self::Recipe(_) | Self::People(_) | Self::Day(_) => false,
        }
    }
}

/// What is picked in place of what the job folder says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Picks {
    /// The case planned instead of the job as it stands; empty for the latter.
    pub(super) case: String,
    /// What is otherwise than the job, or the case picked, has it: as typed.
    pub(super) values: BTreeMap<Pick, String>,
}

impl Picks {
    /// Says whether nothing is picked.
    pub fn is_empty(&self) -> bool {
        self.case.is_empty() && self.values.is_empty()
    }

    /// What a job with choices in force has otherwise than the same job without them.
    pub(super) fn of(base: &Job, chosen: &Job) -> Self {
        let case = chosen.choices.case.clone().unwrap_or_default();
        let own = values(base, &case);
        let mut values = own.clone();
        values.extend(named(base, chosen));
        values.retain(|pick, value| own.get(pick) != Some(value));
        Self { case, values }
    }

    /// What a posted form picks; what it does not name stays as picked before.
    pub(super) fn posted(&self, base: &Job, fields: &Fields) -> Self {
        let field = |name: &str| fields.get(name).map(|value| value.trim());
        let shown = values(base, field(SHOWN_CASE).unwrap_or(&self.case));
        let all = field(ALL_PANELS).filter(|recipe| !recipe.is_empty());
        let mut picks = Self {
            case: field(CASE).unwrap_or(&self.case).to_owned(),
            values: BTreeMap::new(),
        };
        for (pick, own) in &shown {
            let for_all = match pick {
                Pick::Recipe(_) => all,
                Pick::People(_) | Pick::Day(_) | Pick::Hours(..) => None,
            };
            let name = pick.field();
            let posted = for_all.or_else(|| field(&name));
            let value = match posted {
                Some("") if !pick.may_be_empty() => None,
                Some(value) if value == own => None,
                Some(value) => Some(value),
                None => self.values.get(pick).map(String::as_str),
            };
            picks
                .values
                .extend(value.map(|value| (*pick, value.to_owned())));
        }
        picks
    }

    /// The picks over other panels than those they were made for: by the panels' names. Those of panels that are gone are left out.
    pub(super) fn moved(&self, from: &Job, to: &Job) -> Self {
        let row = |row: usize| {
            let name = &from.panels.get(row)?.panel;
            to.panels.iter().position(|row| row.panel == *name)
        };
        let moved = self.values.iter().filter_map(|(pick, value)| {
            let pick = match *pick {
                Pick::Recipe(at) => Pick::Recipe(row(at)?),
                Pick::People(_) | Pick::Day(_) | Pick::Hours(..) => *pick,
            };
            Some((pick, value.clone()))
        });
        Self {
            case: self.case.clone(),
            values: moved.collect(),
        }
    }

    /// What the form shows: what is picked, and else what the job or the case picked has.
    pub(super) fn shown(&self, base: &Job) -> BTreeMap<Pick, String> {
        let mut shown = values(base, &self.case);
        shown.extend(self.values.clone());
        shown
    }

    /// The picks as `choices.toml`; none if nothing is picked.
    pub(super) fn to_toml(&self, base: &Job) -> Option<String> {
        if self.is_empty() {
            return None;
        }
        let mut text = HEADING.to_owned();
        if !self.case.is_empty() {
            line(&mut text, CASE, &quoted(&self.case));
        }
        self.write_people_and_days(base, &mut text);
        self.write_recipes(base, &mut text);
        self.write_hours(base, &mut text);
        Some(text)
    }

    fn write_people_and_days(&self, base: &Job, text: &mut String) {
        let mut lines = String::new();
        let mut people = Vec::new();
        for (pick, value) in &self.values {
            match pick {
                Pick::Day(day) => line(&mut lines, day.key(), &date(value)),
                Pick::People(row) => people.extend(
                    base.people
                        .get(*row)
                        .map(|person| format!("{} = {}", quoted(&person.name), number(value))),
                ),
                Pick::Recipe(_) | Pick::Hours(..) => {}
            }
        }
        if !people.is_empty() {
            line(
                &mut lines,
                "people",
                &format!("{{ {} }}", people.join(", ")),
            );
        }
        if !lines.is_empty() {
            *text += "\n[[choice]]\n";
            *text += &lines;
        }
    }

    fn write_recipes(&self, base: &Job, text: &mut String) {
        let mut panels: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for (pick, value) in &self.values {
            if let Pick::Recipe(row) = pick
                && let Some(row) = base.panels.get(*row)
            {
                panels.entry(value).or_default().push(&row.panel);
            }
        }
        for (recipe, named) in panels {
            *text += "\n[[choice]]\n";
            if named.len() < base.panels.len() {
                let names: Vec<String> = named.iter().map(|name| quoted(name)).collect();
                line(text, "panels", &format!("[{}]", names.join(", ")));
            }
            line(text, "recipe", &quoted(recipe));
        }
    }

    /// A place of which one weekday is picked is written with its whole week.
    fn write_hours(&self, base: &Job, text: &mut String) {
        let shown = self.shown(base);
        let mut lines = String::new();
        for place in &base.places {
            let role = place.role;
            let is_picked = |day| self.values.contains_key(&Pick::Hours(role, day));
            if !(0..7).any(is_picked) {
                continue;
            }
            let week = WEEKDAYS.iter().enumerate().filter_map(|(day, name)| {
                let spans = shown.get(&Pick::Hours(role, day))?;
                let spans: Vec<String> = spans
                    .split([',', ';'])
                    .map(str::trim)
                    .filter(|span| !span.is_empty())
                    .map(quoted)
                    .collect();
                (!spans.is_empty()).then(|| format!("{name} = [{}]", spans.join(", ")))
            });
            let week = week.collect::<Vec<_>>().join(", ");
            line(&mut lines, role.name(), &format!("{{ {week} }}"));
        }
        if !lines.is_empty() {
            *text += "\n[hours]\n";
            *text += &lines;
        }
    }
}

const HEADING: &str = "# What was chosen on the page of `facelay view`. It goes before job.toml and the tables for every command.\n\
                       # Delete this file to go back to them.\n";

/// What a job says of everything that can be picked, as the case of that name has it; panels that a case leaves to others stay.
fn values(base: &Job, case: &str) -> BTreeMap<Pick, String> {
    let mut all = named(base, base);
    if let Some(case) = base.case(case) {
        let others = Case {
            by_others: None,
            ..case.clone()
        };
        all.extend(named(base, &base.as_case(&others)));
    }
    all
}

/// What a job says of everything that can be picked, rows counted as another job of the same panels and people has them.
fn named(rows: &Job, job: &Job) -> BTreeMap<Pick, String> {
    let mut values = BTreeMap::new();
    for (at, row) in rows.panels.iter().enumerate() {
        let same = job.panels.iter().find(|other| other.panel == row.panel);
        values.extend(same.map(|same| (Pick::Recipe(at), same.recipe.clone())));
    }
    for (at, row) in rows.people.iter().enumerate() {
        let same = job.people.iter().find(|other| other.name == row.name);
        values.extend(same.map(|same| (Pick::People(at), same.count.to_string())));
    }
    for day in Day::ALL {
        let date = day.of(job).map(|date| date.to_string());
        values.insert(Pick::Day(day), date.unwrap_or_default());
    }
    for place in &job.places {
        for (day, spans) in place.hours.iter().enumerate() {
            values.insert(Pick::Hours(place.role, day), hours(spans));
        }
    }
    values
}

/// A day's hours as people write them: `08:00-12:00, 13:00-17:00`.
fn hours(spans: &[(u16, u16)]) -> String {
    let clock = |minute: u16| format!("{:02}:{:02}", minute / 60, minute % 60);
    let spans: Vec<String> = spans
        .iter()
        .map(|(from, to)| format!("{}-{}", clock(*from), clock(*to)))
        .collect();
    spans.join(", ")
}

fn line(text: &mut String, key: &str, value: &str) {
    // Writing to a string cannot fail.
    writeln!(text, "{key} = {value}").unwrap_or_default();
}

fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// A whole number in digits; what is none goes into quotation marks, and reading it says so.
fn number(value: &str) -> String {
    match value.parse::<u32>() {
        Ok(number) => number.to_string(),
        Err(_) => quoted(value),
    }
}

fn date(value: &str) -> String {
    match value.parse::<Date>() {
        Ok(date) => date.to_string(),
        Err(_) => quoted(value),
    }
}
