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

use super::calendar::delivery_day;
use super::calendar::latest_order;
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
    /// The day it arrives when ordered as soon as its price holds.
    pub(super) arrival: Date,
    /// The unit that packs are counted in.
    pub(super) unit: Unit,
    /// What a pack weighs, for freight.
    pub(super) kilograms: Decimal,
    /// Whether it calls for the hazard surcharge.
    pub(super) hazardous: bool,
}

/// An amount that must have arrived by a day.
#[derive(Clone, Copy, Debug)]
pub(super) struct Due {
    /// The amount: in all so far, or of this delivery alone.
    pub(super) amount: Decimal,
    /// The first day from which deliveries count.
    pub(super) from: Date,
    /// The day.
    pub(super) last: Date,
    /// Whether only deliveries of these days count.
    pub(super) own: bool,
}

/// All needs with all offers that can serve them.
#[derive(Clone, Debug)]
pub(super) struct Market<'a> {
    pub(super) wanted: &'a [Wanted],
    /// The day on which orders are first sent.
    pub(super) order_day: Date,
    pub(super) choices: Vec<Choice<'a>>,
    /// For each need and stage the day by which it is served: the day it must lie ready, or the earliest that anybody
    /// can deliver.
    pub(super) deadlines: Vec<Vec<Date>>,
    /// The freight of everything that each supplier could be asked for.
    pub(super) dearest_freight: BTreeMap<&'a str, Decimal>,
}

impl<'a> Market<'a> {
    /// Gathers the offers that hold on the order day; those too late are left out unless all are.
    pub(super) fn open(job: &'a Job, wanted: &'a [Wanted]) -> Self {
        let mut offers: BTreeMap<&str, Vec<&Offer>> = BTreeMap::new();
        for offer in job
            .catalog
            .offers
            .iter()
            .filter(|offer| offer.first_order(job.order_day).is_some())
        {
            offers.entry(&offer.material).or_default().push(offer);
        }
        let choices_for = |(index, want): (usize, &'a Wanted)| -> Vec<Choice<'a>> {
            let offered = offers
                .get(want.material.as_str())
                .map_or(&[][..], Vec::as_slice);
            let instead = want
                .substitutes
                .iter()
                .filter_map(|id| offers.get(id.as_str()));
            offered
                .iter()
                .chain(instead.flatten())
                .filter_map(|offer| choice(job, index, offer))
                .filter(|_| !want.all_to_buy().is_zero())
                .collect()
        };
        let all: Vec<Vec<Choice<'a>>> = wanted.iter().enumerate().map(choices_for).collect();
        let deadlines = deadlines(wanted, &all);
        let in_time = |choice: &Choice<'_>| {
            deadlines
                .get(choice.wanted)
                .is_some_and(|days| days.iter().any(|last| choice.arrival <= *last))
        };
        let choices: Vec<Choice<'a>> = all.into_iter().flatten().filter(in_time).collect();
        Self {
            wanted,
            order_day: job.order_day,
            dearest_freight: dearest_freight(wanted, &choices),
            choices,
            deadlines,
        }
    }

    /// The days from which to which a choice can serve each stage of its need, ordered as soon as its price holds.
    pub(super) fn windows(&self, choice: &Choice<'_>) -> Vec<(Date, Date)> {
        self.windows_between(choice, choice.arrival)
    }

    /// The same, ordered on another day, if its price holds then.
    pub(super) fn windows_from(&self, choice: &Choice<'_>, sent: Date) -> Vec<(Date, Date)> {
        if choice.offer.holds_on(sent) {
            self.windows_between(choice, choice.offer.arrival(sent))
        } else {
            Vec::new()
        }
    }

    fn windows_between(&self, choice: &Choice<'_>, arrival: Date) -> Vec<(Date, Date)> {
        let Some((want, deadlines)) = self
            .wanted
            .get(choice.wanted)
            .zip(self.deadlines.get(choice.wanted))
        else {
            return Vec::new();
        };
        let window = |(stage, deadline): (&Stage, &Date)| {
            let from = stage.not_before.map_or(arrival, |day| day.max(arrival));
            (from <= *deadline).then_some((from, *deadline))
        };
        want.stages
            .iter()
            .zip(deadlines)
            .filter_map(window)
            .collect()
    }

    /// What of a need must have arrived by when, stage by stage, where anything must.
    pub(super) fn due(&self, wanted: usize) -> Vec<Due> {
        let Some((want, deadlines)) = self.wanted.get(wanted).zip(self.deadlines.get(wanted))
        else {
            return Vec::new();
        };
        let mut before = Decimal::ZERO;
        let mut all = Vec::new();
        for (index, (stage, last)) in want.stages.iter().zip(deadlines).enumerate() {
            let so_far = want.to_buy(index);
            let amount = if stage.own_delivery {
                so_far - before
            } else {
                so_far
            };
            before = so_far;
            let from = stage
                .not_before
                .filter(|_| stage.own_delivery)
                .unwrap_or(Date::MIN);
            if amount > Decimal::ZERO {
                all.push(Due {
                    amount,
                    from,
                    last: *last,
                    own: stage.own_delivery,
                });
            }
        }
        all
    }

