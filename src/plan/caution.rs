//! Cautions beside the figures: what in the plan can hurt people or the painting.

use std::collections::BTreeMap;

use crate::exposure::AirHour;
use crate::exposure::FIRE_RESERVE;

use super::Plan;

/// What to be careful of, why, and about what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// The caution.
    pub text: String,
    /// What in the plan calls for it.
    pub why: String,
    /// The step, panel, drum, crate or place it is about.
    pub about: String,
}

/// Gathers the cautions of everything planned: first air that passes a limit by estimate, then panels, the air of places, steps, drums
/// and crates.
pub(super) fn gather(plan: &Plan) -> Vec<Caution> {
    let mut cautions = over_limits(plan);
    cautions.extend(panels(plan));
    cautions.extend(air(plan));
    cautions.extend(steps(plan));
    cautions.extend(rolls(plan));
    cautions
}

/// Lead and mould, as the panel rows say.
fn panels(plan: &Plan) -> Vec<Caution> {
    let named = |is: fn(&crate::job::PanelRow) -> bool| -> Vec<&str> {
        plan.job
            .panels
            .iter()
            .filter(|row| is(row))
            .map(|row| row.panel.as_str())
            .collect()
    };
    let mut cautions = Vec::new();
    let lead = named(|row| row.lead);
    if !lead.is_empty() {
        cautions.push(Caution {
            about: few(&lead),
            text: "lead is known or suspected: test paint, paste and dust; local lead rules and a competent person decide \
                   protection, air tests, washing and waste"
                .into(),
            why: "the panel rows say so, or the adhesive is oil paste with lead white".into(),
        });
    }
    let mould = named(|row| row.mould);
    if !mould.is_empty() {
        cautions.push(Caution {
            about: few(&mould),
            text: "mould has been seen: keep it apart, wear breathing protection, and let a competent person judge before work starts"
                .into(),
            why: "the panel rows say so".into(),
        });
    }
    cautions
}

/// The first few names, and how many more there are; semicolons part them, since a step's name may have a comma.
fn few(names: &[&str]) -> String {
    const MOST: usize = 4;
    let shown = names
        .iter()
        .take(MOST)
        .copied()
        .collect::<Vec<_>>()
        .join("; ");
    if names.len() > MOST {
        format!("{shown} and {} more", names.len() - MOST)
    } else {
        shown
    }
}

/// The cautions of each kind of step, once a text, with the steps it is about.
fn steps(plan: &Plan) -> Vec<Caution> {
    let mut about: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for step in plan.job.recipes.values().flat_map(|recipe| &recipe.steps) {
        for caution in step.kind.rule().cautions {
            let names = about.entry(caution).or_default();
            if !names.contains(&step.name.as_str()) {
                names.push(&step.name);
            }
        }
    }
    about
        .into_iter()
        .map(|(text, names)| Caution {
            text: text.to_owned(),
            why: "the recipe has such a step".into(),
            about: few(&names),
        })
        .collect()
}

/// Places whose air passes the exposure limits, or the share of the lower explosive limit that is planned by, on any day.
fn over_limits(plan: &Plan) -> Vec<Caution> {
    let origin = plan
        .job
        .first_day
        .to_datetime(jiff::civil::Time::midnight());
    let of = |share: Option<f64>| share.unwrap_or(0.0);
    let when = |hour: &AirHour| origin.saturating_add(jiff::Span::new().minutes(hour.minute));
    let places = plan.schedule.air.iter().zip(&plan.job.places);
    let over = places.flat_map(|(course, site)| {
        LIMITS.iter().filter_map(move |(limit, share, text)| {
            let hours: Vec<&AirHour> = course
                .hours
                .iter()
                .filter(|hour| share(hour).is_some_and(|share| share > 1.0))
                .collect();
            let worst = hours
                .iter()
                .max_by(|a, b| of(share(a)).total_cmp(&of(share(b))))?;
            let days: std::collections::BTreeSet<_> =
                hours.iter().map(|hour| when(hour).date()).collect();
            Some(Caution {
                about: site.name.clone(),
                text: (*text).to_owned(),
                why: format!(
                    "by estimate the vapour there comes to {:.0} % of {limit} on {} about {}, and is over it on {}",
                    share(worst)? * 100.0,
                    when(worst).strftime("%a %-d %b"),
                    when(worst).strftime("%H:%M"),
                    crate::diag::count(days.len(), "day")
                ),
            })
        })
    });
    over.collect()
}

/// Limits of the air: in words, the share of it that an hour comes to, and what to do where that is passed.
type Limit = (&'static str, fn(&AirHour) -> Option<f64>, &'static str);

const LIMITS: [Limit; 2] = [
    (
        "the exposure limits",
        |hour| hour.of_limit,
        "MORE VAPOUR THAN THE EXPOSURE LIMITS ALLOW, by estimate: nobody works there unprotected; plan local extraction and respirators, or \
         more fresh air or less work a day, and measure the air; a competent person decides before anyone starts",
    ),
    (
        "the share of the lower explosive limit that is planned by",
        |hour| hour.of_explosive.map(|share| share * FIRE_RESERVE),
        "VAPOUR NEAR THE FIRE LIMIT, by estimate: keep every source of ignition away, bring more fresh air or do less a day, and measure \
         the air; a competent person decides before anyone starts",
    ),
];

fn air(plan: &Plan) -> Vec<Caution> {
    plan.exposure
        .air
        .iter()
        .filter(|air| air.needs_extraction)
        .filter_map(|air| {
            let place = plan.job.places.get(air.place)?;
            let limit = air.least_limit_ppm?;
            Some(Caution {
                about: place.name.clone(),
                text: "general ventilation is normally not enough: plan local extraction and respirators with a competent person, \
                       and measure the air"
                    .into(),
                why: format!("a solvent used there has an exposure limit of {limit} ppm, under about 100 ppm"),
            })
        })
        .collect()
}

/// Drums and crates: the diameter is an aid, loads are estimates.
fn rolls(plan: &Plan) -> Vec<Caution> {
    let mut cautions = Vec::new();
    let drums: Vec<&str> = plan
        .rolling
        .drums
        .iter()
        .map(|drum| drum.id.as_str())
        .collect();
    if !drums.is_empty() {
        cautions.push(Caution {
            about: few(&drums),
            text: "the diameter is an aid to the conservator's judgement: a test on the real paint comes first".into(),
            why: "strain limits are published for few paints, and none of them is this one".into(),
        });
    }
    let flats: Vec<&str> = plan
        .rolling
        .flats
        .iter()
        .map(|flat| plan.panel_id(flat.panel))
        .collect();
    if !flats.is_empty() {
        cautions.push(Caution {
            about: few(&flats),
            text: "a large flat tray catches the wind and bends when it is lifted by two corners: rehearse the carry with an empty one, \
                   keep it on edge, and let a competent person plan lifts"
                .into(),
            why: "the panel is carried flat on a support panel".into(),
        });
    }
    let heavy: Vec<&str> = plan
        .crating
        .crates
        .iter()
        .filter(|packed| packed.carriers.is_none())
        .map(|packed| packed.id.as_str())
        .collect();
    if !heavy.is_empty() {
        cautions.push(Caution {
            about: few(&heavy),
            text: "too heavy to carry: lifting gear, chosen and checked by a competent person; keep people clear of loads".into(),
            why: "its gross mass is beyond what the carrying guidelines give a team".into(),
        });
    }
    cautions
}
