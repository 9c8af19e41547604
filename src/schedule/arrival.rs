//! The earliest day on which a step's materials can lie ready.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::catalog::Material;
use crate::job::Job;
use crate::recipe::PlaceRole;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::takeoff::CutFrom;
use crate::units::Quantity;
use crate::units::Unit;
use crate::units::Volume;

use super::Given;
use super::engine::MINUTES_A_DAY;

/// Days on which materials lie ready at the soonest.
#[derive(Debug)]
pub(super) struct Arrivals<'a> {
    job: &'a Job,
    /// By material, when its quickest offer brings it; nothing for what the shelf has enough of.
    by_material: BTreeMap<&'a str, Date>,
    /// By drum and crate, as `drum/D1`, when the last of what it is made from arrives.
    kits: BTreeMap<&'a str, Date>,
}

impl<'a> Arrivals<'a> {
    /// Looks up the quickest valid offer of every material.
    pub(super) fn of(given: &Given<'a>) -> Self {
        let job = given.job;
        let needed = needed(given);
        let mut by_material: BTreeMap<&str, Date> = BTreeMap::new();
        let offers = job.catalog.offers.iter();
        for offer in offers.filter(|offer| !is_on_shelf(job, &needed, &offer.material)) {
            let Some(sent) = offer.first_order(job.order_day) else {
                continue;
            };
            let arrives = offer.arrival(sent);
            by_material
                .entry(&offer.material)
                .and_modify(|known| *known = arrives.min(*known))
                .or_insert(arrives);
        }
        other_sizes(given, &mut by_material);
        let mut kits: BTreeMap<&str, Date> = BTreeMap::new();
        for need in given.rolling.needs.iter().chain(&given.crating.needs) {
            if let Some(&arrives) = by_material.get(need.material.as_str()) {
                let last = kits.entry(&need.because).or_insert(arrives);
                *last = arrives.max(*last);
            }
        }
        // Whether stands are hired or bought follows from the days: a drum waits for both.
        let kit = &job.catalog.drum_kit;
        let stands = [&kit.stand, &kit.stand_hire];
        let stands = stands.into_iter().flatten();
        if let Some(&turns) = stands.filter_map(|id| by_material.get(id.as_str())).max() {
            for (_, last) in kits.iter_mut().filter(|(id, _)| id.starts_with("drum/")) {
                *last = turns.max(*last);
            }
        }
        Self {
            job,
            by_material,
            kits,
        }
    }

    /// Minutes from the origin before which a step cannot start: all it lays, brushes and uses, and the drum or crate it needs, must lie
    /// ready the days in hand before.
    pub(super) fn earliest(&self, recipe: &Recipe, step: &Step, kit: Option<&str>) -> i64 {
        let solution = step.solution.as_ref().and_then(|id| recipe.solution(id));
        let mixed = solution.into_iter().flat_map(|solution| {
            solution
                .resin
                .iter()
                .chain(solution.solvents.iter().map(|(id, _)| id))
        });
        let used = step.uses.iter().map(|row| &row.material);
        let materials = step.material.iter().chain(mixed).chain(used);
        let days = materials.filter_map(|id| self.by_material.get(id.as_str()));
        let kit = kit.and_then(|kit| self.kits.get(kit));
        let Some(last) = days.chain(kit).max() else {
            return 0;
        };
        let ready = self.open_days_after(*last);
        i64::from((ready - self.job.first_day).get_days()).max(0) * MINUTES_A_DAY
    }

    /// The day so many of the site's working days after an arrival.
    fn open_days_after(&self, arrival: Date) -> Date {
        let Some(site) = self
            .job
            .places
            .iter()
            .find(|place| place.role == PlaceRole::Site)
        else {
            return arrival;
        };
        let mut day = arrival;
        let mut left = self.job.terms.days_in_hand;
        let mut patience = 400;
        while left > 0 && patience > 0 {
            let Ok(next) = day.tomorrow() else { return day };
            day = next;
            patience -= 1;
            let weekday = usize::try_from(day.weekday().to_monday_zero_offset()).unwrap_or(0);
            let open = site
                .hours
                .get(weekday)
                .is_some_and(|hours| !hours.is_empty())
                && !site.closed.contains(&day);
            left -= u32::from(open);
        }
        day
    }
}

/// A layer cut from other sizes of its material waits for those too.
fn other_sizes<'a>(given: &Given<'a>, by_material: &mut BTreeMap<&'a str, Date>) {
    let catalog = &given.job.catalog;
    let used: BTreeSet<&str> = given
        .takeoff
        .cuts
        .iter()
        .map(|cut| cut.material.as_str())
        .collect();
    for id in used {
        let main = catalog.main_size(id);
        if let Some(&arrives) = by_material.get(id).filter(|_| main != id) {
            let last = by_material.entry(main).or_insert(arrives);
            *last = arrives.max(*last);
        }
    }
}

/// What is known to be needed of each material before people and batches are, in its own unit.
fn needed<'a>(given: &Given<'a>) -> BTreeMap<&'a str, f64> {
    let mut sums: BTreeMap<&str, f64> = BTreeMap::new();
    let takeoff = given.takeoff;
    let needs = takeoff.needs.iter();
    for need in needs
        .chain(&given.rolling.needs)
        .chain(&given.crating.needs)
    {
        *sums.entry(&need.material).or_default() += need.amount;
    }
    for cut in takeoff
        .cuts
        .iter()
        .filter(|cut| cut.from != CutFrom::Offcut)
    {
        *sums.entry(&cut.material).or_default() += 1.0;
    }
    for part in takeoff.solutions.iter().flat_map(|need| &need.parts) {
        let material = given.job.catalog.materials.get(&part.material);
        let amount = match material.map(Material::unit) {
            Some(Unit::Ml) => part.volume.map_or(0.0, Volume::to_ml),
            Some(_) | None => part.mass.to_g(),
        };
        *sums.entry(&part.material).or_default() += amount;
    }
    sums
}

/// Whether the shelf has a material, and as much of it as is known to be needed.
fn is_on_shelf(job: &Job, needed: &BTreeMap<&str, f64>, material: &str) -> bool {
    let sum = needed.get(material).copied().unwrap_or(0.0);
    job.stock
        .get(material)
        .is_some_and(|stock| stock.amount >= Quantity::needed(sum, stock.unit).amount)
}
