//! A TOML file: its sections and keys, with their lines; every syntax error at once.

use toml::de::DeTable;

use crate::diag::Place;
use crate::diag::Problems;
use crate::diag::nearest;
use crate::units::NumberStyle;

use super::encoding::decode;
use super::field::Field;
use super::field::Origin;
use super::field::Raw;
use super::node::Entry;
use super::node::Node;
use super::node::entries;
use super::syntax;

/// The longest line that a message shows, in characters.
const LONGEST_EXCERPT: usize = 400;

/// A TOML file that has been read.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    file: String,
    text: String,
    line_starts: Vec<usize>,
    style: NumberStyle,
    entries: Vec<Entry>,
}

impl Document {
    /// Reads a TOML file; every syntax error becomes a problem, and any gives none.
    pub fn read(
        file: &str,
        bytes: &[u8],
        style: NumberStyle,
        problems: &mut Problems,
    ) -> Option<Self> {
        if bytes.len() > super::MOST_BYTES {
            let place = Place::File {
                file: file.to_owned(),
            };
            problems.error(
                Some(place),
                "the file is larger than 64 MB",
                "write the tables in panels.xlsx or panels.csv",
            );
            return None;
        }
        let text = decode(file, bytes, problems)?;
        let line_starts = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(at, _)| at + 1))
            .collect();
        let mut document = Self {
            file: file.to_owned(),
            text,
            line_starts,
            style,
            entries: Vec::new(),
        };
        let (table, errors) = DeTable::parse_recoverable(&document.text);
        let entries = entries(table.get_ref());
        if !errors.is_empty() {
            document.report(&errors, problems);
            return None;
        }
        document.entries = entries;
        Some(document)
    }

    /// Pushes the syntax errors, the first of each line: those after it mostly follow from it.
    fn report(&self, errors: &[toml::de::Error], problems: &mut Problems) {
        let mut found: Vec<(usize, (usize, usize), &str)> = errors
            .iter()
            .map(|error| {
                let span = error.span().map_or((0, 0), |span| (span.start, span.end));
                (self.line_of(span.0), span, error.message())
            })
            .collect();
        found.sort_by_key(|(_, span, _)| *span);
        found.dedup_by_key(|(line, _, _)| *line);
        for (_, span, message) in found {
            let message = message.lines().collect::<Vec<_>>().join("; ");
            let (text, help) = syntax::told(&message, self.line(self.line_of(span.0)));
            problems.error(Some(self.place(span)), text, help);
        }
    }

    /// Sets how bare lengths and decimal marks are read from here on.
    pub const fn set_style(&mut self, style: NumberStyle) {
        self.style = style;
    }

    /// How bare lengths and decimal marks are read.
    pub const fn style(&self) -> NumberStyle {
        self.style
    }

    /// The file's name.
    pub fn file(&self) -> &str {
        &self.file
    }

    /// The keys at the top of the file.
    pub fn root(&self) -> Section<'_> {
        Section {
            document: self,
            entries: &self.entries,
            span: None,
        }
    }

    pub(super) fn field<'a>(&'a self, name: &'a str, node: &'a Node) -> Field<'a> {
        Field {
            name,
            raw: node.raw(),
            origin: Origin::Toml {
                document: self,
                span: node.span,
            },
        }
    }

    /// The place of a span of bytes: its first line only. An empty span at the file's start means the whole file.
    pub(super) fn place(&self, span: (usize, usize)) -> Place {
        if span == (0, 0) {
            return Place::File {
                file: self.file.clone(),
            };
        }
        let line = self.line_of(span.0);
        let start = self.line_starts.get(line).copied().unwrap_or(0);
        let shown = self.line(line);
        let before = shown
            .get(..span.0.saturating_sub(start))
            .unwrap_or(shown)
            .chars()
            .count();
        let until = shown
            .get(..span.1.saturating_sub(start))
            .unwrap_or(shown)
            .chars()
            .count();
        Place::Toml {
            file: self.file.clone(),
            line: line + 1,
            column: before + 1,
            width: until.saturating_sub(before).max(1),
            excerpt: shown.chars().take(LONGEST_EXCERPT).collect(),
        }
    }

    /// What stands in the file from one byte to another.
    pub(super) fn source(&self, span: (usize, usize)) -> &str {
        self.text.get(span.0..span.1).unwrap_or("")
    }

    /// A line's text.
    fn line(&self, line: usize) -> &str {
        let start = self.line_starts.get(line).copied().unwrap_or(0);
        let rest = self.text.get(start..).unwrap_or("");
        rest.split('\n').next().unwrap_or("").trim_end_matches('\r')
    }

    fn line_of(&self, at: usize) -> usize {
        self.line_starts
            .partition_point(|start| *start <= at)
            .saturating_sub(1)
    }
}

