//! The pipeline itself.

use crate::bid;
use crate::crating;
use crate::diag::Ledger;
use crate::diag::Problems;
use crate::exposure;
use crate::job::Job;
use crate::purchase;
use crate::rolling;
use crate::schedule;
use crate::survey;
use crate::takeoff;

use super::Plan;
use super::cases;
use super::caution;

/// Whoever waits for a plan: hears what is done next and how much of it is done and, where they have a clock, says when a search has
/// lasted long enough.
///
/// A function that only listens to what is done next will do.
pub trait Waiting {
    /// Hears what is done next.
    fn next(&mut self, stage: &'static str);

    /// Hears how much of it is done: so many of all, and of what.
    fn share(&mut self, _done: u64, _all: u64, _of: &'static str) {}

    /// Says whether the search of the stage heard last is to end with the best it has; none where it ends by count.
    fn is_over(&mut self) -> Option<bool> {
        None
    }
}

impl<Listen: FnMut(&'static str)> Waiting for Listen {
    fn next(&mut self, stage: &'static str) {
        self(stage);
    }
}

/// Plans a job: every stage in order, each from those before it.
///
/// `problems` are those met while reading; `watch` hears what is done next, and may end the search for a shorter schedule. Where the shapes or layers of the job have errors, the later
/// stages are left empty, since their figures would mean nothing.
pub fn make(job: Job, problems: Problems, watch: &mut dyn Waiting) -> Plan {
    let mut plan = Plan::of(job, problems);
    watch.next("measuring panels");
    plan.survey = survey::measure(&plan.job, &mut plan.ledger, &mut plan.problems);
    if !plan.problems.has_errors() {
        watch.next("laying sheets and cutting them");
        plan.takeoff = takeoff::take_off(
            &plan.job,
            &plan.survey,
            &mut plan.ledger,
            &mut plan.problems,
        );
    }
    if !plan.problems.has_errors() {
        carry_on(&mut plan, watch);
        plan.cautions = caution::gather(&plan);
    }
    plan.problems = std::mem::take(&mut plan.problems).sorted();
    plan
}

/// Adds what takes several plans or many draws: the job's cases, its price over removal factors, and the odds.
pub fn weigh(plan: &mut Plan, watch: &mut dyn Waiting) {
    compare(plan, watch);
    draw(plan, watch);
}

/// Adds the job's cases and its price over removal factors.
pub fn compare(plan: &mut Plan, watch: &mut dyn Waiting) {
    watch.next("pricing cases");
    plan.cases = Some(cases::compare(plan, &mut |done, all| {
        watch.share(done, all, "plans");
    }));
}

/// Adds the odds.
pub fn draw(plan: &mut Plan, watch: &mut dyn Waiting) {
    watch.next("drawing the odds");
    plan.odds = bid::odds(
        &plan.job,
        &plan.survey,
        &plan.schedule,
        &plan.purchase,
        &plan.bid,
        &mut |done, all| watch.share(done, all, "draws"),
    );
}

/// Plans a job again from the schedule on, for one that differs from a plan's in hours and prices only.
pub(super) fn from_schedule(plan: &Plan, job: Job) -> Plan {
    let mut again = Plan {
        survey: plan.survey.clone(),
        takeoff: plan.takeoff.clone(),
        rolling: plan.rolling.clone(),
        crating: plan.crating.clone(),
        exposure: plan.exposure.clone(),
        ..Plan::of(job, Problems::new())
    };
    arrange_and_price(&mut again, &mut |_: &'static str| {});
    again
}

/// Plans a job again from the exposure on, for one that differs from a plan's in people, equipment and hours only.
pub(super) fn from_exposure(plan: &Plan, job: Job, watch: &mut dyn Waiting) -> Plan {
    let mut again = Plan {
        survey: plan.survey.clone(),
        takeoff: plan.takeoff.clone(),
        rolling: plan.rolling.clone(),
        crating: plan.crating.clone(),
        ..Plan::of(job, Problems::new())
    };
    expose_and_arrange(&mut again, watch);
    again
}

/// The stages that need sound shapes and layers.
fn carry_on(plan: &mut Plan, watch: &mut dyn Waiting) {
    let Plan {
        job,
        survey,
        takeoff,
        rolling,
        crating,
        ledger,
        problems,
        ..
    } = plan;
    watch.next("choosing drums");
    *rolling = rolling::roll(job, survey, takeoff, ledger, problems);
    watch.next("building crates");
    *crating = crating::pack(job, survey, rolling, ledger, problems);
    expose_and_arrange(plan, watch);
}

/// The stages from the exposure on.
fn expose_and_arrange(plan: &mut Plan, watch: &mut dyn Waiting) {
    watch.next("estimating vapour and drying");
    plan.exposure = exposure::expose(
        &plan.job,
        &plan.survey,
        &plan.takeoff,
        &mut plan.ledger,
        &mut plan.problems,
    );
    arrange_and_price(plan, watch);
}

/// The stages from the schedule on.
fn arrange_and_price(plan: &mut Plan, watch: &mut dyn Waiting) {
    let Plan {
        job,
        survey,
        takeoff,
        rolling,
        crating,
        exposure,
        schedule,
        purchase,
        bid,
        ledger,
        problems,
        ..
    } = plan;
    watch.next("arranging days");
    let by_clock = watch.is_over().is_some();
    let mut heard = |made, all| {
        watch.is_over().unwrap_or_else(|| {
            watch.share(made, all, "schedules");
            false
        })
    };
    let search = &mut schedule::Watch {
        by_clock,
        heard: &mut heard,
    };
    *schedule = schedule::arrange(
        job, survey, takeoff, rolling, crating, exposure, search, ledger, problems,
    );
    watch.next("choosing packs and suppliers");
    *purchase = purchase::order(
        job, survey, takeoff, rolling, crating, exposure, schedule, ledger, problems,
    );
    watch.next("pricing");
    *bid = bid::price(
        job, survey, takeoff, rolling, crating, schedule, purchase, ledger, problems,
    );
}

impl Plan {
    /// A plan of which nothing is planned yet.
    fn of(job: Job, problems: Problems) -> Self {
        Self {
            job,
            survey: survey::Survey::default(),
            takeoff: takeoff::Takeoff::default(),
            rolling: rolling::Rolling::default(),
            crating: crating::Crating::default(),
            exposure: exposure::Exposure::default(),
            schedule: schedule::Schedule::default(),
            purchase: purchase::Purchase::default(),
            bid: bid::Bid::default(),
            odds: None,
            cases: None,
            cautions: Vec::new(),
            problems,
            ledger: Ledger::new(),
        }
    }
}
