//! The same problem with time running backwards, so that a schedule can be pressed against its own end.
//!
//! What comes of it is an order, not a schedule: what asks for a minute of its own is left out, as the forward schedule made
//! from the order keeps it anyway.

use super::calendar::DAY;
use super::calendar::Minute;
use super::calendar::Span;
use super::calendar::day_of;
use super::generate::Generator;
use super::model::Model;
use super::network::Network;
use super::network::arcs;
use super::problem::End;
use super::problem::Hold;
use super::problem::Link;
use super::problem::Person;
use super::problem::Problem;
use super::problem::Resource;
use super::problem::Task;

/// The problem with time running backwards.
pub(super) struct Mirror {
    model: Model,
    generator: Generator,
    /// The minute of the real time that is minute 0 here, a midnight.
    origin: Minute,
}

impl Mirror {
    /// Mirrors a model around a midnight some time after `finish`; `None` where a calendar does not repeat.
    pub(super) fn new(model: &Model, finish: Minute) -> Option<Self> {
        let day = 2 * day_of(finish) + 2;
        let problem = mirrored(&model.problem, day)?;
        let network = Network::new(&problem, arcs(&problem)).ok()?;
        let mut backwards = Model::new(problem, network);
        // Days of a limit may suit a task in one direction only.
        if backwards.crews.iter().any(Vec::is_empty) {
            return None;
        }
        backwards.extend(model.horizon()).ok()?;
        Some(Self {
            generator: Generator::new(&backwards),
            model: backwards,
            origin: day * DAY,
        })
    }

    /// Returns how late each task can start for all to finish by `end`, those placed first that finish last.
    ///
    /// `None` where a calendar has no room.
    pub(super) fn latest_starts(
        &mut self,
        finishes: &[Minute],
        caps: &[usize],
        end: Minute,
    ) -> Option<Vec<Minute>> {
        let keys: Vec<i64> = finishes.iter().map(|finish| -finish).collect();
        let order = self.model.network.flatten(&keys);
        self.generator.floor = (self.origin - end).max(0);
        while let Err(exhausted) = self.generator.run(&self.model, &order, caps) {
            let reach = 2 * self.model.horizon();
            let is_far = reach > 8 * self.origin.max(50 * DAY);
            if is_far || !self.model.can_extend(exhausted.task) || self.model.extend(reach).is_err()
            {
                return None;
            }
        }
        let slots = self.generator.state.slots.iter();
        Some(slots.map(|slot| self.origin - slot.finish).collect())
    }
}

fn mirrored(problem: &Problem, day: i64) -> Option<Problem> {
    let calendars = problem.calendars.iter();
    let calendars: Option<_> = calendars.map(|calendar| calendar.mirrored(day)).collect();
    let turned = |absences: &[Span]| -> Vec<Span> {
        let turn = |&(start, end): &Span| (day * DAY - end, day * DAY - start);
        absences.iter().map(turn).collect()
    };
    let people = problem.people.iter().map(|person| Person {
        absences: turned(&person.absences),
        ..person.clone()
    });
    let resources = problem.resources.iter().map(|resource| Resource {
        absences: turned(&resource.absences),
        ..resource.clone()
    });
    Some(Problem {
        calendars: calendars?,
        people: people.collect(),
        resources: resources.collect(),
        budgets: problem.budgets.clone(),
        tasks: tasks(problem),
        links: problem.links.iter().map(reversed).collect(),
        hand_over: None,
        travel_days: problem.travel_days,
    })
}

/// The tasks without minutes of their own; what was kept until a task is now kept from it.
fn tasks(problem: &Problem) -> Vec<Task> {
    let free = |task: &Task| Task {
        earliest: 0,
        latest_finish: None,
        due: None,
        fixed_start: None,
        holds: Vec::new(),
        ..task.clone()
    };
    let mut tasks: Vec<Task> = problem.tasks.iter().map(free).collect();
    for (owner, task) in problem.tasks.iter().enumerate() {
        for &hold in &task.holds {
            tasks[hold.until].holds.push(Hold {
                until: owner,
                ..hold
            });
        }
    }
    tasks
}

/// A longest time to the finish of the later task would run to the start of the earlier here, and is left out.
fn reversed(link: &Link) -> Link {
    Link {
        before: link.after,
        after: link.before,
        lag: link.lag,
        within: link.within.filter(|within| within.to == End::Start),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solver::timetable::Calendar;

    #[test]
    fn a_chain_is_pressed_to_its_end() {
        let mut week = [const { Vec::new() }; 7];
        for day in &mut week[..5] {
            *day = vec![(480, 720), (780, 1020)];
        }
        let coat = Task {
            skill: Some(0),
            work: 60,
            ..Task::default()
        };
        let problem = Problem {
            calendars: vec![Calendar::weekly(
                week,
                0,
                &std::collections::BTreeSet::new(),
                60,
            )],
            people: vec![Person {
                skills: 1,
                // Away on Tuesday afternoon.
                absences: vec![(DAY + 720, 2 * DAY)],
                ..Person::default()
            }],
            tasks: vec![coat.clone(), coat.clone(), coat],
            links: vec![Link::new(0, 1).lag(720), Link::new(1, 2).lag(720)],
            ..Problem::default()
        };
        let network = Network::new(&problem, arcs(&problem)).unwrap();
        let mut model = Model::new(problem, network);
        model.extend(60 * DAY).unwrap();
        let finishes = [540, DAY + 540, 2 * DAY + 600];
        let mut mirror = Mirror::new(&model, finishes[2]).unwrap();
        let starts = mirror.latest_starts(&finishes, &[1; 3], finishes[2]);
        // By Wednesday 10:00: the last at 09:00, the one before by 21:00 and so on Tuesday by noon, the first by 23:00 on Monday.
        assert_eq!(starts, Some(vec![960, DAY + 660, 2 * DAY + 540]));
    }
}
