//! Splits a need into deliveries where the material may not lie on site all at once, or would not keep.

use std::collections::BTreeMap;

use jiff::Span;
use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::exposure::Exposure;
use crate::job::Job;
use crate::units::Quantity;

use super::calendar::arrival;
use super::calendar::delivery_day;
use super::calendar::ready_by;
use super::uses::Uses;

/// One delivery of a material.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Stage {
    /// What is used from this delivery, in the material's unit.
    pub(super) amount: Decimal,
    /// The day it must lie ready.
    pub(super) need_by: Date,
    /// The day before which it may not arrive.
    pub(super) not_before: Option<Date>,
    /// Whether only this delivery serves it, because what came earlier has gone off.
    pub(super) own_delivery: bool,
    /// The place that limits how much may stand there at once.
    pub(super) limited: Option<usize>,
}

/// A delivery of all flammable liquid of a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Delivery {
    /// The first day of use that it serves.
    pub(super) first: Date,
    /// The day it must lie ready.
    pub(super) need_by: Date,
    /// What of earlier deliveries still stands there then, in millilitres.
    pub(super) carried: f64,
    /// What was used from earlier deliveries altogether, in millilitres.
    pub(super) used_before: f64,
    /// What is used from this one, in millilitres.
    pub(super) served: f64,
}

impl Delivery {
    /// What must stand there when it comes, in millilitres.
    pub(super) fn standing(&self) -> f64 {
        self.carried + self.served
    }
}

/// A place that may not hold all of the job's flammable liquid at once.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Staged {
    /// The most that may stand there, in millilitres.
    pub(super) limit: f64,
    /// The deliveries, by day.
    pub(super) deliveries: Vec<Delivery>,
}

impl Staged {
    /// For each delivery the last day before the next, and how much may have arrived by then, stock included, in
    /// millilitres: the limit and what was used before.
    pub(super) fn rooms(&self) -> impl Iterator<Item = (Date, f64)> {
        let next = self
            .deliveries
            .iter()
            .skip(1)
            .map(|next| next.need_by.yesterday().unwrap_or(next.need_by))
            .chain([Date::MAX]);
        self.deliveries
            .iter()
            .zip(next)
            .map(|(delivery, last)| (last, self.limit + delivery.used_before - delivery.carried))
    }
}

/// The places with staged deliveries, by index of the job's places.
pub(super) type Ends = BTreeMap<usize, Staged>;

/// Plans the deliveries of flammable liquid for every place whose limit the job's need passes.
pub(super) fn flammable_ends(
    job: &Job,
    exposure: &Exposure,
    uses: &BTreeMap<String, Uses>,
) -> Ends {
    let mut by_place: BTreeMap<usize, BTreeMap<Date, f64>> = BTreeMap::new();
    for (id, uses) in uses {
        if job.catalog.materials.get(id).is_some_and(is_flammable) {
            let days = by_place.entry(uses.place).or_default();
            uses.days
                .iter()
                .for_each(|(day, amount)| *days.entry(*day).or_default() += amount);
        }
    }
    let limited = by_place.into_iter().filter_map(|(index, days)| {
        let limit = exposure
            .air
            .iter()
            .find(|air| air.place == index)?
            .flammable_limit?
            .to_ml();
        let ready = |day| ready_by(job.places.get(index), day, job.terms.days_in_hand);
        let staged = days.values().sum::<f64>() > limit;
        staged.then(|| {
            (
                index,
                Staged {
                    limit,
                    deliveries: deliveries(&days, limit, ready),
                },
            )
        })
    });
    limited.collect()
}

/// Says whether a material counts towards a place's limit.
pub(super) fn is_flammable(material: &Material) -> bool {
    material.kind == MaterialKind::Liquid && material.hazard.is_flammable()
}

/// The fewest deliveries such that what stands there never passes the limit, where single days allow.
fn deliveries(
    days: &BTreeMap<Date, f64>,
    limit: f64,
    ready: impl Fn(Date) -> Date,
) -> Vec<Delivery> {
    let mut all: Vec<Delivery> = Vec::new();
    let (mut standing, mut used) = (0.0, 0.0);
    for (day, amount) in days {
        if all.is_empty() || standing + amount > limit {
            let carried = |need_by: Date| {
                days.range(need_by..*day)
                    .map(|(_, amount)| amount)
                    .sum::<f64>()
            };
            // With too much still standing it has to come on the very day, or as near before it as anybody delivers.
            let early = delivery_day(ready(*day));
            let need_by = if carried(early) + amount <= limit {
                early
            } else {
                delivery_day(*day)
            };
            let carried = carried(need_by);
            all.push(Delivery {
                first: *day,
                need_by,
                carried,
                used_before: used,
                served: 0.0,
            });
            standing = carried;
        }
        standing += amount;
        used += amount;
        if let Some(delivery) = all.last_mut() {
            delivery.served += amount;
        }
    }
    all
}

