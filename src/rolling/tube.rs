//! The tubes of the catalogue that can be reckoned with.

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;
use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::diag::Problems;
use crate::job::Job;
use crate::units::Length;
use crate::units::Money;

use super::beam::Section;

/// What a stock unit without any offer is taken to cost, in cents: more than any that has a price.
const UNPRICED: u64 = 100_000_000;

/// A tube that drums can be cut from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tube<'a> {
    /// The material's id.
    pub(super) id: &'a str,
    /// Outer diameter.
    pub(super) diameter: Length,
    /// Stock length.
    pub(super) length: Length,
    /// Its section.
    pub(super) section: Section,
    /// Elastic modulus in MPa.
    pub(super) modulus: f64,
    /// Bending strength in MPa.
    pub(super) strength: f64,
    /// Mass in grams a millimetre.
    pub(super) grams_per_mm: f64,
    /// Price of one stock length in cents.
    pub(super) cents: u64,
    /// How many lie on the shelf.
    pub(super) shelf: u64,
}

/// Returns the tubes that can be reckoned with, thinnest and then shortest first; says which cannot.
pub(super) fn tubes<'a>(job: &'a Job, problems: &mut Problems) -> Vec<Tube<'a>> {
    let mut tubes = Vec::new();
    for material in job
        .catalog
        .materials
        .values()
        .filter(|material| material.kind == MaterialKind::Tube)
    {
        match tube(job, material) {
            Some(tube) => tubes.push(tube),
            None => problems.note(
                None,
                format!("tube `{}` is left out: diameter, wall, length, density, modulus and strength are not all known or do not go together", material.id),
                "complete its row in materials.csv, so that its sag can be checked",
            ),
        }
    }
    tubes.sort_by(|a, b| (a.diameter, a.length, a.id).cmp(&(b.diameter, b.length, b.id)));
    tubes
}

fn tube<'a>(job: &'a Job, material: &'a Material) -> Option<Tube<'a>> {
    let diameter = material.diameter?;
    let section = Section::new(diameter, material.wall?)?;
    let known = |value: Option<f64>| value.filter(|value| *value > 0.0 && value.is_finite());
    Some(Tube {
        id: &material.id,
        diameter,
        length: material.length.filter(|length| length.is_positive())?,
        section,
        modulus: known(material.modulus)?,
        strength: known(material.strength)?,
        grams_per_mm: section.area() * known(material.density)? / 1_000.0,
        cents: cents(job, &material.id).unwrap_or(UNPRICED),
        shelf: on_shelf(job, &material.id),
    })
}

/// Returns the cheapest price of one unit of a material in whole cents, rounded up; none without an offer.
pub(super) fn cents(job: &Job, material: &str) -> Option<u64> {
    let offers = job
        .catalog
        .offers
        .iter()
        .filter(|offer| offer.material == material && offer.pack > Decimal::ZERO);
    let prices = offers.filter_map(|offer| offer.price_of(1).amount().checked_div(offer.pack));
    let cheapest = prices.map(Money::new).min()?;
    let cents = cheapest.times(Decimal::ONE_HUNDRED).amount();
    cents
        .round_dp_with_strategy(0, RoundingStrategy::ToPositiveInfinity)
        .to_u64()
}

/// Returns how many whole units of a material lie on the shelf.
fn on_shelf(job: &Job, material: &str) -> u64 {
    job.stock
        .get(material)
        .and_then(|quantity| quantity.amount.floor().to_u64())
        .unwrap_or(0)
}

impl Tube<'_> {
    /// What a face costs in cents, as its share of a stock length.
    pub(super) fn share(&self, face: Length) -> f64 {
        from_u64(self.cents) * face.ratio(self.length)
    }
}

/// A whole number as a fraction; prices and counts stay far below 2^53.
#[allow(
    clippy::cast_precision_loss,
    reason = "prices in cents and counts stay far below 2^53"
)]
pub(crate) const fn from_u64(value: u64) -> f64 {
    value as f64
}