/// The keys of one table of a TOML file.
#[derive(Clone, Copy, Debug)]
pub struct Section<'a> {
    document: &'a Document,
    entries: &'a [Entry],
    span: Option<(usize, usize)>,
}

impl<'a> Section<'a> {
    pub(super) const fn new(
        document: &'a Document,
        entries: &'a [Entry],
        span: (usize, usize),
    ) -> Self {
        Self {
            document,
            entries,
            span: Some(span),
        }
    }

    /// The value of a key; a key that is not there is blank.
    pub fn field(&self, key: &'a str) -> Field<'a> {
        match self.entries.iter().find(|entry| entry.key == key) {
            Some(entry) => self.document.field(&entry.key, &entry.node),
            None => Field {
                name: key,
                raw: Raw::Blank,
                origin: self.origin(),
            },
        }
    }

    /// Reads the list of tables of a key, at least one.
    pub fn required_sections(&self, key: &'a str, problems: &mut Problems) -> Vec<Self> {
        if !self.has(key) {
            let text = format!("there is no table `[[{key}]]`");
            problems.error(
                Some(self.place()),
                text,
                format!("add one: a line `[[{key}]]`, and its keys below"),
            );
        }
        self.field(key).sections(problems)
    }

    /// Says whether a key is there.
    pub fn has(&self, key: &str) -> bool {
        self.entries.iter().any(|entry| entry.key == key)
    }

    /// All keys with their values, in the order written.
    pub fn entries(&self) -> impl Iterator<Item = Field<'a>> + use<'a> {
        let document = self.document;
        self.entries
            .iter()
            .map(move |entry| document.field(&entry.key, &entry.node))
    }

    /// Pushes an error for every key that is none of the known ones.
    pub fn known(&self, keys: &[&str], problems: &mut Problems) {
        for entry in self
            .entries
            .iter()
            .filter(|entry| !keys.contains(&entry.key.as_str()))
        {
            let help = match nearest(&entry.key, keys.iter().copied()) {
                Some(near) => format!("write `{near}` if that is meant, or delete the line"),
                None => format!(
                    "use one of {}, or delete the line",
                    crate::diag::list(keys, "or")
                ),
            };
            let place = self.document.place(entry.key_span);
            problems.error(
                Some(place),
                format!(
                    "the key `{}` is not known here",
                    super::field::shortened(&entry.key)
                ),
                help,
            );
        }
    }

    /// Where the table begins.
    pub fn place(&self) -> Place {
        self.document.place(self.span.unwrap_or((0, 0)))
    }

    /// The place of a key's name, to say that the key does not belong.
    pub fn key_place(&self, key: &str) -> Place {
        let entry = self.entries.iter().find(|entry| entry.key == key);
        entry.map_or_else(|| self.place(), |entry| self.document.place(entry.key_span))
    }

    const fn origin(&self) -> Origin<'a> {
        let span = match self.span {
            Some(span) => span,
            None => (0, 0),
        };
        Origin::Toml {
            document: self.document,
            span,
        }
    }
}
