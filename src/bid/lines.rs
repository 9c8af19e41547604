//! A cost line before it has its number.

use rust_decimal::Decimal;

use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::units::Money;

use super::outcome::BidLine;
use crate::job::CostGroup;

/// A cost line with what its derivation says.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Draft {
    pub(super) group: CostGroup,
    pub(super) text: String,
    pub(super) quantity: Decimal,
    pub(super) unit: String,
    pub(super) rate: Money,
    /// Inputs of the derivation: name, value, and the derivation it comes from.
    pub(super) inputs: Vec<(String, String, Option<String>)>,
}

impl Draft {
    /// Numbers the line, rounds its amount and writes down how it came about.
    pub(super) fn line(self, number: usize, currency: &str, ledger: &mut Ledger) -> BidLine {
        let id = format!("L{number:03}");
        let amount = self.rate.times(self.quantity).cents();
        let mut derivation = Derivation::new(
            format!("bid/{id}"),
            self.text.clone(),
            format!("{amount} {currency}"),
            "quantity × rate",
        );
        derivation = derivation
            .input("quantity", format!("{} {}", self.quantity, self.unit))
            .input("rate", self.rate);
        for (name, value, from) in self.inputs {
            derivation = match from {
                Some(from) => derivation.input_from(name, value, from),
                None => derivation.input(name, value),
            };
        }
        ledger.record(derivation.rounded("to the cent, halves away from zero"));
        BidLine {
            id,
            group: self.group,
            text: self.text,
            quantity: self.quantity,
            unit: self.unit,
            rate: self.rate,
            amount,
        }
    }
}
