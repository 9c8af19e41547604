//! What to warn of: too much vapour for a day, limits too low for general ventilation, and what is not known.

use std::collections::BTreeMap;

use crate::diag::Level;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::diag::count;
use crate::job::Job;
use crate::job::Site;
use crate::survey::Survey;

use super::air::shortest_day_hours;
use super::cartridge;
use super::dilution::MIXING;
use super::outcome::Exposure;
use super::outcome::PlaceAir;
use super::outcome::Vapour;
use super::room;
use super::step_of;

/// What stands at the end of every figure that somebody's health may hang on.
const AUTHORITY: &str =
    "have a competent person measure and decide under local rules: these are estimates";

/// Warns of what the air of each place does not take.
pub(super) fn warn(job: &Job, survey: &Survey, exposure: &Exposure, problems: &mut Problems) {
    for air in &exposure.air {
        let Some(place) = job.places.get(air.place) else {
            continue;
        };
        let here: Vec<&Vapour> = exposure
            .vapours
            .iter()
            .filter(|vapour| vapour.place == air.place)
            .collect();
        if here.is_empty() {
            continue;
        }
        low_limit(job, place, air, &here, problems);
        match air.day_m3 {
            Some(_) if air.fresh_m3_h == Some(0.0) => zero_air(job, survey, place, &here, problems),
            Some(day) => over_a_day(job, survey, place, day, &here, problems),
            None => no_air(place, &here, problems),
        }
    }
    no_limit(job, exposure, problems);
}

/// A solvent with a limit so low that a great airflow is not the answer.
fn low_limit(job: &Job, place: &Site, air: &PlaceAir, here: &[&Vapour], problems: &mut Problems) {
    let Some(limit) = air.least_limit_ppm.filter(|_| air.needs_extraction) else {
        return;
    };
    let mut solvents: Vec<&str> = here
        .iter()
        .flat_map(|vapour| &vapour.solvents)
        .map(|(id, _)| id.as_str())
        .collect();
    solvents.sort_unstable();
    solvents.dedup();
    let known = solvents
        .iter()
        .filter_map(|id| job.catalog.solvents.get(*id));
    let wear = known.map(|solvent| cartridge::wear(solvent, place.humidity));
    let text = format!(
        "the least exposure limit at `{}` is {limit} ppm: general ventilation is normally not enough",
        place.name
    );
    let first =
        "plan local extraction at the work and respirators for everyone near it, besides fresh air"
            .to_owned();
    add(problems, text, [first].into_iter().chain(wear));
}

/// Steps whose vapour on one panel is more than a whole working day's air takes up, a warning a step of a recipe.
fn over_a_day(
    job: &Job,
    survey: &Survey,
    place: &Site,
    day: f64,
    here: &[&Vapour],
    problems: &mut Problems,
) {
    let mut steps: BTreeMap<(&str, usize), (usize, &Vapour)> = BTreeMap::new();
    for vapour in here
        .iter()
        .filter(|vapour| vapour.health_air_m3.max(vapour.fire_air_m3) > day)
    {
        let Some((recipe, _)) = step_of(job, survey, vapour.panel, vapour.step) else {
            continue;
        };
        let entry = steps.entry((recipe, vapour.step)).or_insert((0, vapour));
        entry.0 += 1;
        if vapour.health_air_m3 > entry.1.health_air_m3 {
            entry.1 = vapour;
        }
    }
    for (panels, worst) in steps.into_values() {
        too_much(job, survey, place, day, (panels, worst), problems);
    }
}

fn too_much(
    job: &Job,
    survey: &Survey,
    place: &Site,
    day: f64,
    (panels, worst): (usize, &Vapour),
    problems: &mut Problems,
) {
    let Some((_, step)) = step_of(job, survey, worst.panel, worst.step) else {
        return;
    };
    let panel = survey
        .panels
        .get(worst.panel)
        .map_or("", |panel| panel.id.as_str());
    let needed = worst.health_air_m3.max(worst.fire_air_m3);
    let others = if panels > 1 {
        format!(" (and {} like it)", count(panels - 1, "panel"))
    } else {
        String::new()
    };
    let text = format!(
        "step `{}` on panel `{panel}`{others} gives off more vapour than the air of a working day at `{}` takes up: \
         {needed:.0} m³ against {day:.0} m³",
        step.name, place.name
    );
    let hours = shortest_day_hours(place);
    let share = (100.0 * day / needed).floor();
    let mut choices = vec![
        "draw the vapour off at the work with local extraction, and wear respirators".to_owned(),
        format!(
            "bring in at least {:.0} m³ of fresh air an hour",
            needed / hours.max(0.1)
        ),
        "choose a recipe whose solvent has a higher limit, or a water-borne one".to_owned(),
    ];
    if share >= 1.0 {
        choices.push(format!(
            "face the panel in sections of at most {share:.0} % of it a day"
        ));
    }
    choices.extend(build_up(place, worst, hours));
    add(problems, text, choices);
}

