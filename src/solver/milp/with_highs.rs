//! `HiGHS`, told to be reproducible: one thread, a fixed seed, a limit on nodes and no gap.
//!
//! # Sources
//! The developers' advice on repeatable answers: `HiGHS` issue #3133.

use highs::Col;
use highs::HighsModelStatus;
use highs::HighsSolutionStatus;
use highs::HighsStatus;
use highs::RowProblem;
use highs::Sense;
use highs::SolvedModel;

use super::model::Model;
use super::solve::Answer;
use super::solve::Effort;
use super::solve::Status;

/// The engine's name.
const NAME: &str = "HiGHS";

/// Solves a model with `HiGHS`.
///
/// The known values are not handed on: `HiGHS` 1.16 sometimes solves a model in its presolve and then gives back the
/// start as the optimum, beside the objective of the true one.
pub(super) fn solve(model: &Model, _start: Option<&[f64]>, effort: Effort) -> Answer {
    if model.columns.is_empty() {
        return Answer::none(Status::Unknown, NAME);
    }
    run(model, effort).map_or_else(
        |_| Answer::none(Status::Unknown, NAME),
        |solved| read(&solved, model.has_whole()),
    )
}

fn run(model: &Model, effort: Effort) -> Result<SolvedModel, HighsStatus> {
    let mut problem = RowProblem::new();
    let columns: Vec<Col> = model
        .columns
        .iter()
        .map(|column| {
            problem.add_column_with_integrality(
                column.cost,
                column.least..=column.most,
                column.whole,
            )
        })
        .collect();
    for row in &model.rows {
        let terms = row
            .terms
            .iter()
            .filter_map(|(index, factor)| Some((*columns.get(*index)?, *factor)));
        problem.add_row(row.least..=row.most, terms);
    }
    let mut engine = problem.try_optimise(Sense::Minimise)?;
    engine.make_quiet();
    let options = [
        ("threads", 1),
        ("random_seed", 0),
        (
            "mip_max_nodes",
            i32::try_from(effort.nodes).unwrap_or(i32::MAX),
        ),
    ];
    for (name, value) in options {
        engine
            .try_set_option(name, value)
            .map_err(|_| HighsStatus::Error)?;
    }
    if !model.has_whole() {
        // Small linear programs are solved sooner than they are made smaller.
        engine
            .try_set_option("presolve", "off")
            .map_err(|_| HighsStatus::Error)?;
    }
    engine
        .try_set_option("mip_rel_gap", effort.gap)
        .map_err(|_| HighsStatus::Error)?;
    engine.try_solve()
}

fn read(solved: &SolvedModel, has_whole: bool) -> Answer {
    let found = solved.primal_solution_status() == HighsSolutionStatus::Feasible;
    let reached = solved.status();
    let status = if reached == HighsModelStatus::Optimal {
        Status::Optimal
    } else if reached == HighsModelStatus::Infeasible {
        Status::Infeasible
    } else if found {
        Status::Feasible
    } else {
        Status::Unknown
    };
    if !matches!(status, Status::Optimal | Status::Feasible) {
        return Answer::none(status, NAME);
    }
    let objective = solved.objective_value();
    let proven = solved
        .double_info_value(c"mip_dual_bound")
        .ok()
        .filter(|bound| has_whole && bound.is_finite());
    // A program without whole numbers is solved without a tree: a bound of the tree says nothing. Within an allowed gap the engine says
    // optimal too; its own bound tells how far that is proven.
    let bound = match (status, proven) {
        (_, Some(proven)) => proven.min(objective),
        (Status::Optimal, None) => objective,
        (Status::Feasible | Status::Infeasible | Status::Unknown, None) => f64::NEG_INFINITY,
    };
    let is_proven = objective - bound <= 1e-6 * objective.abs().max(1.0);
    let status = if status == Status::Optimal && !is_proven {
        Status::Feasible
    } else {
        status
    };
    Answer {
        status,
        values: solved.get_solution().columns().to_vec(),
        objective,
        bound,
        engine: NAME,
    }
}
