//! Chooses what to buy where: one program for each group of needs that share suppliers.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::solver::milp::Answer;
use crate::solver::milp::Effort;
use crate::solver::milp::Model;
use crate::solver::milp::Status;
use crate::solver::milp::solve;

use super::greedy;
use super::market::Market;
use super::model::Draft;
use super::model::Taken;
use super::slots::delivery_days;
use super::staging::Ends;

/// How hard to try, by the number of choices: a job of a hundred panels is proven to the cent; where hundreds of staged deliveries multiply
/// the choices, an answer within half a percent is worth more than minutes of proof, and the gap is stated.
fn effort(choices: usize) -> Effort {
    match choices {
        0..=900 => Effort::nodes(2_000),
        _ => Effort {
            nodes: 50,
            gap: 0.005,
        },
    }
}

/// With more choices than this the engine needs minutes for its first answer: the rule of thumb's plan is taken then, and how far it can be
/// from the least is stated from the relaxed program.
const MOST_CHOICES: usize = 2_000;

/// What is bought, and how far it is proven to be the cheapest.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Chosen {
    pub(super) taken: Vec<Taken>,
    /// What the plans cost in the engine's numbers.
    pub(super) objective: f64,
    /// No plan can cost less.
    pub(super) bound: f64,
    pub(super) engine: Option<&'static str>,
    pub(super) proven: bool,
    /// Whether packs are too large to keep a place under its storage limit.
    pub(super) over_storage: bool,
}

/// Finds the least total of goods, freight and surcharges.
pub(super) fn choose(market: &Market<'_>, ends: &Ends) -> Chosen {
    let days = delivery_days(market);
    let mut chosen = Chosen {
        proven: true,
        ..Chosen::default()
    };
    for group in groups(market) {
        let draft = Draft::of(market, &group, &days);
        let start = greedy::plan(&draft, &group);
        let (answer, is_strict) = answer(&draft, &draft.values(&start), ends);
        chosen.over_storage |= !is_strict;
        chosen.add(&draft, &answer, start);
    }
    chosen
}

/// Solves a draft within the storage limits; where packs do not allow that, within what the work takes; last without.
/// Says whether the limits are kept.
fn answer(draft: &Draft<'_>, start: &[f64], ends: &Ends) -> (Answer, bool) {
    if draft.model.size() > MOST_CHOICES {
        return (relaxed(&draft.model, start), ends.is_empty());
    }
    if !ends.is_empty() {
        for is_relaxed in [false, true] {
            let mut limited = draft.clone();
            for (place, staged) in ends {
                limited.limit_storage(*place, staged, is_relaxed);
            }
            let answer = solve(&limited.model, Some(start), effort(limited.model.size()));
            if answer.has_values() {
                return (answer, !is_relaxed);
            }
        }
    }
    (
        solve(&draft.model, Some(start), effort(draft.model.size())),
        ends.is_empty(),
    )
}

/// The start with the bound of the program without whole numbers.
fn relaxed(model: &Model, start: &[f64]) -> Answer {
    let bound = solve(&model.relaxed(), None, Effort::nodes(1));
    let proven = if bound.status == Status::Optimal {
        bound.objective
    } else {
        0.0
    };
    Answer {
        status: Status::Feasible,
        values: start.to_vec(),
        objective: model.objective(start),
        bound: proven,
        engine: bound.engine,
    }
}

impl Chosen {
    fn add(&mut self, draft: &Draft<'_>, answer: &Answer, start: Vec<Taken>) {
        self.engine = Some(answer.engine);
        self.proven &= answer.status == Status::Optimal;
        self.bound += answer.bound.max(0.0);
        if answer.has_values() {
            self.objective += answer.objective;
            self.taken.extend(draft.read(&answer.values));
        } else {
            self.objective += draft.model.objective(&draft.values(&start));
            self.taken.extend(start);
        }
    }
}

/// Needs that share a supplier, directly or through others, belong together; so do those that share a storage limit.
fn groups(market: &Market<'_>) -> Vec<Vec<usize>> {
    let mut links: BTreeMap<String, BTreeSet<usize>> = BTreeMap::new();
    for choice in &market.choices {
        links
            .entry(format!("supplier {}", choice.supplier.id))
            .or_default()
            .insert(choice.wanted);
        let stages = market
            .wanted
            .get(choice.wanted)
            .map(|want| want.stages.as_slice())
            .unwrap_or_default();
        for place in stages.iter().filter_map(|stage| stage.limited) {
            links
                .entry(format!("place {place}"))
                .or_default()
                .insert(choice.wanted);
        }
    }
    let mut groups: Vec<BTreeSet<usize>> = Vec::new();
    for mut linked in links.into_values() {
        let (joined, apart): (Vec<_>, Vec<_>) = groups
            .into_iter()
            .partition(|group| !group.is_disjoint(&linked));
        linked.extend(joined.into_iter().flatten());
        groups = apart;
        groups.push(linked);
    }
    groups
        .into_iter()
        .map(|group| group.into_iter().collect())
        .collect()
}
