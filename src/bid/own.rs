//! The job's own cost lines, multiplied by the days at the site where they are paid by the day.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::job::Job;
use crate::job::OwnLine;
use crate::job::PaidPer;
use crate::recipe::PlaceRole;
use crate::schedule::Activity;
use crate::schedule::Schedule;

use super::lines::Draft;

/// A line an own line of the job.
pub(super) fn of(job: &Job, schedule: &Schedule) -> Vec<Draft> {
    let presence = Presence::of(job, schedule);
    job.terms
        .own_lines
        .iter()
        .map(|line| draft(line, presence))
        .collect()
}

fn draft(line: &OwnLine, presence: Presence) -> Draft {
    let times = presence.times(line.per);
    let written = format!("{} × {}", line.quantity.normalize(), line.rate);
    let mut inputs = vec![("line of the job".to_owned(), written, None)];
    match line.per {
        PaidPer::Job => {}
        PaidPer::SiteDay => inputs.push((
            "days at the site".to_owned(),
            presence.days.to_string(),
            Some("schedule/finish".to_owned()),
        )),
        PaidPer::PersonDay => inputs.push((
            "days of each person at the site, together".to_owned(),
            presence.person_days.to_string(),
            Some("schedule/finish".to_owned()),
        )),
    }
    Draft {
        group: line.group,
        text: line.text.clone(),
        quantity: line.quantity.saturating_mul(times.into()).normalize(),
        unit: line.unit.clone(),
        rate: line.rate,
        inputs,
    }
}

/// How long people are at the site.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Presence {
    /// Days on which anybody works there.
    pub(super) days: u32,
    /// Days of each person there, together.
    pub(super) person_days: u32,
}

impl Presence {
    /// Counts the days of a schedule.
    pub(super) fn of(job: &Job, schedule: &Schedule) -> Self {
        let at_site = |activity: &&Activity| {
            let place = job.places.get(activity.place);
            place.is_some_and(|place| place.role == PlaceRole::Site)
        };
        let mut days: BTreeSet<Date> = BTreeSet::new();
        let mut person_days: BTreeSet<(usize, Date)> = BTreeSet::new();
        for activity in schedule.activities.iter().filter(at_site) {
            for day in days_of(activity) {
                days.insert(day);
                person_days.extend(activity.people.iter().map(|person| (*person, day)));
            }
        }
        let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
        Self {
            days: count(days.len()),
            person_days: count(person_days.len()),
        }
    }

    /// What a line paid so is multiplied by.
    pub(super) fn times(self, per: PaidPer) -> u32 {
        match per {
            PaidPer::Job => 1,
            PaidPer::SiteDay => self.days,
            PaidPer::PersonDay => self.person_days,
        }
    }
}

/// The days on which an activity has work.
fn days_of(activity: &Activity) -> impl Iterator<Item = Date> + '_ {
    let whole = (activity.stretches.is_empty() && !activity.people.is_empty())
        .then(|| activity.start.date());
    let stretches = activity.stretches.iter().filter(|(from, to)| from < to);
    stretches.map(|(from, _)| from.date()).chain(whole)
}
