//! What to warn of: nobody sells it, it comes too late, or it may not all stand on site.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::catalog::Offer;
use crate::diag::Level;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::diag::nearest;
use crate::job::Job;
use crate::schedule::Schedule;
use crate::units::Money;

use super::calendar::monday;
use super::choose::Chosen;
use super::demand::Wanted;
use super::late;
use super::market::Market;
use super::outcome::Order;
use super::staging::Ends;

/// Adds what is wrong with the purchase.
pub(super) fn check(
    job: &Job,
    market: &Market<'_>,
    ends: &Ends,
    chosen: &Chosen,
    orders: &[Order],
    schedule: &Schedule,
    problems: &mut Problems,
) {
    for (index, want) in market
        .wanted
        .iter()
        .enumerate()
        .filter(|(_, want)| !want.all_to_buy().is_zero())
    {
        if market.choices_for(index).next().is_none() {
            not_offered(job, want, problems);
        } else {
            short(want, orders, problems);
        }
    }
    late::check(job, market, schedule, problems);
    on_hand(job, market, problems);
    budget(job, chosen, orders, problems);
    storage(job, ends, chosen, problems);
    minimum(job, orders, problems);
}

fn error(problems: &mut Problems, text: String, help: Vec<String>) {
    problems.push(Problem {
        level: Level::Error,
        place: None,
        text,
        help,
    });
}

fn warning(problems: &mut Problems, text: String, help: Vec<String>) {
    problems.push(Problem {
        level: Level::Warning,
        place: None,
        text,
        help,
    });
}

/// A material that no offer of the order day serves.
fn not_offered(job: &Job, want: &Wanted, problems: &mut Problems) {
    let offers: Vec<&Offer> = job
        .catalog
        .offers
        .iter()
        .filter(|offer| offer.material == want.material)
        .collect();
    let ended = offers
        .iter()
        .filter(|offer| offer.first_order(job.order_day).is_none())
        .filter_map(|offer| offer.valid_until)
        .max();
    let why = match ended {
        Some(day) => format!("the last offer of it ended on {day}"),
        None => "nobody offers it".to_owned(),
    };
    let text = format!(
        "`{}` is needed ({}, first for {}), but {why}",
        want.material, want.need, want.first_use
    );
    let mut help = vec![
        format!(
            "add an offer of `{}` to the job's catalogs/offers.csv; a price of 0 stands for what costs nothing, such as water from the tap",
            want.material
        ),
        format!(
            "write at least {} of `{}` in the stock table, if it is on the shelf",
            want.need, want.material
        ),
    ];
    let others = job
        .catalog
        .offers
        .iter()
        .map(|offer| offer.material.as_str())
        .filter(|id| *id != want.material);
    help.extend(
        nearest(&want.material, others)
            .map(|other| format!("use `{other}`, which is offered, in the recipe instead")),
    );
    error(problems, text, help);
}

/// What is overdue, comes after it is needed, or has gone off.
fn on_hand(job: &Job, market: &Market<'_>, problems: &mut Problems) {
    for ordered in &job.ordered {
        let want = market
            .wanted
            .iter()
            .find(|want| want.material == ordered.material);
        let what = format!("{} of `{}`", ordered.quantity, ordered.material);
        if ordered.promised < job.order_day {
            problems.warning(
                Some(ordered.at.clone()),
                format!("{what} promised for {} have not come", ordered.promised),
                format!(
                    "ask the supplier; they are counted as there on {}, or delete the row",
                    job.order_day
                ),
            );
        } else if let Some(want) = want.filter(|want| want.first_need() < ordered.promised) {
            problems.warning(
                Some(ordered.at.clone()),
                format!(
                    "{what} are promised for {}, after the first of it must lie ready on {}",
                    ordered.promised,
                    want.first_need()
                ),
                "ask for an earlier delivery; what is needed before is bought besides",
            );
        }
    }
    for want in market.wanted.iter().filter(|want| !want.gone_off.is_zero()) {
        let text = format!(
            "{} {} of `{}` on the shelf have gone off by the day they would be used",
            want.gone_off.normalize(),
            want.need.unit.name(),
            want.material
        );
        let help = "test it and take its `received` day out of the stock table if it is still good";
        problems.warning(None, text, help);
    }
}

