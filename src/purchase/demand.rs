//! Uses to demands: rounded once a material, dated, less what is on the shelf.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::catalog::Material;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::job::Job;
use crate::units::Quantity;

use super::calendar::ready_by;
use super::odds;
use super::odds::Service;
use super::outcome::Demand;
use super::shelf;
use super::staging;
use super::staging::Ends;
use super::staging::Stage;
use super::uses::Uses;

/// A material with its stages of need; sums run on from stage to stage.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Wanted {
    pub(super) material: String,
    /// Needed in all.
    pub(super) need: Quantity,
    /// Of that, from the shelf.
    pub(super) stock: Quantity,
    /// What of the shelf goes off before it could be used.
    pub(super) gone_off: Decimal,
    /// What is on its way: the day it is promised for, and how much.
    pub(super) ordered: Vec<(Date, Decimal)>,
    /// The odds by which the need was made surer, where they were asked for.
    pub(super) service: Option<Service>,
    /// Materials that may be bought instead.
    pub(super) substitutes: Vec<String>,
    /// The stages, by day.
    pub(super) stages: Vec<Stage>,
    pub(super) first_use: String,
}

impl Wanted {
    /// What must be bought up to and including a stage, in the material's unit.
    pub(super) fn to_buy(&self, stage: usize) -> Decimal {
        let needed: Decimal = self
            .stages
            .iter()
            .take(stage + 1)
            .map(|stage| stage.amount)
            .sum();
        let by = self.stages.get(stage).map(|stage| stage.need_by);
        (needed - self.stock.amount - self.coming(by)).max(Decimal::ZERO)
    }

    /// What is on its way and there by a day.
    fn coming(&self, by: Option<Date>) -> Decimal {
        self.ordered
            .iter()
            .filter(|(day, _)| by.is_some_and(|by| *day <= by))
            .map(|(_, amount)| *amount)
            .sum()
    }

    /// What must be bought in all.
    pub(super) fn all_to_buy(&self) -> Decimal {
        (0..self.stages.len())
            .map(|stage| self.to_buy(stage))
            .max()
            .unwrap_or_default()
    }

    /// What of all that is on its way is used.
    pub(super) fn of_ordered(&self) -> Decimal {
        let last = self.stages.iter().map(|stage| stage.need_by).max();
        let short = (self.need.amount - self.stock.amount).max(Decimal::ZERO);
        self.coming(last).min(short)
    }

    /// The first day by which some of it must lie ready.
    pub(super) fn first_need(&self) -> Date {
        self.stages
            .iter()
            .map(|stage| stage.need_by)
            .min()
            .unwrap_or_default()
    }
}

/// Rounds each material's sum once, splits it into stages where it may not lie on site all at once, and takes stock off.
///
/// # Formula
/// to buy = need (rounded up once: to a whole piece, or a tenth of a gram or millilitre) − what of the shelf is still good when it is used − what is on its way by then;
/// packs are the whole packs that cover it at least cost, freight and surcharges of the orders counted in.
///
/// # Sources
/// The job's tables `stock` and `orders`; the catalogue's offers.
pub(super) fn wanted(job: &Job, uses: &BTreeMap<String, Uses>, ends: &Ends) -> Vec<Wanted> {
    let known = uses
        .iter()
        .filter_map(|(id, uses)| Some((job.catalog.materials.get(id)?, uses)));
    known
        .filter_map(|(material, uses)| want(job, material, uses, ends))
        .collect()
}

