//! What purchase hands on.

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::units::Money;
use crate::units::Percent;
use crate::units::Quantity;

/// What is needed, what is there, what is ordered.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Purchase {
    /// What is needed, by material and day.
    pub demands: Vec<Demand>,
    /// What is on the shelf and used, by material.
    pub from_stock: Vec<(String, Quantity)>,
    /// Each bought material, summed up.
    pub bought: Vec<Bought>,
    /// The orders, by order day and supplier.
    pub orders: Vec<Order>,
    /// Goods, freight and surcharges together.
    pub total: Money,
    /// No purchase can cost less than this.
    pub lower_bound: Money,
    /// What stands on the shelf when the job is done.
    pub shelf_after: Vec<Kept>,
    /// What is on its way already and used, by material.
    pub of_ordered: Vec<(String, Quantity)>,
    /// Which engine answered and how far it proved it, in words.
    pub engine: String,
}

impl Purchase {
    /// How sure it is that nothing costs less, in words for whoever buys.
    pub fn sure(&self) -> String {
        if self.orders.is_empty() {
            "nothing to buy".to_owned()
        } else if self.lower_bound >= self.total.cents() {
            "proved: no other way to buy all of it costs less".to_owned()
        } else {
            format!(
                "the best found: no way to buy all of it costs less than {}",
                self.lower_bound
            )
        }
    }
}

/// Some of a material that stands on the shelf after the job.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// The material's id.
    pub material: String,
    /// How much.
    pub quantity: Quantity,
    /// The day it came.
    pub received: Option<Date>,
    /// Where it comes from, or how long it keeps.
    pub notes: String,
}

/// An amount of a material needed by a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Demand {
    /// The material's id.
    pub material: String,
    /// How much, rounded once.
    pub quantity: Quantity,
    /// The day it must lie ready.
    pub need_by: Date,
    /// The first step that uses it, in words.
    pub first_use: String,
    /// The derivation's id.
    pub because: String,
}

/// A material over the whole job.
#[derive(Clone, Debug, PartialEq)]
pub struct Bought {
    /// The material's id.
    pub material: String,
    /// Needed in all.
    pub need: Quantity,
    /// Of that, what is there to be sure that it is enough; less than nothing where the odds call for less.
    pub safety: Decimal,
    /// Taken from the shelf.
    pub stock: Quantity,
    /// Ordered already and on its way.
    pub ordered: Quantity,
    /// Bought.
    pub bought: Quantity,
    /// The packs, in words.
    pub packs: String,
    /// Left over.
    pub left: Quantity,
    /// What of that are unopened packs, in words: to return or to keep.
    pub unopened: String,
    /// What the leftover is worth to the next job or a buyer.
    pub left_value: Money,
    /// The first use, in words.
    pub first_use: String,
    /// The last day to order the first of it.
    pub order_by: Option<Date>,
    /// The day the first of it arrives.
    pub arrives: Option<Date>,
    /// The first day it must lie ready.
    pub need_by: Date,
    /// Cost of the goods.
    pub cost: Money,
    /// Why this supplier and pack, in words.
    pub chosen: String,
}

/// One order to one supplier.
#[derive(Clone, Debug, PartialEq)]
pub struct Order {
    /// The supplier's id.
    pub supplier: String,
    /// The last day to send it.
    pub order_by: Date,
    /// The day it arrives when sent on the order day.
    pub arrives: Date,
    /// What is ordered.
    pub lines: Vec<OrderLine>,
    /// Goods, rounded line by line.
    pub goods: Money,
    /// Freight.
    pub freight: Money,
    /// Hazard surcharge.
    pub surcharge: Money,
    /// Goods, freight and surcharge, before tax.
    pub total: Money,
    /// Tax on all of it: on each line its own, on freight and surcharge the job's.
    pub tax: Money,
    /// What it weighs, in kilograms.
    pub kilograms: Decimal,
}

/// One line of an order.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderLine {
    /// The material's id.
    pub material: String,
    /// The material that is needed; another than the one ordered where a substitute is.
    pub serves: String,
    /// How much one pack holds, in the material's unit.
    pub pack: Quantity,
    /// How many packs.
    pub packs: u32,
    /// The price of one pack.
    pub unit_price: Money,
    /// Packs times price, to the cent.
    pub amount: Money,
    /// The day the material must lie ready.
    pub need_by: Date,
    /// Days from order to delivery.
    pub lead_days: u32,
    /// Whether it comes by express.
    pub is_express: bool,
    /// What one pack weighs, in kilograms.
    pub kilograms: Decimal,
    /// The tax on it.
    pub tax: Percent,
    /// The offer's quantity, as a decimal of all packs together.
    pub quantity: Decimal,
}
