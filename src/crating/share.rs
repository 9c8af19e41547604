//! Which drums, or flat panels, share a crate.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::job::Job;
use crate::recipe::Step;
use crate::survey::Survey;
use crate::units::Length;

use super::item::Item;
use super::mass;
use super::needs;
use super::packed;
use super::packed::Packed;
use super::passage;
use super::price::Prices;

/// Groups up to this size are shared out exactly: every set is tried.
const EXACT: usize = 10;

/// What may share a crate: one kind, one treatment, mould and lead each apart, one destination and day of return.
type Kin<'a> = (bool, &'a str, bool, bool, &'a str, Option<Date>);

/// Shares out items among crates at least cost; returns the indexes in each crate.
///
/// Things may share a crate only if they are alike in treatment, mould, lead, destination and day of return; the crate must hold no more pieces and weigh no more than the
/// kit allows, pass every way out, and may need lifting gear only where each alone would. Groups of up to ten are shared out
/// exactly; larger ones in the order of their length and girth, in runs, which is near the best since a crate is as long as its longest.
pub(super) fn share(
    job: &Job,
    survey: &Survey,
    prices: &Prices<'_>,
    items: &[Item],
) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<Kin<'_>, Vec<usize>> = BTreeMap::new();
    for (index, item) in items.iter().enumerate() {
        if let Some(row) = item.row(job, survey) {
            let kin = (
                item.is_drum(),
                row.recipe.as_str(),
                row.mould,
                row.lead,
                row.destination.as_str(),
                row.return_date,
            );
            groups.entry(kin).or_default().push(index);
        }
    }
    let mut crates: Vec<Vec<usize>> = Vec::new();
    for mut group in groups.into_values() {
        group.sort_by_key(|index| key(items, *index));
        let step = group
            .first()
            .and_then(|index| items.get(*index))
            .and_then(|item| needs::step_of_crate(job, survey, &item.panels));
        let shop = Shop {
            job,
            prices,
            items,
            step,
        };
        crates.extend(shop.share(&group));
    }
    for together in &mut crates {
        together.sort_unstable();
    }
    crates.sort();
    crates
}

fn key(items: &[Item], index: usize) -> (Reverse<Length>, Reverse<Length>, usize) {
    let [long, _, high] = items
        .get(index)
        .map_or_else(Default::default, |item| item.size);
    (Reverse(long), Reverse(high), index)
}

struct Shop<'a> {
    job: &'a Job,
    prices: &'a Prices<'a>,
    items: &'a [Item],
    step: Option<&'a Step>,
}

impl Shop<'_> {
    fn share(&self, group: &[usize]) -> Vec<Vec<usize>> {
        let most = usize::try_from(self.job.catalog.crate_kit.most_together)
            .unwrap_or(1)
            .max(1);
        if most == 1 || group.len() < 2 {
            return group.iter().map(|index| vec![*index]).collect();
        }
        if group.len() <= EXACT {
            self.exactly(group, most)
        } else {
            self.in_runs(group, most)
        }
    }

    /// The cheapest way of sharing out, over all sets: the cheapest for a set is the cheapest crate that holds its first member, and the
    /// cheapest for the rest.
    fn exactly(&self, group: &[usize], most: usize) -> Vec<Vec<usize>> {
        let sets = 1_usize << group.len();
        let costs: Vec<Option<f64>> = (0..sets)
            .map(|set| {
                let size = usize::try_from(set.count_ones()).unwrap_or(usize::MAX);
                (size > 0 && size <= most).then(|| self.cost(&members(group, set)))?
            })
            .collect();
        let mut best: Vec<(f64, usize)> = vec![(0.0, 0); sets];
        for set in 1..sets {
            let first = set & set.wrapping_neg();
            let rest = set ^ first;
            let mut found = (f64::INFINITY, first);
            let mut part = rest;
            loop {
                let crate_set = part | first;
                let cost = costs.get(crate_set).copied().flatten();
                let left = best
                    .get(set ^ crate_set)
                    .map_or(f64::INFINITY, |(cost, _)| *cost);
                if let Some(cost) = cost.filter(|cost| cost + left < found.0 - 1e-9) {
                    found = (cost + left, crate_set);
                }
                if part == 0 {
                    break;
                }
                part = (part - 1) & rest;
            }
            if let Some(slot) = best.get_mut(set) {
                *slot = found;
            }
        }
        let mut crates = Vec::new();
        let mut set = sets - 1;
        while set > 0 {
            let taken = best.get(set).map_or(set, |(_, taken)| *taken);
            crates.push(members(group, taken));
            set ^= taken;
        }
        crates
    }

    /// The cheapest way of cutting the ordered group into runs.
    fn in_runs(&self, group: &[usize], most: usize) -> Vec<Vec<usize>> {
        let mut best: Vec<(f64, usize)> = vec![(0.0, 0)];
        for end in 1..=group.len() {
            let mut found = (f64::INFINITY, end - 1);
            for size in 1..=most.min(end) {
                let start = end - size;
                let run = group.get(start..end).unwrap_or_default();
                let before = best.get(start).map_or(f64::INFINITY, |(cost, _)| *cost);
                if let Some(cost) = self.cost(run).filter(|cost| before + cost < found.0 - 1e-9) {
                    found = (before + cost, start);
                }
            }
            best.push(found);
        }
        let mut crates = Vec::new();
        let mut end = group.len();
        while end > 0 {
            let start = best.get(end).map_or(end - 1, |(_, start)| *start);
            crates.push(group.get(start..end).unwrap_or_default().to_vec());
            end = start;
        }
        crates
    }

    /// What a crate with these costs; none where they may not share one.
    fn cost(&self, together: &[usize]) -> Option<f64> {
        let items: Vec<&Item> = together
            .iter()
            .filter_map(|index| self.items.get(*index))
            .collect();
        let heaviest = self.job.catalog.crate_kit.heaviest_together;
        let contents: f64 = items.iter().map(|item| item.mass.to_g()).sum();
        if items.len() > 1 && contents > heaviest.to_g() {
            return None;
        }
        let packed = packed::packed(self.job, "", &items);
        (items.len() == 1 || self.may_share(&packed, &items))
            .then(|| self.prices.crate_cost(&packed, self.step))
    }

    fn may_share(&self, packed: &Packed, items: &[&Item]) -> bool {
        let geared = |packed: &Packed| {
            let [_, _, high] = packed.parcel.outside;
            mass::carriers(packed.gross, high.half()).is_none()
        };
        packed.gross.to_g() <= self.job.catalog.crate_kit.heaviest_together.to_g()
            && packed.bearings.iter().all(super::cradle::Bearing::holds)
            && passage::passages(self.job, packed.parcel.outside)
                .iter()
                .all(|passage| passage.fits)
            && (!geared(packed)
                || items
                    .iter()
                    .all(|item| geared(&packed::packed(self.job, "", &[*item]))))
    }
}

/// The members of a set, as bits.
fn members(group: &[usize], set: usize) -> Vec<usize> {
    let chosen = group.iter().enumerate();
    chosen
        .filter(|(bit, _)| set >> bit & 1 == 1)
        .map(|(_, index)| *index)
        .collect()
}