fn want(job: &Job, material: &Material, uses: &Uses, ends: &Ends) -> Option<Wanted> {
    let service = odds::service(job, material, uses.amount);
    let extra = service.map_or(0.0, |service| service.extra);
    let need = Quantity::needed(uses.amount + extra, material.unit());
    if need.amount.is_zero() {
        return None;
    }
    let shelf = job
        .stock
        .get(&material.id)
        .map_or(Decimal::ZERO, |stock| stock.amount.max(Decimal::ZERO));
    let usable = if job.shelf.contains_key(&material.id) {
        shelf::usable(job, material, uses).min(shelf)
    } else {
        shelf
    };
    let place = job.places.get(uses.place);
    let ready = |day| ready_by(place, day, job.terms.days_in_hand);
    let stages = staging::split(material, uses, need, ends, ready);
    let stock = Quantity::new(usable.min(need.amount), need.unit);
    let short = need.amount > usable;
    Some(Wanted {
        material: material.id.clone(),
        need,
        stock,
        gone_off: if short { shelf - usable } else { Decimal::ZERO },
        ordered: job
            .ordered
            .iter()
            .filter(|ordered| ordered.material == material.id)
            .map(|ordered| (ordered.promised.max(job.order_day), ordered.quantity.amount))
            .collect(),
        service,
        substitutes: substitutes(job, &material.id, uses),
        stages,
        first_use: uses.first_use.clone(),
    })
}

/// The materials that every recipe that uses one allows instead.
fn substitutes(job: &Job, material: &str, uses: &Uses) -> Vec<String> {
    let mut lists = uses.recipes.iter().map(|recipe| {
        job.recipes
            .get(recipe)
            .and_then(|recipe| recipe.substitutes.get(material))
            .map_or(&[][..], Vec::as_slice)
    });
    let mut allowed = lists.next().map(<[String]>::to_vec).unwrap_or_default();
    for list in lists {
        allowed.retain(|id| list.contains(id));
    }
    allowed
}

/// Lists the demands, and writes down how each came about.
pub(super) fn list(
    wanted: &[Wanted],
    uses: &BTreeMap<String, Uses>,
    job: &Job,
    ledger: &mut Ledger,
) -> Vec<Demand> {
    for want in wanted {
        if let Some(uses) = uses.get(&want.material) {
            record(job, want, uses, ledger);
        }
    }
    let demands = wanted.iter().flat_map(|want| {
        want.stages.iter().map(|stage| Demand {
            material: want.material.clone(),
            quantity: Quantity::new(stage.amount, want.need.unit),
            need_by: stage.need_by,
            first_use: want.first_use.clone(),
            because: format!("need/{}", want.material),
        })
    });
    demands.collect()
}

fn record(job: &Job, want: &Wanted, uses: &Uses, ledger: &mut Ledger) {
    let name = job
        .catalog
        .materials
        .get(&want.material)
        .map_or(want.material.as_str(), |material| material.name.as_str());
    let unit = want.need.unit.name();
    let mut derivation = Derivation::new(
        format!("need/{}", want.material),
        format!("need of {name}"),
        format!("{}, ready by {}", want.need, want.first_need()),
        "sum of all uses, rounded up once; ready so many working days before the first use",
    );
    for (source, amount) in &uses.sources {
        let value = format!("{amount:.3} {unit}");
        derivation = match uses.because.get(source) {
            Some(id) => derivation.input_from(source, value, id),
            None => derivation.input(source, value),
        };
    }
    let takeoff = format!("material/{}", want.material);
    if ledger.get(&takeoff).is_some() {
        derivation = derivation.input_from("takeoff", "see there", takeoff);
    }
    if let Some(service) = want.service {
        derivation = by_odds(derivation, service, unit);
    }
    let step = if want.need.unit.is_whole() {
        format!("up to a whole {unit}")
    } else {
        format!("up to a tenth of 1 {unit}")
    };
    ledger.record(
        derivation
            .input(
                "first use",
                format!("{} on {}", want.first_use, uses.first_day),
            )
            .input("working days in hand", job.terms.days_in_hand)
            .input("on the shelf and used", want.stock)
            .input(
                "ordered already and used",
                Quantity::new(want.of_ordered(), want.need.unit),
            )
            .input("deliveries", want.stages.len())
            .rounded(step),
    );
}

/// Writes down what the odds add and why.
fn by_odds(derivation: Derivation, service: Service, unit: &str) -> Derivation {
    derivation
        .input("a pack too few costs", format!("{:.2}", service.short))
        .input("a pack too many costs", format!("{:.2}", service.over))
        .input(
            "enough with a likelihood of",
            format!("{:.1} %", 100.0 * service.level),
        )
        .input(
            "standard deviation of use",
            format!("{:.3} {unit}", service.deviation),
        )
        .input("added for that", format!("{:.3} {unit}", service.extra))
}
