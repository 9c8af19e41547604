//! A problem: how bad, where, what is wrong, and what to write instead.

use std::fmt;

use super::place::Place;

/// How bad a problem is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Nothing is planned.
    Error,
    /// Planned, but somebody should look.
    Warning,
    /// Worth knowing.
    Note,
}

impl Level {
    /// The level's name in files and messages.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Note => "note",
        }
    }
}

impl fmt::Display for Level {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// One thing wrong or worth a look.
///
/// The text is lower case without a full stop, says what was found in backticks and what is allowed; each help begins
/// with a verb and can be followed as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// How bad it is.
    pub level: Level,
    /// Where it stands, if in an input file.
    pub place: Option<Place>,
    /// What is wrong.
    pub text: String,
    /// What to do.
    pub help: Vec<String>,
}

/// The problems met so far; nothing stops at the first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems(Vec<Problem>);

impl Problems {
    /// No problems yet.
    pub const fn new() -> Self {
        Self(Vec::new())
    }

    /// Adds a problem.
    pub fn push(&mut self, problem: Problem) {
        self.0.push(problem);
    }

    /// Adds an error at a place.
    pub fn error(
        &mut self,
        place: Option<Place>,
        text: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.add(Level::Error, place, text.into(), help.into());
    }

    /// Adds a warning at a place.
    pub fn warning(
        &mut self,
        place: Option<Place>,
        text: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.add(Level::Warning, place, text.into(), help.into());
    }

    /// Adds a note at a place.
    pub fn note(&mut self, place: Option<Place>, text: impl Into<String>, help: impl Into<String>) {
        self.add(Level::Note, place, text.into(), help.into());
    }

    fn add(&mut self, level: Level, place: Option<Place>, text: String, help: String) {
        let help = if help.is_empty() {
            Vec::new()
        } else {
            vec![help]
        };
        self.0.push(Problem {
            level,
            place,
            text,
            help,
        });
    }

    /// Says whether any of them is an error.
    pub fn has_errors(&self) -> bool {
        self.0.iter().any(|problem| problem.level == Level::Error)
    }

    /// Says whether there is none.
    pub const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Takes over another's problems.
    pub fn extend(&mut self, others: Self) {
        self.0.extend(others.0);
    }

    /// The problems in the order met.
    pub fn iter(&self) -> std::slice::Iter<'_, Problem> {
        self.0.iter()
    }

    /// Returns the problems sorted by place, those without a place last; equal ones once.
    #[must_use]
    pub fn sorted(mut self) -> Self {
        self.0.sort_by(|a, b| {
            let key = |problem: &Problem| {
                (
                    problem.place.is_none(),
                    problem.place.clone(),
                    problem.level,
                )
            };
            key(a).cmp(&key(b))
        });
        self.0.dedup();
        self
    }
}

impl IntoIterator for Problems {
    type Item = Problem;
    type IntoIter = std::vec::IntoIter<Problem>;
    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'a> IntoIterator for &'a Problems {
    type Item = &'a Problem;
    type IntoIter = std::slice::Iter<'a, Problem>;
    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}
