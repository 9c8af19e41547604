//! Places one task at its earliest among what is placed already.

use super::calendar::DAY;
use super::calendar::Minute;
use super::calendar::Span;
use super::calendar::day_of;
use super::daily::Daily;
use super::daily::part;
use super::free::FOREVER;
use super::free::Free;
use super::hours;
use super::level::Level;
use super::model::Model;
use super::whereabouts::Whereabouts;

/// Gaps longer ago than this before the room last found for a kind of task are no longer looked for, so that the time to place a task
/// does not grow with the length of the job.
const LOOK_BACK: Minute = 30 * DAY;

/// What is taken of everything by the tasks placed so far.
#[derive(Debug, Clone)]
pub(super) struct State {
    pub(super) slots: Vec<Slot>,
    free: Vec<Free>,
    /// Where each person is on which day; empty where sites do not matter.
    whereabouts: Vec<Whereabouts>,
    pub(super) levels: Vec<Level>,
    daily: Vec<Daily>,
    /// For each kind of task, a stretch in which one of them found no room.
    full: Vec<Span>,
    /// The tag of the task that each person was last given.
    last_tag: Vec<usize>,
    offers: Vec<Offer>,
    /// Holds that were placed although their resource is taken: `(task, resource)`.
    pub(super) overheld: Vec<(usize, usize)>,
}

/// Where a task stands.
#[derive(Debug, Clone, Default)]
pub(super) struct Slot {
    pub(super) start: Minute,
    pub(super) finish: Minute,
    pub(super) minutes: Minute,
    pub(super) crew: Vec<usize>,
    pub(super) placed: bool,
}

/// When one person could do a task alone.
#[derive(Debug, Clone, Copy)]
struct Offer {
    start: Minute,
    finish: Minute,
    /// When the person is needed elsewhere.
    until: Minute,
    person: usize,
    /// Smaller is better, other things equal.
    rank: usize,
}

impl State {
    /// Returns the state in which nothing is placed.
    pub(super) fn new(model: &Model) -> Self {
        let problem = &model.problem;
        let level =
            |resource: &super::problem::Resource| Level::new(resource.capacity, &resource.absences);
        Self {
            slots: vec![Slot::default(); problem.tasks.len()],
            free: vec![Free::new(); problem.people.len()],
            whereabouts: match problem.travel_days {
                Some(_) => vec![Whereabouts::default(); problem.people.len()],
                None => Vec::new(),
            },
            levels: problem.resources.iter().map(level).collect(),
            daily: problem
                .budgets
                .iter()
                .map(|budget| Daily::new(budget.limit))
                .collect(),
            full: vec![(FOREVER, 0); model.kinds.iter().max().map_or(0, |kind| kind + 1)],
            last_tag: vec![usize::MAX; problem.people.len()],
            offers: Vec::new(),
            overheld: Vec::new(),
        }
    }

    /// Forgets everything that was placed.
    pub(super) fn clear(&mut self, model: &Model) {
        self.slots.iter_mut().for_each(|slot| slot.placed = false);
        self.free.iter_mut().for_each(Free::clear);
        self.whereabouts.iter_mut().for_each(Whereabouts::clear);
        for (level, resource) in self.levels.iter_mut().zip(&model.problem.resources) {
            *level = Level::new(resource.capacity, &resource.absences);
        }
        self.daily.iter_mut().for_each(Daily::clear);
        self.full.fill((FOREVER, 0));
        self.last_tag.fill(usize::MAX);
        self.overheld.clear();
    }

