//! What comes out: a timetable, or the reasons why there is none.

use super::calendar::Minute;
use super::calendar::Span;

/// Where every task was placed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Timetable {
    /// One entry a task, in the order of the tasks.
    pub tasks: Vec<Placed>,
    /// Minute at which the last task finishes.
    pub finish: Minute,
    /// Minutes on the clock by which the finish lies after the hand-over, or any task's after its due minute, whichever is more.
    pub late_by: Minute,
    /// No plan without broken rules can finish before this minute.
    pub lower_bound_finish: Minute,
    /// Sum over people of working minutes × rate.
    pub cost: i64,
    /// How often a person turns from a task of one tag to the next of another.
    pub tag_changes: usize,
    /// Rules that this plan breaks, because no plan was found that keeps them; empty in a good plan.
    pub broken: Vec<Broken>,
    /// Schedules that were generated in the search.
    pub schedules: u64,
}

/// When and by whom a task is done.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Placed {
    /// Minute at which it starts.
    pub start: Minute,
    /// Minute at which it finishes.
    pub finish: Minute,
    /// Who does it, ascending.
    pub people: Vec<usize>,
    /// Stretches in which it is really worked on.
    pub segments: Vec<Span>,
}

/// A rule that a plan could not keep.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Broken {
    /// The later task starts this many minutes before the link's lag is over.
    TooSoon {
        /// Index of the link.
        link: usize,
        /// Minutes missing.
        minutes: Minute,
    },
    /// The later task comes this many minutes after the link's longest time.
    TooLate {
        /// Index of the link.
        link: usize,
        /// Minutes over.
        minutes: Minute,
    },
    /// The task finishes this many minutes after its latest finish.
    PastWindow {
        /// Index of the task.
        task: usize,
        /// Minutes over.
        minutes: Minute,
    },
    /// The task starts this many minutes after its fixed start.
    PastFixedStart {
        /// Index of the task.
        task: usize,
        /// Minutes over.
        minutes: Minute,
    },
    /// The resource held from this task on is taken beyond its capacity.
    HeldTooOften {
        /// Index of the task that takes the resource.
        task: usize,
        /// Index of the resource.
        resource: usize,
    },
}

impl Broken {
    /// Returns by how many minutes the rule is broken; 1 where minutes do not apply.
    pub fn minutes(&self) -> Minute {
        match *self {
            Self::TooSoon { minutes, .. }
            | Self::TooLate { minutes, .. }
            | Self::PastWindow { minutes, .. }
            | Self::PastFixedStart { minutes, .. } => minutes,
            Self::HeldTooOften { .. } => 1,
        }
    }
}

/// No timetable can exist, and why: all reasons found, not only the first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Infeasible {
    /// At least one reason.
    pub reasons: Vec<Reason>,
}

/// Why there can be no timetable. Numbers are indexes into the problem, minutes or units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// A task or link names something that does not exist.
    Unknown {
        /// What names it.
        by: Part,
        /// Kind of thing named.
        what: Part,
    },
    /// A number is negative or too large to reckon with, or fewest people exceed most.
    OutOfRange {
        /// Where it stands.
        at: Part,
    },
    /// Fewer people have the skill than the task needs at least.
    TooFewPeople {
        /// The task.
        task: usize,
        /// The skill.
        skill: u8,
        /// Fewest people it needs.
        needed: usize,
        /// People who have the skill.
        have: usize,
    },
    /// No day of the calendar, or no interval of it where the task may not pause, is long enough.
    TooLong {
        /// The task.
        task: usize,
        /// Minutes it takes with the largest possible crew.
        minutes: Minute,
        /// Minutes of the longest day or interval.
        longest: Minute,
    },
    /// The calendar has no time for the task at all: it is empty, or it ends too early.
    CalendarEnds {
        /// The task.
        task: usize,
        /// Its calendar.
        calendar: usize,
    },
    /// More of a resource is needed than exists.
    TooLittle {
        /// The task.
        task: usize,
        /// The resource.
        resource: usize,
        /// Units needed at once.
        needed: i64,
        /// Units that exist.
        capacity: i64,
    },
    /// The task spends more in a day than the daily limit, whenever it is done.
    TooMuchADay {
        /// The task.
        task: usize,
        /// The budget.
        budget: usize,
    },
    /// These tasks follow one another in a circle.
    Circle {
        /// Tasks on the circle, in order.
        tasks: Vec<usize>,
    },
    /// A longest time is shorter than the lags and work that must pass in it.
    Contradiction {
        /// Tasks concerned.
        tasks: Vec<usize>,
    },
    /// A resource is held until a task that does not follow the one that takes it.
    HoldWithoutLink {
        /// Task that takes it.
        task: usize,
        /// Task that should give it back.
        until: usize,
    },
    /// Even with everything to itself the task cannot be finished in time, or not start when fixed.
    Window {
        /// The task.
        task: usize,
        /// The earliest it can finish.
        earliest_finish: Minute,
        /// The latest it may finish.
        latest_finish: Minute,
    },
}

/// A part of the problem, with its index.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// A calendar.
    Calendar(usize),
    /// A person.
    Person(usize),
    /// A resource.
    Resource(usize),
    /// A daily budget.
    Budget(usize),
    /// A task.
    Task(usize),
    /// A link.
    Link(usize),
    /// The hand-over.
    HandOver,
}
