//! The job's cases priced beside it, and its price over the range of removal factors.

use std::sync::mpsc;

use jiff::civil::DateTime;
use rust_decimal::Decimal;

use crate::bid::Bid;
use crate::bid::CostGroup;
use crate::diag::Level;
use crate::job::Case;
use crate::job::Job;
use crate::units::Money;

use super::Plan;
use super::make;

/// Cases and the curve of removal factors.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Comparison {
    /// The job as it stands, then its cases in the order written.
    pub sides: Vec<Side>,
    /// The price over removal factors; empty where the job is too large to be planned again and again.
    pub curve: Vec<Step>,
}

/// One case, priced.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// Its name; empty for the job as it stands.
    pub name: String,
    /// What it means, in words.
    pub text: String,
    /// What it comes to; none where it cannot be planned.
    pub outcome: Option<Outcome>,
    /// Its errors, or warnings that the job as it stands does not have.
    pub problems: Vec<String>,
}

/// What a case comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The price with tax.
    pub total: Money,
    /// The sum of the cost lines.
    pub subtotal: Money,
    /// Each group's sum.
    pub groups: Vec<(CostGroup, Money)>,
    /// Hours of all people.
    pub hours: Decimal,
    /// The end of the last activity.
    pub finish: Option<DateTime>,
    /// When the wall is clear.
    pub wall_clear: Option<DateTime>,
    /// Minutes by which the hand-over is missed.
    pub late_minutes: i64,
    /// Drums, crates and panels that stay flat.
    pub counts: (usize, usize, usize),
}

/// The price at one removal factor.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The factor, on every panel.
    pub factor: u32,
    /// What the job comes to then; none where it cannot be planned.
    pub outcome: Option<Outcome>,
}

/// The removal factors shown. Common practice: an easy removal is 1, a brittle painting in lead white ten, twenty or thirty.
const FACTORS: [u32; 7] = [1, 2, 5, 10, 15, 20, 30];

/// A job with more activities than this is not planned again for every factor.
const MOST_ACTIVITIES: usize = 1_500;

/// Plans every case of the job and, where that does not take too long, the curve.
///
/// `heard` is told after each how many plans are made, of how many.
pub(super) fn compare(plan: &Plan, heard: &mut dyn FnMut(u64, u64)) -> Comparison {
    let mut sides = vec![Side {
        name: String::new(),
        text: "the job as it stands".to_owned(),
        outcome: Some(outcome(plan)),
        problems: Vec::new(),
    }];
    let factors: &[u32] = if plan.schedule.activities.len() <= MOST_ACTIVITIES {
        &FACTORS
    } else {
        &[]
    };
    let cases = &plan.job.cases;
    let all = u64::try_from(cases.len() + factors.len()).unwrap_or(u64::MAX);
    let (tell, told) = mpsc::channel();
    let (planned, curve) = std::thread::scope(|scope| {
        let also = tell.clone();
        let curve = scope.spawn(move || {
            let steps = factors.iter().map(|factor| step(plan, *factor));
            steps.inspect(|_| tell_of_one(&also)).collect()
        });
        let sides = scope.spawn(move || {
            let sides = cases.iter().map(|case| side(plan, case));
            sides.inspect(|_| tell_of_one(&tell)).collect::<Vec<_>>()
        });
        for (done, ()) in (1..).zip(told) {
            heard(done, all);
        }
        match (sides.join(), curve.join()) {
            (Ok(sides), Ok(curve)) => (sides, curve),
            (Err(fault), _) | (_, Err(fault)) => std::panic::resume_unwind(fault),
        }
    });
    sides.extend(planned);
    Comparison { sides, curve }
}

/// Says that one more plan is made, if anybody still listens.
fn tell_of_one(tell: &mpsc::Sender<()>) {
    let _ = tell.send(());
}

fn side(plan: &Plan, case: &Case) -> Side {
    let job = plan.job.as_case(case);
    let planned = make::again(plan, job, &mut |_: &'static str| {});
    let failed = planned.problems.has_errors();
    let known = |text: &str| plan.problems.iter().any(|problem| problem.text == text);
    let told = |level: Level| {
        if failed {
            level == Level::Error
        } else {
            level == Level::Warning
        }
    };
    Side {
        name: case.name.clone(),
        text: case.text.clone(),
        outcome: (!failed).then(|| outcome(&planned)),
        problems: planned
            .problems
            .iter()
            .filter(|problem| told(problem.level) && !known(&problem.text))
            .map(|problem| problem.text.clone())
            .collect(),
    }
}

fn step(plan: &Plan, factor: u32) -> Step {
    let case = Case {
        removal_factor: Some(f64::from(factor)),
        ..Case::default()
    };
    let job = plan.job.as_case(&case);
    let again = make::again(plan, job, &mut |_: &'static str| {});
    Step {
        factor,
        outcome: (!again.problems.has_errors()).then(|| outcome(&again)),
    }
}

fn outcome(plan: &Plan) -> Outcome {
    let Bid {
        lines,
        subtotal,
        total,
        labour,
        ..
    } = &plan.bid;
    let sum = |group: CostGroup| {
        let lines = lines.iter().filter(|line| line.group == group);
        lines.map(|line| line.amount).sum::<Money>()
    };
    Outcome {
        total: *total,
        subtotal: *subtotal,
        groups: CostGroup::ALL
            .iter()
            .map(|group| (*group, sum(*group)))
            .collect(),
        hours: labour.iter().map(|row| row.hours).sum(),
        finish: plan.schedule.finish,
        wall_clear: plan.schedule.wall_clear,
        late_minutes: plan.schedule.late_minutes,
        counts: (
            plan.rolling.drums.len(),
            plan.crating.crates.len(),
            plan.rolling.flats.len(),
        ),
    }
}

impl Comparison {
    /// How much dearer a side is than the job as it stands, and the group of cost that differs most.
    pub fn difference(&self, side: &Side) -> Option<(Money, Option<(CostGroup, Money)>)> {
        let base = self.sides.first()?.outcome.as_ref()?;
        let other = side.outcome.as_ref()?;
        let differences = base.groups.iter().zip(&other.groups);
        let most = differences
            .map(|((group, was), (_, is))| (*group, *is - *was))
            .filter(|(_, difference)| *difference != Money::ZERO)
            .max_by_key(|(group, difference)| {
                (difference.amount().abs(), std::cmp::Reverse(*group))
            });
        Some((other.total - base.total, most))
    }
}

/// The job that a case of the plan's job makes; none where it has no such case.
pub fn case_of(job: &Job, name: &str) -> Option<Job> {
    job.case(name).map(|case| job.as_case(case))
}