    /// Finds the earliest finish from `release` on over all crews of at most `cap` people.
    ///
    /// The task's slot holds the answer, which is not yet entered; `false` when no calendar has room.
    pub(super) fn find(&mut self, model: &Model, task: usize, release: Minute, cap: usize) -> bool {
        let mut slot = std::mem::take(&mut self.slots[task]);
        slot.finish = FOREVER;
        let full = self.full[model.kinds[task]];
        let from = if release >= full.0 {
            release.max(full.1 - LOOK_BACK)
        } else {
            release
        };
        let smallest = model.crews[task].last().map_or(0, |&(crew, _)| crew);
        let mut trial = Slot::default();
        for &(crew, minutes) in &model.crews[task] {
            if crew > cap.max(smallest) {
                continue;
            }
            let soonest = model.calendar(task).advance(from, minutes);
            if soonest.is_none_or(|finish| finish >= slot.finish) {
                continue;
            }
            if self.find_with(model, task, from, (crew, minutes), slot.finish, &mut trial)
                && trial.finish < slot.finish
            {
                std::mem::swap(&mut slot, &mut trial);
            }
        }
        let found = slot.finish < FOREVER;
        if found && slot.start - release > LOOK_BACK && model.problem.tasks[task].skill.is_some() {
            self.full[model.kinds[task]] = (full.0.min(release), slot.start);
        }
        self.slots[task] = slot;
        found
    }

    /// Finds the earliest start with a given crew size; gives up where it cannot finish before `limit`.
    fn find_with(
        &mut self,
        model: &Model,
        task: usize,
        release: Minute,
        (crew, minutes): (usize, Minute),
        limit: Minute,
        slot: &mut Slot,
    ) -> bool {
        let mut t = release;
        self.ask(model, task);
        while t < limit {
            let gathered = self.gather(model, task, t, (crew, minutes), &mut slot.crew);
            let Some((start, finish)) = gathered else {
                return false;
            };
            match self.obstacle(model, task, &slot.crew, (start, finish), minutes) {
                Obstacle::None => {
                    (slot.start, slot.finish, slot.minutes) = (start, finish, minutes);
                    return true;
                }
                Obstacle::Until(later) => t = later.max(t + 1),
                Obstacle::Always => return false,
            }
        }
        false
    }

    /// Lists the people who have the skill, those already on the task's tag first.
    fn ask(&mut self, model: &Model, task: usize) {
        self.offers.clear();
        let task = &model.problem.tasks[task];
        let Some(skill) = task.skill else {
            return;
        };
        let skilled = &model.skilled[usize::from(skill)];
        for (rank, &person) in skilled.iter().enumerate() {
            let elsewhere = usize::from(self.last_tag[person] != task.tag);
            self.offers.push(Offer {
                start: -1,
                finish: -1,
                until: -1,
                person,
                rank: rank + elsewhere * skilled.len(),
            });
        }
    }

    /// Finds the first minute from `t` on at which enough people are free together.
    fn gather(
        &mut self,
        model: &Model,
        task: usize,
        t: Minute,
        (crew, minutes): (usize, Minute),
        chosen: &mut Vec<usize>,
    ) -> Option<Span> {
        chosen.clear();
        if crew == 0 || minutes == 0 {
            return hours::fit(model, task, &[], t, minutes);
        }
        let mut t = t;
        loop {
            for offer in &mut self.offers {
                if offer.start < t {
                    let free = &self.free[offer.person];
                    let whereabouts = self.whereabouts.get(offer.person);
                    offer.renew(model, task, (free, whereabouts), t, minutes);
                }
            }
            let nth = |offers: &mut [Offer]| {
                let (_, nth, _) =
                    offers.select_nth_unstable_by_key(crew - 1, |o| (o.start, o.finish, o.rank));
                nth.start
            };
            if self.offers.len() < crew {
                return None;
            }
            let start = nth(&mut self.offers);
            if start >= FOREVER {
                return None;
            }
            if start > t {
                t = start;
                // Those who were free earlier may be needed elsewhere by now.
                if self.offers.iter().any(|offer| offer.start < t) {
                    continue;
                }
            }
            let team = &self.offers[..crew];
            chosen.clear();
            chosen.extend(team.iter().map(|offer| offer.person));
            // A crew waits for each of its people, so together they may take longer than each alone.
            let (start, finish) = hours::fit(model, task, chosen, t, minutes)?;
            let until = team.iter().map(|offer| offer.until).min()?;
            if start == t && finish <= until {
                return Some((start, finish));
            }
            t = if start > t { start } else { until.max(t + 1) };
        }
    }

