//! What the bid hands on.

use rust_decimal::Decimal;

use crate::catalog::choices;
use crate::units::Money;

choices! {
    /// The groups of cost lines, in the order shown.
    Group {
        /// Materials as bought.
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
        /// Lump sums of the job.
        Other = "other",
    }
}

/// The price and how it comes about.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bid {
    /// The cost lines, by group.
    pub lines: Vec<BidLine>,
    /// Sum of the lines.
    pub subtotal: Money,
    /// Contingency, to the cent.
    pub contingency: Money,
    /// Overhead, to the cent.
    pub overhead: Money,
    /// Markup, to the cent.
    pub markup: Money,
    /// Tax, to the cent.
    pub tax: Money,
    /// The price with tax.
    pub total: Money,
}

/// One cost line.
#[derive(Clone, Debug, PartialEq)]
pub struct BidLine {
    /// `L001`, `L002` ….
    pub id: String,
    /// The group.
    pub group: Group,
    /// What it is.
    pub text: String,
    /// How much.
    pub quantity: Decimal,
    /// Of what.
    pub unit: String,
    /// The price of one.
    pub rate: Money,
    /// Quantity times rate, to the cent.
    pub amount: Money,
}
