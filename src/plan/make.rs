//! The pipeline itself.

use std::sync::Arc;

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
use crate::takeoff::KeptCuts;

use super::Plan;
use super::cases;
use super::caution;
use super::kept;
use super::kept::Kept;

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
    if make_things(&mut plan, &mut KeptCuts::default(), watch) {
        finish(&mut plan, watch);
    }
    plan.problems = std::mem::take(&mut plan.problems).sorted();
    plan
}

/// Plans sheets, drums and crates alone: days, orders and price stay empty, and what only they would say is not said.
pub fn make_up_to_crates(job: Job, problems: Problems, watch: &mut dyn Waiting) -> Plan {
    let mut plan = Plan::of(job, problems);
    make_things(&mut plan, &mut KeptCuts::default(), watch);
    plan.problems = std::mem::take(&mut plan.problems).sorted();
    plan
}

/// Plans a job as [`make`] does, and sooner where `kept` knows something of it from the jobs before; it keeps what this one tells.
pub fn make_next(job: Job, problems: Problems, kept: &mut Kept, watch: &mut dyn Waiting) -> Plan {
    if problems.has_errors() {
        return make(job, problems, watch);
    }
    let mut plan = Plan::of(job, Problems::new());
    let is_sound = kept.give_things(&mut plan) || {
        let is_sound = make_things(&mut plan, &mut kept.cuts, watch);
        if is_sound {
            kept.keep_things(&plan);
        }
        is_sound
    };
    // In the order in which they were met, as without what is kept.
    let met = std::mem::replace(&mut plan.problems, problems);
    plan.problems.extend(met);
    if is_sound {
        finish(&mut plan, watch);
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

/// Plans a job that differs from a plan's in a thing or two: from the exposure on where sheets, drums and crates are made from the same.
pub(super) fn again(plan: &Plan, job: Job, watch: &mut dyn Waiting) -> Plan {
    if !kept::are_made_alike(&plan.job, &job) {
        return make(job, Problems::new(), watch);
    }
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

/// Sheets, drums and crates. False where shapes or layers have errors; the later stages then stay empty.
fn make_things(plan: &mut Plan, cuts: &mut KeptCuts, watch: &mut dyn Waiting) -> bool {
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
    watch.next("measuring panels");
    *survey = Arc::new(survey::measure(job, ledger, problems));
    if problems.has_errors() {
        return false;
    }
    watch.next("laying sheets and cutting them");
    *takeoff = Arc::new(takeoff::take_off(job, survey, cuts, ledger, problems));
    if problems.has_errors() {
        return false;
    }
    watch.next("choosing drums");
    *rolling = Arc::new(rolling::roll(job, survey, takeoff, ledger, problems));
    watch.next("building crates");
    *crating = Arc::new(crating::pack(job, survey, rolling, ledger, problems));
    true
}

/// The stages after sheets, drums and crates.
fn finish(plan: &mut Plan, watch: &mut dyn Waiting) {
    expose_and_arrange(plan, watch);
    plan.cautions = caution::gather(plan);
}

/// The stages from the exposure on.
fn expose_and_arrange(plan: &mut Plan, watch: &mut dyn Waiting) {
    watch.next("estimating vapour and drying");
    plan.exposure = Arc::new(exposure::expose(
        &plan.job,
        &plan.survey,
        &plan.takeoff,
        &mut plan.ledger,
        &mut plan.problems,
    ));
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
            survey: Arc::default(),
            takeoff: Arc::default(),
            rolling: Arc::default(),
            crating: Arc::default(),
            exposure: Arc::default(),
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
