//! The tubes of the catalogue that can be reckoned with.

use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::diag::Problems;
use crate::diag::list;
use crate::job::Job;
use crate::units::Length;

use super::beam::Section;

/// What a stock unit without any offer is taken to cost, in cents: more than any that has a price.
const UNPRICED: u64 = 100_000_000;

/// A tube that drums can be cut from, in all the stock lengths that it comes in.
#[derive(Clone, Debug)]
pub(super) struct Tube<'a> {
    /// Outer diameter.
    pub(super) diameter: Length,
    /// Its section.
    pub(super) section: Section,
    /// Elastic modulus in MPa.
    pub(super) modulus: f64,
    /// Bending strength in MPa.
    pub(super) strength: f64,
    /// Load across the tube that crushes it, in N/mm, where its maker gives one.
    pub(super) crush: Option<f64>,
    /// Mass in grams a millimetre.
    pub(super) grams_per_mm: f64,
    /// Its stock lengths, shortest first; never none.
    pub(super) stocks: Vec<StockTube<'a>>,
}

/// One stock length of a tube.
#[derive(Clone, Copy, Debug)]
pub(super) struct StockTube<'a> {
    /// The material's id.
    pub(super) id: &'a str,
    /// The stock length.
    pub(super) length: Length,
    /// Price of one in cents.
    pub(super) cents: u64,
    /// How many lie on the shelf.
    pub(super) shelf: u64,
}

impl StockTube<'_> {
    /// The stock length in whole millimetres, rounded down: faces are whole millimetres, rounded up.
    pub(super) fn usable(&self) -> Length {
        let millimetre = Length::whole_mm(1).to_steps();
        Length::whole_mm(self.length.to_steps().div_euclid(millimetre))
    }
}

/// Returns the tubes that can be reckoned with, thinnest first; says which cannot.
pub(super) fn tubes<'a>(job: &'a Job, problems: &mut Problems) -> Vec<Tube<'a>> {
    let materials = job.catalog.materials.values();
    let mut tubes: Vec<Tube<'a>> = Vec::new();
    for material in materials.filter(|material| material.kind == MaterialKind::Tube) {
        let Some(tube) = tube(job, material) else {
            leave_out(material, problems);
            continue;
        };
        match tubes.iter_mut().find(|other| other.is_alike(&tube)) {
            Some(other) => other.stocks.extend(tube.stocks),
            None => tubes.push(tube),
        }
    }
    for tube in &mut tubes {
        tube.stocks.sort_by_key(|stock| (stock.length, stock.id));
    }
    tubes.sort_by(|a, b| (a.diameter, a.id()).cmp(&(b.diameter, b.id())));
    tubes
}

fn leave_out(material: &Material, problems: &mut Problems) {
    let missing = missing(material);
    let why = if missing.is_empty() {
        "its wall, diameter and figures do not go together".to_owned()
    } else {
        format!("its {} cannot be reckoned with", list(&missing, "and"))
    };
    problems.note(
        None,
        format!("tube `{}` is left out: {why}", material.id),
        "complete its row in materials.csv, so that its sag and stress can be checked",
    );
}

/// The columns of a tube's row that are blank or no figure to reckon with.
fn missing(material: &Material) -> Vec<&'static str> {
    let length = |length: Option<Length>| length.is_some_and(Length::is_positive);
    let number = |value: Option<f64>| value.is_some_and(|value| value > 0.0 && value.is_finite());
    let columns = [
        ("length", length(material.length)),
        ("diameter", length(material.diameter)),
        ("wall", length(material.wall)),
        ("density_g_ml", number(material.density)),
        ("modulus_mpa", number(material.modulus)),
        ("strength_mpa", number(material.strength)),
    ];
    let blank = columns.into_iter().filter(|(_, known)| !known);
    blank.map(|(name, _)| name).collect()
}

fn tube<'a>(job: &'a Job, material: &'a Material) -> Option<Tube<'a>> {
    let diameter = material.diameter?;
    let section = Section::new(diameter, material.wall?)?;
    let known = |value: Option<f64>| value.filter(|value| *value > 0.0 && value.is_finite());
    let stock = StockTube {
        id: &material.id,
        length: material.length.filter(|length| length.is_positive())?,
        cents: cents(job, &material.id).unwrap_or(UNPRICED),
        shelf: on_shelf(job, &material.id),
    };
    Some(Tube {
        diameter,
        section,
        modulus: known(material.modulus)?,
        strength: known(material.strength)?,
        crush: known(material.crush),
        grams_per_mm: section.area() * known(material.density)? / 1_000.0,
        stocks: vec![stock],
    })
}

impl Tube<'_> {
    /// Says whether another tube differs in stock length only.
    fn is_alike(&self, other: &Self) -> bool {
        let same = |a: f64, b: f64| a.total_cmp(&b).is_eq();
        self.diameter == other.diameter
            && self.section == other.section
            && same(self.modulus, other.modulus)
            && same(self.strength, other.strength)
            && self.crush == other.crush
            && same(self.grams_per_mm, other.grams_per_mm)
    }

    /// The longest face that it can give.
    pub(super) fn length(&self) -> Length {
        let longest = self.stocks.last();
        longest.map_or(Length::ZERO, StockTube::usable)
    }

    /// The id of the longest stock length.
    pub(super) fn id(&self) -> &str {
        self.stocks.last().map_or("", |stock| stock.id)
    }

    /// What a face costs in cents: a stock length over the faces of that size that come out of it, in the cheapest that is long enough.
    pub(super) fn share(&self, face: Length) -> f64 {
        let long_enough = self.stocks.iter().filter(|stock| stock.usable() >= face);
        let shares = long_enough
            .map(|stock| from_u64(stock.cents) / stock.length.ratio(face).floor().max(1.0));
        shares.fold(f64::INFINITY, f64::min)
    }
}

/// Returns the cheapest price of one unit of a material in whole cents, rounded up; none without an offer.
pub(super) fn cents(job: &Job, material: &str) -> Option<u64> {
    job.catalog.least_cents(material, job.order_day)
}

/// Returns how many whole units of a material lie on the shelf.
fn on_shelf(job: &Job, material: &str) -> u64 {
    job.stock
        .get(material)
        .and_then(|quantity| quantity.amount.floor().to_u64())
        .unwrap_or(0)
}

/// A whole number as a fraction; prices and counts stay far below 2^53.
#[allow(
    clippy::cast_precision_loss,
    reason = "prices in cents and counts stay far below 2^53"
)]
pub(crate) const fn from_u64(value: u64) -> f64 {
    value as f64
}

/// A whole number as a fraction; faces in millimetres stay far below 2^53.
#[allow(
    clippy::cast_precision_loss,
    reason = "millimetres of tube and counts stay far below 2^53"
)]
pub(super) const fn from_i64(value: i64) -> f64 {
    value as f64
}
