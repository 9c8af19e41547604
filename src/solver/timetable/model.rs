//! The problem made ready for placing: allowed crews, earliest starts, the graph and long enough calendars.

use super::calendar::Calendar;
use super::calendar::DAY;
use super::calendar::FARTHEST_DAY;
use super::calendar::Minute;
use super::calendar::join;
use super::free::FOREVER;
use super::hours;
use super::network::Arc;
use super::network::Network;
use super::passing::Passing;
use super::place;
use super::problem::End;
use super::problem::Hold;
use super::problem::Problem;
use super::problem::Task;
use super::problem::bit;

/// A checked problem with everything that does not change from schedule to schedule.
#[derive(Debug, Clone)]
pub(super) struct Model {
    /// The problem; its calendars are extended as needed and absences are sorted.
    pub(super) problem: Problem,
    pub(super) network: Network,
    /// Minutes at which anyone works at all.
    pub(super) anyone: Calendar,
    /// For each skill, who has it: fewest other skills first, then cheapest.
    pub(super) skilled: Vec<Vec<usize>>,
    /// For each calendar, its longest interval and the working minutes of its longest day.
    pub(super) longest: Vec<(Minute, Minute)>,
    /// For each task, `(people, minutes)` of each crew that can do it, largest first.
    pub(super) crews: Vec<Vec<(usize, Minute)>>,
    /// For each task, units of each resource taken from its start, holds included.
    pub(super) needs: Vec<Vec<(usize, i64)>>,
    /// For each task, each of its holds and the least minutes from its start until the hold ends.
    pub(super) holds: Vec<Vec<(Hold, Minute)>>,
    /// For each task, units of each budget.
    pub(super) spends: Vec<Vec<(usize, i64)>>,
    /// For each task, its kind: tasks of one kind ask for the same hours, people, equipment and budgets.
    pub(super) kinds: Vec<usize>,
    /// For each task, `(start, finish)` that no schedule can be earlier than.
    pub(super) heads: Vec<(Minute, Minute)>,
}

/// A calendar has no time left for a task.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Exhausted {
    pub(super) task: usize,
}

impl Model {
    /// Prepares a problem whose numbers and indexes have been checked; heads follow with [`Model::extend`].
    pub(super) fn new(problem: Problem, network: Network) -> Self {
        let mut problem = problem;
        for person in &mut problem.people {
            person.absences = join(person.absences.drain(..));
        }
        for resource in &mut problem.resources {
            resource.absences = join(resource.absences.drain(..));
        }
        let starts = problem
            .tasks
            .iter()
            .map(|task| task.earliest.max(task.fixed_start.unwrap_or(0)));
        let reach = starts.max().unwrap_or(0) + 400 * DAY;
        for calendar in &mut problem.calendars {
            *calendar = calendar.reaching(reach);
        }
        let mut model = Self {
            anyone: Calendar::from_intervals([]),
            network,
            skilled: (0..64).map(|skill| skilled(&problem, skill)).collect(),
            longest: problem.calendars.iter().map(Calendar::longest).collect(),
            crews: Vec::new(),
            holds: Vec::new(),
            needs: problem.tasks.iter().map(needs).collect(),
            spends: problem
                .tasks
                .iter()
                .map(|task| summed(&task.spends))
                .collect(),
            kinds: kinds(&problem),
            heads: Vec::new(),
            problem,
        };
        model.crews = (0..model.problem.tasks.len())
            .map(|task| model.crews_of(task))
            .collect();
        model.holds = model.least_holds();
        model
    }

    /// Extends all calendars to `minute` and reckons the earliest starts again.
    pub(super) fn extend(&mut self, minute: Minute) -> Result<(), Exhausted> {
        let mut minute = minute;
        loop {
            for calendar in &mut self.problem.calendars {
                *calendar = calendar.reaching(minute);
            }
            match self.reckon_heads() {
                Ok(heads) => {
                    self.heads = heads;
                    self.anyone = union(&self.problem);
                    return Ok(());
                }
                Err(exhausted) if self.can_extend(exhausted.task) => {
                    minute = 2 * self.horizon().max(DAY);
                }
                Err(exhausted) => return Err(exhausted),
            }
        }
    }

