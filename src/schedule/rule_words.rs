//! The rules of a schedule in words: where each is written, what it says, what to write instead.

use jiff::civil::Date;

use crate::diag::count;
use crate::job::Job;
use crate::recipe::Step;

use super::Given;
use super::engine::Ids;
use super::rules::Rule;
use super::words::span;

/// More rules than this are no explanation; the rest is counted.
const MOST: usize = 8;

/// The rules, a line each, under a line that says what they have in common: whether that they cannot be kept together is proven or only
/// searched for, and whether none of them can be spared.
pub(super) fn lines(
    given: &Given<'_>,
    ids: &Ids,
    rules: &[Rule<'_>],
    (proven, is_least): (bool, bool),
) -> Vec<String> {
    let together = if proven {
        "which no schedule can keep together"
    } else {
        "which no schedule was found to keep together"
    };
    let head = match rules {
        [] => return Vec::new(),
        [_] => "change this rule, which stands in the way by itself:".to_owned(),
        _ if is_least => format!(
            "change one of these {} rules, {together}; any one of them left out, the others can be kept:",
            rules.len()
        ),
        _ => format!("change one of these {} rules, {together}:", rules.len()),
    };
    let mut lines = vec![head];
    lines.extend(rules.iter().take(MOST).map(|rule| line(given, ids, *rule)));
    if rules.len() > MOST {
        lines.push(format!("and {} more", rules.len() - MOST));
    }
    lines
}

fn line(given: &Given<'_>, ids: &Ids, rule: Rule<'_>) -> String {
    let job = given.job;
    match rule {
        Rule::Away(row) => away(job, row),
        Rule::People(bit) => people(job, ids.skills.get(usize::from(bit))),
        Rule::Closed(place) => {
            let days = job.places.get(place).map_or(0, |site| site.closed.len());
            let days = count(days, "day");
            format!("job.toml, `closed` of place `{}`: {days}; open some of them", place_name(job, place))
        }
        Rule::Hours(place) => hours(job, place),
        Rule::AirOfHour(place) => air(job, place, "an hour"),
        Rule::AirOfDay(place) => air(job, place, "a day"),
        Rule::Equipment(at) => {
            let row = job.equipment.get(at);
            let (name, count) = row.map_or(("", 0), |row| (row.name.as_str(), row.count));
            format!("job.toml, `count` of equipment `{name}`: {count}; write more")
        }
        Rule::Bay(at) => {
            let name = job.planning.bays.get(at).map_or("", |bay| bay.name.as_str());
            format!("job.toml, bay `{name}`: one step at a time; part it into two bays")
        }
        Rule::All(recipe, at) => {
            let place = step_place(job, recipe, at);
            format!("{place}, `order`: `all`, so it waits for the step above on every panel; write `panel`")
        }
        Rule::When(recipe, at) => {
            let when = step(job, recipe, at).map_or("", |step| step.when.name());
            let place = step_place(job, recipe, at);
            format!("{place}, `when`: `{when}`; write `any`, or widen `{when}` of its place in job.toml")
        }
        Rule::SameDay(recipe, at) => {
            let place = step_place(job, recipe, at);
            if step(job, recipe, at).is_some_and(|step| step.same_day) {
                format!("{place}, `same_day`: finished within one working day; write `same_day = false`")
            } else {
                format!("{place}, `pausable`: done without a break; write `pausable = true`")
            }
        }
        Rule::Drying(recipe, at) => drying(given, recipe, at),
        Rule::Arrival(recipe, at) => {
            let place = step_place(job, recipe, at);
            format!(
                "{place}: its materials lie ready too late; order earlier (`order_day` in job.toml), take a quicker offer, or lessen \
                 `days_in_hand`"
            )
        }
        Rule::Within(recipe, at) => {
            let within = step(job, recipe, at).and_then(|step| step.within_minutes);
            let within = span(i64::from(within.unwrap_or(0)));
            let place = step_place(job, recipe, at);
            format!("{place}, `within`: at most {within} after what it follows; lengthen it")
        }
        Rule::Moves => {
            "job.toml, `travel_days`: things are 12 hours on the move between places, and those days; do both steps at one place".to_owned()
        }
        Rule::Today => {
            "job.toml, `today`, or `--today`: what is left begins then; correct it, or note more as done in the table `progress`".to_owned()
        }
        Rule::Hold(at) => hold(job, at),
        Rule::HandOver => {
            let day = job.hand_over.map_or_else(String::new, |day| day.to_string());
            format!("job.toml, `hand_over`: the wall is to be clear by the evening of {day}; agree on a later day")
        }
    }
}

fn away(job: &Job, row: usize) -> String {
    let person = job.people.get(row);
    let name = person.map_or("", |person| person.name.as_str());
    let days = count(person.map_or(0, |person| person.away.len()), "day");
    format!(
        "job.toml, `away` of person `{name}`: {days}; plan without them, or find somebody for those days"
    )
}

fn people(job: &Job, skill: Option<&String>) -> String {
    let skill = skill.map_or("", String::as_str);
    let rows = job.people.iter().filter(|row| row.skills.contains(skill));
    let have: u32 = rows.map(|row| row.count).sum();
    format!(
        "job.toml, `count` of people with the skill `{skill}`: {have} in all; add some, or lower `crew` in the recipe"
    )
}

fn place_name(job: &Job, place: usize) -> &str {
    job.places.get(place).map_or("", |site| site.name.as_str())
}

fn hours(job: &Job, place: usize) -> String {
    let days = job
        .places
        .get(place)
        .map(|site| site.hours.iter().flatten());
    let minutes = days.map_or(0, |hours| {
        hours
            .map(|(from, to)| i64::from(to.saturating_sub(*from)))
            .sum()
    });
    let week = span(minutes);
    format!(
        "job.toml, `hours` of place `{}`: {week} a week; work longer or on more days",
        place_name(job, place)
    )
}

fn air(job: &Job, place: usize, of: &str) -> String {
    let fresh = job.places.get(place).and_then(|site| site.fresh_air_m3_h);
    format!(
        "job.toml, `fresh_air` of place `{}`: {:.0} m³/h, which limits what may be brushed on in {of}; bring in more, or take a water-borne \
         recipe, as a competent person decides",
        place_name(job, place),
        fresh.unwrap_or(0.0)
    )
}

fn step<'a>(job: &'a Job, recipe: &str, at: usize) -> Option<&'a Step> {
    job.recipes.get(recipe)?.steps.get(at)
}

