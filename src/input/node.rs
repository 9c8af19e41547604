//! A TOML file as an owned tree whose every key and value keeps its span.

use std::ops::Range;

use jiff::civil::Date;
use toml::Spanned;
use toml::de::DeTable;
use toml::de::DeValue;

use super::field::Raw;

/// A value with its span in bytes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Node {
    pub(super) span: (usize, usize),
    value: Value,
}

/// A key with its value.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Entry {
    pub(super) key: String,
    pub(super) key_span: (usize, usize),
    pub(super) node: Node,
}

#[derive(Clone, Debug, PartialEq)]
enum Value {
    Text(String),
    Number(String),
    Bool(bool),
    Date(Date),
    Other(String),
    List(Vec<Node>),
    Table(Vec<Entry>),
}

impl Node {
    /// The value as a field sees it.
    pub(super) fn raw(&self) -> Raw<'_> {
        match &self.value {
            Value::Text(text) => Raw::Text(text),
            Value::Number(text) => Raw::Number(text),
            Value::Bool(value) => Raw::Bool(*value),
            Value::Date(date) => Raw::Date(*date),
            Value::Other(text) => Raw::Error(text),
            Value::List(nodes) => Raw::List(nodes),
            Value::Table(entries) => Raw::Table(entries),
        }
    }
}

/// Takes a parsed table over, its keys in the order written.
pub(super) fn entries(table: &DeTable<'_>) -> Vec<Entry> {
    let mut entries: Vec<Entry> = table
        .iter()
        .map(|(key, value)| Entry {
            key: key.get_ref().to_string(),
            key_span: pair(&key.span()),
            node: node(value),
        })
        .collect();
    entries.sort_by_key(|entry| entry.key_span);
    entries
}

fn node(value: &Spanned<DeValue<'_>>) -> Node {
    let span = pair(&value.span());
    let value = match value.get_ref() {
        DeValue::String(text) => Value::Text(text.to_string()),
        DeValue::Integer(number) => Value::Number(integer(number.as_str(), number.radix())),
        DeValue::Float(number) => Value::Number(super::digits::plain(number.as_str())),
        DeValue::Boolean(value) => Value::Bool(*value),
        DeValue::Datetime(time) => {
            date(*time).map_or_else(|| Value::Other(time.to_string()), Value::Date)
        }
        DeValue::Array(items) => Value::List(items.iter().map(node).collect()),
        DeValue::Table(table) => Value::Table(entries(table)),
    };
    Node { span, value }
}

fn pair(span: &Range<usize>) -> (usize, usize) {
    (span.start, span.end)
}

/// Writes an integer in decimal digits; one too large for 128 bits stays as written.
fn integer(digits: &str, radix: u32) -> String {
    if radix == 10 {
        return digits.trim_start_matches('+').to_owned();
    }
    i128::from_str_radix(digits, radix)
        .map_or_else(|_| digits.to_owned(), |number| number.to_string())
}

/// A date alone; a time of day is none.
fn date(time: toml::value::Datetime) -> Option<Date> {
    let date = time.date.filter(|_| time.time.is_none())?;
    let parts = (
        i16::try_from(date.year),
        i8::try_from(date.month),
        i8::try_from(date.day),
    );
    match parts {
        (Ok(year), Ok(month), Ok(day)) => Date::new(year, month, day).ok(),
        _ => None,
    }
}
