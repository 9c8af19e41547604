//! The planned days as a chain of activities that can be run again with other durations.

use std::collections::BTreeMap;

use jiff::civil::Date;
use jiff::civil::DateTime;

use crate::job::Job;
use crate::recipe::PlaceRole;
use crate::recipe::Step;
use crate::schedule::Activity;
use crate::schedule::Schedule;

use super::clock::Clock;
use super::clock::DAY;
use crate::bid::equipment::most_at_once;
use crate::bid::equipment::uses;
use crate::bid::labour::minutes_at_work;

/// An activity of the chain.
#[derive(Clone, Debug)]
pub(super) struct Link {
    /// The planned start: nothing starts before it, since people, deliveries and the day's solvent are booked for it.
    start: i64,
    /// The planned end.
    end: i64,
    /// Minutes that each of its people works.
    pub(super) minutes: i64,
    /// People on it.
    pub(super) people: Vec<usize>,
    /// The place.
    place: usize,
    /// Whether it is at the site.
    site: bool,
    /// Whether it must not stand over a night.
    same_day: bool,
    /// Whether it is release or reverse cleaning.
    pub(super) removal: bool,
    /// The panel, an index of the survey.
    pub(super) panel: Option<usize>,
    /// Whether the wall is not clear before it is done.
    clears_wall: bool,
    /// Earlier links, each with the minutes on the clock between.
    after: Vec<(usize, i64)>,
    /// Earlier links from which no more than so many minutes may pass.
    within: Vec<(usize, i64)>,
    /// Hired equipment that it holds, indexes of the job's equipment.
    pub(super) equipment: Vec<usize>,
}

/// The activities by planned start, with what each waits for: steps before it, and its people and equipment from their last activity.
#[derive(Clone, Debug)]
pub(super) struct Chain {
    pub(super) links: Vec<Link>,
    clocks: Vec<Clock>,
    first: Date,
    /// The most pieces of each equipment held at one time.
    most: BTreeMap<usize, u32>,
}

/// When things end in one draw, as minutes from midnight of the first day.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Run {
    pub(super) finish: i64,
    pub(super) wall_clear: i64,
    /// First start and last finish at the site.
    pub(super) site: Option<(i64, i64)>,
    /// First start and last finish of each equipment held.
    pub(super) held: BTreeMap<usize, (i64, i64)>,
    /// Whether a longest time between two steps was exceeded.
    pub(super) too_long: bool,
}

impl Chain {
    /// Makes the chain of a schedule.
    pub(super) fn of(job: &Job, schedule: &Schedule) -> Self {
        let first = schedule
            .activities
            .iter()
            .map(|activity| activity.start.date());
        let first = first.min().unwrap_or(job.first_day).min(job.first_day);
        let span = schedule
            .finish
            .map_or(0, |finish| (finish.date() - first).get_days());
        let horizon = span.saturating_mul(5).saturating_add(400).min(20_000);
        let clocks = job
            .places
            .iter()
            .map(|site| Clock::of(&site.hours, &site.closed, first, horizon));
        let mut order: Vec<usize> = (0..schedule.activities.len()).collect();
        order.sort_by_key(|at| {
            schedule
                .activities
                .get(*at)
                .map(|it| (it.start, it.finish, *at))
        });
        let mut places = vec![0; order.len()];
        for (at, activity) in order.iter().enumerate() {
            if let Some(place) = places.get_mut(*activity) {
                *place = at;
            }
        }
        let mut chain = Self {
            links: Vec::with_capacity(order.len()),
            clocks: clocks.collect(),
            first,
            most: BTreeMap::new(),
        };
        let mut booked = Booked::default();
        for activity in order.iter().filter_map(|at| schedule.activities.get(*at)) {
            let link = chain.link(job, activity, &places, &mut booked);
            chain.links.push(link);
        }
        let pieces = job.equipment.iter().enumerate();
        chain.most = pieces
            .map(|(at, equipment)| (at, most_at_once(&uses(job, schedule, &equipment.name))))
            .collect();
        chain
    }

    fn link(&self, job: &Job, activity: &Activity, places: &[usize], booked: &mut Booked) -> Link {
        let at = self.links.len();
        let step = step(job, activity);
        let mut after: Vec<(usize, i64)> = Vec::new();
        let mut within = Vec::new();
        for follows in &activity.after {
            let Some(&before) = places.get(follows.activity).filter(|before| **before < at) else {
                continue;
            };
            after.push((before, follows.dry_minutes.into()));
            within.extend(follows.within_minutes.map(|most| (before, most.into())));
        }
        for person in &activity.people {
            after.extend(booked.people.insert(*person, at).map(|before| (before, 0)));
        }
        let held: Vec<(usize, u32)> = step
            .into_iter()
            .flat_map(|step| &step.equipment)
            .filter_map(|(name, count)| {
                let at = job
                    .equipment
                    .iter()
                    .position(|equipment| equipment.name == *name)?;
                (*count > 0).then_some((at, *count))
            })
            .collect();
        for (equipment, count) in &held {
            let units = job
                .equipment
                .get(*equipment)
                .map_or(1, |equipment| equipment.count);
            after.extend(booked.take(
                *equipment,
                *count,
                units,
                (at, self.minute(activity.finish)),
            ));
        }
        after.sort_unstable();
        after.dedup();
        Link {
            start: self.minute(activity.start),
            end: self.minute(activity.finish),
            minutes: minutes_at_work(activity),
            people: activity.people.clone(),
            place: activity.place,
            site: job
                .places
                .get(activity.place)
                .is_some_and(|place| place.role == PlaceRole::Site),
            same_day: step.is_some_and(|step| step.same_day || !step.pausable),
            removal: step.is_some_and(|step| step.kind.rule().multiplied),
            panel: activity.panel,
            clears_wall: activity.clears_wall,
            after,
            within,
            equipment: held.into_iter().map(|(equipment, _)| equipment).collect(),
        }
    }

