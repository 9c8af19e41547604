//! What a draw costs: the plan's own cost lines with other hours, quantities, prices and days.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;

use crate::bid::Bid;
use crate::job::CostGroup;
use crate::job::Job;
use crate::job::LabourAt;
use crate::job::MaterialsAt;
use crate::job::PaidPer;
use crate::job::SpreadOf;
use crate::purchase::Purchase;
use crate::schedule::Schedule;
use crate::units::Money;

use super::clock::DAY;
use super::days::Chain;
use super::days::Link;
use super::days::Run;
use super::draw::Counts;
use super::draw::Draw;
use super::draw::whole;
use crate::bid::disposal;
use crate::bid::equipment;
use crate::bid::own::Presence;

/// Everything of a plan that its cost hangs on.
#[derive(Debug)]
pub(super) struct Model<'a> {
    job: &'a Job,
    pub(super) chain: Chain,
    /// The row of each worker.
    rows: Vec<usize>,
    materials: Vec<Supply>,
    /// Freight and surcharges of each order, with the index of its supplier.
    freight: Vec<(usize, Money)>,
    suppliers: usize,
    /// Disposal and whatever else stays as it is.
    fixed: Money,
    /// Lines of the job itself, with how many of each there are in the plan.
    own: Vec<(Decimal, PaidPer)>,
    /// The run as planned, to which days are compared.
    planned: Run,
}

/// A material that is bought.
#[derive(Clone, Debug, Default)]
struct Supply {
    need: Decimal,
    bought: Decimal,
    /// From the shelf and bought together.
    there: Decimal,
    /// Amounts of its order lines, with the index of the supplier.
    amounts: Vec<(usize, Money)>,
    /// Pack, price and supplier of what would be bought if more were needed.
    more: Option<(Decimal, Money, usize)>,
}

impl<'a> Model<'a> {
    /// Takes apart what a plan costs.
    pub(super) fn of(job: &'a Job, schedule: &Schedule, purchase: &Purchase, bid: &Bid) -> Self {
        let mut suppliers: BTreeMap<&str, usize> = BTreeMap::new();
        for order in &purchase.orders {
            let next = suppliers.len();
            suppliers.entry(&order.supplier).or_insert(next);
        }
        let supplier = |id: &str| suppliers.get(id).copied().unwrap_or(0);
        let mut materials: BTreeMap<&str, Supply> = BTreeMap::new();
        for bought in &purchase.bought {
            let supply = materials.entry(&bought.material).or_default();
            supply.need = bought.need.amount;
            supply.bought = bought.bought.amount;
            supply.there = bought.bought.amount.saturating_add(bought.stock.amount);
        }
        for order in &purchase.orders {
            for line in &order.lines {
                let supply = materials.entry(&line.material).or_default();
                let at = supplier(&order.supplier);
                supply.amounts.push((at, line.amount));
                let pack = (line.pack.amount, line.unit_price, at);
                supply.more = Some(match supply.more {
                    Some(other) if other.0 <= pack.0 => other,
                    Some(_) | None => pack,
                });
            }
        }
        let presence = Presence::of(job, schedule);
        let own = job.terms.own_lines.iter().map(|line| {
            let times = Decimal::from(presence.times(line.per));
            (line.quantity.saturating_mul(times), line.per)
        });
        let chain = Chain::of(job, schedule);
        let planned = chain.run(&|_, link| link.minutes, 0);
        Self {
            job,
            rows: schedule.workers.iter().map(|worker| worker.row).collect(),
            suppliers: suppliers.len(),
            freight: purchase
                .orders
                .iter()
                .map(|order| (supplier(&order.supplier), order.freight + order.surcharge))
                .collect(),
            materials: materials.into_values().collect(),
            fixed: disposal::line(job, &bid.waste)
                .map(|line| line.rate.times(line.quantity).cents())
                .unwrap_or_default(),
            own: own.collect(),
            planned,
            chain,
        }
    }

    /// How many of everything there is to draw for.
    pub(super) fn counts(&self, panels: usize) -> Counts {
        Counts {
            panels: panels + 1,
            materials: self.materials.len(),
            suppliers: self.suppliers,
            own_lines: self.own.len(),
        }
    }

    /// When things end in a draw.
    pub(super) fn run(&self, draw: &Draw, panels: usize) -> Run {
        self.chain
            .run(&|_, link| minutes(link, draw, panels), draw.days_lost)
    }

    /// The sum of the cost lines in a draw, contingency and all after it left out.
    pub(super) fn cost(&self, draw: &Draw, run: &Run, panels: usize) -> Money {
        self.labour(draw, panels)
            + self.goods(draw)
            + self.hire(run)
            + self.fixed
            + self.own_lines(draw, run)
            + self.conditions(draw)
    }

