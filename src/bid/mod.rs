//! All costs to a price.
//!
//! *In*: every stage before. *Out*: [`Bid`]. *Rules*: each line is quantity × rate to the cent; contingency on the
//! sum, overhead on both, markup on all three, tax on the price.
//!
//! Labour stands in the bid at what the client is charged for it; what it costs stands in the ledger beside it.

mod equipment;
mod labour;
mod lines;
mod outcome;
mod supplies;

pub use outcome::Bid;
pub use outcome::BidLine;
pub use outcome::Group;

use crate::crating::Crating;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::diag::Problems;
use crate::job::Job;
use crate::purchase::Purchase;
use crate::rolling::Rolling;
use crate::schedule::Schedule;
use crate::units::Money;
use crate::units::Percent;

/// Prices a job from what was bought, who works how long, what is hired, and its lump sums.
pub fn price(
    job: &Job,
    rolling: &Rolling,
    crating: &Crating,
    schedule: &Schedule,
    purchase: &Purchase,
    ledger: &mut Ledger,
    problems: &mut Problems,
) -> Bid {
    let mut drafts = supplies::materials(job, rolling, crating, purchase);
    drafts.extend(supplies::freight(job, purchase));
    drafts.extend(labour::of(job, schedule, problems));
    drafts.extend(equipment::of(job, schedule));
    drafts.extend(job.terms.lump_sums.iter().map(lines::lump_sum));
    drafts.sort_by_key(|draft| draft.group);
    let lines =
        drafts.into_iter().enumerate().map(|(index, draft)| draft.line(index + 1, &job.currency, ledger)).collect();
    let bid = total(job, lines);
    record(job, &bid, ledger);
    bid
}

/// Adds up the lines and puts each percentage on top, to the cent.
///
/// # Formula
/// contingency = c · subtotal; overhead = o · (subtotal + contingency); markup = m · (subtotal + contingency + overhead);
/// tax = t · (all before). Each is rounded once, halves away from zero, and the total is their exact sum.
fn total(job: &Job, lines: Vec<BidLine>) -> Bid {
    let terms = &job.terms;
    let share = |percent: Percent, of: Money| percent.of(of).cents();
    let subtotal = lines.iter().map(|line| line.amount).sum::<Money>().cents();
    let contingency = share(terms.contingency, subtotal);
    let overhead = share(terms.overhead, subtotal + contingency);
    let markup = share(terms.markup, subtotal + contingency + overhead);
    let price = subtotal + contingency + overhead + markup;
    let tax = share(terms.tax, price);
    Bid { lines, subtotal, contingency, overhead, markup, tax, total: price + tax }
}

fn record(job: &Job, bid: &Bid, ledger: &mut Ledger) {
    let terms = &job.terms;
    let mut derivation = Derivation::new(
        "bid/total",
        "price with tax",
        format!("{} {}", bid.total, job.currency),
        "cost lines + contingency on them + overhead on both + markup on all three + tax on the price",
    );
    for line in &bid.lines {
        derivation = derivation.input_from(&line.text, line.amount, format!("bid/{}", line.id));
    }
    ledger.record(
        derivation
            .input("sum of the lines", bid.subtotal)
            .input(format!("contingency, {} %", terms.contingency.value()), bid.contingency)
            .input(format!("overhead, {} %", terms.overhead.value()), bid.overhead)
            .input(format!("markup, {} %", terms.markup.value()), bid.markup)
            .input(format!("tax, {} %", terms.tax.value()), bid.tax)
            .rounded("each percentage to the cent, halves away from zero"),
    );
}
