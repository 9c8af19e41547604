//! How figures came about: each derivation stands behind the first figure that it explains, the others in a section of their own.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::diag::Derivation;
use crate::plan::Plan;

use super::Part;
use super::Section;

/// More derivations than this make the page too heavy to open; `plan.json` and `facelay why` have them all.
const MOST: usize = 1_500;

/// How a figure came about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct How {
    /// Its number on the page.
    pub anchor: usize,
    /// What `facelay why` knows it by.
    pub id: String,
    /// What the figure is.
    pub title: String,
    /// The figure.
    pub result: String,
    /// The formula.
    pub formula: String,
    /// What went in: name, value, and the number of the derivation that the value comes from.
    pub inputs: Vec<(String, String, Option<usize>)>,
    /// How it was rounded.
    pub rounding: Option<String>,
    /// Where formula or values come from.
    pub source: Option<String>,
}

/// What a figure opens to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Opening {
    /// How it came about.
    Here(How),
    /// The number of a derivation that stands elsewhere on the page.
    There(usize),
}

/// Hands out derivations, each once.
pub(super) struct Placer<'a> {
    numbers: BTreeMap<&'a str, (usize, &'a Derivation)>,
    placed: BTreeSet<usize>,
}

impl<'a> Placer<'a> {
    pub(super) fn new(plan: &'a Plan) -> Self {
        let numbered = plan.ledger.iter().zip(1..);
        Self {
            numbers: numbered
                .map(|(derivation, number)| (derivation.id.as_str(), (number, derivation)))
                .collect(),
            placed: BTreeSet::new(),
        }
    }

    /// What the figure of that id opens to; nothing where the ledger knows no such figure or the page is full.
    pub(super) fn open(&mut self, id: &str) -> Option<Opening> {
        let &(number, derivation) = self.numbers.get(id)?;
        if self.placed.contains(&number) {
            return Some(Opening::There(number));
        }
        self.place(number, derivation).map(Opening::Here)
    }

    fn place(&mut self, number: usize, derivation: &Derivation) -> Option<How> {
        if self.placed.len() >= MOST {
            return None;
        }
        self.placed.insert(number);
        let inputs = derivation.inputs.iter().map(|input| {
            let from = input.from.as_deref().and_then(|id| self.numbers.get(id));
            (
                input.name.clone(),
                input.value.clone(),
                from.map(|&(number, _)| number),
            )
        });
        Some(How {
            anchor: number,
            id: derivation.id.clone(),
            title: derivation.title.clone(),
            result: derivation.result.clone(),
            formula: derivation.formula.clone(),
            inputs: inputs.collect(),
            rounding: derivation.rounding.clone(),
            source: derivation.source.clone(),
        })
    }

    /// The numbers of everything handed out.
    pub(super) fn placed(self) -> BTreeSet<usize> {
        self.placed
    }
}

/// The kinds of figures, by what their ids begin with.
const KINDS: [(&str, &str); 18] = [
    ("air", "Air and fire"),
    ("bare", "Carried without a crate"),
    ("bending", "How paintings bend"),
    ("bid", "Cost lines"),
    ("crate", "Crates"),
    ("drum", "Drums"),
    ("drum-stands", "Stands to turn drums on"),
    ("drums", "Choice of drums"),
    ("drying", "Drying"),
    ("layer", "Layers"),
    ("material", "Materials"),
    ("need", "Needs by day"),
    ("order", "Orders"),
    ("panel", "Panels"),
    ("solution", "Solutions"),
    ("use", "What else is used"),
    ("waste", "Contaminated waste"),
    ("work", "Work"),
];

/// Every derivation that stands behind no figure above, by kind; none if all of them do.
pub(super) fn section(plan: &Plan, placer: &mut Placer<'_>) -> Option<Section> {
    let left: Vec<(usize, &Derivation)> = (1..)
        .zip(plan.ledger.iter())
        .filter(|(number, _)| !placer.placed.contains(number))
        .collect();
    if left.is_empty() {
        return None;
    }
    let mut kinds: BTreeMap<&str, Vec<Part>> = BTreeMap::new();
    let mut left_out = 0_usize;
    for (number, derivation) in left {
        let kind = derivation.id.split('/').next().unwrap_or("");
        match placer.place(number, derivation) {
            Some(how) => kinds.entry(kind).or_default().push(Part::How(how)),
            None => left_out += 1,
        }
    }
    let mut parts = vec![Part::Note(
        "What stands behind no figure above. The name in front of each is what `facelay why JOB NAME` prints.".to_owned(),
    )];
    parts.extend(kinds.into_iter().map(|(kind, hows)| {
        let known = KINDS.iter().find(|(name, _)| *name == kind);
        let name = known.map_or(kind, |(_, words)| words);
        Part::fold(format!("{name} ({})", hows.len()), hows)
    }));
    if left_out > 0 {
        parts.push(Part::Note(format!(
            "{left_out} more are left out, since a page with all of them could hardly be opened: `facelay why JOB NAME` prints any of them."
        )));
    }
    Some(Section {
        id: "how",
        short: "Figures",
        title: "How the other figures came about",
        parts,
    })
}