    fn labour(&self, draw: &Draw, panels: usize) -> Money {
        let mut by_row: BTreeMap<usize, i64> = BTreeMap::new();
        for link in &self.chain.links {
            let minutes = minutes(link, draw, panels);
            for row in link
                .people
                .iter()
                .filter_map(|person| self.rows.get(*person))
            {
                *by_row.entry(*row).or_default() += minutes;
            }
        }
        let at_cost = self.job.terms.labour == LabourAt::Cost;
        let amount = |(row, minutes): (usize, i64)| {
            let person = self.job.people.get(row)?;
            let charged = !person.charge.amount().is_zero() && !at_cost;
            let hours = (Decimal::from(minutes) / Decimal::from(60))
                .round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
            let rate = if charged { person.charge } else { person.cost };
            Some(rate.times(hours).cents())
        };
        by_row.into_iter().filter_map(amount).sum()
    }

    /// Materials and freight: what was ordered is paid for, and what falls short is bought in whole packs of the smallest pack ordered.
    fn goods(&self, draw: &Draw) -> Money {
        let price = |supplier: usize| decimal(draw.factor(SpreadOf::Prices, supplier));
        let mut total = Money::ZERO;
        for (at, supply) in self.materials.iter().enumerate() {
            let need = supply
                .need
                .saturating_mul(decimal(draw.factor(SpreadOf::Materials, at)));
            let short = (need.saturating_sub(supply.there)).max(Decimal::ZERO);
            let used = match self.job.terms.materials {
                MaterialsAt::Bought => Decimal::ONE,
                MaterialsAt::Used => supply.used(need),
            };
            for (supplier, amount) in &supply.amounts {
                total += amount.times(price(*supplier)).times(used).cents();
            }
            if let Some((pack, unit_price, supplier)) = supply.more.filter(|_| !short.is_zero()) {
                let packs = short.checked_div(pack).unwrap_or(Decimal::ZERO);
                let packs = match self.job.terms.materials {
                    MaterialsAt::Bought => packs.ceil(),
                    MaterialsAt::Used => packs,
                };
                total += unit_price.times(price(supplier)).times(packs).cents();
            }
        }
        for (supplier, amount) in &self.freight {
            total += amount.times(price(*supplier)).cents();
        }
        total
    }

    fn hire(&self, run: &Run) -> Money {
        let mut total = Money::ZERO;
        for (at, (from, to)) in &run.held {
            let Some(equipment) = self.job.equipment.get(*at) else {
                continue;
            };
            let count = self.chain.most_at_once(*at).min(equipment.count.max(1));
            let days = to.div_euclid(DAY) - from.div_euclid(DAY) + 1;
            total += equipment::cost(equipment, count, u32::try_from(days).unwrap_or(u32::MAX));
        }
        total
    }

    /// The job's own lines; those paid by the day grow with the days from first to last at the site.
    fn own_lines(&self, draw: &Draw, run: &Run) -> Money {
        let longer = longer(self.planned.site, run.site);
        let mut total = Money::ZERO;
        for (at, (line, (quantity, per))) in
            self.job.terms.own_lines.iter().zip(&self.own).enumerate()
        {
            let mut amount = line.rate.times(*quantity);
            if *per != PaidPer::Job {
                amount = amount.times(longer);
            }
            if line.group != CostGroup::Others {
                amount = amount.times(decimal(draw.factor(SpreadOf::Own, at)));
            }
            total += amount.cents();
        }
        total
    }

    fn conditions(&self, draw: &Draw) -> Money {
        let conditions = self.job.odds.conditions.iter().zip(&draw.holds);
        conditions
            .filter(|(_, holds)| **holds)
            .map(|(condition, _)| condition.cost)
            .sum()
    }
}

impl Supply {
    /// The share of what was bought that is used when so much is needed.
    fn used(&self, need: Decimal) -> Decimal {
        let from_bought = need.saturating_sub(self.there.saturating_sub(self.bought));
        from_bought
            .checked_div(self.bought)
            .unwrap_or(Decimal::ONE)
            .clamp(Decimal::ZERO, Decimal::ONE)
            .round_dp(6)
    }
}

/// Minutes of each person at an activity in a draw.
fn minutes(link: &Link, draw: &Draw, panels: usize) -> i64 {
    let of = if link.removal {
        SpreadOf::Removal
    } else {
        SpreadOf::Labour
    };
    let factor = draw.factor(of, link.panel.unwrap_or(panels));
    let planned = f64::from(i32::try_from(link.minutes).unwrap_or(i32::MAX));
    whole(planned * factor)
}

/// How many times longer the stay at the site is than planned, in days from the first to the last.
fn longer(planned: Option<(i64, i64)>, drawn: Option<(i64, i64)>) -> Decimal {
    let days =
        |(from, to): (i64, i64)| Decimal::from(to.div_euclid(DAY) - from.div_euclid(DAY) + 1);
    let ratio = planned
        .zip(drawn)
        .and_then(|(planned, drawn)| days(drawn).checked_div(days(planned)));
    ratio.unwrap_or(Decimal::ONE).round_dp(4)
}

/// A factor to the ten-thousandth, so that money stays decimal.
fn decimal(factor: f64) -> Decimal {
    Decimal::new(whole(factor * 10_000.0), 4)
}
