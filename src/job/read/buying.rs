//! The `[purchase]` table: rates of exchange, a weekly budget, quantities by odds; and the catalogue in one currency.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::catalog::Catalog;
use crate::catalog::Supplier;
use crate::diag::Problems;
use crate::input::Section;
use crate::units::Money;
use crate::units::Percent;
use crate::units::bound;

use super::bounds;
use super::job_file;
use super::terms::money;
use crate::job::Buying;
use crate::job::Odds;

const KEYS: &[&str] = &[
    "rates",
    "budget_week",
    "quantities",
    "stopped_day",
    "spread_rates",
    "spread_waste",
    "kept_value",
];

/// Reads how the job buys; a job that says nothing buys what its waste factors give.
pub(super) fn read(root: &Section<'_>, currency: &str, problems: &mut Problems) -> Buying {
    let Some(section) = root.field("purchase").section(problems) else {
        return Buying::default();
    };
    section.known(KEYS, problems);
    let kept = section.field("kept_value");
    let kept_value = kept.percent(bound::RATE, problems).unwrap_or_default();
    if kept_value.fraction() > Decimal::ONE {
        kept.problem(
            format!("`{}` is more than what it cost", kept.shown()),
            "write 0 % to 100 %",
            problems,
        );
    }
    Buying {
        rates: rates(&section, currency, problems),
        budget_week: money(&section.field("budget_week"), currency, problems),
        odds: odds(&section, currency, problems),
        kept_value,
    }
}

fn rates(
    section: &Section<'_>,
    currency: &str,
    problems: &mut Problems,
) -> BTreeMap<String, Decimal> {
    let mut rates = BTreeMap::new();
    let Some(table) = section.field("rates").section(problems) else {
        return rates;
    };
    for field in table.entries() {
        if field.name() == currency {
            field.problem(
                format!("`{currency}` is the job's own currency"),
                "leave this line out",
                problems,
            );
        } else if let Some(rate) = field.decimal(bounds::EXCHANGE, problems) {
            rates.insert(field.name().to_owned(), rate);
        }
    }
    rates
}

/// The spreads of a job that asks for odds and states none (common practice: a rate of spread holds within a tenth).
const SPREAD_RATES: Decimal = Decimal::TEN;
const SPREAD_WASTE: Decimal = Decimal::from_parts(5, 0, 0, false, 0);

fn odds(section: &Section<'_>, currency: &str, problems: &mut Problems) -> Option<Odds> {
    let wanted = section
        .field("quantities")
        .one_of(&["waste-factors", "odds"], problems);
    let mut spread = |key, otherwise| {
        section
            .field(key)
            .percent(bounds::STRAY, problems)
            .unwrap_or(Percent::new(otherwise))
    };
    let (spread_rates, spread_waste) = (
        spread("spread_rates", SPREAD_RATES),
        spread("spread_waste", SPREAD_WASTE),
    );
    let field = section.field("stopped_day");
    if wanted != Some("odds") {
        money(&field, currency, problems);
        return None;
    }
    let stopped_day = money(&field.required(problems), currency, problems)?;
    Some(Odds {
        stopped_day,
        spread_rates,
        spread_waste,
    })
}

/// Puts every price and term of a supplier with another currency into the job's; a pack's price is rounded to the cent.
///
/// A supplier whose currency has no rate is an error, once, whatever it sells.
pub(super) fn convert(
    catalog: &mut Catalog,
    currency: &str,
    buying: &Buying,
    problems: &mut Problems,
) {
    let mut factors: BTreeMap<String, Decimal> = BTreeMap::new();
    for supplier in catalog.suppliers.values_mut() {
        let Some(other) = supplier.currency.clone().filter(|other| other != currency) else {
            supplier.currency = None;
            continue;
        };
        let Some(rate) = buying.rates.get(&other).copied() else {
            let text = format!(
                "the prices of `{}` are in {other}, the job counts in {currency}, and no rate is stated",
                supplier.id
            );
            let help = format!(
                "write below `[purchase.rates]` in job.toml what 1 {other} is worth in {currency}, such as `{other} = \"0.92\"`"
            );
            problems.error(Some(job_file()), text, help);
            continue;
        };
        convert_terms(supplier, rate);
        factors.insert(supplier.id.clone(), rate);
    }
    for offer in &mut catalog.offers {
        if let Some(rate) = factors.get(&offer.supplier) {
            for price in &mut offer.prices {
                price.price = price.price.times(*rate).cents();
            }
        }
    }
}

fn convert_terms(supplier: &mut Supplier, rate: Decimal) {
    let convert = |money: Money| money.times(rate).cents();
    supplier.minimum_order = convert(supplier.minimum_order);
    supplier.freight_fixed = convert(supplier.freight_fixed);
    supplier.freight_per_kg = supplier.freight_per_kg.times(rate);
    supplier.freight_free_from = supplier.freight_free_from.map(convert);
    supplier.hazard_surcharge = convert(supplier.hazard_surcharge);
}