    /// Returns the farthest minute any calendar knows.
    pub(super) fn horizon(&self) -> Minute {
        self.problem
            .calendars
            .iter()
            .map(Calendar::horizon)
            .max()
            .unwrap_or(0)
    }

    /// Whether a longer calendar could still help a task.
    pub(super) fn can_extend(&self, task: usize) -> bool {
        let calendar = self.calendar(task);
        calendar.repeats() && calendar.horizon() < FARTHEST_DAY * DAY
    }

    /// Returns the shortest working time of a task over the crews that can do it.
    pub(super) fn shortest(&self, task: usize) -> Minute {
        self.crews[task]
            .iter()
            .map(|&(_, minutes)| minutes)
            .min()
            .unwrap_or(0)
    }

    /// Returns the calendar of a task.
    pub(super) fn calendar(&self, task: usize) -> &Calendar {
        &self.problem.calendars[self.problem.tasks[task].calendar]
    }

    /// Returns the least start from which `minutes` of the task's work end no sooner than `finish`.
    pub(super) fn start_to_finish_by(
        &self,
        task: usize,
        finish: Minute,
        minutes: Minute,
    ) -> Minute {
        if minutes == 0 {
            return finish;
        }
        let calendar = self.calendar(task);
        // Work ends in a minute that is worked, so a finish in a break means the first minute after it.
        let last = calendar
            .next_work(finish - 1)
            .map_or(finish, |minute| minute + 1);
        calendar.back(last, minutes).unwrap_or(0)
    }

    fn crews_of(&self, index: usize) -> Vec<(usize, Minute)> {
        let task = &self.problem.tasks[index];
        let (run, day) = self.longest[task.calendar];
        let have = task
            .skill
            .map_or(0, |skill| self.skilled[usize::from(skill)].len());
        let fits = |minutes: Minute| {
            minutes == 0
                || ((task.pausable || minutes <= run) && (!task.same_day || minutes <= day))
        };
        let crews = task.crews().filter(|&crew| crew <= have).rev();
        let mut crews: Vec<_> = crews.map(|crew| (crew, task.duration(crew))).collect();
        crews.retain(|&(_, minutes)| fits(minutes));
        let limit = |budget: usize| self.problem.budgets[budget].limit;
        if self.spends[index]
            .iter()
            .any(|&(budget, units)| units > limit(budget))
        {
            crews.retain(|&(_, minutes)| place::can_spend(self, index, minutes));
        }
        crews
    }

    fn least_holds(&self) -> Vec<Vec<(Hold, Minute)>> {
        let mut passing = Passing::new(self);
        let mut least = |task: usize, hold: Hold| {
            let own = self.shortest(task);
            let between = passing.between(self, task, hold.until);
            let whole = between.map_or(own, |between| own + between + self.shortest(hold.until));
            (hold, whole)
        };
        let tasks = self.problem.tasks.iter().enumerate();
        tasks
            .map(|(task, stated)| stated.holds.iter().map(|&hold| least(task, hold)).collect())
            .collect()
    }

    /// Passes along the links, and back along longest times, until nothing moves.
    fn reckon_heads(&self) -> Result<Vec<(Minute, Minute)>, Exhausted> {
        let tasks = &self.problem.tasks;
        let given = |task: &Task| task.earliest.max(task.fixed_start.unwrap_or(0)).max(0);
        let mut heads: Vec<_> = tasks.iter().map(|task| (given(task), 0)).collect();
        // Each pass is valid on its own; more passes only tighten.
        for _ in 0..8 {
            for &task in &self.network.order {
                let release = self.release(task, heads[task].0, |before| heads[before]);
                heads[task] = self.head(task, release)?;
            }
            if !self.pull_back(&mut heads) {
                break;
            }
        }
        Ok(heads)
    }

