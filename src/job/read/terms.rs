//! The `[terms]` table: percentages on money, and lump sums.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::input::Field;
use crate::input::Section;
use crate::units::Money;
use crate::units::Percent;
use crate::units::bound;
use crate::units::written_currency;

use super::bounds;
use crate::job::CostGroup;
use crate::job::Disposal;
use crate::job::LabourAt;
use crate::job::MaterialsAt;
use crate::job::OwnLine;
use crate::job::PaidPer;
use crate::job::Terms;

/// Working days that materials lie ready before they are used, where the job does not say.
const DAYS_IN_HAND: u32 = 2;

const KEYS: &[&str] = &[
    "contingency",
    "contingency_of",
    "overhead",
    "markup",
    "tax",
    "days_in_hand",
    "materials",
    "labour",
    "disposal",
    "lump_sum",
];

/// Reads the terms; a job without them has no percentages on top.
pub(super) fn read(root: &Section<'_>, currency: &str, problems: &mut Problems) -> Terms {
    let mut terms = Terms {
        days_in_hand: DAYS_IN_HAND,
        ..Terms::default()
    };
    let Some(section) = root.field("terms").section(problems) else {
        return terms;
    };
    section.known(KEYS, problems);
    let mut percent = |key: &'static str| {
        section
            .field(key)
            .percent(bound::RATE, problems)
            .unwrap_or_default()
    };
    terms.contingency = percent("contingency");
    terms.overhead = percent("overhead");
    terms.markup = percent("markup");
    terms.tax = percent("tax");
    terms.contingency_of = contingencies(&section, problems);
    if let Some(days) = section
        .field("days_in_hand")
        .whole(bounds::DAYS_IN_HAND, problems)
    {
        terms.days_in_hand = days;
    }
    terms.materials = section
        .field("materials")
        .choice(MaterialsAt::ALL, MaterialsAt::name, problems)
        .unwrap_or(MaterialsAt::Bought);
    terms.labour = section
        .field("labour")
        .choice(LabourAt::ALL, LabourAt::name, problems)
        .unwrap_or(LabourAt::Charge);
    terms.disposal = disposal(&section, currency, problems);
    terms.own_lines = lump_sums(&section, currency, problems);
    terms
}

/// Reads `contingency_of = { labour = "15 %" }`.
fn contingencies(section: &Section<'_>, problems: &mut Problems) -> BTreeMap<CostGroup, Percent> {
    let Some(of) = section.field("contingency_of").section(problems) else {
        return BTreeMap::new();
    };
    let names: Vec<&str> = CostGroup::ALL.iter().map(|group| group.name()).collect();
    of.known(&names, problems);
    let percent = |group: &CostGroup, problems: &mut Problems| {
        of.field(group.name()).percent(bound::RATE, problems)
    };
    CostGroup::ALL
        .iter()
        .filter_map(|group| Some((*group, percent(group, problems)?)))
        .collect()
}

fn disposal(section: &Section<'_>, currency: &str, problems: &mut Problems) -> Option<Disposal> {
    let section = section.field("disposal").section(problems)?;
    section.known(&["per_kg", "least"], problems);
    Some(Disposal {
        per_kg: money(
            &section.field("per_kg").required(problems),
            currency,
            problems,
        )
        .unwrap_or(Money::ZERO),
        least: money(&section.field("least"), currency, problems).unwrap_or(Money::ZERO),
    })
}

fn lump_sums(section: &Section<'_>, currency: &str, problems: &mut Problems) -> Vec<OwnLine> {
    let mut sums = Vec::new();
    for section in section.field("lump_sum").sections(problems) {
        section.known(&["text", "group", "amount", "per"], problems);
        let amount = money(
            &section.field("amount").required(problems),
            currency,
            problems,
        );
        let text = section
            .field("text")
            .required(problems)
            .text(problems)
            .unwrap_or_default();
        let (group, text) = grouped(&section.field("group").required(problems), text, problems);
        let per = section
            .field("per")
            .choice(PaidPer::ALL, PaidPer::name, problems)
            .unwrap_or(PaidPer::Job);
        sums.push(OwnLine {
            text,
            group,
            quantity: Decimal::ONE,
            unit: unit(per).to_owned(),
            rate: amount.unwrap_or(Money::ZERO),
            per,
        });
    }
    sums
}

/// The unit of a line that is paid so and names none.
pub(super) const fn unit(per: PaidPer) -> &'static str {
    match per {
        PaidPer::Job => "sum",
        PaidPer::SiteDay => "day",
        PaidPer::PersonDay => "person-day",
    }
}

/// Reads the group of an own line; a word of the job's own is kept in the text, among the other costs. A word near to a group's is an error.
pub(super) fn grouped(
    field: &Field<'_>,
    text: String,
    problems: &mut Problems,
) -> (CostGroup, String) {
    let Some(word) = field.text(problems) else {
        return (CostGroup::Other, text);
    };
    if let Some(group) = CostGroup::from_name(&word) {
        return (group, text);
    }
    let names: Vec<&str> = CostGroup::ALL.iter().map(|group| group.name()).collect();
    if let Some(near) = nearest(&word, names.iter().copied()) {
        field.problem(
            format!("`{}` is no group of cost", field.shown()),
            format!(
                "write `{near}` if that is meant; the groups are {}",
                list(&names, "and")
            ),
            problems,
        );
    }
    (CostGroup::Other, format!("{text} ({})", word.trim()))
}

/// Reads an amount in the job's currency; one written in another is an error, for nothing here converts.
pub(super) fn money(field: &Field<'_>, currency: &str, problems: &mut Problems) -> Option<Money> {
    let amount = field.money(problems)?;
    match written_currency(&field.shown()) {
        Some(other) if other != currency && !currency.is_empty() => {
            let text = format!(
                "`{}` is not in the job's currency, `{currency}`",
                field.shown()
            );
            field.problem(
                text,
                format!("write the amount in {currency}, converted if it has to be"),
                problems,
            );
            None
        }
        _ => Some(amount),
    }
}
