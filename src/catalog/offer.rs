//! Who sells what in which packs, at which price, and on which terms.

use jiff::civil::Date;
use jiff::civil::Weekday;
use rust_decimal::Decimal;

use crate::units::Money;
use crate::units::Percent;

use super::condition::choices;

/// A lower price from a number of packs on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PriceBreak {
    /// The least number of packs at this price.
    pub from_packs: u32,
    /// The price of one pack.
    pub price: Money,
}

choices! {
    /// Which packs of a line a price break lowers.
    Breaks {
        /// All packs of the line.
        All = "all-packs",
        /// Only the packs from the break on.
        Above = "packs-above",
    }
}

choices! {
    /// How lead days are counted.
    LeadDays {
        /// Monday to Friday.
        Working = "working",
        /// Every day of the calendar; what would come on a weekend comes on Monday.
        Calendar = "calendar",
    }
}

choices! {
    /// How an offer is delivered.
    Delivery {
        /// With the supplier's ordinary delivery.
        Standard = "standard",
        /// Faster, at a price of its own.
        Express = "express",
    }
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
    /// Which packs a break lowers.
    pub breaks: Breaks,
    /// The fewest packs of a line; 1 where any number can be had.
    pub least_packs: u32,
    /// Days from order to delivery.
    pub lead_days: u32,
    /// How those days are counted.
    pub lead: LeadDays,
    /// How it is delivered.
    pub delivery: Delivery,
    /// The first day the price holds.
    pub valid_from: Option<Date>,
    /// The last day the price holds.
    pub valid_until: Option<Date>,
    /// The tax on it where that is not the job's.
    pub tax: Option<Percent>,
}

impl Offer {
    /// The price of the last of so many packs; where breaks lower all packs, of each of them.
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

    /// So many packs split into those of one price each, with that price, the first packs first.
    ///
    /// ```
    /// # use facelay::catalog::*;
    /// # use facelay::units::Money;
    /// # let price = |from_packs, euros: i64| PriceBreak { from_packs, price: Money::new(euros.into()) };
    /// # let mut offer = Offer { material: String::new(), supplier: String::new(), pack: 1.into(), prices: vec![price(1, 10), price(5, 8)],
    /// #     breaks: Breaks::All, least_packs: 1, lead_days: 0, lead: LeadDays::Working, delivery: Delivery::Standard,
    /// #     valid_from: None, valid_until: None, tax: None };
    /// // 10 each, 8 each from the fifth on.
    /// assert_eq!(offer.parts_of(7), [(7, Money::new(8.into()))]);
    /// offer.breaks = Breaks::Above;
    /// assert_eq!(offer.parts_of(7), [(4, Money::new(10.into())), (3, Money::new(8.into()))]);
    /// ```
    pub fn parts_of(&self, packs: u32) -> Vec<(u32, Money)> {
        if self.breaks == Breaks::All {
            return vec![(packs, self.price_of(packs))];
        }
        let mut parts = Vec::new();
        for (index, price) in self.prices.iter().enumerate() {
            let before = price.from_packs.saturating_sub(1);
            let end = self
                .prices
                .get(index + 1)
                .map_or(packs, |next| next.from_packs.saturating_sub(1).min(packs));
            if end > before {
                parts.push((end - before, price.price));
            }
        }
        parts
    }

    /// Says whether it can be ordered on a day at its price: every choice of offers goes by this rule.
    pub fn holds_on(&self, day: Date) -> bool {
        self.pack > Decimal::ZERO
            && !self.prices.is_empty()
            && self.valid_from.is_none_or(|first| first <= day)
            && self.valid_until.is_none_or(|last| last >= day)
    }

    /// The first day from a day on on which it can be ordered; none where it has ended by then.
    pub fn first_order(&self, from: Date) -> Option<Date> {
        let first = self.valid_from.map_or(from, |first| first.max(from));
        self.holds_on(first).then_some(first)
    }

    /// The day on which it arrives when ordered on a day; nothing is sent or arrives on a weekend.
    ///
    /// ```
    /// # use facelay::catalog::*;
    /// # use jiff::civil::date;
    /// # let mut offer = Offer { material: String::new(), supplier: String::new(), pack: 1.into(), prices: Vec::new(),
    /// #     breaks: Breaks::All, least_packs: 1, lead_days: 8, lead: LeadDays::Working, delivery: Delivery::Standard,
    /// #     valid_from: None, valid_until: None, tax: None };
    /// // Ordered on a Friday.
    /// assert_eq!(offer.arrival(date(2026, 11, 20)), date(2026, 12, 2));
    /// offer.lead = LeadDays::Calendar;
    /// assert_eq!(offer.arrival(date(2026, 11, 20)), date(2026, 11, 30));
    /// ```
    pub fn arrival(&self, ordered: Date) -> Date {
        let mut day = weekday(ordered);
        for _ in 0..self.lead_days.min(LONGEST_LEAD) {
            let next = day.tomorrow().unwrap_or(day);
            day = match self.lead {
                LeadDays::Working => weekday(next),
                LeadDays::Calendar => next,
            };
        }
        weekday(day)
    }

    /// What so many packs cost, unrounded.
    pub fn cost_of(&self, packs: u32) -> Money {
        self.parts_of(packs)
            .into_iter()
            .map(|(packs, price)| price.times(packs.into()))
            .sum()
    }
}

/// No lead time is counted longer than this.
const LONGEST_LEAD: u32 = 10_000;

/// The day itself, or the Monday after a weekend.
fn weekday(mut day: Date) -> Date {
    while matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday) {
        let Ok(next) = day.tomorrow() else { break };
        day = next;
    }
    day
}

/// A supplier's terms, in the job's currency.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Supplier {
    /// The supplier's id.
    pub id: String,
    /// The name to write on orders.
    pub name: String,
    /// The currency that its prices are written in, where it is not the job's.
    pub currency: Option<String>,
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