fn step_place(job: &Job, recipe: &str, at: usize) -> String {
    let id = step(job, recipe, at).map_or("", |step| step.id.as_str());
    format!("recipe `{recipe}`, step `{id}`")
}

fn drying(given: &Given<'_>, recipe: &str, at: usize) -> String {
    let mut rows = given.exposure.drying.iter();
    let row = rows.find(|row| row.recipe == recipe && row.step == at);
    let (dry, cures) = row.map_or((0, 0), |row| (row.dry_minutes, row.cures_minutes));
    let cures = if cures > dry {
        format!(", {} until it may be loaded", span(i64::from(cures)))
    } else {
        String::new()
    };
    format!(
        "{}, `drying` or `cures`: {} in its place's climate{cures}; shorten it if a test allows, or warm and dry the place",
        step_place(given.job, recipe, at),
        span(i64::from(dry))
    )
}

fn hold(job: &Job, at: usize) -> String {
    let Some(hold) = job.planning.holds.get(at) else {
        return String::new();
    };
    let day = |words: &str, day: Option<Date>| day.map(|day| format!("{words} {day}"));
    let held = [
        day("on", hold.day),
        day("not before", hold.earliest),
        day("done by", hold.latest),
    ];
    let held: Vec<String> = held.into_iter().flatten().collect();
    format!(
        "{}: `{}` is held: {}; write other days",
        hold.at,
        hold.activity,
        held.join(", ")
    )
}
