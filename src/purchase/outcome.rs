//! What purchase hands on.

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::units::Money;
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
    /// Which engine answered and how far it proved it, in words.
    pub engine: String,
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
    /// Taken from the shelf.
    pub stock: Quantity,
    /// Bought.
    pub bought: Quantity,
    /// Left over.
    pub left: Quantity,
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
    /// Goods, freight and surcharge.
    pub total: Money,
}

/// One line of an order.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderLine {
    /// The material's id.
    pub material: String,
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
    /// Working days from order to delivery.
    pub lead_days: u32,
    /// The offer's quantity, as a decimal of all packs together.
    pub quantity: Decimal,
}
