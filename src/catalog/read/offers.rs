//! `suppliers.csv` and `offers.csv`.

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::diag::Place;
use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::input::Field;
use crate::input::Row;
use crate::input::Table;
use crate::units::Bound;
use crate::units::Money;
use crate::units::bound;

use crate::catalog::Breaks;
use crate::catalog::Catalog;
use crate::catalog::Delivery;
use crate::catalog::LeadDays;
use crate::catalog::Offer;
use crate::catalog::PriceBreak;
use crate::catalog::Supplier;

use super::unlikely;

pub(super) const SUPPLIER_COLUMNS: &[&str] = &[
    "id",
    "name",
    "currency",
    "minimum_order",
    "freight_fixed",
    "freight_per_kg",
    "freight_free_from",
    "hazard_surcharge",
    "source",
];

pub(super) const COLUMNS: &[&str] = &[
    "material",
    "supplier",
    "pack",
    "price",
    "break1_packs",
    "break1_price",
    "break2_packs",
    "break2_price",
    "breaks",
    "least_packs",
    "lead_days",
    "lead_counts",
    "delivery",
    "valid_from",
    "valid_until",
    "tax",
    "source",
];

const PACK: Bound = Bound {
    name: "what a pack holds, in the material's unit,",
    least: 0.001,
    most: 1.0e9,
    unit: "",
};
const PACKS: Bound = Bound {
    name: "packs of a price break",
    least: 2.0,
    most: 1.0e6,
    unit: "packs",
};
const LEAST_PACKS: Bound = Bound {
    name: "the fewest packs of a line",
    least: 1.0,
    most: 1.0e5,
    unit: "",
};
const LEAD: Bound = Bound {
    name: "lead time",
    least: 0.0,
    most: 730.0,
    unit: "days",
};

/// Reads suppliers; one of a known id replaces it.
pub(super) fn read_suppliers(table: &Table, catalog: &mut Catalog, problems: &mut Problems) {
    for row in table.rows() {
        let Some(id) = row.field("id").required(problems).text(problems) else {
            continue;
        };
        let money = |heading, problems: &mut Problems| row.field(heading).money(problems);
        let supplier = Supplier {
            name: row
                .field("name")
                .text(problems)
                .unwrap_or_else(|| id.clone()),
            currency: row.field("currency").text(problems),
            minimum_order: money("minimum_order", problems).unwrap_or_default(),
            freight_fixed: money("freight_fixed", problems).unwrap_or_default(),
            freight_per_kg: money("freight_per_kg", problems).unwrap_or_default(),
            freight_free_from: money("freight_free_from", problems),
            hazard_surcharge: money("hazard_surcharge", problems).unwrap_or_default(),
            id: id.clone(),
        };
        catalog.suppliers.insert(id, supplier);
    }
}

/// Reads offers; one of the same material, supplier and pack as a known one replaces it.
pub(super) fn read(table: &Table, catalog: &mut Catalog, problems: &mut Problems) {
    let mut fresh: Vec<(Offer, Place)> = Vec::new();
    for row in table.rows() {
        let Some(offer) = offer(&row, catalog, problems) else {
            continue;
        };
        if fresh.iter().any(|(known, _)| same(known, &offer)) {
            let text = format!(
                "{} offers `{}` in this pack and delivery in two rows",
                offer.supplier, offer.material
            );
            row.field("pack").problem(
                text,
                "delete one of the rows; lower prices for more packs go into break1 and break2",
                problems,
            );
            continue;
        }
        fresh.push((offer, row.field("price").place()));
    }
    catalog
        .offers
        .retain(|known| !fresh.iter().any(|(offer, _)| same(known, offer)));
    catalog
        .offers
        .extend(fresh.iter().map(|(offer, _)| offer.clone()));
    unlikely::prices(&fresh, catalog, problems);
    unreachable_minimums(table, catalog, problems);
}

/// A supplier all of whose offers cost nothing, and whose order must come to something all the same.
fn unreachable_minimums(table: &Table, catalog: &Catalog, problems: &mut Problems) {
    for supplier in catalog.suppliers.values() {
        let mut offers = catalog
            .offers
            .iter()
            .filter(|offer| offer.supplier == supplier.id)
            .peekable();
        let is_free = |offer: &Offer| offer.prices.iter().all(|price| price.price == Money::ZERO);
        if supplier.minimum_order > Money::ZERO && offers.peek().is_some() && offers.all(is_free) {
            let text = format!(
                "no order to `{}` can come to its minimum of {}: all that it offers costs nothing",
                supplier.id, supplier.minimum_order
            );
            problems.error(
                Some(table.place()),
                text,
                "write prices, or a `minimum_order` of 0 in suppliers.csv",
            );
        }
    }
}

fn same(a: &Offer, b: &Offer) -> bool {
    a.material == b.material
        && a.supplier == b.supplier
        && a.pack == b.pack
        && a.delivery == b.delivery
}

