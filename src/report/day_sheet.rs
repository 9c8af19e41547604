//! A day's sheet to hang up, as data.

use jiff::civil::Date;

/// A day to hang up: people down, times across, and below it what else the day asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct DaySheet {
    /// The day.
    pub day: Date,
    /// First and last minute of the day shown; whole hours.
    pub hours: (u16, u16),
    /// A row a person: the name and what is done from when to when, in order and apart.
    pub rows: Vec<(String, Vec<Stretch>)>,
    /// Headings with their lines.
    pub sections: Vec<(String, Vec<String>)>,
}

/// What somebody does from a minute of the day to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// First minute.
    pub from: u16,
    /// The minute after the last.
    pub to: u16,
    /// The panel or crate.
    pub subject: String,
    /// The step, in a few words.
    pub step: String,
}
