//! The `[[place]]` tables: hours, climate, limits and ways out.

use rust_decimal::prelude::ToPrimitive;

use crate::diag::Problems;
use crate::input::Section;
use crate::recipe::PlaceRole;
use crate::units::Length;
use crate::units::Temperature;
use crate::units::bound;

use super::bounds;
use super::calendar;
use crate::job::Site;
use crate::job::WayOut;
use crate::job::WayOutKind;

const KEYS: &[&str] = &[
    "role",
    "name",
    "hours",
    "closed",
    "temperature",
    "humidity",
    "room_volume",
    "fresh_air",
    "flammable_limit",
    "drying_factor",
    "lifts",
    "lift_reach",
    "way_out",
];

/// A recipe states a practical drying time, not free evaporation: nothing is added unless the job knows of a cold wall or dead air.
const DRYING_FACTOR: f64 = 1.0;

/// An arm's length less the elbow: how far past the boundary of its lift a sheet may reach unless the job says otherwise (our assumption).
const LIFT_REACH: Length = Length::whole_mm(300);

/// Reads the places, the site first.
pub(super) fn read(root: &Section<'_>, problems: &mut Problems) -> Vec<Site> {
    let mut places: Vec<Site> = Vec::new();
    let mut sites = 0;
    for section in root.required_sections("place", problems) {
        let role = section.field("role").required(problems).choice(
            PlaceRole::ALL,
            PlaceRole::name,
            problems,
        );
        let twice = role.is_some_and(|role| places.iter().any(|place| place.role == role));
        if twice {
            let text = format!(
                "role: there are two places with the role `{}`",
                section.field("role").shown()
            );
            problems.error(
                Some(section.field("role").place()),
                text,
                "keep one site and at most one studio",
            );
        }
        sites += usize::from(role != Some(PlaceRole::Studio));
        places.push(place(&section, role.unwrap_or(PlaceRole::Site), problems));
    }
    if sites == 0 && !places.is_empty() {
        let text = "no place has the role `site`";
        problems.error(
            Some(root.field("place").place()),
            text,
            "add a `[[place]]` with `role = \"site\"`",
        );
    }
    places.sort_by_key(|place| place.role);
    places
}

fn place(section: &Section<'_>, role: PlaceRole, problems: &mut Problems) -> Site {
    section.known(KEYS, problems);
    let humidity = section
        .field("humidity")
        .required(problems)
        .percent(bound::HUMIDITY, problems);
    let temperature = section
        .field("temperature")
        .required(problems)
        .temperature(bound::TEMPERATURE, problems);
    let factor = section
        .field("drying_factor")
        .number(bounds::DRYING_FACTOR, problems);
    Site {
        role,
        name: section
            .field("name")
            .required(problems)
            .text(problems)
            .unwrap_or_default(),
        hours: calendar::hours(section.field("hours").required(problems), problems),
        closed: calendar::days(section.field("closed"), problems),
        temperature: temperature.unwrap_or(Temperature::celsius(20.0)),
        humidity: humidity
            .and_then(|percent| percent.value().to_f64())
            .unwrap_or(50.0),
        room_m3: section.field("room_volume").room(bound::ROOM, problems),
        fresh_air_m3_h: section.field("fresh_air").air(bound::AIR, problems),
        flammable_limit: section
            .field("flammable_limit")
            .volume(bounds::FLAMMABLE, problems),
        drying_factor: factor.unwrap_or(DRYING_FACTOR),
        lifts: lifts(section, problems),
        lift_reach: section
            .field("lift_reach")
            .length(bounds::REACH, problems)
            .unwrap_or(LIFT_REACH),
        ways_out: ways_out(section, problems),
    }
}

/// Heights of a scaffold's lifts, which rise.
fn lifts(section: &Section<'_>, problems: &mut Problems) -> Vec<Length> {
    let field = section.field("lifts");
    let lifts = field.lengths(bounds::POSITION, problems);
    if !lifts.is_sorted_by(|a, b| a < b) {
        let text = "the heights of the lifts do not rise";
        field.problem(
            text,
            "write heights above the floor from the lowest up, e.g. `lifts = [\"2.0 m\", \"4.0 m\"]`",
            problems,
        );
        return Vec::new();
    }
    let reach = section.field("lift_reach");
    if field.is_blank() && !reach.is_blank() {
        let text = format!(
            "`{}` is a reach past lifts, and there are none",
            reach.shown()
        );
        reach.problem(text, "add `lifts`, or delete the key", problems);
    }
    lifts
}

fn ways_out(section: &Section<'_>, problems: &mut Problems) -> Vec<WayOut> {
    let sections = section.field("way_out").sections(problems);
    sections
        .iter()
        .filter_map(|section| way_out(section, problems))
        .collect()
}

fn way_out(section: &Section<'_>, problems: &mut Problems) -> Option<WayOut> {
    let kinds = ["door", "corner", "lift", "vehicle"];
    let name = section
        .field("name")
        .required(problems)
        .text(problems)
        .unwrap_or_default();
    let kind = section
        .field("kind")
        .required(problems)
        .one_of(&kinds, problems)?;
    let sides: &[&'static str] = match kind {
        "corner" => &["first", "second", "height"],
        "lift" => &["width", "depth", "height"],
        "vehicle" => &["length", "width", "height"],
        _ => &["width", "height"],
    };
    let known: Vec<&str> = ["name", "kind"].iter().chain(sides).copied().collect();
    section.known(&known, problems);
    let mut side = |key: &'static str| -> Length {
        let field = section.field(key).required(problems);
        field.length(bounds::WAY_OUT, problems).unwrap_or_default()
    };
    let kind = match kind {
        "corner" => WayOutKind::Corner {
            first: side("first"),
            second: side("second"),
            height: side("height"),
        },
        "lift" => WayOutKind::Lift {
            width: side("width"),
            depth: side("depth"),
            height: side("height"),
        },
        "vehicle" => WayOutKind::Vehicle {
            length: side("length"),
            width: side("width"),
            height: side("height"),
        },
        _ => WayOutKind::Door {
            width: side("width"),
            height: side("height"),
        },
    };
    Some(WayOut { name, kind })
}
