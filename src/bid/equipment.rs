//! Equipment hired from its first use to its last, by the cheapest mix of weeks and days.

use jiff::civil::Date;
use jiff::civil::DateTime;
use rust_decimal::Decimal;

use crate::job::Equipment;
use crate::job::Job;
use crate::schedule::Activity;
use crate::schedule::Schedule;
use crate::units::Money;

use super::lines::Draft;
use crate::job::CostGroup;

/// Days in a week of hire.
const WEEK: u32 = 7;

/// Lines for every hired piece of equipment that is used.
pub(super) fn of(job: &Job, schedule: &Schedule) -> Vec<Draft> {
    job.equipment
        .iter()
        .flat_map(|equipment| hire(job, schedule, equipment))
        .collect()
}

fn hire(job: &Job, schedule: &Schedule, equipment: &Equipment) -> Vec<Draft> {
    let uses = uses(job, schedule, &equipment.name);
    let first = uses.iter().map(|(activity, _)| activity.start.date()).min();
    let last = uses
        .iter()
        .map(|(activity, _)| activity.finish.date())
        .max();
    let Some((first, last)) = first.zip(last) else {
        return Vec::new();
    };
    let count = most_at_once(&uses).min(equipment.count.max(1));
    let days = u32::try_from((last - first).get_days())
        .unwrap_or(0)
        .saturating_add(1);
    let (weeks, single) = weeks_and_days(days, equipment.hire_day, equipment.hire_week);
    let line = |number: u32, unit: &str, rate: Money| {
        let paid = number > 0 && !rate.amount().is_zero();
        paid.then(|| draft(equipment, count, number, unit, rate, (first, last)))
    };
    let by_week = equipment
        .hire_week
        .and_then(|rate| line(weeks, "week", rate));
    by_week
        .into_iter()
        .chain(line(single, "day", equipment.hire_day))
        .collect()
}

/// The activities that hold an equipment, each with how many.
pub(super) fn uses<'a>(job: &Job, schedule: &'a Schedule, name: &str) -> Vec<(&'a Activity, u32)> {
    let activities = schedule.activities.iter();
    activities
        .filter_map(|activity| Some((activity, held(job, activity, name)?)))
        .collect()
}

/// How many of an equipment an activity holds, if any.
fn held(job: &Job, activity: &Activity, name: &str) -> Option<u32> {
    let step = job
        .recipes
        .get(&activity.recipe)?
        .steps
        .get(activity.step)?;
    step.equipment
        .iter()
        .find(|(equipment, count)| equipment == name && *count > 0)
        .map(|(_, count)| *count)
}

/// The most that is held at one time.
pub(super) fn most_at_once(uses: &[(&Activity, u32)]) -> u32 {
    let mut changes: Vec<(DateTime, i64)> = Vec::new();
    for (activity, count) in uses {
        changes.push((activity.start, i64::from(*count)));
        changes.push((activity.finish, -i64::from(*count)));
    }
    // What is given back at a moment can be taken at it: the negative ones come first.
    changes.sort_unstable();
    let mut now = 0_i64;
    let running = changes.iter().map(|(_, change)| {
        now += change;
        now
    });
    u32::try_from(running.max().unwrap_or(0))
        .unwrap_or(0)
        .max(1)
}

/// Returns the cheapest whole weeks and single days that cover so many days.
///
/// # Formula
/// The least of weeks × weekly hire + days × daily hire over all whole numbers of weeks and days that cover the days from first use to
/// last, for the most pieces held at one time.
///
/// # Sources
/// The job's own hire rates.
///
/// # Examples
/// Ten days at 35.00 a day or 140.00 a week: a week and three days, 245.00; twelve days: two weeks, 280.00.
fn weeks_and_days(days: u32, day: Money, week: Option<Money>) -> (u32, u32) {
    let Some(week) = week else { return (0, days) };
    let cost =
        |(weeks, single): &(u32, u32)| week.times((*weeks).into()) + day.times((*single).into());
    let mixes = (0..=days.div_ceil(WEEK)).map(|weeks| (weeks, days.saturating_sub(weeks * WEEK)));
    mixes
        .min_by_key(|mix| (cost(mix), mix.0))
        .unwrap_or((0, days))
}

/// What so many pieces cost for so many days.
pub(super) fn cost(equipment: &Equipment, count: u32, days: u32) -> Money {
    let (weeks, single) = weeks_and_days(days, equipment.hire_day, equipment.hire_week);
    let line = |number: u32, rate: Money| {
        rate.times(Decimal::from(count) * Decimal::from(number))
            .cents()
    };
    line(weeks, equipment.hire_week.unwrap_or_default()) + line(single, equipment.hire_day)
}

fn draft(
    equipment: &Equipment,
    count: u32,
    number: u32,
    unit: &str,
    rate: Money,
    (first, last): (Date, Date),
) -> Draft {
    Draft {
        group: CostGroup::Equipment,
        text: format!("{}, hire by the {unit}", equipment.name),
        quantity: Decimal::from(count) * Decimal::from(number),
        unit: unit.to_owned(),
        rate,
        inputs: vec![
            ("held".to_owned(), format!("{first} to {last}"), None),
            ("pieces at once".to_owned(), count.to_string(), None),
            (format!("{unit}s each"), number.to_string(), None),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cheapest_mix_of_weeks_and_days() {
        fn case(days: u32, expected: (u32, u32)) {
            let (day, week) = (Money::new(35.into()), Some(Money::new(140.into())));
            assert_eq!(weeks_and_days(days, day, week), expected, "{days} days");
        }
        case(1, (0, 1));
        case(3, (0, 3));
        case(4, (0, 4));
        case(5, (1, 0));
        case(10, (1, 3));
        case(12, (2, 0));
        assert_eq!(weeks_and_days(12, Money::new(35.into()), None), (0, 12));
        assert_eq!(
            weeks_and_days(9, Money::new(10.into()), Some(Money::new(80.into()))),
            (0, 9),
            "a dear week is not taken"
        );
    }
}
