//! Amounts and dates to order lines in whole packs, with the day each is needed.
//!
//! *In*: job, takeoff, rolling, crating, exposure, schedule. *Out*: [`Purchase`]. *Rules*: demand less stock, packs
//! rounded up, least total of goods, freight and surcharges over all suppliers, nothing ordered too late.
//!
//! What costs nothing, such as water from the tap, is an offer at a price of 0 in the catalogue: no material is
//! bought by a rule in code.

mod calendar;
mod check;
mod choose;
mod covering;
mod demand;
mod explain;
mod late;
mod market;
mod mass;
mod model;
mod odds;
mod orders;
mod outcome;
mod shelf;
mod slots;
mod staging;
mod terms;
mod uses;
mod values;

pub(crate) use orders::derivation_id;
pub use outcome::Bought;
pub use outcome::Demand;
pub use outcome::Kept;
pub use outcome::Order;
pub use outcome::OrderLine;
pub use outcome::Purchase;

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;

use crate::crating::Crating;
use crate::diag::Ledger;
use crate::diag::Problems;
use crate::exposure::Exposure;
use crate::job::Job;
use crate::rolling::Rolling;
use crate::schedule::Schedule;
use crate::survey::Survey;
use crate::takeoff::Takeoff;
use crate::units::Money;
use crate::units::Quantity;

use choose::Chosen;
use market::Market;
use uses::Gathered;
use uses::Stages;

/// Buys what the job needs beyond its stock at the least total that arrives in time.
#[allow(
    clippy::too_many_arguments,
    reason = "a stage is a function of the stages before it, and this one reads nearly all"
)]
pub fn order(
    job: &Job,
    survey: &Survey,
    takeoff: &Takeoff,
    rolling: &Rolling,
    crating: &Crating,
    exposure: &Exposure,
    schedule: &Schedule,
    ledger: &mut Ledger,
    problems: &mut Problems,
) -> Purchase {
    let Gathered { uses, spent } = uses::gather(Stages {
        job,
        survey,
        takeoff,
        rolling,
        crating,
        schedule,
    });
    let job: &Job = &shelf::less_spent(job, &spent);
    let ends = staging::flammable_ends(job, exposure, &uses);
    let wanted = demand::wanted(job, &uses, &ends);
    let demands = demand::list(&wanted, &uses, job, ledger);
    let market = Market::open(job, &wanted);
    let chosen = choose::choose(&market, &ends, job.buying.budget_week);
    let orders = orders::of(job, &market, &chosen, ledger);
    check::check(job, &market, &ends, &chosen, &orders, schedule, problems);
    let total = orders
        .iter()
        .map(|order| order.total)
        .sum::<Money>()
        .cents();
    let bought = explain::bought(job, &market, &orders, &chosen.taken);
    Purchase {
        demands,
        from_stock: wanted
            .iter()
            .filter(|want| !want.stock.amount.is_zero())
            .map(|want| (want.material.clone(), want.stock))
            .collect(),
        of_ordered: wanted
            .iter()
            .filter(|want| !want.of_ordered().is_zero())
            .map(|want| {
                let amount = Quantity::new(want.of_ordered(), want.need.unit);
                (want.material.clone(), amount)
            })
            .collect(),
        shelf_after: shelf::after(job, (&uses, &market), &orders, &bought),
        bought,
        lower_bound: lower_bound(&chosen, total),
        engine: engine(&chosen),
        total,
        orders,
    }
}

/// The proven bound to the cent, never above the total: lines are rounded one by one, the bound is not.
fn lower_bound(chosen: &Chosen, total: Money) -> Money {
    if chosen.proven {
        return total;
    }
    let bound = Decimal::try_from(chosen.bound + 1e-6).unwrap_or_default();
    Money::new(bound.round_dp_with_strategy(2, RoundingStrategy::ToZero))
        .cents()
        .min(total)
}

/// Which engines answered and how far they proved it, in words.
fn engine(chosen: &Chosen) -> String {
    if chosen.engines.is_empty() {
        return "nothing to buy".to_owned();
    }
    let engines: Vec<&str> = chosen.engines.iter().copied().collect();
    let engines = engines.join(" and ");
    if chosen.proven {
        return format!("{engines}, proven least cost");
    }
    let gap = 100.0 * (chosen.objective - chosen.bound).max(0.0)
        / chosen.objective.max(f64::MIN_POSITIVE);
    format!("{engines}, best found, at most {gap:.2} % above the least cost")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chosen(objective: f64, bound: f64) -> Chosen {
        Chosen {
            objective,
            bound,
            engines: ["north", "south"].into(),
            ..Chosen::default()
        }
    }

    /// 2.00 of 80.00 are 2.5 %.
    #[test]
    fn the_gap_is_told_in_percent_of_what_was_found() {
        let said = engine(&chosen(80.0, 78.0));
        let gap = "north and south, best found, at most 2.50 % above the least cost";
        assert_eq!(said, gap);
        let proven = Chosen {
            proven: true,
            ..chosen(80.0, 80.0)
        };
        assert_eq!(engine(&proven), "north and south, proven least cost");
        assert_eq!(engine(&Chosen::default()), "nothing to buy");
    }

    /// Down to a cent, but for the noise of sums of fractions; what is proven is the total.
    #[test]
    fn the_bound_is_a_whole_cent_and_never_above_the_total() {
        let total = Money::new(Decimal::from(80));
        let bound = |found: f64| lower_bound(&chosen(80.0, found), total).amount();
        assert_eq!(bound(78.129), Decimal::new(7_812, 2));
        assert_eq!(bound(78.129_999_999), Decimal::new(7_813, 2));
        assert_eq!(bound(80.01), Decimal::from(80));
        let proven = Chosen {
            proven: true,
            ..chosen(80.0, 70.0)
        };
        assert_eq!(lower_bound(&proven, total), total);
    }
}