/// Weeks whose orders come to more than the budget.
fn budget(job: &Job, chosen: &Chosen, orders: &[Order], problems: &mut Problems) {
    let Some(budget) = job.buying.budget_week else {
        return;
    };
    let mut weeks: BTreeMap<Date, Money> = BTreeMap::new();
    for order in orders {
        *weeks.entry(monday(order.order_by)).or_default() += order.total;
    }
    let worst = weeks
        .into_iter()
        .max_by_key(|(week, sum)| (*sum, Reverse(*week)));
    let Some((week, sum)) = worst.filter(|(_, sum)| *sum > budget) else {
        return;
    };
    let text = format!(
        "the orders sent in the week of {week} come to {}, more than the budget of {budget} a week",
        sum.cents()
    );
    let mut help = vec![match chosen.least_budget {
        Some(least) => format!("raise `budget_week` to {least:.2}, the least that any plan keeps"),
        None => "raise `budget_week`".to_owned(),
    }];
    help.push("order earlier (`order_day`), or start the work later (`first_day`)".to_owned());
    error(problems, text, help);
}

/// A need that what was bought does not cover: only where it takes more packs than anybody orders.
fn short(want: &Wanted, orders: &[Order], problems: &mut Problems) {
    let lines = orders
        .iter()
        .flat_map(|order| &order.lines)
        .filter(|line| line.serves == want.material);
    let bought = lines.fold(Decimal::ZERO, |sum, line| sum.saturating_add(line.quantity));
    if bought < want.all_to_buy() {
        let text = format!(
            "`{}` is needed ({}), but the orders hold only {bought}",
            want.material, want.need
        );
        error(
            problems,
            text,
            vec![
                "add an offer with larger packs to catalogs/offers.csv, or check the need"
                    .to_owned(),
            ],
        );
    }
}

/// Days on which more must stand at a place than may, and packs too large for its limit.
fn storage(job: &Job, ends: &Ends, chosen: &Chosen, problems: &mut Problems) {
    for (index, staged) in ends {
        let Some(place) = job.places.get(*index) else {
            continue;
        };
        let litres = |ml: f64| format!("{:.1} l", ml / 1_000.0);
        let worst = staged
            .deliveries
            .iter()
            .max_by(|a, b| a.standing().total_cmp(&b.standing()));
        let Some(worst) = worst else { continue };
        let mut help =
            vec!["ask the fire officer what may stand there, and write it as the place's `flammable_limit`".to_owned()];
        if worst.standing() > staged.limit {
            let text = format!(
                "{} of flammable liquid must stand at `{}` on {}, more than the {} that may",
                litres(worst.standing()),
                place.name,
                worst.need_by,
                litres(staged.limit)
            );
            help.insert(
                0,
                "work on fewer panels a day, or in smaller sections".to_owned(),
            );
            warning(problems, text, help);
        } else if chosen.over_storage {
            let text = format!(
                "no packs keep the flammable liquid at `{}` under its limit of {}",
                place.name,
                litres(staged.limit)
            );
            help.insert(
                0,
                "keep the surplus of a delivery elsewhere, or have smaller packs offered"
                    .to_owned(),
            );
            warning(problems, text, help);
        }
    }
}

/// Orders under their supplier's minimum: only where no plan reaches it.
fn minimum(job: &Job, orders: &[Order], problems: &mut Problems) {
    for order in orders {
        let Some(supplier) = job.catalog.suppliers.get(&order.supplier) else {
            continue;
        };
        if order.goods < supplier.minimum_order {
            let text = format!(
                "the order to `{}` comes to {}, under the minimum of {}",
                order.supplier, order.goods, supplier.minimum_order
            );
            error(
                problems,
                text,
                vec![
                    format!(
                        "ask the supplier to take the order all the same, and write its `minimum_order` as {}",
                        order.goods
                    ),
                    "add offers of other suppliers to catalogs/offers.csv".to_owned(),
                ],
            );
        }
    }
}
