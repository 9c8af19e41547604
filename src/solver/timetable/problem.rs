//! What is to be placed: tasks, people, equipment, daily limits and the links between tasks.

use super::calendar::Calendar;
use super::calendar::Minute;
use super::calendar::Span;

/// A job to place on working calendars. Everything refers to everything else by index.
#[derive(Debug, Clone, Default)]
pub struct Problem {
    /// Working calendars that tasks name.
    pub calendars: Vec<Calendar>,
    /// People; each does one task at a time.
    pub people: Vec<Person>,
    /// Equipment, bays and the like, shared up to a capacity.
    pub resources: Vec<Resource>,
    /// Limits on what may be spent in one calendar day.
    pub budgets: Vec<DailyBudget>,
    /// The work.
    pub tasks: Vec<Task>,
    /// Which task follows which.
    pub links: Vec<Link>,
    /// The minute by which all should be finished; a plan that is late is still a plan.
    pub hand_over: Option<Minute>,
    /// Whole days that a person is on the road between two sites, besides being at one site a day; `None` where sites do not matter.
    pub travel_days: Option<i64>,
}

/// Someone who works: one task at a time, within the task's calendar and outside their absences.
#[derive(Debug, Clone, Default)]
pub struct Person {
    /// Bit `s` is set when the person has skill `s` (0 to 63).
    pub skills: u64,
    /// Stretches of minutes when the person is away; a pausable task they are on waits for them.
    pub absences: Vec<Span>,
    /// Cost of a minute, in any unit, the same unit for all.
    pub rate: i64,
}

/// Something that several tasks share at a time, up to its capacity.
#[derive(Debug, Clone, Default)]
pub struct Resource {
    /// Units that exist.
    pub capacity: i64,
    /// Stretches of minutes in which none can be had; a task that needs it may not span them.
    pub absences: Vec<Span>,
}

/// A limit on what tasks together may spend in one calendar day.
#[derive(Debug, Clone, Default)]
pub struct DailyBudget {
    /// Units a day.
    pub limit: i64,
}

/// A piece of work. It occupies its people and its equipment from its start to its finish, breaks included.
#[derive(Debug, Clone)]
pub struct Task {
    /// Index of the calendar whose hours it is worked in.
    pub calendar: usize,
    /// Skill (0 to 63) that each of its people must have; `None` needs no people.
    pub skill: Option<u8>,
    /// Person-minutes; minutes where no people are needed. `k` people take `ceil(work / k)` minutes.
    pub work: Minute,
    /// Fewest people.
    pub fewest: usize,
    /// Most people.
    pub most: usize,
    /// Minutes it takes with `fewest`, `fewest + 1`, … `most` people, in place of `ceil(work / k)`.
    pub durations: Option<Vec<Minute>>,
    /// All within one calendar day: may cross the lunch break, not the night.
    pub same_day: bool,
    /// May stretch over breaks, nights and closed days; otherwise it runs in one working interval.
    pub pausable: bool,
    /// Not to start before this minute.
    pub earliest: Minute,
    /// To be finished by this minute.
    pub latest_finish: Option<Minute>,
    /// Wanted finished by this minute; a plan that is late is still a plan.
    pub due: Option<Minute>,
    /// Starts at exactly this minute.
    pub fixed_start: Option<Minute>,
    /// `(resource, units)` taken from its start to its finish.
    pub equipment: Vec<(usize, i64)>,
    /// Resources taken from its start to the finish of another task.
    pub holds: Vec<Hold>,
    /// `(budget, units)` spent evenly over its working minutes; each day's part is rounded up.
    pub spends: Vec<(usize, i64)>,
    /// Group the task belongs to; fewer changes of tag per person are better.
    pub tag: usize,
    /// Where it is done: nobody is at two sites on one day, nor on the days of travel between.
    pub site: usize,
}

