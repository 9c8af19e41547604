//! The table of the job's own cost lines.

use rust_decimal::Decimal;

use crate::diag::Problems;
use crate::units::Money;

use super::bounds;
use super::tables::Tables;
use super::terms;
use crate::job::OwnLine;
use crate::job::PaidPer;

const COLUMNS: &[&str] = &["text", "group", "quantity", "unit", "rate", "per", "notes"];

/// Reads the lines of `lines.csv`, in the order written.
pub(super) fn read(tables: &Tables, currency: &str, problems: &mut Problems) -> Vec<OwnLine> {
    let mut lines = Vec::new();
    let Some(table) = tables.get("lines") else {
        return lines;
    };
    if !table.check_headings(COLUMNS, &["text", "group", "rate"], problems) {
        return lines;
    }
    for row in table.rows() {
        let text = row
            .field("text")
            .required(problems)
            .text(problems)
            .unwrap_or_default();
        let (group, text) = terms::grouped(&row.field("group").required(problems), text, problems);
        let per = row
            .field("per")
            .choice(PaidPer::ALL, PaidPer::name, problems)
            .unwrap_or(PaidPer::Job);
        let unit = row.field("unit").text(problems);
        lines.push(OwnLine {
            text,
            group,
            quantity: row
                .field("quantity")
                .decimal(bounds::OWN_QUANTITY, problems)
                .unwrap_or(Decimal::ONE),
            unit: unit.unwrap_or_else(|| terms::unit(per).to_owned()),
            rate: terms::money(&row.field("rate").required(problems), currency, problems)
                .unwrap_or(Money::ZERO),
            per,
        });
    }
    lines
}