    /// Returns what keeps a task from standing at `span`, apart from people.
    fn obstacle(
        &self,
        model: &Model,
        task: usize,
        crew: &[usize],
        span: Span,
        minutes: Minute,
    ) -> Obstacle {
        let (start, finish) = span;
        for &(resource, units) in &model.needs[task] {
            let most = model.problem.resources[resource].capacity - units;
            if let Some(end) = self.levels[resource].conflict(start, finish, most) {
                return match self.levels[resource].next_open(end, most) {
                    Some(open) => Obstacle::Until(open),
                    None => Obstacle::Always,
                };
            }
        }
        if model.spends[task].is_empty() {
            return Obstacle::None;
        }
        let days = hours::days(model, task, crew, start, minutes);
        let left = |budget: usize, day: i64| self.daily[budget].left(day);
        match overspent(model, task, &days, minutes, left) {
            None => Obstacle::None,
            Some(overspent) => self.next_to_spend(model, task, overspent, start),
        }
    }

    /// Returns the next start at which a day that was overspent may be spent less.
    fn next_to_spend(
        &self,
        model: &Model,
        task: usize,
        over: Overspent,
        start: Minute,
    ) -> Obstacle {
        let stated = &model.problem.tasks[task];
        // Part of the work may go on the next day, unless it has to be done in one.
        if over.is_first && over.minutes > 0 && !stated.same_day && stated.pausable {
            let evening = (over.day + 1) * DAY;
            if let Some(later) = model.calendar(task).back(evening, over.minutes)
                && later > start
            {
                return Obstacle::Until(later);
            }
        }
        let least = if stated.same_day { over.units } else { 1 };
        let from = if over.is_first {
            over.day + 1
        } else {
            over.day
        };
        match self.daily[over.budget].next_with(from, least) {
            Some(day) => Obstacle::Until(day * DAY),
            None => Obstacle::Always,
        }
    }

    /// Enters a task at the slot that was found for it.
    pub(super) fn enter(&mut self, model: &Model, task: usize) {
        self.slots[task].placed = true;
        let tag = model.problem.tasks[task].tag;
        let slot = &self.slots[task];
        for &person in &slot.crew {
            self.free[person].take(slot.start, slot.finish, &model.anyone);
            if let Some(whereabouts) = self.whereabouts.get_mut(person) {
                whereabouts.bind(model.problem.tasks[task].site, (slot.start, slot.finish));
            }
            self.last_tag[person] = tag;
        }
        self.account(model, task, 1);
    }

    /// Lifts off a task that was entered.
    pub(super) fn lift(&mut self, model: &Model, task: usize) {
        self.slots[task].placed = false;
        let slot = &self.slots[task];
        for &person in &slot.crew {
            self.free[person].give(slot.start, slot.finish, &model.anyone);
            if let Some(whereabouts) = self.whereabouts.get_mut(person) {
                whereabouts.release((slot.start, slot.finish));
            }
        }
        self.account(model, task, -1);
        self.overheld.retain(|&(owner, _)| owner != task);
    }

