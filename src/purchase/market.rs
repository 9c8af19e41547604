//! Which offers can serve which need, and by when.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Hazard;
use crate::catalog::Offer;
use crate::catalog::Supplier;
use crate::job::Job;
use crate::units::Unit;

use super::calendar::arrival;
use super::demand::Wanted;
use super::mass::kilograms;
use super::staging::Stage;

/// An offer that can serve a need.
#[derive(Clone, Copy, Debug)]
pub(super) struct Choice<'a> {
    pub(super) offer: &'a Offer,
    pub(super) supplier: &'a Supplier,
    /// The need, an index of the market's.
    pub(super) wanted: usize,
    /// The day it arrives when ordered on the order day.
    pub(super) arrival: Date,
    /// The unit that packs are counted in.
    pub(super) unit: Unit,
    /// What a pack weighs, for freight.
    pub(super) kilograms: f64,
    /// Whether it calls for the hazard surcharge.
    pub(super) hazardous: bool,
}

/// All needs with all offers that can serve them.
#[derive(Clone, Debug)]
pub(super) struct Market<'a> {
    pub(super) wanted: &'a [Wanted],
    pub(super) choices: Vec<Choice<'a>>,
    /// For each need and stage the day by which it is served: the day it must lie ready, or the earliest that anybody
    /// can deliver.
    pub(super) deadlines: Vec<Vec<Date>>,
}

impl<'a> Market<'a> {
    /// Gathers the offers that hold on the order day; those too late are left out unless all are.
    pub(super) fn open(job: &'a Job, wanted: &'a [Wanted]) -> Self {
        let mut offers: BTreeMap<&str, Vec<&Offer>> = BTreeMap::new();
        for offer in job.catalog.offers.iter().filter(|offer| is_valid(offer, job.order_day)) {
            offers.entry(&offer.material).or_default().push(offer);
        }
        let mut market = Self { wanted, choices: Vec::new(), deadlines: Vec::new() };
        for (index, want) in wanted.iter().enumerate() {
            let offered = offers.get(want.material.as_str()).map_or(&[][..], Vec::as_slice);
            let choices: Vec<Choice<'a>> = offered.iter().filter_map(|offer| choice(job, index, offer)).collect();
            let soonest = choices.iter().map(|choice| choice.arrival).min();
            let deadline = |stage: &Stage| soonest.map_or(stage.need_by, |soonest| stage.need_by.max(soonest));
            let deadlines: Vec<Date> = want.stages.iter().map(deadline).collect();
            let last = deadlines.iter().max().copied();
            let needed = !want.all_to_buy().is_zero();
            market.choices.extend(choices.into_iter().filter(|choice| needed && Some(choice.arrival) <= last));
            market.deadlines.push(deadlines);
        }
        market
    }

    /// The days from which to which a choice can serve each stage of its need.
    pub(super) fn windows(&self, choice: &Choice<'_>) -> Vec<(Date, Date)> {
        let Some((want, deadlines)) = self.wanted.get(choice.wanted).zip(self.deadlines.get(choice.wanted)) else {
            return Vec::new();
        };
        let window = |(stage, deadline): (&Stage, &Date)| {
            let from = stage.not_before.map_or(choice.arrival, |day| day.max(choice.arrival));
            (from <= *deadline).then_some((from, *deadline))
        };
        want.stages.iter().zip(deadlines).filter_map(window).collect()
    }

    /// The choices for a need.
    pub(super) fn choices_for(&self, wanted: usize) -> impl Iterator<Item = (usize, &Choice<'a>)> {
        self.choices.iter().enumerate().filter(move |(_, choice)| choice.wanted == wanted)
    }

    /// The smallest pack that a need is offered in.
    pub(super) fn smallest_pack(&self, wanted: usize) -> Option<Decimal> {
        self.choices_for(wanted).map(|(_, choice)| choice.offer.pack).min()
    }
}

fn choice<'a>(job: &'a Job, wanted: usize, offer: &'a Offer) -> Option<Choice<'a>> {
    let material = job.catalog.materials.get(&offer.material)?;
    Some(Choice {
        offer,
        supplier: job.catalog.suppliers.get(&offer.supplier)?,
        wanted,
        arrival: arrival(job.order_day, offer.lead_days),
        unit: material.unit(),
        kilograms: kilograms(material, offer.pack),
        hazardous: material.hazard != Hazard::None,
    })
}

/// Says whether an offer can be ordered on a day.
pub(super) fn is_valid(offer: &Offer, day: Date) -> bool {
    offer.pack > Decimal::ZERO && !offer.prices.is_empty() && offer.valid_until.is_none_or(|until| until >= day)
}

impl Choice<'_> {
    /// How many packs hold an amount.
    pub(super) fn packs_for(&self, amount: Decimal) -> u32 {
        let packs = amount.checked_div(self.offer.pack).unwrap_or(Decimal::MAX).ceil();
        packs.to_u32().unwrap_or(MOST_PACKS).min(MOST_PACKS)
    }

    /// The cheapest way to cover an amount from this offer alone, as packs and goods value: sometimes a price break
    /// buys more for less.
    pub(super) fn cheapest_for(&self, amount: Decimal) -> (u32, Decimal) {
        let needed = self.packs_for(amount);
        let breaks = self.offer.prices.iter().map(|price| price.from_packs).filter(|packs| *packs > needed);
        let cost = |packs: u32| (packs, self.offer.price_of(packs).times(Decimal::from(packs)).amount());
        breaks.map(cost).chain([cost(needed)]).min_by_key(|(packs, cost)| (*cost, *packs)).unwrap_or_default()
    }
}

/// More packs than anybody orders; keeps the engine's numbers small.
pub(super) const MOST_PACKS: u32 = 1_000_000;
