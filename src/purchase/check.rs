//! What to warn of: nobody sells it, it comes too late, or it may not all stand on site.

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::catalog::Offer;
use crate::diag::Level;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::diag::nearest;
use crate::job::Job;

use super::calendar::arrival;
use super::choose::Chosen;
use super::demand::Wanted;
use super::market::Market;
use super::market::is_valid;
use super::outcome::Order;
use super::staging::Ends;

/// Adds what is wrong with the purchase.
pub(super) fn check(
    job: &Job,
    market: &Market<'_>,
    ends: &Ends,
    chosen: &Chosen,
    orders: &[Order],
    problems: &mut Problems,
) {
    for (index, want) in market.wanted.iter().enumerate().filter(|(_, want)| !want.all_to_buy().is_zero()) {
        if market.choices_for(index).next().is_none() {
            not_offered(job, want, problems);
        } else {
            late(job, market, index, want, problems);
            short(want, orders, problems);
        }
    }
    storage(job, ends, chosen, problems);
    minimum(job, orders, problems);
}

fn error(problems: &mut Problems, text: String, help: Vec<String>) {
    problems.push(Problem { level: Level::Error, place: None, text, help });
}

fn warning(problems: &mut Problems, text: String, help: Vec<String>) {
    problems.push(Problem { level: Level::Warning, place: None, text, help });
}

/// A material that no offer of the order day serves.
fn not_offered(job: &Job, want: &Wanted, problems: &mut Problems) {
    let offers: Vec<&Offer> = job.catalog.offers.iter().filter(|offer| offer.material == want.material).collect();
    let ended =
        offers.iter().filter(|offer| !is_valid(offer, job.order_day)).filter_map(|offer| offer.valid_until).max();
    let why = match ended {
        Some(day) => format!("the last offer of it ended on {day}"),
        None => "nobody offers it".to_owned(),
    };
    let text = format!("`{}` is needed ({}, first for {}), but {why}", want.material, want.need, want.first_use);
    let mut help = vec![
        format!(
            "add an offer of `{}` to the job's catalogs/offers.csv; a price of 0 stands for what costs nothing, such as water from the tap",
            want.material
        ),
        format!("write at least {} of `{}` in the stock table, if it is on the shelf", want.need, want.material),
    ];
    let others = job.catalog.offers.iter().map(|offer| offer.material.as_str()).filter(|id| *id != want.material);
    help.extend(
        nearest(&want.material, others).map(|other| format!("use `{other}`, which is offered, in the recipe instead")),
    );
    error(problems, text, help);
}

/// A need that nobody can deliver in time.
fn late(job: &Job, market: &Market<'_>, index: usize, want: &Wanted, problems: &mut Problems) {
    let deadlines = market.deadlines.get(index).map(Vec::as_slice).unwrap_or_default();
    let Some((stage, soonest)) = want.stages.iter().zip(deadlines).find(|(stage, soonest)| stage.need_by < **soonest)
    else {
        return;
    };
    let days = days_between(stage.need_by, *soonest);
    let text = format!(
        "`{}` must lie ready by {} for {}, but ordered on {} it arrives on {soonest} at the earliest",
        want.material, stage.need_by, want.first_use, job.order_day
    );
    let mut help = vec![format!(
        "start the work {days} calendar days later (`first_day`), or order that much earlier (`order_day`)"
    )];
    if arrival(job.order_day, 0) <= stage.need_by {
        help.push(
            "ask the supplier for an express delivery and add it to catalogs/offers.csv with its lead days".to_owned(),
        );
    }
    help.push("use another material in the recipe that can be there in time".to_owned());
    if job.terms.days_in_hand > 0 {
        help.push(format!(
            "let materials lie ready fewer than {} working days before use (`days_in_hand`)",
            job.terms.days_in_hand
        ));
    }
    error(problems, text, help);
}

/// A need that what was bought does not cover: only where it takes more packs than anybody orders.
fn short(want: &Wanted, orders: &[Order], problems: &mut Problems) {
    let lines = orders.iter().flat_map(|order| &order.lines).filter(|line| line.material == want.material);
    let bought = lines.fold(Decimal::ZERO, |sum, line| sum.saturating_add(line.quantity));
    if bought < want.all_to_buy() {
        let text = format!("`{}` is needed ({}), but the orders hold only {bought}", want.material, want.need);
        error(
            problems,
            text,
            vec!["add an offer with larger packs to catalogs/offers.csv, or check the need".to_owned()],
        );
    }
}

fn days_between(from: Date, to: Date) -> i32 {
    (to - from).get_days()
}

/// Days on which more must stand at a place than may, and packs too large for its limit.
fn storage(job: &Job, ends: &Ends, chosen: &Chosen, problems: &mut Problems) {
    for (index, staged) in ends {
        let Some(place) = job.places.get(*index) else { continue };
        let litres = |ml: f64| format!("{:.1} l", ml / 1_000.0);
        let worst = staged.deliveries.iter().max_by(|a, b| a.standing().total_cmp(&b.standing()));
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
            help.insert(0, "work on fewer panels a day, or in smaller sections".to_owned());
            warning(problems, text, help);
        } else if chosen.over_storage {
            let text = format!(
                "no packs keep the flammable liquid at `{}` under its limit of {}",
                place.name,
                litres(staged.limit)
            );
            help.insert(0, "keep the surplus of a delivery elsewhere, or have smaller packs offered".to_owned());
            warning(problems, text, help);
        }
    }
}

/// Orders under their supplier's minimum: only where no plan reaches it.
fn minimum(job: &Job, orders: &[Order], problems: &mut Problems) {
    for order in orders {
        let Some(supplier) = job.catalog.suppliers.get(&order.supplier) else { continue };
        if order.goods < supplier.minimum_order {
            let text = format!(
                "the order to `{}` comes to {}, under the minimum of {}",
                order.supplier, order.goods, supplier.minimum_order
            );
            warning(problems, text, vec!["ask the supplier to take the order all the same, or add to it".to_owned()]);
        }
    }
}
