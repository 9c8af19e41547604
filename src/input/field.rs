//! One value of a cell or a TOML key, with its place; the measures it can be read as stand in `measures.rs`.

use jiff::civil::Date;

use crate::diag::Level;
use crate::diag::Place;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::units::LengthUnit;
use crate::units::NumberStyle;

use super::document::Document;
use super::document::Section;
use super::node::Entry;
use super::node::Node;
use super::table::Table;

/// What stands in a cell or behind a key.
#[derive(Clone, Copy, Debug)]
pub(super) enum Raw<'a> {
    Blank,
    Text(&'a str),
    /// A number in plain digits with a decimal point.
    Number(&'a str),
    Bool(bool),
    Date(Date),
    /// What a spreadsheet shows for a formula that failed, or a TOML value that no key here takes.
    Error(&'a str),
    List(&'a [Node]),
    Table(&'a [Entry]),
}

/// Where a value stands.
#[derive(Clone, Copy, Debug)]
pub(super) enum Origin<'a> {
    Cell {
        table: &'a Table,
        row: usize,
        column: Option<usize>,
    },
    Toml {
        document: &'a Document,
        span: (usize, usize),
    },
}

/// One value of a cell or a TOML key.
///
/// Every reading function pushes its problem and then returns none; a blank value returns none without a problem,
/// unless [`Field::required`] was asked first.
#[derive(Clone, Copy, Debug)]
pub struct Field<'a> {
    pub(super) name: &'a str,
    pub(super) raw: Raw<'a>,
    pub(super) origin: Origin<'a>,
}

impl<'a> Field<'a> {
    /// The heading or key.
    pub const fn name(&self) -> &'a str {
        self.name
    }

    /// Where the value stands; for a missing key the section it is missing from.
    pub fn place(&self) -> Place {
        match self.origin {
            Origin::Cell { table, row, column } => table.cell_place(row, column),
            Origin::Toml { document, span } => document.place(span),
        }
    }

    /// Says whether nothing is written.
    pub fn is_blank(&self) -> bool {
        match self.raw {
            Raw::Blank => true,
            Raw::Text(text) => text.trim().is_empty(),
            Raw::Number(_)
            | Raw::Bool(_)
            | Raw::Date(_)
            | Raw::Error(_)
            | Raw::List(_)
            | Raw::Table(_) => false,
        }
    }

    /// The value as a person wrote it, for messages.
    pub fn shown(&self) -> String {
        match self.raw {
            Raw::Blank => String::new(),
            Raw::Text(text) | Raw::Number(text) | Raw::Error(text) => shortened(text),
            Raw::Bool(value) => value.to_string(),
            Raw::Date(date) => date.to_string(),
            Raw::List(_) => self.source('[').unwrap_or_else(|| "[…]".to_owned()),
            Raw::Table(_) => self.source('{').unwrap_or_else(|| "{…}".to_owned()),
        }
    }

    /// A list or table as it stands in its file, if it is written as one value, which begins so.
    fn source(&self, begin: char) -> Option<String> {
        let Origin::Toml { document, span } = self.origin else {
            return None;
        };
        let source = document.source(span);
        let is_header = begin == '[' && source.starts_with("[[") && !source.ends_with("]]");
        (source.starts_with(begin) && !is_header).then(|| shortened(source))
    }

    /// Pushes an error at the value's place.
    pub fn problem(
        &self,
        text: impl Into<String>,
        help: impl Into<String>,
        problems: &mut Problems,
    ) {
        self.push(Level::Error, text.into(), help.into(), problems);
    }

    /// Pushes a warning at the value's place.
    pub fn warning(
        &self,
        text: impl Into<String>,
        help: impl Into<String>,
        problems: &mut Problems,
    ) {
        self.push(Level::Warning, text.into(), help.into(), problems);
    }

    fn push(&self, level: Level, text: String, help: String, problems: &mut Problems) {
        let text = match self.origin {
            Origin::Cell { .. } => text,
            Origin::Toml { .. } => format!("{}: {text}", self.name),
        };
        let help = if help.is_empty() {
            Vec::new()
        } else {
            vec![help]
        };
        problems.push(Problem {
            level,
            place: Some(self.place()),
            text,
            help,
        });
    }

    /// Pushes an error if nothing is written.
    #[must_use]
    pub fn required(self, problems: &mut Problems) -> Self {
        if self.is_blank() {
            let (text, help) = match (self.origin, self.raw) {
                (Origin::Cell { .. }, _) => (
                    format!("`{}` is blank", self.name),
                    "fill in the cell".to_owned(),
                ),
                (_, Raw::Blank) => (
                    "the key is missing".to_owned(),
                    format!("add a line that begins `{} = `", self.name),
                ),
                _ => (
                    "the text is empty".to_owned(),
                    "write something between the quotation marks".to_owned(),
                ),
            };
            self.problem(text, help, problems);
        }
        self
    }

    /// Reads text without spaces at its ends; a number in a cell gives its digits.
    pub fn text(&self, problems: &mut Problems) -> Option<String> {
        if self.is_blank() {
            return None;
        }
        match (self.raw, self.origin) {
            (Raw::Text(text), _) => Some(text.trim().to_owned()),
            (Raw::Number(text), Origin::Cell { .. }) => Some(text.to_owned()),
            (Raw::Date(date), Origin::Cell { .. }) => Some(date.to_string()),
            (Raw::Bool(value), Origin::Cell { .. }) => Some(value.to_string()),
            _ => {
                let help = format!("write it in quotation marks: `{} = \"…\"`", self.name);
                self.mismatch("a text", &help, problems);
                None
            }
        }
    }

    /// Reads one of the words of a list of choices.
    pub fn choice<T: Copy>(
        &self,
        all: &[T],
        name: fn(T) -> &'static str,
        problems: &mut Problems,
    ) -> Option<T> {
        let word = self.text(problems)?;
        let plain = normalised(&word);
        let found = all
            .iter()
            .copied()
            .find(|choice| normalised(name(*choice)) == plain);
        if found.is_none() {
            let names: Vec<&str> = all.iter().map(|choice| name(*choice)).collect();
            self.unknown_word(&word, &names, problems);
        }
        found
    }

    /// Reads one of some words.
    pub fn one_of(&self, words: &[&'static str], problems: &mut Problems) -> Option<&'static str> {
        self.choice(words, |word| word, problems)
    }

    fn unknown_word(&self, word: &str, names: &[&str], problems: &mut Problems) {
        let text = format!(
            "`{}` is not one of the words allowed here: {}",
            shortened(word),
            list(names, "or")
        );
        let help = match nearest(word, names.iter().copied()) {
            Some(near) => format!("write `{near}` if that is meant"),
            None => "write one of these words".to_owned(),
        };
        self.problem(text, help, problems);
    }

    /// Reads yes or no.
    pub fn yes_no(&self, problems: &mut Problems) -> Option<bool> {
        if self.is_blank() {
            return None;
        }
        match self.shown().trim().to_lowercase().as_str() {
            "yes" | "y" | "true" | "1" => Some(true),
            "no" | "n" | "false" | "0" => Some(false),
            _ => {
                self.problem(
                    format!("`{}` is neither yes nor no", self.shown()),
                    "write `yes` or `no`",
                    problems,
                );
                None
            }
        }
    }

    /// Reads the items of a TOML list; a single value counts as a list of one, a blank one as an empty list.
    pub fn list(&self, problems: &mut Problems) -> Vec<Self> {
        let _ = problems;
        match (self.raw, self.origin) {
            (Raw::List(nodes), Origin::Toml { document, .. }) => nodes
                .iter()
                .map(|node| document.field(self.name, node))
                .collect(),
            (Raw::Blank, _) => Vec::new(),
            _ => vec![*self],
        }
    }

    /// Reads a TOML table.
    pub fn section(&self, problems: &mut Problems) -> Option<Section<'a>> {
        match (self.raw, self.origin) {
            (Raw::Table(entries), Origin::Toml { document, span }) => {
                Some(Section::new(document, entries, span))
            }
            (Raw::Blank, _) => None,
            _ => {
                let help = format!(
                    "write its keys below a line `[{0}]` (`[….{0}]` within another table), or `{0} = {{ … }}`",
                    self.name
                );
                self.mismatch("a table", &help, problems);
                None
            }
        }
    }

    /// Reads a list of TOML tables.
    pub fn sections(&self, problems: &mut Problems) -> Vec<Section<'a>> {
        let mut sections = Vec::new();
        for item in self.list(problems) {
            if matches!(item.raw, Raw::Table(_)) {
                sections.extend(item.section(problems));
                continue;
            }
            let help = format!(
                "write its keys below a line `[[{0}]]`, or `[[….{0}]]` within another table",
                self.name
            );
            item.mismatch("a table", &help, problems);
        }
        sections
    }

    /// The unit of its bare lengths.
    pub fn unit(&self) -> LengthUnit {
        self.number_style().unit
    }

    /// The style in which its numbers are written: a number that is one in its file has a decimal point.
    pub fn number_style(&self) -> NumberStyle {
        let style = match self.origin {
            Origin::Cell { table, .. } => table.style(),
            Origin::Toml { document, .. } => document.style(),
        };
        NumberStyle {
            decimal_comma: style.decimal_comma && !matches!(self.raw, Raw::Number(_)),
            ..style
        }
    }

    /// Pushes an error that the value is of the wrong sort.
    pub(super) fn mismatch(&self, wanted: &str, help: &str, problems: &mut Problems) {
        let (text, help) = match (self.raw, self.origin) {
            (Raw::Error(error), Origin::Cell { .. }) => (
                format!("the cell shows the error `{error}`"),
                "mend the formula, or write the value itself",
            ),
            _ => (
                format!(
                    "`{}` is {}, where {wanted} is needed",
                    self.shown(),
                    self.sort()
                ),
                help,
            ),
        };
        self.problem(text, help, problems);
    }

    fn sort(&self) -> &'static str {
        match self.raw {
            Raw::Blank => "blank",
            Raw::Text(_) => "a text",
            Raw::Number(_) => "a number",
            Raw::Bool(_) => "true or false",
            Raw::Date(_) => "a date",
            Raw::Error(_) => "a time or another value that is not used here",
            Raw::List(_) => "a list",
            Raw::Table(_) => "a table",
        }
    }
}

/// Writes names alike: lower case without spaces, hyphens and underscores.
pub(super) fn normalised(name: &str) -> String {
    name.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '_' | '-' | '\u{feff}'))
        .flat_map(char::to_lowercase)
        .collect()
}

/// Cuts a text to what fits in a message, on one line.
pub(super) fn shortened(text: &str) -> String {
    let line: String = text
        .trim()
        .chars()
        .take(61)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if line.chars().count() > 60 {
        line.chars().take(59).chain(['…']).collect()
    } else {
        line
    }
}
