//! One `[[step]]` of a recipe.

use crate::catalog::Catalog;
use crate::catalog::MaterialKind;
use crate::catalog::Per;
use crate::catalog::material;
use crate::catalog::uses;
use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::input::Field;
use crate::input::Section;
use crate::units::Bound;
use crate::units::Length;
use crate::units::bound;

use crate::recipe::Direction;
use crate::recipe::Laying;
use crate::recipe::Order;
use crate::recipe::PlaceRole;
use crate::recipe::Solution;
use crate::recipe::Step;
use crate::recipe::When;
use crate::recipe::Work;
use crate::recipe::steps::StepKind;

use super::unlikely;

const KEYS: &[&str] = &[
    "id",
    "name",
    "kind",
    "material",
    "solution",
    "overlap",
    "margin",
    "opening_lap",
    "seam_distance",
    "canvas_seam_distance",
    "longest_piece",
    "laying",
    "trim",
    "direction",
    "spread",
    "waste",
    "work",
    "skill",
    "crew",
    "speed",
    "when",
    "drying",
    "cures",
    "same_day",
    "pausable",
    "within",
    "after",
    "order",
    "equipment",
    "uses",
    "place",
];

/// Keys that only a step that lays a sheet takes.
const LAYING: &[&str] = &[
    "material",
    "overlap",
    "margin",
    "opening_lap",
    "seam_distance",
    "canvas_seam_distance",
    "longest_piece",
    "laying",
    "trim",
    "direction",
];

/// Keys that only a step that takes a solution has.
const BRUSHING: &[&str] = &["solution", "spread"];

const WITHIN: Bound = Bound {
    name: "a longest time",
    least: 1.0,
    most: 5_256_000.0,
    unit: "minutes",
};
const CREW: Bound = Bound {
    name: "people at once",
    least: 1.0,
    most: 50.0,
    unit: "",
};
const SPEED: Bound = Bound {
    name: "a crew's speed",
    least: 0.1,
    most: 50.0,
    unit: "people's work",
};
const HOLDS: Bound = Bound {
    name: "pieces of equipment",
    least: 1.0,
    most: 100.0,
    unit: "",
};

/// Less is no piece of a facing; more is no limit.
const LONGEST: Bound = Bound {
    name: "the longest piece",
    least: 50.0,
    most: 50_000.0,
    unit: "mm",
};

/// Reads a step.
pub(super) fn read(
    section: &Section<'_>,
    solutions: &[Solution],
    catalog: &Catalog,
    problems: &mut Problems,
) -> Option<Step> {
    section.known(KEYS, problems);
    let field = |key| section.field(key);
    let id = field("id").required(problems).text(problems);
    let kind = kind(&field("kind").required(problems), problems);
    if let Some(kind) = kind {
        fitting(section, kind, problems);
    }
    let length = |key, problems: &mut Problems| {
        field(key)
            .length(bound::ALLOWANCE, problems)
            .unwrap_or(Length::ZERO)
    };
    let drying_minutes = field("drying")
        .minutes(bound::DRYING, problems)
        .unwrap_or(0);
    let crew = crew(&field("crew"), problems);
    let step = Step {
        name: field("name")
            .text(problems)
            .or_else(|| id.clone())
            .unwrap_or_default(),
        id: id.unwrap_or_default(),
        kind: kind?,
        material: material(
            &field("material"),
            &[MaterialKind::Sheet, MaterialKind::Roll],
            catalog,
            problems,
        ),
        solution: solution(&field("solution"), solutions, problems),
        overlap: length("overlap", problems),
        margin: field("margin")
            .signed_length(bound::ALLOWANCE, problems)
            .unwrap_or(Length::ZERO),
        opening_lap: length("opening_lap", problems),
        seam_distance: length("seam_distance", problems),
        canvas_seam_distance: length("canvas_seam_distance", problems),
        longest_piece: longest_piece(section, problems),
        laying: field("laying")
            .choice(Laying::ALL, Laying::name, problems)
            .unwrap_or(Laying::TopDown),
        trim: length("trim", problems),
        direction: field("direction")
            .choice(Direction::ALL, Direction::name, problems)
            .unwrap_or(Direction::Auto),
        spread: field("spread").area_density(bound::SPREAD, problems),
        waste: field("waste")
            .percent(bound::WASTE, problems)
            .unwrap_or_default(),
        work: work(&field("work"), catalog, problems),
        skill: field("skill")
            .required(problems)
            .text(problems)
            .unwrap_or_default(),
        crew,
        speed: speed(&field("speed"), crew, problems),
        when: field("when")
            .choice(When::ALL, When::name, problems)
            .unwrap_or(When::Any),
        drying_minutes,
        cures_minutes: cures(&field("cures"), drying_minutes, problems),
        same_day: field("same_day").yes_no(problems).unwrap_or(false),
        pausable: field("pausable").yes_no(problems).unwrap_or(true),
        within_minutes: field("within").minutes(WITHIN, problems),
        after: after(&field("after"), section.has("after"), problems),
        order: field("order")
            .choice(Order::ALL, Order::name, problems)
            .unwrap_or(Order::Panel),
        equipment: equipment(&field("equipment"), problems),
        uses: uses(&field("uses"), catalog, problems),
        place: field("place")
            .choice(PlaceRole::ALL, PlaceRole::name, problems)
            .unwrap_or(PlaceRole::Site),
    };
    unlikely::step(section, &step, problems);
    (!step.id.is_empty()).then_some(step)
}

