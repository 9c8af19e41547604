//! Who sells what in which packs, at which price, and on which terms.

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::units::Money;

/// A lower price from a number of packs on, for all packs of the line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PriceBreak {
    /// The least number of packs at this price.
    pub from_packs: u32,
    /// The price of one pack.
    pub price: Money,
}

/// One supplier's offer of one material in one pack size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The material's id.
    pub material: String,
    /// The supplier's id.
    pub supplier: String,
    /// How much one pack holds, in the material's unit.
    pub pack: Decimal,
    /// Prices by number of packs; the first starts at 1 and each later one at more packs.
    pub prices: Vec<PriceBreak>,
    /// Working days (Monday to Friday) from order to delivery.
    pub lead_days: u32,
    /// The last day the price holds.
    pub valid_until: Option<Date>,
}

impl Offer {
    /// The price of one pack when so many are bought.
    pub fn price_of(&self, packs: u32) -> Money {
        let reached = self
            .prices
            .iter()
            .rev()
            .find(|price| packs >= price.from_packs);
        reached
            .or(self.prices.first())
            .map_or(Money::ZERO, |price| price.price)
    }
}

/// A supplier's terms.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Supplier {
    /// The supplier's id.
    pub id: String,
    /// The name to write on orders.
    pub name: String,
    /// The least goods value of an order.
    pub minimum_order: Money,
    /// Freight that every order costs.
    pub freight_fixed: Money,
    /// Freight for each kilogram.
    pub freight_per_kg: Money,
    /// Goods value from which freight costs nothing.
    pub freight_free_from: Option<Money>,
    /// Surcharge on an order that holds anything hazardous.
    pub hazard_surcharge: Money,
}
