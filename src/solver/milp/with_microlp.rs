//! microlp: pure Rust, no cuts; proves small models and improves a known plan of large ones.

use microlp::ComparisonOp;
use microlp::Error;
use microlp::OptimizationDirection;
use microlp::Problem;
use microlp::Solution;
use microlp::SolutionStatus;
use microlp::SolveOptions;
use microlp::Variable;

use super::model::Model;
use super::model::Row;
use super::solve::Answer;
use super::solve::Effort;
use super::solve::Status;

/// The engine's name.
const NAME: &str = "microlp";

/// Solves a model with microlp.
pub(super) fn solve(model: &Model, start: Option<&[f64]>, effort: Effort) -> Answer {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let columns: Vec<Variable> = model
        .columns
        .iter()
        .map(|column| {
            if column.whole {
                problem.add_integer_var(
                    column.cost,
                    (to_i32(column.least.ceil()), to_i32(column.most.floor())),
                )
            } else {
                problem.add_var(column.cost, (column.least, column.most))
            }
        })
        .collect();
    for row in &model.rows {
        add_row(&mut problem, row, &columns);
    }
    let mut options = SolveOptions::default();
    options.node_limit = Some(u64::from(effort.nodes));
    options.warm_start = start.map(|values| {
        columns
            .iter()
            .copied()
            .zip(values.iter().copied())
            .collect()
    });
    match problem.solve_with(options) {
        Ok(outcome) => outcome.solution().map_or_else(
            || Answer::none(Status::Unknown, NAME),
            |found| read(found, &columns),
        ),
        Err(Error::Infeasible) => Answer::none(Status::Infeasible, NAME),
        Err(_) => Answer::none(Status::Unknown, NAME),
    }
}

fn add_row(problem: &mut Problem, row: &Row, columns: &[Variable]) {
    let terms: Vec<(Variable, f64)> = row
        .terms
        .iter()
        .filter_map(|(index, factor)| Some((*columns.get(*index)?, *factor)))
        .collect();
    if row.least.is_finite() {
        problem.add_constraint(&terms, ComparisonOp::Ge, row.least);
    }
    if row.most.is_finite() {
        problem.add_constraint(&terms, ComparisonOp::Le, row.most);
    }
}

fn read(found: &Solution, columns: &[Variable]) -> Answer {
    let objective = found.objective();
    let (status, bound) = match found.status() {
        SolutionStatus::Optimal => (Status::Optimal, objective),
        SolutionStatus::Feasible => (
            Status::Feasible,
            found.stats().best_bound.unwrap_or(f64::NEG_INFINITY),
        ),
    };
    let values = columns
        .iter()
        .map(|column| found.var_value(*column))
        .collect();
    Answer {
        status,
        values,
        objective,
        bound,
        engine: NAME,
    }
}

/// microlp's whole variables are bounded by `i32`.
#[allow(
    clippy::cast_possible_truncation,
    reason = "clamped to the range of i32 just before"
)]
fn to_i32(value: f64) -> i32 {
    value.clamp(f64::from(i32::MIN), f64::from(i32::MAX)) as i32
}
