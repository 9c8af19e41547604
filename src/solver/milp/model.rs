//! A model: variables with bounds and costs, rows with limits, to be made as cheap as can be.

use std::collections::BTreeMap;

/// How far a row or bound may be missed: the engines' own tolerance.
const SLACK: f64 = 1e-6;

/// A variable of a model.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Var(pub(super) usize);

impl Var {
    /// Where the variable's value stands among an answer's values.
    pub const fn index(self) -> usize {
        self.0
    }
}

/// A variable's cost and bounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Column {
    pub(super) cost: f64,
    pub(super) least: f64,
    pub(super) most: f64,
    pub(super) whole: bool,
}

/// A weighted sum of variables between two limits; each variable at most once.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Row {
    pub(super) least: f64,
    pub(super) most: f64,
    pub(super) terms: Vec<(usize, f64)>,
}

/// A mixed-integer linear program, minimised.
///
/// ```
/// use facelay::solver::milp::{Effort, Model, solve};
/// // 19 sheets from packs of 1 at 18, 5 at 70 and 25 at 260: one large pack is cheapest.
/// let mut model = Model::new();
/// let packs: Vec<_> = [18.0, 70.0, 260.0].map(|price| model.whole(price, 0.0, 19.0)).into();
/// model.at_least(19.0, packs.iter().copied().zip([1.0, 5.0, 25.0]));
/// assert_eq!(solve(&model, None, Effort::nodes(1_000)).objective, 260.0);
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Model {
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Row>,
}

impl Model {
    /// The number of columns.
    pub const fn size(&self) -> usize {
        self.columns.len()
    }

    /// An empty model.
    pub const fn new() -> Self {
        Self {
            columns: Vec::new(),
            rows: Vec::new(),
        }
    }

    /// Adds a variable that may take any value from `least` to `most`.
    pub fn continuous(&mut self, cost: f64, least: f64, most: f64) -> Var {
        self.column(Column {
            cost,
            least,
            most,
            whole: false,
        })
    }

    /// Adds a variable that takes whole values from `least` to `most`.
    pub fn whole(&mut self, cost: f64, least: f64, most: f64) -> Var {
        self.column(Column {
            cost,
            least,
            most,
            whole: true,
        })
    }

    fn column(&mut self, column: Column) -> Var {
        self.columns.push(column);
        Var(self.columns.len() - 1)
    }

    /// Adds a row: the sum of the terms must be at least so much.
    pub fn at_least(&mut self, least: f64, terms: impl IntoIterator<Item = (Var, f64)>) {
        self.between(least, f64::INFINITY, terms);
    }

    /// Adds a row: the sum of the terms must be at most so much.
    pub fn at_most(&mut self, most: f64, terms: impl IntoIterator<Item = (Var, f64)>) {
        self.between(f64::NEG_INFINITY, most, terms);
    }

    /// Adds a row between two limits; a variable named twice counts twice.
    pub fn between(&mut self, least: f64, most: f64, terms: impl IntoIterator<Item = (Var, f64)>) {
        let mut sums: BTreeMap<usize, f64> = BTreeMap::new();
        for (var, factor) in terms {
            *sums.entry(var.0).or_insert(0.0) += factor;
        }
        let terms = sums
            .into_iter()
            .filter(|(_, factor)| *factor != 0.0)
            .collect();
        self.rows.push(Row { least, most, terms });
    }

    /// What one of a variable costs.
    pub fn cost_of(&self, var: Var) -> f64 {
        self.columns.get(var.0).map_or(0.0, |column| column.cost)
    }

    /// The same model with every cost nothing.
    #[must_use]
    pub fn without_costs(&self) -> Self {
        let mut model = self.clone();
        for column in &mut model.columns {
            column.cost = 0.0;
        }
        model
    }

    /// How many variables there are.
    pub const fn variable_count(&self) -> usize {
        self.columns.len()
    }

    /// What the values cost.
    pub fn objective(&self, values: &[f64]) -> f64 {
        self.columns
            .iter()
            .zip(values)
            .map(|(column, value)| column.cost * value)
            .sum()
    }

    /// Says whether the values keep every bound and row and are whole where they must be.
    pub fn holds(&self, values: &[f64]) -> bool {
        values.len() == self.columns.len()
            && self
                .columns
                .iter()
                .zip(values)
                .all(|(column, value)| column.takes(*value))
            && self.rows.iter().all(|row| row.takes(values, &self.columns))
    }

    /// Returns the values with whole variables rounded to whole numbers.
    pub(super) fn rounded(&self, values: &[f64]) -> Vec<f64> {
        let round =
            |(column, value): (&Column, &f64)| if column.whole { value.round() } else { *value };
        self.columns.iter().zip(values).map(round).collect()
    }

    /// Whether any value has to be whole.
    pub(super) fn has_whole(&self) -> bool {
        self.columns.iter().any(|column| column.whole)
    }

    /// Says whether every number is one the engines take.
    pub(super) fn is_sound(&self) -> bool {
        let number = |value: f64| !value.is_nan();
        self.columns.iter().all(|column| {
            column.cost.is_finite()
                && number(column.least)
                && number(column.most)
                && column.least <= column.most
        }) && self.rows.iter().all(|row| {
            number(row.least)
                && number(row.most)
                && row.terms.iter().all(|(_, factor)| factor.is_finite())
        })
    }
}

impl Column {
    fn takes(self, value: f64) -> bool {
        let slack = SLACK * (1.0 + value.abs());
        value.is_finite()
            && value >= self.least - slack
            && value <= self.most + slack
            && (!self.whole || value.fract() == 0.0)
    }
}

impl Row {
    /// Rows of whole variables must hold up to the error of the arithmetic; others up to the engines' tolerance.
    fn takes(&self, values: &[f64], columns: &[Column]) -> bool {
        let value = |index: &usize| values.get(*index).copied().unwrap_or(f64::NAN);
        let parts = || {
            self.terms
                .iter()
                .map(|(index, factor)| factor * value(index))
        };
        let whole = self
            .terms
            .iter()
            .all(|(index, _)| columns.get(*index).is_some_and(|column| column.whole));
        let sum: f64 = parts().sum();
        let slack = SLACK
            + if whole { SLACK / 1e3 } else { SLACK } * parts().map(f64::abs).fold(0.0, f64::max);
        sum >= self.least - slack && sum <= self.most + slack
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_that_is_missed_is_noticed() {
        let mut model = Model::new();
        let (a, b) = (model.whole(1.0, 0.0, 5.0), model.continuous(2.0, 0.0, 5.0));
        model.between(3.0, 4.0, [(a, 1.0), (b, 0.5), (b, 0.5)]);
        assert!(model.holds(&[1.0, 2.0]));
        assert!(!model.holds(&[1.0, 1.9]), "too little");
        assert!(!model.holds(&[3.0, 2.0]), "too much");
        assert!(!model.holds(&[1.5, 2.0]), "not whole");
        assert!(!model.holds(&[6.0, -2.0]), "out of bounds");
        assert!(!model.holds(&[1.0]), "a value is missing");
        assert!(!model.holds(&[f64::NAN, 2.0]));
    }
}
