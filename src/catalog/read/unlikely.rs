//! Prices that are many times those of their neighbours: warnings.

use rust_decimal::Decimal;

use crate::catalog::Catalog;
use crate::catalog::Offer;
use crate::diag::Level;
use crate::diag::Place;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::units::Money;

/// How many times the middle of the other prices an offer may ask; packs of a hundred beside single ones differ by less than two in the
/// built-in catalogue, and by ten between a bottle and a barrel (common practice).
const TIMES: i64 = 30;

/// Warns of fresh offers, each with the place of its price, whose price a unit is far from what the catalogue else asks for the material.
///
/// Only suppliers of one currency are compared, since rates of exchange are not known here.
pub(super) fn prices(fresh: &[(Offer, Place)], catalog: &Catalog, problems: &mut Problems) {
    let currency = |offer: &Offer| {
        catalog
            .suppliers
            .get(&offer.supplier)
            .and_then(|supplier| supplier.currency.as_deref())
    };
    for (offer, place) in fresh {
        let mut others: Vec<Decimal> = catalog
            .offers
            .iter()
            .filter(|other| {
                *other != offer
                    && other.material == offer.material
                    && currency(other) == currency(offer)
            })
            .filter_map(a_unit)
            .collect();
        others.sort_unstable();
        let Some((price, middle)) = a_unit(offer).zip(others.get(others.len() / 2).copied()) else {
            continue;
        };
        let times = Decimal::from(TIMES);
        let how = if price > middle * times {
            "dearer"
        } else if price * times < middle {
            "cheaper"
        } else {
            continue;
        };
        problems.push(Problem {
            level: Level::Warning,
            place: Some(place.clone()),
            text: format!(
                "a unit of `{}` comes to {}, more than {TIMES} times {how} than its other offers, about {}",
                offer.material,
                Money::new(price.round_sf(3).unwrap_or(price).normalize()).amount(),
                Money::new(middle.round_sf(3).unwrap_or(middle).normalize()).amount(),
            ),
            help: vec!["check the price and what the pack holds; leave them if they are right".to_owned()],
        });
    }
}

/// What a unit costs in a single pack; none where it costs nothing, which is a gift and no slip.
fn a_unit(offer: &Offer) -> Option<Decimal> {
    let price = offer.prices.first()?.price.amount();
    price
        .checked_div(offer.pack)
        .filter(|price| !price.is_zero())
}
