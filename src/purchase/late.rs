//! What nobody can deliver in time, and what could be done about it, each with what it costs.

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::catalog::Material;
use crate::diag::Level;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::diag::count;
use crate::diag::list;
use crate::job::Job;
use crate::schedule::Schedule;
use crate::units::Money;

use super::calendar::shifted;
use super::demand::Wanted;
use super::market::Market;
use super::market::cheapest_of;

/// A need that nobody can deliver in time.
struct Late<'a> {
    want: &'a Wanted,
    /// The day it must lie ready.
    need_by: Date,
    /// The earliest it can arrive.
    soonest: Date,
    /// The day on which the quickest offer would have to be ordered.
    send_by: Date,
    /// What the cheapest offer comes to.
    cost: Decimal,
}

impl Late<'_> {
    fn days(&self) -> i32 {
        (self.soonest - self.need_by).get_days()
    }
}

/// One error for all that comes too late: the remedies are the same.
pub(super) fn check(job: &Job, market: &Market<'_>, schedule: &Schedule, problems: &mut Problems) {
    let all = late(market);
    let Some(worst) = all.first() else { return };
    let name = &worst.want.material;
    let mut text = format!(
        "`{name}` must lie ready by {} for {}, but ordered on {} it arrives on {} at the earliest",
        worst.need_by, worst.want.first_use, job.order_day, worst.soonest
    );
    let others: Vec<&str> = all
        .iter()
        .skip(1)
        .map(|late| late.want.material.as_str())
        .collect();
    if !others.is_empty() {
        text = format!("{text}; late as well: {}", list(&others, "and"));
    }
    problems.push(Problem {
        level: Level::Error,
        place: None,
        text,
        help: help(job, schedule, &all, worst),
    });
}

/// The needs that come too late, the latest first.
fn late<'a>(market: &'a Market<'_>) -> Vec<Late<'a>> {
    let mut all = Vec::new();
    for (index, want) in market.wanted.iter().enumerate() {
        let choices = || market.choices_for(index).map(|(_, choice)| choice);
        let Some(quickest) = choices().min_by_key(|choice| choice.arrival) else {
            continue;
        };
        let stage = want
            .stages
            .iter()
            .find(|stage| stage.need_by < quickest.arrival);
        let Some(stage) = stage else { continue };
        let cheapest = choices().map(|choice| choice.cheapest_for(want.all_to_buy()).1);
        all.push(Late {
            want,
            need_by: stage.need_by,
            soonest: quickest.arrival,
            send_by: quickest.last_order(stage.need_by),
            cost: cheapest.min().unwrap_or_default(),
        });
    }
    all.sort_by_key(|late| std::cmp::Reverse(late.days()));
    all
}

fn help(job: &Job, schedule: &Schedule, all: &[Late<'_>], worst: &Late<'_>) -> Vec<String> {
    let send_by = all.iter().map(|late| late.send_by).min();
    let mut help = vec![
        format!(
            "order by {} (`order_day`)",
            send_by.unwrap_or(worst.send_by)
        ),
        later_start(job, schedule, worst.days()),
        express(job, all, worst),
    ];
    help.extend(all.iter().map(|late| instead(job, late)));
    if job.terms.days_in_hand > 0 {
        help.push(format!(
            "let materials lie ready fewer than {} working days before use (`days_in_hand`)",
            job.terms.days_in_hand
        ));
    }
    help
}

/// Starting later costs no goods; it moves the end, and the hand-over may be missed.
fn later_start(job: &Job, schedule: &Schedule, days: i32) -> String {
    let mut text =
        format!("start the work {days} calendar days later (`first_day`): the goods cost the same");
    let clear = schedule.wall_clear.or(schedule.finish);
    if let Some(end) = clear.map(|clear| shifted(clear.date(), days.into())) {
        text = format!("{text}, the wall is clear about {end}");
        if let Some(hand_over) = job.hand_over {
            let spare = (hand_over - end).get_days();
            text = if spare >= 0 {
                format!("{text}, {spare} days before the hand-over")
            } else {
                format!("{text}, {} days after the hand-over", -spare)
            };
        }
    }
    text
}

/// An express delivery: in how many days it would have to come, and what it may cost.
fn express(job: &Job, all: &[Late<'_>], worst: &Late<'_>) -> String {
    let working = (0..730)
        .take_while(|days| super::calendar::arrival(job.order_day, *days) <= worst.need_by)
        .count()
        .saturating_sub(1);
    let goods: Decimal = all.iter().map(|late| late.cost).sum();
    let mut text = format!(
        "ask for an express delivery within {}, and add it to catalogs/offers.csv (`delivery` = express); what is late costs {} as offered",
        count(working, "working day"),
        Money::new(goods).cents()
    );
    if let Some(odds) = job.buying.odds {
        let stopped = odds.stopped_day.times(worst.days().into()).cents();
        text =
            format!("{text}, and up to {stopped} more costs less than the crew standing that long");
    }
    text
}

/// Another material that can be there in time, with its cost beside the late one's.
fn instead(job: &Job, late: &Late<'_>) -> String {
    let name = &late.want.material;
    let Some(first) = job.catalog.materials.get(name) else {
        return format!("use another material than `{name}` in the recipe");
    };
    let fits = |other: &&Material| first.differs_from(other).is_none();
    let offers = |other: &Material| {
        let id = other.id.clone();
        job.catalog
            .offers
            .iter()
            .filter(move |offer| offer.material == id)
            .filter(|offer| {
                let sent = offer.first_order(job.order_day);
                sent.is_some_and(|sent| offer.arrival(sent) <= late.need_by)
            })
            .map(|offer| cheapest_of(offer, late.want.all_to_buy()).1)
            .min()
    };
    let cheapest = job
        .catalog
        .materials
        .values()
        .filter(fits)
        .filter_map(|other| Some((offers(other)?, other)))
        .min_by_key(|(cost, other)| (*cost, &other.id));
    match cheapest {
        Some((cost, other)) => {
            let more = Money::new(cost - late.cost).cents().amount();
            let beside = if more < Decimal::ZERO {
                format!("{} less", -more)
            } else {
                format!("{more} more")
            };
            format!(
                "allow `{}` instead of `{name}` (`substitutes` in the recipe): {}, {beside}",
                other.id,
                Money::new(cost).cents()
            )
        }
        None => format!(
            "use another material than `{name}` in the recipe: none of the same size and kind can be there in time"
        ),
    }
}
