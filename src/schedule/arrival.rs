//! The earliest day on which a step's materials can lie ready.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::job::Job;
use crate::recipe::PlaceRole;
use crate::recipe::Recipe;
use crate::recipe::Step;

use super::engine::MINUTES_A_DAY;

/// Days, by material, on which the quickest offer brings it; what is on the shelf is not late.
#[derive(Debug)]
pub(super) struct Arrivals<'a> {
    job: &'a Job,
    by_material: BTreeMap<&'a str, Date>,
}

impl<'a> Arrivals<'a> {
    /// Looks up the quickest valid offer of every material.
    pub(super) fn of(job: &'a Job) -> Self {
        let mut by_material: BTreeMap<&str, Date> = BTreeMap::new();
        for offer in job
            .catalog
            .offers
            .iter()
            .filter(|offer| offer.valid_until.is_none_or(|last| last >= job.order_day))
        {
            let arrives = after_working_days(job.order_day, offer.lead_days);
            by_material
                .entry(&offer.material)
                .and_modify(|known| *known = arrives.min(*known))
                .or_insert(arrives);
        }
        Self { job, by_material }
    }

    /// Minutes from the origin before which a step cannot start: all it lays, brushes and uses must lie ready the days in hand before.
    pub(super) fn earliest(&self, recipe: &Recipe, step: &Step) -> i64 {
        let solution = step.solution.as_ref().and_then(|id| recipe.solution(id));
        let mixed = solution.into_iter().flat_map(|solution| {
            solution
                .resin
                .iter()
                .chain(solution.solvents.iter().map(|(id, _)| id))
        });
        let used = step.uses.iter().map(|row| &row.material);
        let needed = step.material.iter().chain(mixed).chain(used);
        let days = needed
            .filter(|id| !self.job.stock.contains_key(*id))
            .filter_map(|id| self.by_material.get(id.as_str()));
        let Some(last) = days.max() else { return 0 };
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

/// The day so many working days (Monday to Friday) after another.
pub(super) fn after_working_days(from: Date, days: u32) -> Date {
    let mut day = from;
    let mut left = days;
    while left > 0 {
        let Ok(next) = day.tomorrow() else { return day };
        day = next;
        left -= u32::from(day.weekday().to_monday_zero_offset() < 5);
    }
    day
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn working_days_pass_over_weekends() {
        assert_eq!(
            after_working_days(date(2026, 11, 26), 2),
            date(2026, 11, 30)
        );
        assert_eq!(
            after_working_days(date(2026, 11, 28), 1),
            date(2026, 11, 30)
        );
        assert_eq!(
            after_working_days(date(2026, 11, 26), 0),
            date(2026, 11, 26)
        );
    }
}