fn offer(row: &Row<'_>, catalog: &Catalog, problems: &mut Problems) -> Option<Offer> {
    let material = known(
        &row.field("material"),
        catalog.materials.keys(),
        "materials.csv",
        problems,
    );
    let supplier = known(
        &row.field("supplier"),
        catalog.suppliers.keys(),
        "suppliers.csv",
        problems,
    );
    let pack = pack(row, material.as_deref(), catalog, problems);
    let price = row.field("price").required(problems).money(problems);
    let lead_days = row.field("lead_days").whole(LEAD, problems).unwrap_or(0);
    let (valid_from, valid_until) = validity(row, problems);
    let lead = row
        .field("lead_counts")
        .choice(LeadDays::ALL, LeadDays::name, problems);
    let delivery = row
        .field("delivery")
        .choice(Delivery::ALL, Delivery::name, problems);
    let kind = row
        .field("breaks")
        .choice(Breaks::ALL, Breaks::name, problems);
    let least_packs = row.field("least_packs").whole(LEAST_PACKS, problems);
    let tax = row.field("tax").percent(bound::RATE, problems);
    let prices = breaks(row, price?, problems)?;
    Some(Offer {
        material: material?,
        supplier: supplier?,
        pack: pack?,
        prices,
        breaks: kind.unwrap_or(Breaks::All),
        least_packs: least_packs.unwrap_or(1),
        lead_days,
        lead: lead.unwrap_or(LeadDays::Working),
        delivery: delivery.unwrap_or(Delivery::Standard),
        valid_from,
        valid_until,
        tax,
    })
}

/// The days between which an offer's price holds.
fn validity(row: &Row<'_>, problems: &mut Problems) -> (Option<Date>, Option<Date>) {
    let (from, until) = (row.field("valid_from"), row.field("valid_until"));
    let (first, last) = (from.date(problems), until.date(problems));
    if let Some((first, last)) = first.zip(last).filter(|(first, last)| first > last) {
        until.problem(
            format!("the price holds until {last}, but only from {first} on"),
            "write the later of the two days here",
            problems,
        );
    }
    (first, last)
}

fn known<'a>(
    field: &Field<'_>,
    ids: impl Iterator<Item = &'a String> + Clone,
    file: &str,
    problems: &mut Problems,
) -> Option<String> {
    let id = field.required(problems).text(problems)?;
    if ids.clone().any(|known| *known == id) {
        return Some(id);
    }
    let help = match nearest(&id, ids.clone().map(String::as_str)) {
        Some(near) => format!("write `{near}`"),
        None => format!(
            "add a row for it to {file}, or write one of {}",
            list(&ids.take(5).collect::<Vec<_>>(), "or")
        ),
    };
    field.problem(format!("there is no `{id}` in {file}"), help, problems);
    None
}

/// Whole units come in whole packs: a pack of two and a half sheets is a slip.
fn pack(
    row: &Row<'_>,
    material: Option<&str>,
    catalog: &Catalog,
    problems: &mut Problems,
) -> Option<Decimal> {
    let field = row.field("pack").required(problems);
    let pack = field.decimal(PACK, problems)?;
    let unit = catalog.materials.get(material?)?.unit();
    if unit.is_whole() && !pack.fract().is_zero() {
        let text = format!(
            "a pack holds `{pack}`, and this material is counted whole, by `{}`",
            unit.name()
        );
        field.problem(text, "write a whole number", problems);
        return None;
    }
    Some(pack)
}

/// The price of one pack, then the breaks, each from more packs than the one before.
fn breaks(row: &Row<'_>, price: Money, problems: &mut Problems) -> Option<Vec<PriceBreak>> {
    let mut prices = vec![PriceBreak {
        from_packs: 1,
        price,
    }];
    for (packs, price) in [
        ("break1_packs", "break1_price"),
        ("break2_packs", "break2_price"),
    ] {
        let (packs, price) = (row.field(packs), row.field(price));
        match (packs.is_blank(), price.is_blank()) {
            (true, true) => continue,
            (false, true) => price.problem(
                "a number of packs without its price".to_owned(),
                "write the price of one pack at that number".to_owned(),
                problems,
            ),
            (true, false) => packs.problem(
                "a price without its number of packs".to_owned(),
                "write from how many packs the price holds".to_owned(),
                problems,
            ),
            (false, false) => {}
        }
        let (from_packs, price) = (packs.whole(PACKS, problems)?, price.money(problems)?);
        let before = *prices.last()?;
        if from_packs <= before.from_packs {
            let text = format!(
                "this price holds from {from_packs} packs, the one before it from {}",
                before.from_packs
            );
            packs.problem(
                text,
                "write the breaks in rising order of packs".to_owned(),
                problems,
            );
            return None;
        }
        if price > before.price {
            packs.warning(
                format!(
                    "a pack costs {price} from {from_packs} packs on and {} below",
                    before.price
                ),
                "check whether the two prices were swapped".to_owned(),
                problems,
            );
        }
        prices.push(PriceBreak { from_packs, price });
    }
    Some(prices)
}
