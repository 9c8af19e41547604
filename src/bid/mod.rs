//! All costs to a price.
//!
//! *In*: every stage before. *Out*: [`Bid`]. *Rules*: each line is quantity × rate to the cent; contingency on each group's
//! sum, overhead on both, markup on all three, tax on the price.
//!
//! Labour stands in the bid at what the client is charged for it unless the job says `labour = "cost"`; the other rate stands beside it.

mod disposal;
mod equipment;
mod labour;
mod lines;
mod odds;
mod outcome;
mod own;
mod supplies;

pub use crate::job::CostGroup;
pub use odds::Class;
pub use odds::Driver;
pub use odds::LEVELS;
pub use odds::Level;
pub use odds::Odds;
pub use odds::odds;
pub use outcome::Bid;
pub use outcome::BidLine;
pub use outcome::LabourRow;
pub use outcome::Waste;

use crate::crating::Crating;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::diag::Problems;
use crate::job::Job;
use crate::purchase::Purchase;
use crate::rolling::Rolling;
use crate::schedule::Schedule;
use crate::survey::Survey;
use crate::takeoff::Takeoff;
use crate::units::Money;
use crate::units::Percent;

/// Prices a job from what was bought, who works how long, what is hired, what is thrown away, and its own lines.
pub fn price(
    job: &Job,
    survey: &Survey,
    takeoff: &Takeoff,
    rolling: &Rolling,
    crating: &Crating,
    schedule: &Schedule,
    purchase: &Purchase,
    ledger: &mut Ledger,
    problems: &mut Problems,
) -> Bid {
    let waste = disposal::waste(job, survey, takeoff, schedule, purchase, ledger);
    let labour = labour::hours(job, schedule);
    let mut drafts = supplies::materials(job, rolling, crating, purchase);
    drafts.extend(supplies::freight(job, purchase));
    drafts.extend(labour::lines(job, &labour, problems));
    drafts.extend(equipment::of(job, schedule));
    drafts.extend(disposal::line(job, &waste));
    drafts.extend(own::of(job, schedule));
    drafts.sort_by_key(|draft| draft.group);
    let lines = drafts
        .into_iter()
        .enumerate()
        .map(|(index, draft)| draft.line(index + 1, &job.currency, ledger))
        .collect();
    let bid = Bid {
        labour,
        waste,
        ..total(job, lines)
    };
    record(job, &bid, ledger);
    bid
}

/// Adds up the lines and puts each percentage on top, to the cent.
///
/// # Formula
/// contingency = Σ c of a group · sum of the group; overhead = o · (subtotal + contingency); markup = m · (subtotal + contingency +
/// overhead); tax = t · (all before). Each is rounded once, halves away from zero, and the total is their exact sum.
///
/// # Sources
/// The job's own terms.
fn total(job: &Job, lines: Vec<BidLine>) -> Bid {
    let terms = &job.terms;
    let share = |percent: Percent, of: Money| percent.of(of).cents();
    let subtotal = lines.iter().map(|line| line.amount).sum::<Money>().cents();
    let contingencies = contingencies(job, &lines);
    let contingency = contingencies
        .iter()
        .map(|(_, amount)| *amount)
        .sum::<Money>()
        .cents();
    let overhead = share(terms.overhead, subtotal + contingency);
    let markup = share(terms.markup, subtotal + contingency + overhead);
    let price = subtotal + contingency + overhead + markup;
    let tax = share(terms.tax, price);
    Bid {
        lines,
        subtotal,
        contingencies,
        contingency,
        overhead,
        markup,
        tax,
        total: price + tax,
        labour: Vec::new(),
        waste: Vec::new(),
    }
}

/// The contingency of each group that has lines, to the cent.
fn contingencies(job: &Job, lines: &[BidLine]) -> Vec<(CostGroup, Money)> {
    let sum = |group: CostGroup| {
        let lines = lines.iter().filter(|line| line.group == group);
        lines.map(|line| line.amount).sum::<Money>()
    };
    CostGroup::ALL
        .iter()
        .filter(|group| lines.iter().any(|line| line.group == **group))
        .map(|group| {
            let percent = job.terms.contingency_on(*group);
            (*group, percent.of(sum(*group)).cents())
        })
        .collect()
}

fn record(job: &Job, bid: &Bid, ledger: &mut Ledger) {
    let terms = &job.terms;
    let mut derivation = Derivation::new(
        "bid/total",
        "price with tax",
        format!("{} {}", bid.total, job.currency),
        "cost lines + contingency on each group + overhead on both + markup on all three + tax on the price",
    );
    for line in &bid.lines {
        derivation = derivation.input_from(&line.text, line.amount, format!("bid/{}", line.id));
    }
    derivation = derivation.input("sum of the lines", bid.subtotal);
    for (group, amount) in &bid.contingencies {
        let percent = terms.contingency_on(*group).value();
        let name = format!("contingency on {}, {percent} %", group.name());
        derivation = derivation.input(name, amount);
    }
    ledger.record(
        derivation
            .input(
                format!("overhead, {} %", terms.overhead.value()),
                bid.overhead,
            )
            .input(format!("markup, {} %", terms.markup.value()), bid.markup)
            .input(format!("tax, {} %", terms.tax.value()), bid.tax)
            .rounded("each percentage to the cent, halves away from zero"),
    );
}