/// Splits a material's need into its stages; the stages add up to the need exactly.
pub(super) fn split(
    material: &Material,
    uses: &Uses,
    need: Quantity,
    ends: &Ends,
    ready: impl Fn(Date) -> Date,
) -> Vec<Stage> {
    let deliveries = ends
        .get(&uses.place)
        .filter(|_| is_flammable(material))
        .map(|staged| &staged.deliveries);
    let starts: Vec<(Date, Option<usize>)> = match (deliveries, material.keeps_days) {
        (Some(deliveries), _) => deliveries
            .iter()
            .enumerate()
            .map(|(order, delivery)| (delivery.first, Some(order)))
            .collect(),
        (None, Some(keeps)) => fresh_starts(uses, keeps, &ready)
            .into_iter()
            .map(|day| (day, None))
            .collect(),
        (None, None) => Vec::new(),
    };
    if starts.is_empty() || deliveries.is_some() && starts.len() < 2 {
        return vec![Stage {
            amount: need.amount,
            need_by: ready(uses.first_day),
            not_before: None,
            own_delivery: false,
            limited: deliveries.map(|_| uses.place),
        }];
    }
    let amounts = amounts(uses, need, &starts);
    let stages = starts
        .iter()
        .zip(amounts)
        .filter(|(_, (amount, _))| !amount.is_zero());
    let stages = stages.map(|((start, order), (amount, last))| {
        let delivery = order.and_then(|order| deliveries?.get(order));
        let need_by = delivery.map_or_else(|| ready(*start), |delivery| delivery.need_by);
        let not_before = match delivery {
            Some(delivery) => (*order != Some(0)).then_some(delivery.need_by),
            None => Some(
                arrival(days_before(last, material.keeps_days.unwrap_or(0)), 0)
                    .min(delivery_day(need_by)),
            ),
        };
        let limited = order.map(|_| uses.place);
        Stage {
            amount,
            need_by,
            not_before,
            own_delivery: order.is_none(),
            limited,
        }
    });
    stages.collect()
}

/// The first days of use of deliveries that keep until all of each is used.
fn fresh_starts(uses: &Uses, keeps: u32, ready: &impl Fn(Date) -> Date) -> Vec<Date> {
    let mut starts: Vec<Date> = Vec::new();
    for day in uses.days.keys() {
        let fresh = starts
            .last()
            .is_some_and(|start| days_before(*day, keeps) <= ready(*start));
        if !fresh {
            starts.push(*day);
        }
    }
    starts
}

/// What each stage uses, rounded on the running sum so that the parts make the whole, with the last day it is used.
fn amounts(uses: &Uses, need: Quantity, starts: &[(Date, Option<usize>)]) -> Vec<(Decimal, Date)> {
    let mut done = Decimal::ZERO;
    let mut all = Vec::new();
    for (index, (start, _)) in starts.iter().enumerate() {
        let end = starts.get(index + 1).map(|(next, _)| *next);
        let before_end = |day: &Date| end.is_none_or(|end| *day < end);
        let so_far: f64 = uses
            .days
            .iter()
            .filter(|(day, _)| before_end(day))
            .map(|(_, amount)| amount)
            .sum();
        let target = if end.is_some() {
            Quantity::needed(so_far, need.unit).amount.min(need.amount)
        } else {
            need.amount
        };
        let last = uses
            .days
            .keys()
            .copied()
            .filter(before_end)
            .max()
            .unwrap_or(*start);
        all.push(((target - done).max(Decimal::ZERO), last.max(*start)));
        done = done.max(target);
    }
    all
}

fn days_before(day: Date, days: u32) -> Date {
    day.checked_sub(Span::new().days(i64::from(days.min(100_000))))
        .unwrap_or(Date::MIN)
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    fn december(day: i8) -> Date {
        date(2026, 12, day)
    }

    #[test]
    fn deliveries_are_as_few_as_the_limit_allows() {
        let days = BTreeMap::from([
            (december(1), 8.0),
            (december(2), 8.0),
            (december(3), 8.0),
            (december(8), 8.0),
        ]);
        let same_day = deliveries(&days, 20.0, |day| day);
        let firsts: Vec<Date> = same_day.iter().map(|delivery| delivery.first).collect();
        assert_eq!(firsts, [december(1), december(3)]);
        assert_eq!(same_day[1].used_before, 16.0);
    }

    #[test]
    fn what_still_stands_there_counts() {
        let days = BTreeMap::from([
            (december(1), 8.0),
            (december(2), 8.0),
            (december(3), 8.0),
            (december(4), 8.0),
        ]);
        let early = deliveries(&days, 20.0, |day| days_before(day, 1));
        assert_eq!(
            (early[1].first, early[1].need_by, early[1].carried),
            (december(3), december(2), 8.0)
        );
        assert_eq!(
            early[2].first,
            december(4),
            "8 carried and 8 more leave no room for a third day"
        );
    }

    #[test]
    fn a_day_beyond_the_limit_is_a_delivery_of_its_own() {
        let days = BTreeMap::from([(december(1), 30.0), (december(2), 5.0)]);
        assert_eq!(deliveries(&days, 20.0, |day| days_before(day, 2)).len(), 2);
    }
}