    /// The choices for a need.
    pub(super) fn choices_for(&self, wanted: usize) -> impl Iterator<Item = (usize, &Choice<'a>)> {
        // Choices stand in the order of the needs.
        let from = self
            .choices
            .partition_point(|choice| choice.wanted < wanted);
        self.choices
            .iter()
            .enumerate()
            .skip(from)
            .take_while(move |(_, choice)| choice.wanted == wanted)
    }

    /// Those of some needs that count towards a place's storage limit.
    pub(super) fn stored_at(&self, needs: &[usize], place: usize) -> Vec<usize> {
        let counts = |index: &&usize| {
            self.wanted
                .get(**index)
                .is_some_and(|want| want.stages.iter().any(|stage| stage.limited == Some(place)))
        };
        needs.iter().filter(counts).copied().collect()
    }

    /// The smallest pack that a need is offered in.
    pub(super) fn smallest_pack(&self, wanted: usize) -> Option<Decimal> {
        self.choices_for(wanted)
            .map(|(_, choice)| choice.offer.pack)
            .min()
    }
}

/// The day by which each stage is served.
///
/// What nobody can deliver in time may come until the last such thing is there, because the work waits for all of it:
/// one order a supplier, not one a lead time.
fn deadlines(wanted: &[Wanted], choices: &[Vec<Choice<'_>>]) -> Vec<Vec<Date>> {
    let soonest: Vec<Option<Date>> = choices
        .iter()
        .map(|choices| choices.iter().map(|choice| choice.arrival).min())
        .collect();
    let is_late = |stage: &Stage, soonest: Option<Date>| {
        soonest.is_some_and(|soonest| soonest > stage.need_by)
    };
    let late = wanted
        .iter()
        .zip(&soonest)
        .filter(|(want, soonest)| want.stages.iter().any(|stage| is_late(stage, **soonest)));
    let last = late
        .filter_map(|(_, soonest)| *soonest)
        .max()
        .unwrap_or(Date::MIN);
    let days = |(want, soonest): (&Wanted, &Option<Date>)| {
        let day = |stage: &Stage| {
            if is_late(stage, *soonest) {
                stage.need_by.max(last)
            } else {
                stage.need_by
            }
        };
        want.stages.iter().map(day).collect()
    };
    wanted.iter().zip(&soonest).map(days).collect()
}

fn choice<'a>(job: &'a Job, wanted: usize, offer: &'a Offer) -> Option<Choice<'a>> {
    let material = job.catalog.materials.get(&offer.material)?;
    Some(Choice {
        offer,
        supplier: job.catalog.suppliers.get(&offer.supplier)?,
        wanted,
        arrival: offer.arrival(offer.first_order(job.order_day)?),
        unit: material.unit(),
        kilograms: kilograms(material, offer.pack),
        hazardous: material.hazard != Hazard::None,
    })
}

/// The freight of everything that each supplier could be asked for.
fn dearest_freight<'a>(wanted: &[Wanted], choices: &[Choice<'a>]) -> BTreeMap<&'a str, Decimal> {
    let mut totals: BTreeMap<&str, Decimal> = BTreeMap::new();
    for choice in choices {
        let need = wanted
            .get(choice.wanted)
            .map_or(Decimal::ZERO, Wanted::all_to_buy);
        let kilograms = choice
            .kilograms
            .saturating_mul(choice.packs_for(need).into());
        let freight = choice.supplier.freight_per_kg.times(kilograms).amount();
        let total = totals
            .entry(choice.supplier.id.as_str())
            .or_insert_with(|| choice.supplier.freight_fixed.amount());
        *total = total.saturating_add(freight);
    }
    totals
}

impl Choice<'_> {
    /// The last day on which it can be ordered, at its price, to be there by a day.
    pub(super) fn last_order(&self, by: Date) -> Date {
        let sent = latest_order(self.offer, by);
        let until = self.offer.valid_until.map(delivery_day);
        until.map_or(sent, |until| until.min(sent))
    }

    /// How many packs hold an amount.
    pub(super) fn packs_for(&self, amount: Decimal) -> u32 {
        packs_for(self.offer, amount)
    }

    /// The cheapest way to cover an amount from this offer alone, as packs and goods value.
    pub(super) fn cheapest_for(&self, amount: Decimal) -> (u32, Decimal) {
        cheapest_of(self.offer, amount)
    }
}

/// How many packs of an offer hold an amount.
fn packs_for(offer: &Offer, amount: Decimal) -> u32 {
    let packs = amount
        .checked_div(offer.pack)
        .unwrap_or(Decimal::MAX)
        .ceil();
    packs
        .to_u32()
        .unwrap_or(MOST_PACKS)
        .max(offer.least_packs)
        .min(MOST_PACKS)
}

/// The cheapest way to cover an amount from an offer alone, as packs and goods value: sometimes a price break buys more
/// for less.
pub(super) fn cheapest_of(offer: &Offer, amount: Decimal) -> (u32, Decimal) {
    let needed = packs_for(offer, amount);
    let breaks = offer
        .prices
        .iter()
        .map(|price| price.from_packs)
        .filter(|packs| *packs > needed);
    let cost = |packs: u32| (packs, offer.cost_of(packs).amount());
    breaks
        .map(cost)
        .chain([cost(needed)])
        .min_by_key(|(packs, cost)| (*cost, *packs))
        .unwrap_or_default()
}

/// More packs than anybody orders; keeps the engine's numbers small.
pub(super) const MOST_PACKS: u32 = 1_000_000;
