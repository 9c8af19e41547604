//! Cases: the same job with named things otherwise, priced beside it.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::catalog::Adhesive;
use crate::catalog::Give;
use crate::catalog::Paint;
use crate::units::Money;
use crate::units::Percent;

use super::CostGroup;
use super::Job;
use super::OwnLine;
use super::PaidPer;
use super::PanelRow;

/// What is otherwise in a case; what it does not name stays as the job has it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Case {
    /// Its unique name.
    pub name: String,
    /// What it means, in words.
    pub text: String,
    /// The panel rows it changes, indexes of [`Job::panels`]; all if none are named.
    pub panels: Option<Vec<usize>>,
    /// Another treatment.
    pub recipe: Option<String>,
    /// Another state of the paint.
    pub paint: Option<Paint>,
    /// Another give.
    pub give: Option<Give>,
    /// Another adhesive.
    pub adhesive: Option<Adhesive>,
    /// Whether there is lead.
    pub lead: Option<bool>,
    /// Whether there is mould.
    pub mould: Option<bool>,
    /// The removal factor itself; release rates of test patches are set aside for it.
    pub removal_factor: Option<f64>,
    /// How many people a row of the job's people has.
    pub people: BTreeMap<String, u32>,
    /// What an hour of them costs.
    pub cost: BTreeMap<String, Money>,
    /// What an hour of them is charged at.
    pub charge: BTreeMap<String, Money>,
    /// Another first day.
    pub first_day: Option<Date>,
    /// Another hand-over.
    pub hand_over: Option<Date>,
    /// Another order day.
    pub order_day: Option<Date>,
    /// Another contingency, for all groups.
    pub contingency: Option<Percent>,
    /// Another overhead.
    pub overhead: Option<Percent>,
    /// Another markup.
    pub markup: Option<Percent>,
    /// The panels are left to others for a lump sum, such as a removal together with the wall.
    pub by_others: Option<ByOthers>,
}

/// Work that others do for a lump sum.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ByOthers {
    /// What they do.
    pub text: String,
    /// What they take for it.
    pub amount: Money,
}

impl Job {
    /// The job as a case has it. Its own cases are gone, so that a case has none.
    #[must_use]
    pub fn as_case(&self, case: &Case) -> Self {
        let mut job = self.clone();
        job.cases.clear();
        change_panels(&mut job, case);
        change_people(&mut job, case);
        job.first_day = case.first_day.unwrap_or(job.first_day);
        job.hand_over = case.hand_over.or(job.hand_over);
        job.order_day = case.order_day.unwrap_or(job.order_day);
        let terms = &mut job.terms;
        if let Some(contingency) = case.contingency {
            terms.contingency = contingency;
            terms.contingency_of.clear();
        }
        terms.overhead = case.overhead.unwrap_or(terms.overhead);
        terms.markup = case.markup.unwrap_or(terms.markup);
        job
    }

    /// The case of a name.
    pub fn case(&self, name: &str) -> Option<&Case> {
        self.cases.iter().find(|case| case.name == name)
    }
}

fn change_panels(job: &mut Job, case: &Case) {
    let named = |at: usize| {
        case.panels
            .as_ref()
            .is_none_or(|panels| panels.contains(&at))
    };
    if let Some(others) = &case.by_others {
        let mut at = 0;
        job.panels.retain(|_| {
            at += 1;
            !named(at - 1)
        });
        job.terms.own_lines.push(OwnLine {
            text: others.text.clone(),
            group: CostGroup::Others,
            quantity: Decimal::ONE,
            unit: "sum".to_owned(),
            rate: others.amount,
            per: PaidPer::Job,
        });
        return;
    }
    for (at, panel) in job.panels.iter_mut().enumerate() {
        if named(at) {
            change_panel(panel, case);
        }
    }
}

fn change_panel(panel: &mut PanelRow, case: &Case) {
    if let Some(recipe) = &case.recipe {
        panel.recipe.clone_from(recipe);
    }
    panel.paint = case.paint.unwrap_or(panel.paint);
    panel.give = case.give.unwrap_or(panel.give);
    panel.adhesive = case.adhesive.unwrap_or(panel.adhesive);
    panel.lead = case.lead.unwrap_or(panel.lead);
    panel.mould = case.mould.unwrap_or(panel.mould);
    if case.removal_factor.is_some() {
        panel.removal_factor = case.removal_factor;
        panel.release_rate = None;
    }
}

fn change_people(job: &mut Job, case: &Case) {
    for person in &mut job.people {
        let name = &person.name;
        person.count = case.people.get(name).copied().unwrap_or(person.count);
        person.cost = case.cost.get(name).copied().unwrap_or(person.cost);
        person.charge = case.charge.get(name).copied().unwrap_or(person.charge);
    }
}
