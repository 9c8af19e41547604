//! How much to have so that running out is as likely as it should be.
//!
//! Use strays from what is reckoned, by a standard deviation σ. A pack too few stops the crew until the quickest delivery
//! is there; a pack too many is left over. With the costs `c_u` and `c_o` of the two, the likelihood of having enough that
//! costs least is the critical ratio `c_u / (c_u + c_o)`, and the quantity is the mean plus z σ, z being the normal
//! quantile of that likelihood.
//!
//! # Sources
//! The newsvendor rule: Arrow, Harris, Marschak, "Optimal inventory policy", Econometrica 19 (1951); worked values of it
//! stand in the tests.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::catalog::Offer;
use crate::job::Job;
use crate::job::Odds;

/// No quantity is made surer than this.
const SUREST: f64 = 0.999;

/// What the odds of a material come to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Service {
    /// What a pack too few costs.
    pub(super) short: f64,
    /// What a pack too many costs.
    pub(super) over: f64,
    /// The likelihood of having enough.
    pub(super) level: f64,
    /// The standard deviation of what is used, in the material's unit.
    pub(super) deviation: f64,
    /// What is added to the mean, in the material's unit; less than nothing where leftovers cost more than waiting.
    pub(super) extra: f64,
}

/// The odds of a material of which so much is reckoned; none where the job goes by waste factors, where the material is
/// counted piece by piece, or where nobody offers it.
pub(super) fn service(job: &Job, material: &Material, amount: f64) -> Option<Service> {
    let odds = job.buying.odds?;
    let spread = spread(odds, material.kind)?;
    let offers = || {
        job.catalog
            .offers
            .iter()
            .filter(|offer| offer.material == material.id && offer.holds_on(job.order_day))
    };
    let smallest = offers().min_by_key(|offer| (offer.pack, offer.cost_of(1)))?;
    let quickest = offers().map(|offer| offer.lead_days).min()?;
    let number = |amount: Decimal| amount.to_f64().unwrap_or(0.0);
    let price = number(price_of_one(smallest));
    let short = number(odds.stopped_day.amount()) * f64::from(quickest.max(1));
    let over = price * (1.0 - job.buying.kept_value.to_f64()).max(0.0);
    let level = critical_ratio(short, over);
    let deviation = amount * spread;
    Some(Service {
        short,
        over,
        level,
        deviation,
        extra: (quantile(level) * deviation).max(-amount),
    })
}

fn price_of_one(offer: &Offer) -> Decimal {
    offer.price_of(1).amount()
}

fn spread(odds: Odds, kind: MaterialKind) -> Option<f64> {
    match kind {
        MaterialKind::Liquid | MaterialKind::Resin => Some(odds.spread_rates.to_f64()),
        MaterialKind::Sheet | MaterialKind::Roll => Some(odds.spread_waste.to_f64()),
        MaterialKind::Tube | MaterialKind::Board | MaterialKind::Timber | MaterialKind::Each => {
            None
        }
    }
}

/// The likelihood of having enough that costs least.
fn critical_ratio(short: f64, over: f64) -> f64 {
    if short + over > 0.0 {
        (short / (short + over)).min(SUREST)
    } else {
        0.5
    }
}

/// The normal quantile: the z under which a standard normal deviate stays with that likelihood.
fn quantile(likelihood: f64) -> f64 {
    let (mut low, mut high) = (-8.0_f64, 8.0_f64);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if 0.5 * libm::erfc(-middle / std::f64::consts::SQRT_2) < likelihood {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Quantiles as printed in tables of the normal distribution (NIST/SEMATECH e-Handbook of Statistical Methods,
    /// 1.3.6.7.1, from memory).
    #[test]
    fn quantiles_are_those_of_the_tables() {
        for (likelihood, z) in [
            (0.5, 0.0),
            (0.841_345, 1.0),
            (0.95, 1.644_85),
            (0.975, 1.959_96),
            (0.99, 2.326_35),
        ] {
            let found = quantile(likelihood);
            assert!((found - z).abs() < 1e-4, "{likelihood}: {found}");
        }
    }

    /// Two exercises worked out on the web, whose z is rounded to two decimals there: programmes printed for matches
    /// (solvely.ai, "University of Florida football programs": 3.00 and 0.80, mean 50,000, deviation 10,000: ratio
    /// 0.7895, 58,100 to order), cushions (qamnty.com 8854852: 25 and 0.269, mean 35, deviation 10: ratio 0.9894, 58).
    #[test]
    fn published_exercises_of_the_newsvendor_rule() {
        for (short, over, mean, deviation, ratio, published) in [
            (3.0, 0.8, 50_000.0, 10_000.0, 0.789_5, 58_100.0),
            (25.0, 0.269, 35.0, 10.0, 0.989_4, 58.0),
        ] {
            let level = critical_ratio(short, over);
            assert!((level - ratio).abs() < 6e-5, "{level}, published {ratio}");
            let quantity = mean + quantile(level) * deviation;
            assert!(
                (quantity - published).abs() < 0.006 * deviation,
                "{quantity}, published {published}"
            );
        }
    }

    #[test]
    fn what_costs_nothing_to_keep_is_had_as_surely_as_anything() {
        assert!((critical_ratio(100.0, 0.0) - SUREST).abs() < 1e-12);
        assert!((critical_ratio(0.0, 0.0) - 0.5).abs() < 1e-12);
        assert!((critical_ratio(10.0, 30.0) - 0.25).abs() < 1e-12);
    }
}
