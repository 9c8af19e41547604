//! Columns and values that several reports share: lengths in the job's unit, quantities, lists of names.

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;

use crate::catalog::MaterialKind;
use crate::plan::Plan;
use crate::takeoff::Part;
use crate::units::Length;
use crate::units::LengthUnit;
use crate::units::Volume;
use crate::units::show_length;

use super::Column;
use super::Paper;
use super::Value;

/// The unit in which tables give lengths: feet are given in inches, since a table cannot add feet and inches.
fn unit_of(plan: &Plan) -> (LengthUnit, &'static str, u8) {
    match plan.job.unit {
        LengthUnit::Mm => (LengthUnit::Mm, "mm", 0),
        LengthUnit::Cm => (LengthUnit::Cm, "cm", 1),
        LengthUnit::M => (LengthUnit::M, "m", 3),
        LengthUnit::Inch | LengthUnit::Foot => (LengthUnit::Inch, "in", 2),
    }
}

/// A column of lengths, its unit in the heading.
pub(super) fn length_column(plan: &Plan, heading: &str) -> Column {
    let (_, name, places) = unit_of(plan);
    Column::number(format!("{heading} ({name})"), places)
}

/// A length in the unit of [`length_column`].
pub(super) fn length(plan: &Plan, length: Length) -> Value {
    let (unit, _, _) = unit_of(plan);
    Value::Number(length.ratio(Length::steps(unit.steps())))
}

/// A length in words, with its unit.
pub(super) fn length_text(plan: &Plan, length: Length) -> String {
    show_length(length, plan.job.unit)
}

/// A length with its unit, rounded down to what [`length_column`] shows, so that what is cut of it fits.
pub(super) fn length_down(plan: &Plan, length: Length) -> Value {
    let (unit, name, places) = unit_of(plan);
    let exact = Decimal::from(length.to_steps()) / Decimal::from(unit.steps());
    let rounded = exact.round_dp_with_strategy(places.into(), RoundingStrategy::ToZero);
    Value::Text(format!("{} {name}", rounded.normalize()))
}

/// What to measure of a part of a solution: the volume of a liquid. A solid is weighed, since a heap of beads takes far more room than the
/// resin that is in them.
pub(super) fn measured(plan: &Plan, part: &Part) -> Option<Volume> {
    let material = plan.job.catalog.materials.get(&part.material);
    let is_liquid = material.is_some_and(|material| material.kind == MaterialKind::Liquid);
    part.volume.filter(|_| is_liquid)
}

/// As much of a part as goes into a mixture, in words: liquids are measured, everything else is weighed.
pub(super) fn portion(plan: &Plan, part: &Part) -> String {
    let name = plan.material_name(&part.material);
    match measured(plan, part) {
        Some(volume) => format!("{name} {:.0} ml", volume.to_ml()),
        None => format!("{name} {:.1} g", part.mass.to_g()),
    }
}

/// Names joined by commas.
pub(super) fn names<'a>(names: impl IntoIterator<Item = &'a str>) -> Value {
    Value::Text(names.into_iter().collect::<Vec<_>>().join(", "))
}

/// Hours of so many minutes.
pub(super) fn hours(minutes: i64) -> Value {
    Value::Decimal(
        (Decimal::from(minutes) / Decimal::from(60))
            .round_dp(2)
            .normalize(),
    )
}

/// The paper that the job is printed on.
pub(super) const fn paper(plan: &Plan) -> Paper {
    plan.job.paper
}

/// A sheet name that workbooks take: at most 31 characters, none of those they forbid.
pub(super) fn sheet_name(text: &str) -> String {
    let allowed: String = text
        .chars()
        .map(|c| if "[]:*?/\\'".contains(c) { ' ' } else { c })
        .collect();
    let short: String = allowed.trim().chars().take(31).collect();
    if short.is_empty() {
        "sheet".to_owned()
    } else {
        short
    }
}