/// The ids of the steps it waits for; none where it waits for the step above.
fn after(field: &Field<'_>, stated: bool, problems: &mut Problems) -> Option<Vec<String>> {
    let mut items = Vec::new();
    for item in field.list(problems) {
        items.extend(item.text(problems));
    }
    stated.then_some(items)
}

/// A piece must at least reach over its neighbours on both sides.
fn longest_piece(section: &Section<'_>, problems: &mut Problems) -> Option<Length> {
    let field = section.field("longest_piece");
    let longest = field.length(LONGEST, problems)?;
    // A problem of the overlap is told where it is read.
    let overlap = section
        .field("overlap")
        .length(bound::ALLOWANCE, &mut Problems::new())
        .unwrap_or(Length::ZERO);
    if longest <= overlap + overlap {
        let text = format!(
            "`{}` is no more than twice the overlap of {} mm",
            field.shown(),
            overlap.to_mm()
        );
        field.problem(text, "write a longer piece, or lessen `overlap`", problems);
    }
    Some(longest)
}

fn kind(field: &Field<'_>, problems: &mut Problems) -> Option<StepKind> {
    field.choice(StepKind::ALL, |kind| kind.rule().name, problems)
}

/// What a kind of step cannot do without, and keys that mean nothing to it.
fn fitting(section: &Section<'_>, kind: StepKind, problems: &mut Problems) {
    let rule = kind.rule();
    let unfit = LAYING
        .iter()
        .filter(|_| !rule.lays)
        .chain(BRUSHING.iter().filter(|_| !rule.brushes));
    for key in unfit.filter(|key| section.has(key)) {
        let text = format!("a `{}` step takes no `{key}`", rule.name);
        section.field(key).problem(
            text,
            "delete the key, or choose another kind of step",
            problems,
        );
    }
    if rule.lays {
        // Only the problem counts here; its value is read with the others.
        let _ = section.field("material").required(problems);
    }
    if rule.brushes && section.has("solution") != section.has("spread") {
        let (there, missing) = if section.has("solution") {
            ("solution", "spread")
        } else {
            ("spread", "solution")
        };
        let text = format!("the step has a `{there}` and no `{missing}`");
        section.field(there).problem(
            text,
            format!("add `{missing}`, or delete `{there}`"),
            problems,
        );
    }
}

fn solution(field: &Field<'_>, solutions: &[Solution], problems: &mut Problems) -> Option<String> {
    let id = field.text(problems)?;
    if solutions.iter().any(|solution| solution.id == id) {
        return Some(id);
    }
    let known: Vec<&str> = solutions
        .iter()
        .map(|solution| solution.id.as_str())
        .collect();
    let help = match (nearest(&id, known.iter().copied()), known.is_empty()) {
        (Some(near), _) => format!("write `{near}`"),
        (None, false) => format!("write {}", list(&known, "or")),
        (None, true) => "add a [[solution]] with that id".to_owned(),
    };
    field.problem(
        format!("this recipe has no solution `{id}`"),
        help,
        problems,
    );
    None
}

/// A list of rate ids and of `{ minutes, per }`.
fn work(field: &Field<'_>, catalog: &Catalog, problems: &mut Problems) -> Vec<Work> {
    let mut found = Vec::new();
    if field.is_blank() {
        field.warning(
            "the step takes no time".to_owned(),
            "add `work`, e.g. `work = [{ minutes = 20, per = \"panel\" }]`".to_owned(),
            problems,
        );
        return found;
    }
    for item in field.list(problems) {
        found.extend(if item.shown().starts_with('{') {
            inline(&item, problems)
        } else {
            rated(&item, catalog, problems)
        });
    }
    found
}

