//! The `[odds]` table, and the catalogue's spreads where a job gives none.

use std::collections::BTreeMap;

use crate::diag::Problems;
use crate::input::Document;
use crate::input::Field;
use crate::input::Section;
use crate::units::LengthUnit;
use crate::units::Money;
use crate::units::NumberStyle;
use crate::units::Percent;

use super::bounds;
use super::terms::money;
use crate::job::Condition;
use crate::job::OddsTerms;
use crate::job::Spread;
use crate::job::SpreadOf;
use crate::job::ThreePoints;

const BUILT_IN: &str = include_str!("../../../catalogs/odds.toml");

/// The catalogue's file of spreads; a job folder's own replaces the built-in one.
const FILE: &str = "catalogs/odds.toml";

/// Reads the odds; a job without spreads has those of its own catalogue, or the built-in ones.
pub(super) fn read(
    root: &Section<'_>,
    files: &BTreeMap<String, Vec<u8>>,
    currency: &str,
    problems: &mut Problems,
) -> OddsTerms {
    let mut terms = OddsTerms::default();
    if let Some(own) = root.field("odds").section(problems) {
        own.known(&["draws", "seed", "spread", "condition"], problems);
        if let Some(draws) = own.field("draws").whole(bounds::DRAWS, problems) {
            terms.draws = draws;
        }
        if let Some(seed) = own.field("seed").whole(bounds::SEED, problems) {
            terms.seed = seed.into();
        }
        terms.spreads = read_spreads(&own, problems);
        terms.conditions = read_conditions(&own, currency, problems);
    }
    if terms.spreads.is_empty() {
        terms.spreads = match files.get(FILE) {
            Some(own) => of_catalogue(own, problems),
            // That the compiled-in file has no problem is a test's business; a reader could do nothing about one.
            None => of_catalogue(BUILT_IN.as_bytes(), &mut Problems::new()),
        };
    }
    terms
}

/// The spreads of a catalogue's file.
fn of_catalogue(bytes: &[u8], problems: &mut Problems) -> Vec<Spread> {
    let style = NumberStyle {
        unit: LengthUnit::Mm,
        decimal_comma: false,
    };
    let Some(document) = Document::read(FILE, bytes, style, problems) else {
        return Vec::new();
    };
    document.root().known(&["spread"], problems);
    read_spreads(&document.root(), problems)
}

fn read_spreads(section: &Section<'_>, problems: &mut Problems) -> Vec<Spread> {
    let mut spreads = Vec::new();
    for section in section.field("spread").sections(problems) {
        section.known(
            &[
                "name", "of", "low", "likely", "high", "shared", "cause", "source",
            ],
            problems,
        );
        let of =
            section
                .field("of")
                .required(problems)
                .choice(SpreadOf::ALL, SpreadOf::name, problems);
        let points = ["low", "likely", "high"].map(|key| {
            let field = section.field(key).required(problems);
            field.percent(bounds::SPREAD, problems).map(Percent::to_f64)
        });
        let name = section.field("name").text(problems);
        let (Some(of), [Some(low), Some(likely), Some(high)]) = (of, points) else {
            continue;
        };
        let points = ThreePoints { low, likely, high };
        in_order(&section.field("low"), points, problems);
        spreads.push(Spread {
            name: name.unwrap_or_else(|| of.name().to_owned()),
            of,
            points,
            shared: section
                .field("shared")
                .percent(bounds::CHANCE, problems)
                .map_or(0.5, Percent::to_f64),
            cause: section.field("cause").text(problems).unwrap_or_default(),
        });
    }
    spreads
}

fn in_order(field: &Field<'_>, points: ThreePoints, problems: &mut Problems) {
    if !(points.low <= points.likely && points.likely <= points.high) {
        field.problem(
            "the three points are not in order",
            "write `low` no more than `likely`, and `likely` no more than `high`",
            problems,
        );
    }
}

fn read_conditions(
    section: &Section<'_>,
    currency: &str,
    problems: &mut Problems,
) -> Vec<Condition> {
    let mut conditions = Vec::new();
    for section in section.field("condition").sections(problems) {
        section.known(
            &[
                "name",
                "chance",
                "cost",
                "removal",
                "labour",
                "materials",
                "days",
            ],
            problems,
        );
        let mut factor = |key: &'static str| {
            let more = section.field(key).percent(bounds::SPREAD, problems);
            1.0 + more.map_or(0.0, Percent::to_f64)
        };
        let (removal, labour, materials) =
            (factor("removal"), factor("labour"), factor("materials"));
        conditions.push(Condition {
            name: section
                .field("name")
                .required(problems)
                .text(problems)
                .unwrap_or_default(),
            chance: section
                .field("chance")
                .required(problems)
                .percent(bounds::CHANCE, problems)
                .map_or(0.0, Percent::to_f64),
            cost: money(&section.field("cost"), currency, problems).unwrap_or(Money::ZERO),
            removal,
            labour,
            materials,
            days: days(&section.field("days"), problems),
        });
    }
    conditions
}

/// Reads `days = 3`, or three points `days = [0, 2, 6]`.
fn days(field: &Field<'_>, problems: &mut Problems) -> Option<ThreePoints> {
    let written = field.list(problems);
    let values: Vec<f64> = written
        .iter()
        .filter_map(|item| item.number(bounds::DAYS_LOST, problems))
        .collect();
    let points = match *values.as_slice() {
        [days] if written.len() == 1 => ThreePoints {
            low: days,
            likely: days,
            high: days,
        },
        [low, likely, high] => ThreePoints { low, likely, high },
        _ => {
            if written.len() != 1 && written.len() != 3 && !written.is_empty() {
                field.problem(
                    format!("`{}` is neither one number nor three", field.shown()),
                    "write `days = 3`, or least, most likely and most: `days = [0, 2, 6]`",
                    problems,
                );
            }
            return None;
        }
    };
    in_order(field, points, problems);
    Some(points)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_spreads_have_no_problem() {
        let mut problems = Problems::new();
        assert_eq!(of_catalogue(BUILT_IN.as_bytes(), &mut problems).len(), 5);
        assert!(!problems.has_errors(), "{problems:?}");
    }
}
