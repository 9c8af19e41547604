//! How a figure came about: its inputs, formula, rounding and source, kept beside the figure.

use std::collections::BTreeMap;

/// A named input of a derivation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Input {
    /// The letter or name used in the formula.
    pub name: String,
    /// The value with its unit.
    pub value: String,
    /// The derivation that the value itself comes from.
    pub from: Option<String>,
}

/// How one figure came about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Derivation {
    /// What it is asked for by, e.g. `material/tissue-12`, `panel/N1`, `drum/D1`, `bid/L012`.
    pub id: String,
    /// What the figure is, in words.
    pub title: String,
    /// The figure with its unit.
    pub result: String,
    /// The formula in words and letters.
    pub formula: String,
    /// What went in.
    pub inputs: Vec<Input>,
    /// How it was rounded, if it was.
    pub rounding: Option<String>,
    /// Where the formula or a value comes from, if from outside the job.
    pub source: Option<String>,
}

#[allow(
    clippy::needless_pass_by_value,
    reason = "values are shown, not kept; callers need no borrow signs"
)]
impl Derivation {
    /// Starts a derivation of a figure.
    pub fn new(
        id: impl Into<String>,
        title: impl Into<String>,
        result: impl Into<String>,
        formula: impl Into<String>,
    ) -> Self {
        Self {
            id: id.into(),
            title: title.into(),
            result: result.into(),
            formula: formula.into(),
            inputs: Vec::new(),
            rounding: None,
            source: None,
        }
    }

    /// Adds an input with its value.
    #[must_use]
    pub fn input(mut self, name: impl Into<String>, value: impl ToString) -> Self {
        self.inputs.push(Input {
            name: name.into(),
            value: value.to_string(),
            from: None,
        });
        self
    }

    /// Adds an input that has a derivation of its own.
    #[must_use]
    pub fn input_from(
        mut self,
        name: impl Into<String>,
        value: impl ToString,
        from: impl Into<String>,
    ) -> Self {
        self.inputs.push(Input {
            name: name.into(),
            value: value.to_string(),
            from: Some(from.into()),
        });
        self
    }

    /// Says how the figure was rounded.
    #[must_use]
    pub fn rounded(mut self, how: impl Into<String>) -> Self {
        self.rounding = Some(how.into());
        self
    }

    /// Says where the formula or a value comes from.
    #[must_use]
    pub fn source(mut self, source: impl Into<String>) -> Self {
        self.source = Some(source.into());
        self
    }
}

/// Every derivation of a plan, by id.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ledger(BTreeMap<String, Derivation>);

impl Ledger {
    /// Returns an empty ledger.
    pub const fn new() -> Self {
        Self(BTreeMap::new())
    }

    /// Writes a derivation down; a later one of the same id replaces the earlier.
    pub fn record(&mut self, derivation: Derivation) {
        self.0.insert(derivation.id.clone(), derivation);
    }

    /// Returns the derivation of that id.
    pub fn get(&self, id: &str) -> Option<&Derivation> {
        self.0.get(id)
    }

    /// All derivations, in the order of their ids.
    pub fn iter(&self) -> impl Iterator<Item = &Derivation> {
        self.0.values()
    }

    /// Takes over another ledger's derivations.
    pub fn extend(&mut self, other: Self) {
        self.0.extend(other.0);
    }
}
