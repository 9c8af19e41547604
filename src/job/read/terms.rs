//! The `[terms]` table: percentages on money and lump sums.

use crate::diag::Problems;
use crate::input::Field;
use crate::input::Section;
use crate::units::Money;
use crate::units::bound;
use crate::units::written_currency;

use super::bounds;
use crate::job::LumpSum;
use crate::job::Terms;

/// Working days that materials lie ready before they are used, where the job does not say.
const DAYS_IN_HAND: u32 = 2;

/// Reads the terms; a job without them has no percentages on top.
pub(super) fn read(root: &Section<'_>, currency: &str, problems: &mut Problems) -> Terms {
    let Some(section) = root.field("terms").section(problems) else {
        return Terms {
            days_in_hand: DAYS_IN_HAND,
            ..Terms::default()
        };
    };
    section.known(
        &[
            "contingency",
            "overhead",
            "markup",
            "tax",
            "days_in_hand",
            "lump_sum",
        ],
        problems,
    );
    let mut percent = |key: &'static str| {
        section
            .field(key)
            .percent(bound::RATE, problems)
            .unwrap_or_default()
    };
    Terms {
        contingency: percent("contingency"),
        overhead: percent("overhead"),
        markup: percent("markup"),
        tax: percent("tax"),
        days_in_hand: section
            .field("days_in_hand")
            .whole(bounds::DAYS_IN_HAND, problems)
            .unwrap_or(DAYS_IN_HAND),
        lump_sums: lump_sums(&section, currency, problems),
    }
}

fn lump_sums(section: &Section<'_>, currency: &str, problems: &mut Problems) -> Vec<LumpSum> {
    let mut sums = Vec::new();
    for section in section.field("lump_sum").sections(problems) {
        section.known(&["text", "group", "amount"], problems);
        let amount = money(
            &section.field("amount").required(problems),
            currency,
            problems,
        );
        sums.push(LumpSum {
            text: section
                .field("text")
                .required(problems)
                .text(problems)
                .unwrap_or_default(),
            group: section
                .field("group")
                .required(problems)
                .text(problems)
                .unwrap_or_default(),
            amount: amount.unwrap_or(Money::ZERO),
        });
    }
    sums
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
