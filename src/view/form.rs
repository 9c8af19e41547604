//! The form over a job's main choices: plain fields that work without scripts.

use maud::Markup;
use maud::html;

use crate::job::Job;

use super::picks::ALL_PANELS;
use super::picks::CASE;
use super::picks::Day;
use super::picks::Pick;
use super::picks::SHOWN_CASE;
use super::session::Session;

/// More panel rows than this are not listed one by one: a page of thousands of fields helps nobody.
const MOST_ROWS: usize = 300;

/// Up to this many panel rows stand open.
const FEW_ROWS: usize = 3;

/// The form, if the job can be read.
pub(super) fn form(session: &Session) -> Option<Markup> {
    let base = session.base.as_ref()?;
    Some(html! {
        form method="post" action="plan" accept-charset="utf-8" {
            input type="hidden" name="form" value=(session.form);
            input type="hidden" name="folder" value=(session.digest());
            input type="hidden" name=(SHOWN_CASE) value=(session.picks.case);
            div.fields {
                (case(session, base))
                (days(session, base))
                (people(session, base))
            }
            (recipes(session, base))
            (hours(session, base))
            p.actions {
                button.main type="submit" { "Plan again" }
                button type="submit" formaction="save" { "Save in the job folder" }
            }
            p.hint {
                "“Plan again” changes nothing in the job folder. A field with a mark is otherwise than in the folder’s own files; "
                "an empty field goes back to them."
            }
        }
    })
}

/// The value of a field, and whether it is picked.
fn value(session: &Session, base: &Job, pick: Pick) -> (String, bool) {
    let value = session.picks.shown(base).remove(&pick);
    (
        value.unwrap_or_default(),
        session.picks.values.contains_key(&pick),
    )
}

fn case(session: &Session, base: &Job) -> Markup {
    if base.cases.is_empty() {
        return html! {};
    }
    let picked = &session.picks.case;
    let told = base.case(picked).map(|case| case.text.as_str());
    html! {
        fieldset {
            legend { "Case" }
            p {
                label for="pick-case" { "Plan" (mark(!picked.is_empty())) }
                select id="pick-case" name=(CASE) {
                    option value="" selected[picked.is_empty()] { "the job as it stands" }
                    @for case in &base.cases {
                        option value=(case.name) selected[case.name == *picked] { (case.name) }
                    }
                }
            }
            @if let Some(told) = told.filter(|told| !told.is_empty()) { p.hint { (told) } }
        }
    }
}

fn days(session: &Session, base: &Job) -> Markup {
    let name = |day| match day {
        Day::Order => "First orders are sent on",
        Day::First => "First working day",
        Day::HandOver => "Hand-over: wall clear by the end of",
    };
    html! {
        fieldset {
            legend { "Days" }
            @for day in Day::ALL {
                @let (value, picked) = value(session, base, Pick::Day(day));
                p {
                    label for=(id(Pick::Day(day))) { (name(day)) (mark(picked)) }
                    input id=(id(Pick::Day(day))) name=(day.key()) type="date" value=(value) min="2000-01-01" max="2199-12-31";
                }
            }
        }
    }
}

fn people(session: &Session, base: &Job) -> Markup {
    html! {
        fieldset {
            legend { "People" }
            @for (row, person) in base.people.iter().enumerate() {
                @let (value, picked) = value(session, base, Pick::People(row));
                @let pick = Pick::People(row);
                p {
                    label for=(id(pick)) { (person.name) (mark(picked)) }
                    input id=(id(pick)) name=(pick.field()) type="number" inputmode="numeric" min="0" step="1" value=(value);
                }
            }
        }
    }
}

fn recipes(session: &Session, base: &Job) -> Markup {
    let known: Vec<(&str, &str)> = base
        .planning
        .recipes
        .iter()
        .map(|(id, recipe)| (id.as_str(), recipe.name.as_str()))
        .collect();
    let shown = session.picks.shown(base);
    let picked = |row| session.picks.values.contains_key(&Pick::Recipe(row));
    let any = (0..base.panels.len()).any(picked);
    html! {
        fieldset {
            legend { "Treatment" }
            p {
                label for="pick-recipe" { "Recipe of every panel" (mark(any)) }
                select id="pick-recipe" name=(ALL_PANELS) {
                    option value="" { "as set panel by panel" }
                    @for (id, name) in &known { option value=(id) { (id) ": " (name) } }
                }
            }
            @if base.panels.len() <= MOST_ROWS {
                details open[any || base.panels.len() <= FEW_ROWS] {
                    summary { "Recipe panel by panel" }
                    div.rows {
                        @for (row, panel) in base.panels.iter().enumerate() {
                            @let pick = Pick::Recipe(row);
                            @let value = shown.get(&pick).map_or("", String::as_str);
                            p {
                                label for=(id(pick)) { (panel.panel) (mark(picked(row))) }
                                select id=(id(pick)) name=(pick.field()) {
                                    @if !known.iter().any(|(id, _)| *id == value) {
                                        option value=(value) selected { (value) }
                                    }
                                    @for (id, _) in &known {
                                        option value=(id) selected[*id == value] { (id) }
                                    }
                                }
                            }
                        }
                    }
                }
            } @else {
                p.hint {
                    "With " (base.panels.len()) " panel rows, the recipe of each is set in the panels’ table: change it there and upload it."
                }
            }
        }
    }
}

fn hours(session: &Session, base: &Job) -> Markup {
    const DAYS: [&str; 7] = [
        "Monday",
        "Tuesday",
        "Wednesday",
        "Thursday",
        "Friday",
        "Saturday",
        "Sunday",
    ];
    let shown = session.picks.shown(base);
    let picked = |pick: &Pick| session.picks.values.contains_key(pick);
    let any = session
        .picks
        .values
        .keys()
        .any(|pick| matches!(pick, Pick::Hours(..)));
    html! {
        fieldset {
            legend { "Working hours" }
            details open[any] {
                summary { "Hours of each weekday" (mark(any)) }
                p.hint { "Such as 08:00-12:00, 13:00-17:00. An empty field is a day on which nobody works." }
                div.places {
                    @for place in &base.places {
                        div role="group" aria-label=(place.name) {
                            h4 { (place.name) }
                            @for (day, name) in DAYS.iter().enumerate() {
                                @let pick = Pick::Hours(place.role, day);
                                p {
                                    label for=(id(pick)) { (name) (mark(picked(&pick))) }
                                    input id=(id(pick)) name=(pick.field()) type="text" autocomplete="off"
                                        value=(shown.get(&pick).map_or("", String::as_str));
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The name of a field within the page, kept apart from the report's.
fn id(pick: Pick) -> String {
    format!("pick-{}", pick.field().replace('.', "-"))
}

/// Says that a field is otherwise than in the folder's own files, to eyes and to screen readers.
fn mark(picked: bool) -> Markup {
    html! {
        @if picked { " " span.mark { "changed" } }
    }
}
