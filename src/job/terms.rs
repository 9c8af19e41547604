//! Percentages, allowances and lump sums of the offer.

use crate::units::Money;
use crate::units::Percent;

/// Percentages and allowances.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Terms {
    /// On the sum of the cost lines.
    pub contingency: Percent,
    /// On cost and contingency.
    pub overhead: Percent,
    /// On all before it.
    pub markup: Percent,
    /// On the price.
    pub tax: Percent,
    /// Working days that materials should lie ready before they are used.
    pub days_in_hand: u32,
    /// Cost lines that nothing here computes: travel, lodging, permits, disposal.
    pub lump_sums: Vec<LumpSum>,
}

/// A cost line of the job's own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LumpSum {
    /// What it is.
    pub text: String,
    /// The group it is listed in.
    pub group: String,
    /// The amount.
    pub amount: Money,
}