    /// Returns the first minute at which links let a task start, given where the tasks before it are.
    pub(super) fn release(
        &self,
        task: usize,
        from: Minute,
        at: impl Fn(usize) -> (Minute, Minute),
    ) -> Minute {
        let into = self.network.into[task].iter();
        into.fold(from, |latest, &arc| {
            let Arc { before, lag, .. } = self.network.arcs[arc];
            latest.max(at(before).1 + lag)
        })
    }

    fn head(&self, task: usize, release: Minute) -> Result<(Minute, Minute), Exhausted> {
        let mut head = (FOREVER, FOREVER);
        for &(_, minutes) in &self.crews[task] {
            if let Some((start, finish)) = hours::fit(self, task, &[], release, minutes) {
                head = (head.0.min(start), head.1.min(finish));
            }
        }
        if head.1 == FOREVER {
            Err(Exhausted { task })
        } else {
            Ok(head)
        }
    }

    /// Moves tasks later whose follower within a longest time cannot come sooner; returns whether any moved.
    fn pull_back(&self, heads: &mut [(Minute, Minute)]) -> bool {
        let mut moved = false;
        for &after in self.network.order.iter().rev() {
            for &arc in &self.network.into[after] {
                let Arc {
                    before,
                    reach: Some(reach),
                    ..
                } = self.network.arcs[arc]
                else {
                    continue;
                };
                let target = match reach.to {
                    End::Start => heads[after].0,
                    End::Finish => heads[after].1,
                };
                let minutes = self.crews[before].iter().map(|&(_, minutes)| minutes);
                let longest = minutes.max().unwrap_or(0);
                let start = self.start_to_finish_by(before, target - reach.minutes, longest);
                if start > heads[before].0 && self.problem.tasks[before].fixed_start.is_none() {
                    heads[before].0 = start;
                    moved = true;
                }
            }
        }
        moved
    }
}

fn skilled(problem: &Problem, skill: u8) -> Vec<usize> {
    let mut people: Vec<usize> = (0..problem.people.len())
        .filter(|&person| problem.people[person].has(skill))
        .collect();
    people.sort_by_key(|&person| {
        (
            problem.people[person].skills.count_ones(),
            problem.people[person].rate,
            person,
        )
    });
    people
}

fn kinds(problem: &Problem) -> Vec<usize> {
    let mut known = std::collections::BTreeMap::new();
    let kind = |task: &Task| {
        let budgets: Vec<usize> = task.spends.iter().map(|spend| spend.0).collect();
        let people = (task.calendar, task.skill, task.fewest);
        let key = (people, task.same_day, task.pausable, needs(task), budgets);
        let next = known.len();
        *known.entry(key).or_insert(next)
    };
    problem.tasks.iter().map(kind).collect()
}

fn needs(task: &Task) -> Vec<(usize, i64)> {
    let held = task.holds.iter().map(|hold| (hold.resource, hold.units));
    let all: Vec<_> = task.equipment.iter().copied().chain(held).collect();
    summed(&all)
}

fn summed(pairs: &[(usize, i64)]) -> Vec<(usize, i64)> {
    let mut sums = std::collections::BTreeMap::new();
    for &(index, units) in pairs {
        *sums.entry(index).or_insert(0) += units;
    }
    sums.into_iter().filter(|&(_, units)| units > 0).collect()
}

/// Returns the union of the calendars of all tasks that need people.
fn union(problem: &Problem) -> Calendar {
    let mut used = vec![false; problem.calendars.len()];
    for task in problem.tasks.iter().filter(|task| task.skill.is_some()) {
        used[task.calendar] = true;
    }
    let calendars = problem.calendars.iter().zip(used).filter(|&(_, used)| used);
    Calendar::from_intervals(
        calendars.flat_map(|(calendar, _)| calendar.intervals().iter().copied()),
    )
}

/// Returns the skills of a task as bits; 0 where it needs no people.
pub(super) fn skill_bits(task: &Task) -> u64 {
    task.skill.map_or(0, bit)
}
