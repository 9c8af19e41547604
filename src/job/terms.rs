//! Percentages, allowances and own cost lines of the offer.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::catalog::choices;
use crate::units::Money;
use crate::units::Percent;

choices! {
    /// The groups of cost lines, in the order shown.
    CostGroup {
        /// Materials as bought or as used.
        Materials = "materials",
        /// Freight and surcharges of orders.
        Freight = "freight",
        /// Labour by role.
        Labour = "labour",
        /// Equipment by days held.
        Equipment = "equipment",
        /// Drums and what goes with them.
        Drums = "drums",
        /// Crates.
        Crates = "crates",
        /// Contaminated waste.
        Disposal = "disposal",
        /// Travel.
        Travel = "travel",
        /// Lodging and daily allowances.
        Lodging = "lodging",
        /// Permits, surveys and tests.
        Tests = "tests",
        /// What others do for a lump sum.
        Others = "others",
        /// Everything else that the job lists.
        Other = "other",
    }
}

choices! {
    /// What an own cost line is paid by.
    PaidPer {
        /// Once.
        Job = "job",
        /// Each day on which anybody works at the site.
        SiteDay = "site-day",
        /// Each day of each person at the site.
        PersonDay = "person-day",
    }
}

choices! {
    /// What materials stand in the bid at.
    MaterialsAt {
        /// Whole packs, as ordered.
        Bought = "as-bought",
        /// The share of each pack that the job uses up.
        Used = "as-used",
    }
}

choices! {
    /// Which rate labour stands in the bid at.
    LabourAt {
        /// What the client is charged.
        Charge = "charge",
        /// What it costs.
        Cost = "cost",
    }
}

/// Percentages and allowances.
#[derive(Clone, Debug, PartialEq)]
pub struct Terms {
    /// On the sum of the cost lines, for groups without a percentage of their own.
    pub contingency: Percent,
    /// On the sum of a group's cost lines, instead of [`Terms::contingency`].
    pub contingency_of: BTreeMap<CostGroup, Percent>,
    /// On cost and contingency.
    pub overhead: Percent,
    /// On all before it.
    pub markup: Percent,
    /// On the price.
    pub tax: Percent,
    /// Working days that materials should lie ready before they are used.
    pub days_in_hand: u32,
    /// What materials are priced at.
    pub materials: MaterialsAt,
    /// Which rate labour is priced at.
    pub labour: LabourAt,
    /// What contaminated waste costs, if the job says.
    pub disposal: Option<Disposal>,
    /// Cost lines of the job's own: travel, lodging, permits.
    pub own_lines: Vec<OwnLine>,
}

impl Default for Terms {
    fn default() -> Self {
        Self {
            contingency: Percent::ZERO,
            contingency_of: BTreeMap::new(),
            overhead: Percent::ZERO,
            markup: Percent::ZERO,
            tax: Percent::ZERO,
            days_in_hand: 0,
            materials: MaterialsAt::Bought,
            labour: LabourAt::Charge,
            disposal: None,
            own_lines: Vec::new(),
        }
    }
}

impl Terms {
    /// The contingency of a group.
    pub fn contingency_on(&self, group: CostGroup) -> Percent {
        self.contingency_of
            .get(&group)
            .copied()
            .unwrap_or(self.contingency)
    }
}

/// What a licensed carrier takes for contaminated waste.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Disposal {
    /// The price of a kilogram.
    pub per_kg: Money,
    /// The least that a collection costs.
    pub least: Money,
}

/// A cost line of the job's own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnLine {
    /// What it is.
    pub text: String,
    /// The group it is listed in.
    pub group: CostGroup,
    /// How many, before it is multiplied by days.
    pub quantity: Decimal,
    /// Of what.
    pub unit: String,
    /// The price of one.
    pub rate: Money,
    /// What it is paid by.
    pub per: PaidPer,
}