    /// Enters (`sign` 1) or takes off (−1) what a task takes of resources and budgets.
    fn account(&mut self, model: &Model, task: usize, sign: i64) {
        let slot = &self.slots[task];
        for &(resource, units) in &model.needs[task] {
            self.levels[resource].add(slot.start, slot.finish, sign * units);
        }
        for held in &model.network.held[task] {
            let from = &self.slots[held.owner];
            if from.placed {
                self.levels[held.resource].add(from.finish, slot.finish, sign * held.units);
            }
        }
        // What gives back may stand already, where its start is fixed.
        for hold in &model.problem.tasks[task].holds {
            let until = &self.slots[hold.until];
            if until.placed && hold.until != task {
                self.levels[hold.resource].add(slot.finish, until.finish, sign * hold.units);
            }
        }
        if model.spends[task].is_empty() {
            return;
        }
        let days = hours::days(model, task, &slot.crew, slot.start, slot.minutes);
        for &(budget, units) in &model.spends[task] {
            for &(day, minutes) in &days {
                self.daily[budget].add(day, sign * part(units, minutes, slot.minutes));
            }
        }
    }
}

impl Offer {
    /// Finds the person's next opportunity from `t` on.
    fn renew(
        &mut self,
        model: &Model,
        task: usize,
        (free, whereabouts): (&Free, Option<&Whereabouts>),
        t: Minute,
        minutes: Minute,
    ) {
        (self.start, self.finish, self.until) = (FOREVER, FOREVER, FOREVER);
        let site = model.problem.tasks[task].site;
        let travel = model.problem.travel_days.unwrap_or(0);
        let mut t = t;
        while let Some((from, until)) = free.window(t, minutes) {
            let from = t.max(from);
            let here = whereabouts.map_or(Ok((from, until)), |whereabouts| {
                whereabouts.window(site, travel, from, until)
            });
            let (from, until) = match here {
                Ok(window) => window,
                Err(later) => {
                    t = later;
                    continue;
                }
            };
            let Some((start, finish)) = hours::fit(model, task, &[self.person], from, minutes)
            else {
                return;
            };
            if finish <= until {
                (self.start, self.finish, self.until) = (start, finish, until);
                return;
            }
            t = until.max(start);
        }
    }
}

/// What stands in the way of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Obstacle {
    None,
    Until(Minute),
    Always,
}

/// A day on which a task would spend too much.
#[derive(Debug, Clone, Copy)]
struct Overspent {
    budget: usize,
    units: i64,
    day: i64,
    is_first: bool,
    /// Working minutes of the task that the day's rest allows.
    minutes: Minute,
}

/// Returns the last day on which a task would spend more than is left, other than its first; else its first.
fn overspent(
    model: &Model,
    task: usize,
    days: &[(i64, Minute)],
    minutes: Minute,
    left: impl Fn(usize, i64) -> i64,
) -> Option<Overspent> {
    for &(budget, units) in &model.spends[task] {
        for (index, &(day, worked)) in days.iter().enumerate().rev() {
            let rest = left(budget, day);
            if part(units, worked, minutes) > rest {
                return Some(Overspent {
                    budget,
                    units,
                    day,
                    is_first: index == 0,
                    minutes: rest.max(0).saturating_mul(minutes) / units.max(1),
                });
            }
        }
    }
    None
}

/// Whether a task can be spread over days so that it keeps its daily limits when nothing else spends.
pub(super) fn can_spend(model: &Model, task: usize, minutes: Minute) -> bool {
    let stated = &model.problem.tasks[task];
    if minutes == 0 || stated.same_day {
        return false;
    }
    let calendar = model.calendar(task).reaching(stated.earliest + 800 * DAY);
    let full_days = |day: i64| calendar.work_between(day * DAY, (day + 1) * DAY);
    let limit = |budget: usize| model.problem.budgets[budget].limit;
    let first = day_of(stated.earliest.max(0));
    // A day's most minutes under all limits, then the longest run of days that keeps to them.
    let most = model.spends[task]
        .iter()
        .map(|&(budget, units)| limit(budget).saturating_mul(minutes) / units);
    let most = most.min().unwrap_or(0);
    let mut run = 0;
    for day in first..first + 800 {
        let worked = full_days(day);
        if run + worked.min(most) >= minutes {
            return true;
        }
        // The run may begin in the evening of a day that is too long, not cross it.
        run = if worked > most { most } else { run + worked };
    }
    false
}
