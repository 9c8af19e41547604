//! A plan made need by need, to start the engine from and to fall back on.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::units::Money;

use super::market::MOST_PACKS;
use super::market::Market;
use super::model::Draft;
use super::model::Taken;

/// Covers each stage of each need from the offer that does it most cheaply alone, then fills orders up to their minimum.
pub(super) fn plan(draft: &Draft<'_>, wanted: &[usize]) -> Vec<Taken> {
    let mut taken: Vec<Taken> = Vec::new();
    for index in wanted {
        cover(draft, *index, &mut taken);
    }
    let orders: Vec<_> = draft.orders.keys().copied().collect();
    for (supplier, day) in orders {
        fill(draft.market, supplier, |one| one.day == day, &mut taken);
    }
    taken
}

fn cover(draft: &Draft<'_>, wanted: usize, taken: &mut Vec<Taken>) {
    let market = draft.market;
    let Some((want, deadlines)) = market.wanted.get(wanted).zip(market.deadlines.get(wanted)) else { return };
    let mut before = Decimal::ZERO;
    let mut bought = Decimal::ZERO;
    for (stage, deadline) in deadlines.iter().enumerate() {
        let rule = want.stages.get(stage);
        let from = rule.and_then(|stage| stage.not_before);
        let own = rule.is_some_and(|stage| stage.own_delivery);
        let all = want.to_buy(stage);
        let short = if own { all - before } else { all - bought };
        before = all;
        if short <= Decimal::ZERO {
            continue;
        }
        let dated = market.choices_for(wanted).filter_map(|(index, choice)| {
            let day = draft.days_of(index).find(|day| day <= deadline && from.is_none_or(|from| from <= *day))?;
            Some((choice.cheapest_for(short), index, day, choice.offer.pack))
        });
        if let Some(((packs, _), choice, day, pack)) = dated.min_by_key(|((_, cost), index, _, _)| (*cost, *index)) {
            bought = bought.saturating_add(pack.saturating_mul(Decimal::from(packs)));
            match taken.iter_mut().find(|one| one.choice == choice && one.day == day) {
                Some(one) => one.packs = one.packs.saturating_add(packs).min(MOST_PACKS),
                None => taken.push(Taken { choice, day, packs }),
            }
        }
    }
}

/// Buys more of an order's lines until it reaches the supplier's minimum, from the line that overshoots least.
fn fill(market: &Market<'_>, supplier: &str, in_order: impl Fn(&Taken) -> bool, taken: &mut [Taken]) {
    let line = |one: &Taken| market.choices.get(one.choice).filter(|choice| choice.supplier.id == supplier);
    let goods =
        |one: &Taken| line(one).map_or(Money::ZERO, |choice| choice.offer.price_of(one.packs).times(one.packs.into()));
    let members: Vec<usize> = taken
        .iter()
        .enumerate()
        .filter(|(_, one)| in_order(one) && line(one).is_some())
        .map(|(index, _)| index)
        .collect();
    let Some(minimum) =
        members.first().and_then(|index| line(taken.get(*index)?)).map(|choice| choice.supplier.minimum_order)
    else {
        return;
    };
    let sum = members.iter().filter_map(|index| taken.get(*index)).map(goods).sum::<Money>();
    if sum >= minimum {
        return;
    }
    let fillers = members.iter().filter_map(|index| {
        let one = taken.get(*index)?;
        let choice = line(one)?;
        let lowest = choice
            .offer
            .prices
            .iter()
            .map(|price| price.price.amount())
            .filter(|price| *price > Decimal::ZERO)
            .min()?;
        let missing = minimum - (sum - goods(one));
        let packs = missing.amount().checked_div(lowest)?.ceil().to_u32()?.max(one.packs);
        Some((choice.offer.price_of(packs).times(packs.into()), *index, packs))
    });
    if let Some((_, index, packs)) = fillers.min()
        && let Some(one) = taken.get_mut(index)
    {
        one.packs = packs.min(MOST_PACKS);
    }
}
