//! How the job buys: rates of exchange, a weekly budget, how much to be sure of, and what is on its way already.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::diag::Place;
use crate::units::Money;
use crate::units::Percent;
use crate::units::Quantity;

/// The `[purchase]` table of job.toml.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Buying {
    /// What one unit of another currency is worth in the job's.
    pub rates: BTreeMap<String, Decimal>,
    /// The most that the orders sent in one week may come to.
    pub budget_week: Option<Money>,
    /// How sure the quantities have to be; none where waste factors decide.
    pub odds: Option<Odds>,
    /// What a leftover is worth, as a share of its price: what it fetches, or what it saves the next job.
    pub kept_value: Percent,
}

/// Quantities by odds: enough with the likelihood that costs least.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Odds {
    /// What a day costs on which the crew stands.
    pub stopped_day: Money,
    /// How far use strays from the spread rates, as a standard deviation: resins and liquids.
    pub spread_rates: Percent,
    /// How far use strays from the waste allowed for, as a standard deviation: sheets and rolls.
    pub spread_waste: Percent,
}

/// Some of a material on the shelf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shelved {
    /// How much.
    pub amount: Decimal,
    /// The day it came, from which its storage life counts.
    pub received: Option<Date>,
}

/// Something ordered that has not come yet.
#[derive(Clone, Debug, PartialEq)]
pub struct Ordered {
    /// Where it is written.
    pub at: Place,
    /// The material's id.
    pub material: String,
    /// How much.
    pub quantity: Quantity,
    /// From whom.
    pub supplier: String,
    /// The day it was ordered, if somebody wrote it.
    pub ordered: Option<Date>,
    /// The day for which it is promised.
    pub promised: Date,
}

/// Something ordered that has come, and so is on the shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Received {
    /// Where it is written.
    pub at: Place,
    /// The material's id.
    pub material: String,
    /// How much.
    pub quantity: Quantity,
    /// From whom.
    pub supplier: String,
    /// The day it was ordered, if somebody wrote it.
    pub ordered: Option<Date>,
    /// The day it came, if somebody wrote it.
    pub received: Option<Date>,
}
