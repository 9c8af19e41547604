//! People and equipment.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::units::Money;

/// People of one name or role.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Person {
    /// The name or role.
    pub name: String,
    /// How many.
    pub count: u32,
    /// What they can do.
    pub skills: BTreeSet<String>,
    /// What an hour costs.
    pub cost: Money,
    /// What an hour is charged at.
    pub charge: Money,
    /// Days on which they are away.
    pub away: BTreeSet<Date>,
}

/// Equipment of one name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Equipment {
    /// The name that recipes use.
    pub name: String,
    /// How many there are.
    pub count: u32,
    /// Minutes it takes to move one from one panel or bay to another and set it up; 0 if that takes no time to speak of.
    pub moving_minutes: u32,
    /// Hire of one a day; nothing if owned.
    pub hire_day: Money,
    /// Hire of one a week (seven days), if cheaper weeks are offered.
    pub hire_week: Option<Money>,
}