    /// Runs the chain with other durations and days lost at the site before it begins there.
    pub(super) fn run(&self, minutes: &dyn Fn(usize, &Link) -> i64, days_lost: i64) -> Run {
        let mut ends: Vec<i64> = Vec::with_capacity(self.links.len());
        let mut run = Run::default();
        for (at, link) in self.links.iter().enumerate() {
            let (start, end) = self.place(link, minutes(at, link), days_lost, &ends);
            ends.push(end);
            run.finish = run.finish.max(end);
            if link.clears_wall {
                run.wall_clear = run.wall_clear.max(end);
            }
            if link.site {
                let (from, to) = run.site.unwrap_or((start, end));
                run.site = Some((from.min(start), to.max(end)));
            }
            for equipment in &link.equipment {
                let (from, to) = run.held.entry(*equipment).or_insert((start, end));
                (*from, *to) = ((*from).min(start), (*to).max(end));
            }
            run.too_long |= link
                .within
                .iter()
                .any(|(before, most)| self.is_too_long(*before, *most, start, &ends));
        }
        run
    }

    /// Says whether a longest time is exceeded. A step done sooner than planned does not count: it would be held back to its planned day.
    fn is_too_long(&self, before: usize, most: i64, start: i64, ends: &[i64]) -> bool {
        let ended = ends.get(before).zip(self.links.get(before));
        ended.is_some_and(|(end, link)| start - (*end).max(link.end) > most)
    }

    fn place(&self, link: &Link, minutes: i64, days_lost: i64, ends: &[i64]) -> (i64, i64) {
        let Some(clock) = self.clocks.get(link.place) else {
            return (link.start, link.start);
        };
        let planned = if link.site {
            clock.later(link.start, days_lost)
        } else {
            link.start
        };
        let ready = link
            .after
            .iter()
            .filter_map(|(before, lag)| Some(ends.get(*before)? + lag))
            .fold(planned, i64::max);
        if minutes == 0 {
            return (ready, ready);
        }
        let start = clock.opens(ready);
        let end = clock.after(start, minutes);
        if link.same_day && end.div_euclid(DAY) > start.div_euclid(DAY) {
            let morning = clock.opens((start.div_euclid(DAY) + 1) * DAY);
            let fits = clock.after(morning, minutes);
            if fits.div_euclid(DAY) == morning.div_euclid(DAY) {
                return (morning, fits);
            }
        }
        (start, end)
    }

    /// The most pieces of an equipment that the plan holds at one time.
    pub(super) fn most_at_once(&self, equipment: usize) -> u32 {
        self.most.get(&equipment).copied().unwrap_or(1)
    }

    /// Minutes from midnight of the first day.
    fn minute(&self, moment: DateTime) -> i64 {
        moment
            .duration_since(self.first.to_datetime(jiff::civil::Time::midnight()))
            .as_mins()
    }

    /// The moment of a minute.
    pub(super) fn moment(&self, minute: i64) -> DateTime {
        let midnight = self.first.to_datetime(jiff::civil::Time::midnight());
        midnight
            .checked_add(jiff::SignedDuration::from_mins(minute))
            .unwrap_or(DateTime::MAX)
    }

    /// The minute after the last of a day.
    pub(super) fn end_of(&self, day: Date) -> i64 {
        self.minute(day.to_datetime(jiff::civil::Time::midnight())) + DAY
    }
}

fn step<'a>(job: &'a Job, activity: &Activity) -> Option<&'a Step> {
    job.recipes.get(&activity.recipe)?.steps.get(activity.step)
}

/// Who and what was booked last, by the link that has them.
#[derive(Debug, Default)]
struct Booked {
    people: BTreeMap<usize, usize>,
    /// For each equipment its pieces: when it is given back, and by which link.
    pieces: BTreeMap<usize, Vec<(i64, Option<usize>)>>,
}

impl Booked {
    /// Takes the pieces that were given back first, and says from which links.
    fn take(
        &mut self,
        equipment: usize,
        count: u32,
        units: u32,
        (link, until): (usize, i64),
    ) -> Vec<(usize, i64)> {
        let units = usize::try_from(units.max(count))
            .unwrap_or(usize::MAX)
            .min(10_000);
        let pieces = self
            .pieces
            .entry(equipment)
            .or_insert_with(|| vec![(i64::MIN, None); units]);
        pieces.sort_unstable();
        let mut from = Vec::new();
        for piece in pieces
            .iter_mut()
            .take(usize::try_from(count).unwrap_or(usize::MAX))
        {
            from.extend(piece.1.map(|before| (before, 0)));
            *piece = (until, Some(link));
        }
        from
    }
}
