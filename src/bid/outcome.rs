//! What the bid hands on.

use rust_decimal::Decimal;

use crate::job::CostGroup;
use crate::units::Mass;
use crate::units::Money;

/// The price and how it comes about.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bid {
    /// The cost lines, by group.
    pub lines: Vec<BidLine>,
    /// Sum of the lines.
    pub subtotal: Money,
    /// Contingency of each group that has lines, to the cent.
    pub contingencies: Vec<(CostGroup, Money)>,
    /// Their sum.
    pub contingency: Money,
    /// Overhead, to the cent.
    pub overhead: Money,
    /// Markup, to the cent.
    pub markup: Money,
    /// Tax, to the cent.
    pub tax: Money,
    /// The price with tax.
    pub total: Money,
    /// Hours of each row of people, at cost and as charged.
    pub labour: Vec<LabourRow>,
    /// Contaminated waste that the job leaves behind.
    pub waste: Vec<Waste>,
}

/// One cost line.
#[derive(Clone, Debug, PartialEq)]
pub struct BidLine {
    /// `L001`, `L002` ….
    pub id: String,
    /// The group.
    pub group: CostGroup,
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

/// The hours of one row of people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LabourRow {
    /// The row, an index of the job's people.
    pub row: usize,
    /// Hours at work, to the hundredth.
    pub hours: Decimal,
    /// What they cost, to the cent.
    pub cost: Money,
    /// What they are charged at, to the cent.
    pub charge: Money,
}

/// One kind of contaminated waste.
#[derive(Clone, Debug, PartialEq)]
pub struct Waste {
    /// What it is.
    pub text: String,
    /// How much, unrounded.
    pub mass: Mass,
    /// The derivation that explains it.
    pub because: String,
}