/// A resource kept from the start of the task that states it to the finish of a later task.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hold {
    /// Index of the resource.
    pub resource: usize,
    /// Units kept.
    pub units: i64,
    /// Task whose finish gives it back; it must follow, by links, the task that takes it.
    pub until: usize,
}

/// `after` starts no sooner than `lag` minutes after the finish of `before`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Link {
    /// Task that comes first.
    pub before: usize,
    /// Task that follows.
    pub after: usize,
    /// Minutes on the clock, nights included, from the finish of `before` to the start of `after`.
    pub lag: Minute,
    /// Longest time on the clock from the finish of `before`.
    pub within: Option<Within>,
}

/// The longest time on the clock from the finish of one task to an end of the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Within {
    /// Minutes on the clock.
    pub minutes: Minute,
    /// Which end of the later task must lie within them.
    pub to: End,
}

/// The start or the finish of a task.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Its start.
    Start,
    /// Its finish.
    Finish,
}

impl Default for Task {
    /// A pausable task of no work and no people, on calendar 0, free to start at minute 0.
    fn default() -> Self {
        Self {
            calendar: 0,
            skill: None,
            work: 0,
            fewest: 1,
            most: 1,
            durations: None,
            same_day: false,
            pausable: true,
            earliest: 0,
            latest_finish: None,
            due: None,
            fixed_start: None,
            equipment: Vec::new(),
            holds: Vec::new(),
            spends: Vec::new(),
            tag: 0,
            site: 0,
        }
    }
}

impl Task {
    /// Returns the working minutes it takes with `crew` people; 0 people where it needs none.
    ///
    /// # Formula
    ///
    /// `ceil(work / crew)`, or the table's entry.
    pub fn duration(&self, crew: usize) -> Minute {
        if self.skill.is_none() {
            return self.work;
        }
        let listed = self
            .durations
            .as_ref()
            .and_then(|table| table.get(crew.saturating_sub(self.fewest)));
        listed.copied().unwrap_or_else(|| {
            let people = i64::try_from(crew).unwrap_or(i64::MAX).max(1);
            self.work
                .max(0)
                .unsigned_abs()
                .div_ceil(people.unsigned_abs())
                .cast_signed()
        })
    }

    /// Returns the crew sizes it may have: none, or fewest to most.
    pub(super) fn crews(&self) -> std::ops::RangeInclusive<usize> {
        match self.skill {
            None => 0..=0,
            Some(_) => self.fewest..=self.most,
        }
    }

    /// Returns the shortest and the least person-minutes it can take, over its crews of at most `people`.
    pub(super) fn least(&self, people: usize) -> (Minute, Minute) {
        let crews = self
            .crews()
            .filter(|&crew| crew <= people.max(*self.crews().start()));
        let mut least = (Minute::MAX, Minute::MAX);
        for crew in crews {
            let minutes = self.duration(crew);
            let spent = minutes.saturating_mul(i64::try_from(crew).unwrap_or(i64::MAX));
            least = (least.0.min(minutes), least.1.min(spent));
        }
        least
    }
}

impl Link {
    /// Returns a link without a lag and without a longest time.
    pub fn new(before: usize, after: usize) -> Self {
        Self {
            before,
            after,
            lag: 0,
            within: None,
        }
    }

    /// Returns the link with a lag in minutes on the clock.
    #[must_use]
    pub fn lag(self, lag: Minute) -> Self {
        Self { lag, ..self }
    }

    /// Returns the link with a longest time, in minutes on the clock, to the given end of `after`.
    #[must_use]
    pub fn within(self, minutes: Minute, to: End) -> Self {
        Self {
            within: Some(Within { minutes, to }),
            ..self
        }
    }
}

impl Person {
    /// Returns whether the person has a skill.
    pub fn has(&self, skill: u8) -> bool {
        self.skills & bit(skill) != 0
    }
}

/// Returns the bit of a skill; skills above 63 have none.
pub(super) fn bit(skill: u8) -> u64 {
    1_u64.checked_shl(u32::from(skill)).unwrap_or(0)
}
