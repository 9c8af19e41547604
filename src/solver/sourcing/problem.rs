//! What is to be covered, from what, and what came of it.

/// Needs and the orders that their lines belong to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problem {
    /// The orders, by the day they arrive.
    pub orders: Vec<Order>,
    /// The needs.
    pub needs: Vec<Need>,
}

/// An order that may be sent.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Order {
    /// What sending it costs.
    pub fixed: f64,
    /// What it costs more if any need in it is hazardous.
    pub hazard: f64,
    /// What its goods must come to at least.
    pub minimum: f64,
    /// What its goods must come to for it to cost neither `fixed` nor the freight of its lines.
    pub free_from: Option<f64>,
}

/// Something needed, counted in whole units.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Need {
    /// How many units in all.
    pub amount: usize,
    /// Whether it calls for an order's hazard charge.
    pub hazardous: bool,
    /// What must be covered by when.
    pub checks: Vec<Check>,
    /// What it can be covered from, the lines of earlier orders first.
    pub lines: Vec<Line>,
}

/// So many units must be covered by the lines before one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Check {
    /// How many of the need's lines count.
    pub lines: usize,
    /// The units.
    pub amount: usize,
}

/// Packs of one size in one order.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The order, an index of the problem's.
    pub order: usize,
    /// Units in a pack.
    pub size: usize,
    /// Freight of a pack, unless the order's freight is free.
    pub freight: f64,
    /// The prices; at most one holds.
    pub tiers: Vec<Tier>,
}

/// A price for a number of packs: `fixed` and so much a pack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tier {
    /// The fewest packs at this price.
    pub from: u32,
    /// The most.
    pub most: u32,
    /// The price of a pack.
    pub price: f64,
    /// What the packs cost besides.
    pub fixed: f64,
}

/// Packs taken: for every need its lines with their packs.
pub type Plan = Vec<Vec<(usize, u32)>>;

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The cheapest plan found.
    pub plan: Option<Plan>,
    /// No plan costs less.
    pub bound: f64,
}

impl Problem {
    /// Cells that one round of covering every need fills.
    pub(super) fn cells(&self) -> u64 {
        self.needs.iter().map(Need::cells).sum()
    }
}

impl Need {
    /// Cells that covering this need fills, and a few for the bookkeeping of each line.
    pub(super) fn cells(&self) -> u64 {
        let tiers: usize = self.lines.iter().map(|line| line.tiers.len() + 1).sum();
        u64::try_from(tiers.saturating_mul(self.amount + 20)).unwrap_or(u64::MAX)
    }

    /// The orders it could use.
    pub(super) fn orders(&self) -> Vec<usize> {
        let mut orders: Vec<usize> = self.lines.iter().map(|line| line.order).collect();
        orders.sort_unstable();
        orders.dedup();
        orders
    }
}

impl Line {
    /// What so many packs cost, without freight; nothing where no price allows that number.
    pub fn goods(&self, packs: u32) -> Option<f64> {
        self.tiers
            .iter()
            .filter(|tier| tier.from <= packs && packs <= tier.most)
            .map(|tier| tier.fixed + tier.price * f64::from(packs))
            .min_by(f64::total_cmp)
    }
}