/// How fast the room fills on such a day, where its volume is known.
fn build_up(place: &Site, worst: &Vapour, hours: f64) -> Option<String> {
    let (volume, fresh) = (place.room_m3?, place.fresh_air_m3_h?);
    if hours <= 0.0 || fresh <= 0.0 || worst.health_air_m3 <= 0.0 {
        return None;
    }
    // In units of the limit: vapour spread over the day against a limit of one.
    let (rate, air) = (worst.health_air_m3 / MIXING / hours, fresh / MIXING);
    let reached = room::concentration(rate / 1e6, air, volume, hours);
    let until = room::hours_until(1.0, rate / 1e6, air, volume)?;
    let clear = room::hours_to_clear(reached.max(1.0), air, volume);
    Some(format!(
        "stop work in time: brushed on evenly over the day the limit is reached after about {:.0} min, and after the last stroke the room \
         needs about {:.0} min to fall below it again",
        until * 60.0,
        clear * 60.0
    ))
}

/// Vapour where the job says that there is no fresh air at all: nothing could be brushed on on any day.
fn zero_air(job: &Job, survey: &Survey, place: &Site, here: &[&Vapour], problems: &mut Problems) {
    let mut steps: BTreeMap<(&str, &str), Vec<&str>> = BTreeMap::new();
    for vapour in here {
        let panel = survey
            .panels
            .get(vapour.panel)
            .map_or("", |panel| panel.id.as_str());
        if let Some((recipe, step)) = step_of(job, survey, vapour.panel, vapour.step) {
            steps.entry((recipe, &step.id)).or_default().push(panel);
        }
    }
    let named = steps
        .iter()
        .take(MOST_NAMED)
        .map(|((recipe, step), panels)| {
            let shown = panels
                .iter()
                .take(MOST_NAMED)
                .copied()
                .collect::<Vec<_>>()
                .join(", ");
            let more = if panels.len() > MOST_NAMED {
                " …"
            } else {
                ""
            };
            format!("`{step}` of `{recipe}` on {shown}{more}")
        });
    problems.error(
        None,
        format!(
            "`{}` has no fresh air (0 m³/h), and solvent vapour is given off there by {}",
            place.name,
            named.collect::<Vec<_>>().join("; ")
        ),
        "write the fresh air that doors, windows and fans bring in as `fresh_air` of the place, or choose a water-borne recipe; \
         a competent person decides what is enough",
    );
}

/// More steps or panels than this are not named in one message.
const MOST_NAMED: usize = 6;

/// Vapour where nobody has said how much fresh air there is.
fn no_air(place: &Site, here: &[&Vapour], problems: &mut Problems) {
    let most = here
        .iter()
        .map(|vapour| vapour.health_air_m3)
        .fold(0.0, f64::max);
    let text = format!(
        "solvents are used at `{}`, but the job does not say how much fresh air it has: no limit on a day's work is planned",
        place.name
    );
    let help = format!(
        "write `fresh_air` for the place, e.g. `fresh_air = \"1800 m3/h\"`; the worst step on one panel takes {most:.0} m³"
    );
    add(problems, text, [help]);
}

/// Solvents whose limit the catalogue does not know.
fn no_limit(job: &Job, exposure: &Exposure, problems: &mut Problems) {
    let mut ids: Vec<&str> = exposure
        .vapours
        .iter()
        .flat_map(|vapour| &vapour.solvents)
        .map(|(id, _)| id.as_str())
        .collect();
    ids.sort_unstable();
    ids.dedup();
    for solvent in ids
        .into_iter()
        .filter_map(|id| job.catalog.solvents.get(id))
    {
        if solvent.limit_ppm.is_none() {
            let text = format!(
                "solvent `{}` has no exposure limit in the catalogue: its vapour is planned for fire only",
                solvent.id
            );
            add(
                problems,
                text,
                ["write its limit and source in catalogs/solvents.csv".to_owned()],
            );
        }
    }
}

fn add(problems: &mut Problems, text: String, help: impl IntoIterator<Item = String>) {
    let help = help.into_iter().chain([AUTHORITY.to_owned()]).collect();
    problems.push(Problem {
        level: Level::Warning,
        place: None,
        text,
        help,
    });
}
