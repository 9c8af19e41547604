//! What of the shelf can be used before it goes off, and what stands there after the job.

use std::borrow::Cow;
use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;

use crate::catalog::Material;
use crate::job::Job;
use crate::job::Shelved;
use crate::units::Quantity;

use super::calendar::shifted;
use super::demand::Wanted;
use super::market::Market;
use super::outcome::Bought;
use super::outcome::Kept;
use super::outcome::Order;
use super::uses::Uses;

/// The job with a shelf from which what is done has taken its share, the oldest first; the job itself where nothing is done.
pub(super) fn less_spent<'a>(job: &'a Job, spent: &BTreeMap<String, f64>) -> Cow<'a, Job> {
    if spent.keys().all(|id| !job.stock.contains_key(id)) {
        return Cow::Borrowed(job);
    }
    let mut job = job.clone();
    for (id, spent) in spent {
        // Needs are rounded up, so what is spent is rounded down: else a unit shared by what is done and what is left would be bought twice.
        let whole = job.stock.get(id).is_some_and(|stock| stock.unit.is_whole());
        let places = u32::from(!whole);
        let spent = Decimal::try_from(spent + 1e-6).unwrap_or_default();
        let mut left = spent.round_dp_with_strategy(places, RoundingStrategy::ToZero);
        if let Some(stock) = job.stock.get_mut(id) {
            stock.amount = (stock.amount - left).max(Decimal::ZERO).normalize();
        }
        if let Some(batches) = job.shelf.get_mut(id) {
            batches.sort_by_key(|batch| batch.received);
            for batch in &mut *batches {
                let taken = left.min(batch.amount).max(Decimal::ZERO);
                batch.amount = (batch.amount - taken).normalize();
                left -= taken;
            }
            batches.retain(|batch| !batch.amount.is_zero());
        }
    }
    Cow::Owned(job)
}

/// How much of the shelf can be used: what has gone off by the day of its use cannot.
pub(super) fn usable(job: &Job, material: &Material, uses: &Uses) -> Decimal {
    let batches = batches(job, material, Some(uses));
    let usable = batches.iter().map(|batch| batch.usable);
    usable.fold(Decimal::ZERO, Decimal::saturating_add)
}

/// Some of a material on the shelf.
struct Batch {
    shelved: Shelved,
    /// The last day on which it can be used, where it goes off.
    last: Option<Date>,
    /// How much of it can be used by then.
    usable: Decimal,
}

/// The batches of a material, what goes off first before the rest.
fn batches(job: &Job, material: &Material, uses: Option<&Uses>) -> Vec<Batch> {
    let on_shelf = job.shelf.get(&material.id).into_iter().flatten();
    let mut batches: Vec<Batch> = on_shelf
        .map(|shelved| Batch {
            shelved: *shelved,
            last: shelved
                .received
                .zip(material.keeps_days)
                .map(|(day, keeps)| shifted(day, i64::from(keeps))),
            usable: shelved.amount.max(Decimal::ZERO),
        })
        .collect();
    batches.sort_by_key(|batch| batch.last.unwrap_or(Date::MAX));
    let mut used = Decimal::ZERO;
    for batch in &mut batches {
        if let Some(last) = batch.last {
            let days = uses.into_iter().flat_map(|uses| uses.days.range(..=last));
            let until: f64 = days.map(|(_, amount)| amount).sum();
            let until = Quantity::needed(until, material.unit()).amount;
            batch.usable = batch.usable.min((until - used).max(Decimal::ZERO));
        }
        used = used.saturating_add(batch.usable);
    }
    batches
}

/// What stands on the shelf when the job is done: what was there and is not used, what was bought and is left over.
pub(super) fn after(
    job: &Job,
    (uses, market): (&BTreeMap<String, Uses>, &Market<'_>),
    orders: &[Order],
    bought: &[Bought],
) -> Vec<Kept> {
    let mut kept = Vec::new();
    for (id, material) in &job.catalog.materials {
        let want = market.wanted.iter().find(|want| want.material == *id);
        kept.extend(unused(job, material, uses.get(id), want));
    }
    for row in bought.iter().filter(|row| !row.left.amount.is_zero()) {
        let came = orders
            .iter()
            .filter(|order| order.lines.iter().any(|line| line.serves == row.material))
            .map(|order| order.arrives)
            .max();
        let substitute = orders
            .iter()
            .flat_map(|order| &order.lines)
            .find(|line| line.serves == row.material && line.material != row.material);
        kept.push(Kept {
            material: substitute
                .map_or(&row.material, |line| &line.material)
                .clone(),
            quantity: row.left,
            received: came,
            notes: "left over".to_owned(),
        });
    }
    kept
}

/// What of a material's shelf the job does not use: what goes off first is used first, but none of it after its last day.
fn unused(job: &Job, material: &Material, uses: Option<&Uses>, want: Option<&Wanted>) -> Vec<Kept> {
    let mut used = want.map_or(Decimal::ZERO, |want| want.stock.amount);
    let mut kept = Vec::new();
    for batch in batches(job, material, uses) {
        let taken = used.min(batch.usable);
        used -= taken;
        let left = batch.shelved.amount - taken;
        if left > Decimal::ZERO {
            kept.push(Kept {
                material: material.id.clone(),
                quantity: Quantity::new(left.normalize(), material.unit()),
                received: batch.shelved.received,
                notes: batch
                    .last
                    .map_or_else(String::new, |last| format!("keeps until {last}")),
            });
        }
    }
    kept
}
