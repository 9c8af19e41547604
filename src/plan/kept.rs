//! What the plan of one job leaves for the plan of the next, which a person tries by changing a thing or two.

use std::collections::BTreeSet;
use std::sync::Arc;

use jiff::civil::Date;

use crate::crating::Crating;
use crate::diag::Ledger;
use crate::diag::Problems;
use crate::job::Choices;
use crate::job::Job;
use crate::job::Terms;
use crate::rolling::Rolling;
use crate::survey::Survey;
use crate::takeoff::KeptCuts;
use crate::takeoff::Takeoff;
use crate::units::Money;

use super::Plan;

/// Answers of the jobs planned before. A plan made with them is the same to the byte as one made without.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    /// Cut plans by what was asked.
    pub(super) cuts: KeptCuts,
    things: Option<Things>,
}

/// Sheets, drums and crates of the last job.
#[derive(Clone, Debug)]
struct Things {
    /// What they were made from.
    of: Job,
    survey: Arc<Survey>,
    takeoff: Arc<Takeoff>,
    rolling: Arc<Rolling>,
    crating: Arc<Crating>,
    ledger: Ledger,
    problems: Problems,
}

impl Kept {
    /// Gives sheets, drums and crates to a plan without any, if those of the last job are made from the same; false if not.
    pub(super) fn give_things(&self, plan: &mut Plan) -> bool {
        let Some(things) = &self.things else {
            return false;
        };
        if things.of != made_from(&plan.job) {
            return false;
        }
        plan.survey = Arc::clone(&things.survey);
        plan.takeoff = Arc::clone(&things.takeoff);
        plan.rolling = Arc::clone(&things.rolling);
        plan.crating = Arc::clone(&things.crating);
        plan.ledger = things.ledger.clone();
        plan.problems = things.problems.clone();
        true
    }

    /// Keeps the sheets, drums and crates of a plan in which nothing else is planned yet.
    pub(super) fn keep_things(&mut self, plan: &Plan) {
        self.things = Some(Things {
            of: made_from(&plan.job),
            survey: Arc::clone(&plan.survey),
            takeoff: Arc::clone(&plan.takeoff),
            rolling: Arc::clone(&plan.rolling),
            crating: Arc::clone(&plan.crating),
            ledger: plan.ledger.clone(),
            problems: plan.problems.clone(),
        });
    }
}

/// Whether two jobs have the same sheets, drums and crates.
pub(super) fn are_made_alike(one: &Job, other: &Job) -> bool {
    made_from(one) == made_from(other)
}

/// The job without what sheets, drums and crates do not hang on: how many people work, with what equipment, when and at what charge, and on
/// what terms. What people cost stays, since it decides which things share a crate.
fn made_from(job: &Job) -> Job {
    let mut job = job.clone();
    job.first_day = Date::default();
    job.hand_over = None;
    job.terms = Terms::default();
    job.choices = Choices::default();
    job.cases.clear();
    job.inputs.clear();
    job.equipment.clear();
    for person in &mut job.people {
        person.count = 0;
        person.charge = Money::ZERO;
    }
    for place in &mut job.places {
        place.hours = std::array::from_fn(|_| Vec::new());
    }
    for panel in &mut job.panels {
        panel.removal_factor = None;
        panel.release_rate = None;
    }
    let used: BTreeSet<&String> = job.panels.iter().map(|panel| &panel.recipe).collect();
    job.recipes.retain(|id, _| used.contains(id));
    job
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::job;
    use crate::job::Case;
    use crate::job::Scene;
    use crate::job::TemplateKind;

    /// A carpenter who costs more makes fewer, larger crates; what the client is charged for him makes no difference to them.
    #[test]
    fn crates_hang_on_what_people_cost_and_not_on_what_is_charged() {
        let files = job::template(TemplateKind::Metric, Scene::Hall).unwrap();
        let job = job::read(&files.into_iter().collect()).0.unwrap();
        let carpenter = BTreeMap::from([("carpenter".to_owned(), Money::ZERO)]);
        let charged = Case {
            charge: carpenter.clone(),
            ..Case::default()
        };
        let cheaper = Case {
            cost: carpenter,
            ..Case::default()
        };
        assert!(are_made_alike(&job, &job.as_case(&charged)));
        assert!(!are_made_alike(&job, &job.as_case(&cheaper)));
    }
}
