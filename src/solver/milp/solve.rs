//! Asks the engines in turn and believes only what holds.

use super::model::Model;
use super::with_microlp;

#[cfg(feature = "highs")]
use super::with_highs;

/// How much of an answer is proven.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// No cheaper values exist.
    Optimal,
    /// The values hold; cheaper ones may exist down to the bound.
    Feasible,
    /// No values hold.
    Infeasible,
    /// No values were found within the limit, nor shown not to exist.
    Unknown,
}

/// What an engine found.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// How much of it is proven.
    pub status: Status,
    /// A value a variable, whole where it must be; empty without a plan.
    pub values: Vec<f64>,
    /// What the values cost.
    pub objective: f64,
    /// No values can cost less.
    pub bound: f64,
    /// The engine's name.
    pub engine: &'static str,
}

impl Answer {
    /// An answer without values.
    pub(super) const fn none(status: Status, engine: &'static str) -> Self {
        Self {
            status,
            values: Vec::new(),
            objective: f64::INFINITY,
            bound: f64::NEG_INFINITY,
            engine,
        }
    }

    /// Says whether there are values.
    pub const fn has_values(&self) -> bool {
        matches!(self.status, Status::Optimal | Status::Feasible)
    }
}

/// How hard to try.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    /// Nodes of the search tree at most.
    pub nodes: u32,
    /// The share of the objective by which an answer may be above the bound when the search ends; 0 asks for a full proof.
    pub gap: f64,
}

impl Effort {
    /// A full proof within so many nodes.
    pub const fn nodes(nodes: u32) -> Self {
        Self { nodes, gap: 0.0 }
    }
}

/// Solves a model, from known values if there are any, within so many nodes of the search tree.
///
/// The limit counts nodes, not seconds, so that the answer is the same on every machine. Values that break a row after
/// rounding are thrown away; known values that hold are never lost to a worse answer.
pub fn solve(model: &Model, start: Option<&[f64]>, effort: Effort) -> Answer {
    if !model.is_sound() {
        return Answer::none(Status::Unknown, "none");
    }
    let start = start
        .map(|values| model.rounded(values))
        .filter(|values| model.holds(values));
    let mut answer = Answer::none(Status::Unknown, "none");
    for engine in ENGINES {
        answer = engine(model, start.as_deref(), effort);
        if is_believed(model, &mut answer, start.is_some()) {
            break;
        }
    }
    match start {
        Some(values) if !answer.has_values() || model.objective(&values) < answer.objective => {
            keep(model, values, &answer)
        }
        _ => answer,
    }
}

type Engine = fn(&Model, Option<&[f64]>, Effort) -> Answer;

#[cfg(feature = "highs")]
const ENGINES: &[Engine] = &[with_highs::solve, with_microlp::solve];
#[cfg(not(feature = "highs"))]
const ENGINES: &[Engine] = &[with_microlp::solve];

/// Rounds an answer's values and says whether it holds; one that does not becomes unknown, one that costs more than
/// its proof says is no optimum.
fn is_believed(model: &Model, answer: &mut Answer, plan_known: bool) -> bool {
    if answer.has_values() {
        answer.values = model.rounded(&answer.values);
        answer.objective = model.objective(&answer.values);
        answer.bound = answer.bound.min(answer.objective);
    }
    let wrong = (answer.has_values() && !model.holds(&answer.values))
        || (answer.status == Status::Infeasible && plan_known);
    let costs_more = answer.objective > answer.bound + 1e-6 * (1.0 + answer.objective.abs());
    match answer.status {
        _ if wrong => *answer = Answer::none(Status::Unknown, answer.engine),
        Status::Optimal if costs_more => answer.status = Status::Feasible,
        Status::Optimal => answer.bound = answer.objective,
        Status::Feasible | Status::Infeasible | Status::Unknown => {}
    }
    answer.status != Status::Unknown
}