fn rated(item: &Field<'_>, catalog: &Catalog, problems: &mut Problems) -> Option<Work> {
    let Some(id) = item.text(&mut Problems::new()) else {
        item.problem(
            format!("`{}` names no rate", item.shown()),
            "write the id of a row of rates.csv in quotation marks, or `{ minutes = 20, per = \"panel\" }`",
            problems,
        );
        return None;
    };
    let Some(rate) = catalog.rates.get(&id) else {
        let help = match nearest(&id, catalog.rates.keys().map(String::as_str)) {
            Some(near) => format!("write `{near}`"),
            None => "write the id of a row of rates.csv, or `{ minutes = 20, per = \"panel\" }`"
                .to_owned(),
        };
        item.problem(
            format!("there is no rate `{id}` in rates.csv"),
            help,
            problems,
        );
        return None;
    };
    Some(Work {
        minutes: rate.minutes,
        per: rate.per,
        rate: Some(id),
    })
}

fn inline(item: &Field<'_>, problems: &mut Problems) -> Option<Work> {
    let section = item.section(problems)?;
    section.known(&["minutes", "per"], problems);
    let minutes = section
        .field("minutes")
        .required(problems)
        .number(bound::WORK, problems);
    let per = section
        .field("per")
        .required(problems)
        .choice(Per::ALL, Per::name, problems);
    Some(Work {
        minutes: minutes?,
        per: per?,
        rate: None,
    })
}

/// `[fewest, most]`, or one number for both.
fn crew(field: &Field<'_>, problems: &mut Problems) -> (u32, u32) {
    let numbers: Vec<u32> = field
        .list(problems)
        .iter()
        .filter_map(|item| item.whole(CREW, problems))
        .collect();
    match numbers.as_slice() {
        [] => (1, 1),
        [both] => (*both, *both),
        [fewest, most] if fewest <= most => (*fewest, *most),
        [_, ..] => {
            field.problem(
                format!("`{}` is no pair of fewest and most people", field.shown()),
                "write e.g. `crew = [1, 3]`",
                problems,
            );
            (1, 1)
        }
    }
}

/// A number for each crew from the fewest to the most people: never less than the one before, never more than its people.
fn speed(field: &Field<'_>, crew: (u32, u32), problems: &mut Problems) -> Vec<f64> {
    if field.is_blank() {
        return Vec::new();
    }
    let items = field.list(problems);
    let before = problems.iter().count();
    let numbers = items.iter().filter_map(|item| item.number(SPEED, problems));
    let speeds: Vec<f64> = numbers.collect();
    let sizes: Vec<u32> = (crew.0..=crew.1).collect();
    let fits = speeds.len() == sizes.len()
        && speeds.windows(2).all(|two| two.first() <= two.last())
        && speeds
            .iter()
            .zip(&sizes)
            .all(|(speed, &size)| *speed <= f64::from(size));
    if !fits && problems.iter().count() == before {
        field.problem(
            format!(
                "`{}` does not give a speed for each crew of {} to {} people",
                field.shown(),
                crew.0,
                crew.1
            ),
            "write how many people's work each crew does, never more than it has people, e.g. `speed = [1, 1.9, 2.6]` for \
             `crew = [1, 3]`",
            problems,
        );
        return Vec::new();
    }
    speeds
}

/// Full strength comes no sooner than touch-dry.
fn cures(field: &Field<'_>, drying: u32, problems: &mut Problems) -> u32 {
    let Some(minutes) = field.minutes(bound::DRYING, problems) else {
        return drying;
    };
    if minutes < drying {
        field.problem(
            format!("`cures` of {minutes} minutes is shorter than `drying` of {drying}"),
            "write a time at least as long as `drying`",
            problems,
        );
    }
    minutes.max(drying)
}

fn equipment(field: &Field<'_>, problems: &mut Problems) -> Vec<(String, u32)> {
    if field.is_blank() {
        return Vec::new();
    }
    let Some(section) = field.section(problems) else {
        return Vec::new();
    };
    section
        .entries()
        .filter_map(|entry| Some((entry.name().to_owned(), entry.whole(HOLDS, problems)?)))
        .collect()
}
