//! What a crate costs, near enough to choose by: materials by amount at the least price of each, and the work of building and packing it.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;
use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Material;
use crate::catalog::Per;
use crate::job::Job;
use crate::recipe::Step;
use crate::units::Length;
use crate::units::Money;

use super::build::Build;
use super::build::Part;
use super::fittings;
use super::packed::Packed;
use super::tray;

/// Least prices of a unit, in the job's currency.
#[derive(Debug)]
pub(super) struct Prices<'a> {
    job: &'a Job,
    least: BTreeMap<&'a str, f64>,
}

impl<'a> Prices<'a> {
    /// Looks up the least price of every material that is offered.
    pub(super) fn of(job: &'a Job) -> Self {
        let mut least: BTreeMap<&str, f64> = BTreeMap::new();
        let offers = job.catalog.offers.iter();
        for offer in offers.filter(|offer| offer.first_order(job.order_day).is_some()) {
            let price = offer.price_of(1).amount().checked_div(offer.pack);
            if let Some(price) = price.and_then(|price| price.to_f64()) {
                let known = least.entry(&offer.material).or_insert(price);
                *known = known.min(price);
            }
        }
        Self { job, least }
    }

    /// The least price of a unit of a material; none without an offer.
    pub(super) fn each(&self, material: &str) -> Option<f64> {
        self.least.get(material).copied()
    }

    /// What a crate costs, with the work of its step.
    pub(super) fn crate_cost(&self, packed: &Packed, step: Option<&Step>) -> f64 {
        let pieces = self.pieces(&packed.shell) + self.pieces(&packed.trays);
        let inside = packed.parcel.inside;
        pieces + self.fittings(inside) + self.uses(step) + step.map_or(0.0, |step| self.work(step))
    }

    fn pieces(&self, build: &Build) -> f64 {
        let kit = &self.job.catalog.crate_kit;
        let fixed = |fixing: &Option<(String, f64)>, edge: Length| {
            let price = fixing
                .as_ref()
                .map_or(0.0, |(id, per_metre)| per_metre * self.known(id));
            price * edge.to_m()
        };
        self.boards(&kit.board, &build.boards)
            + self.boards(tray::support(self.job), &build.supports)
            + self.boards(&kit.foam, &build.foam)
            + self.timber(&kit.batten, &build.timber)
            + self.timber(kit.skid.as_ref().unwrap_or(&kit.batten), &build.skids)
            + fixed(&kit.screw, build.edges)
            + fixed(&kit.bolt, build.lid)
    }

    fn known(&self, id: &str) -> f64 {
        self.each(id).unwrap_or(0.0)
    }

    fn material(&self, id: &str) -> Option<&'a Material> {
        self.job.catalog.materials.get(id)
    }

    fn boards(&self, id: &str, parts: &[Part]) -> f64 {
        let sheet = self
            .material(id)
            .and_then(|board| Some((board.width? * board.length?).to_m2()));
        let area: f64 = parts
            .iter()
            .map(|part| (part.width * part.length).to_m2())
            .sum();
        sheet
            .filter(|sheet| *sheet > 0.0)
            .map_or(0.0, |sheet| area / sheet * self.known(id))
    }

    fn timber(&self, id: &str, pieces: &[(String, Length)]) -> f64 {
        let stock = self.material(id).and_then(|timber| timber.length);
        let length: Length = pieces.iter().map(|(_, length)| *length).sum();
        stock.map_or(0.0, |stock| length.ratio(stock) * self.known(id))
    }

    fn fittings(&self, inside: [Length; 3]) -> f64 {
        let amounts = fittings::all(self.job, inside);
        amounts
            .iter()
            .map(|(id, amount)| amount.unwrap_or(0.0) * self.known(id))
            .sum()
    }

    /// What kit and step use up by the crate.
    fn uses(&self, step: Option<&Step>) -> f64 {
        let kit = self.job.catalog.crate_kit.uses.iter();
        let uses = kit.chain(step.iter().flat_map(|step| &step.uses));
        uses.filter(|used| used.per == Per::Crate)
            .map(|used| used.rate * self.known(&used.material))
            .sum()
    }

    /// The step's work by the crate, at the least cost of anybody who can do it.
    fn work(&self, step: &Step) -> f64 {
        let minutes: f64 = step
            .work
            .iter()
            .filter(|work| work.per == Per::Crate)
            .map(|work| work.minutes)
            .sum();
        let able = self
            .job
            .people
            .iter()
            .filter(|person| person.skills.contains(&step.skill));
        let hour = able.map(|person| person.cost).min().unwrap_or_default();
        minutes / 60.0 * hour.amount().to_f64().unwrap_or(0.0)
    }
}

/// An estimate as money, to the cent.
pub(super) fn money(amount: f64) -> Money {
    Money::new(Decimal::from_f64(amount).unwrap_or_default()).cents()
}