/// Keeps the known values with the bound that an engine proved.
fn keep(model: &Model, values: Vec<f64>, answer: &Answer) -> Answer {
    let objective = model.objective(&values);
    Answer {
        status: Status::Feasible,
        values,
        objective,
        bound: answer.bound.min(objective),
        engine: answer.engine,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The cheapest cover of a need from packs, by trying every count.
    fn cover(packs: &[(f64, f64)], need: f64) -> Model {
        let mut model = Model::new();
        let terms: Vec<_> = packs
            .iter()
            .map(|(size, price)| (model.whole(*price, 0.0, 100.0), *size))
            .collect();
        model.at_least(need, terms);
        model
    }

    /// trade.md 10.1, K-1 and K-2 (computed there by dynamic programming and CP-SAT).
    #[test]
    fn packs_cover_a_need_at_least_cost() {
        fn case(packs: &[(f64, f64)], need: f64, cost: f64) {
            for engine in ENGINES {
                let answer = engine(&cover(packs, need), None, Effort::nodes(10_000));
                assert_eq!(answer.status, Status::Optimal, "{}", answer.engine);
                assert!((answer.objective - cost).abs() < 1e-6, "{need}: {answer:?}");
            }
        }
        let first = [(1.0, 18.0), (5.0, 70.0), (25.0, 260.0)];
        for (need, cost) in [
            (4.0, 70.0),
            (9.0, 140.0),
            (19.0, 260.0),
            (26.0, 278.0),
            (27.0, 296.0),
            (32.0, 366.0),
            (37.0, 436.0),
            (43.0, 520.0),
            (51.0, 538.0),
        ] {
            case(&first, need, cost);
        }
        let second = [(6.0, 11.0), (9.0, 15.0), (20.0, 31.0)];
        for (need, cost) in [(16.0, 30.0), (25.0, 42.0), (29.0, 46.0), (44.0, 72.0)] {
            case(&second, need, cost);
        }
    }

    /// A purchase whose known plan `HiGHS` 1.16 gave back as the optimum, with the cost of the true one beside it.
    #[test]
    fn a_known_plan_is_not_taken_for_the_optimum() {
        let mut model = Model::new();
        let fixed = [0.0; 2].map(|cost| model.whole(cost, 0.0, 1.0));
        let dear = model.whole(17.59, 0.0, 1.0);
        let cheap = model.whole(17.57, 0.0, 1.0);
        let plain = model.whole(3.68, 0.0, 5.0);
        let (few, few_on) = (model.whole(4.94, 0.0, 2.0), model.whole(0.0, 0.0, 1.0));
        let (many, many_on) = (model.whole(3.39, 0.0, 5.0), model.whole(0.0, 0.0, 1.0));
        model.at_most(0.0, [(dear, 1.0), (fixed[0], -1.0)]);
        model.at_most(0.0, [(cheap, 1.0), (fixed[1], -1.0)]);
        model.at_most(0.0, [(plain, 1.0), (fixed[0], -5.0)]);
        model.at_most(0.0, [(few, 1.0), (few_on, -2.0)]);
        model.at_least(0.0, [(few, 1.0), (few_on, -1.0)]);
        model.at_most(0.0, [(many, 1.0), (many_on, -5.0)]);
        model.at_least(0.0, [(many, 1.0), (many_on, -3.0)]);
        model.at_most(0.0, [(few_on, 1.0), (many_on, 1.0), (fixed[0], -1.0)]);
        model.at_least(1.0, [(dear, 2.0), (cheap, 1.0)]);
        model.at_least(5.0, [(plain, 1.0), (few, 1.0), (many, 1.0)]);
        let start = [1.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 5.0, 1.0];
        assert!(model.holds(&start));
        let answer = solve(&model, Some(&start), Effort::nodes(1_000));
        assert_eq!(answer.status, Status::Optimal);
        assert!((answer.objective - 34.52).abs() < 1e-9, "{answer:?}");
    }

    #[test]
    fn what_cannot_be_is_said_so() {
        let mut model = Model::new();
        let a = model.whole(1.0, 0.0, 3.0);
        model.at_least(4.0, [(a, 1.0)]);
        assert_eq!(
            solve(&model, None, Effort::nodes(100)).status,
            Status::Infeasible
        );
    }

    #[test]
    fn known_values_are_never_lost() {
        let model = cover(&[(2.0, 3.0)], 7.0);
        let answer = solve(&model, Some(&[9.0]), Effort::nodes(10_000));
        assert_eq!(answer.values, vec![4.0]);
        let wrong = solve(&model, Some(&[1.0]), Effort::nodes(10_000));
        assert_eq!(
            wrong.values,
            vec![4.0],
            "values that break a row are no start"
        );
        let worse = keep(&model, vec![5.0], &Answer::none(Status::Unknown, "none"));
        assert_eq!((worse.status, worse.objective), (Status::Feasible, 15.0));
    }

    #[test]
    fn numbers_that_are_none_are_refused() {
        let mut model = Model::new();
        model.whole(f64::NAN, 0.0, 1.0);
        assert_eq!(
            solve(&model, None, Effort::nodes(10)).status,
            Status::Unknown
        );
        assert_eq!(solve(&Model::new(), None, Effort::nodes(10)).objective, 0.0);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]
        /// Both engines find what trying every combination finds.
        #[test]
        fn engines_agree_with_trying_everything(
            packs in prop::collection::vec((1_u32..9, 1_u32..60), 1..4), need in 0_u32..30, fixed in 0_u32..40
        ) {
            let mut model = Model::new();
            let used = model.whole(f64::from(fixed), 0.0, 1.0);
            let terms: Vec<_> = packs.iter().map(|(size, price)| (model.whole(f64::from(*price), 0.0, 30.0), *size)).collect();
            model.at_least(f64::from(need), terms.iter().map(|(var, size)| (*var, f64::from(*size))));
            for (var, _) in &terms {
                model.at_most(0.0, [(*var, 1.0), (used, -30.0)]);
            }
            let mut best = vec![0_u32; usize::try_from(need).unwrap() + 1];
            for q in 1..best.len() {
                best[q] = packs.iter().map(|(size, price)| price + best[q.saturating_sub(usize::try_from(*size).unwrap())]).min().unwrap();
            }
            let least = best[best.len() - 1] + if need > 0 { fixed } else { 0 };
            for engine in ENGINES {
                let answer = engine(&model, None, Effort::nodes(100_000));
                prop_assert_eq!(answer.status, Status::Optimal);
                prop_assert!((model.objective(&model.rounded(&answer.values)) - f64::from(least)).abs() < 1e-6);
                prop_assert!(answer.bound <= f64::from(least) + 1e-6);
            }
        }
    }
}
