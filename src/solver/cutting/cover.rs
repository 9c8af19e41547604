//! The least price of stock whose rooms add up to a demand: a bound on any plan.

/// A kind of stock as the bound sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Offer {
    pub(super) price: u128,
    pub(super) room: u128,
    pub(super) supply: Option<u64>,
}

/// Ways of covering that the exact search may look at.
const LOOKS: u32 = 20_000;

/// The least price with parts of a sheet allowed, rounded up. `offers` must be [`sorted`].
pub(super) fn in_parts(offers: &[Offer], demand: u128) -> u128 {
    let mut left = demand;
    let mut total = 0_u128;
    for offer in offers {
        let supply = offer.supply.map_or(u128::MAX, u128::from);
        let all = offer.room.saturating_mul(supply);
        if left <= all {
            let last = left.checked_mul(offer.price);
            return total.saturating_add(last.map_or(0, |value| value.div_ceil(offer.room)));
        }
        total = total.saturating_add(offer.price.saturating_mul(supply));
        left -= all;
    }
    total
}

/// The least price in whole sheets; `None` if that takes too many looks.
pub(super) fn in_whole(offers: &[Offer], demand: u128) -> Option<u128> {
    let mut search = Whole {
        best: u128::MAX,
        looks: 0,
    };
    search.visit(offers, demand, 0);
    (search.looks < LOOKS && search.best < u128::MAX).then_some(search.best)
}

/// Offers that hold anything, the cheapest for their room first.
pub(super) fn sorted(offers: impl Iterator<Item = Offer>) -> Vec<Offer> {
    let mut offers: Vec<Offer> = offers
        .filter(|offer| offer.room > 0 && offer.supply != Some(0))
        .collect();
    offers.sort_by(|a, b| (a.price.saturating_mul(b.room)).cmp(&b.price.saturating_mul(a.room)));
    offers
}

struct Whole {
    best: u128,
    looks: u32,
}

impl Whole {
    fn visit(&mut self, offers: &[Offer], left: u128, spent: u128) {
        self.looks = self.looks.saturating_add(1);
        if left == 0 {
            self.best = self.best.min(spent);
            return;
        }
        let Some((first, rest)) = offers.split_first() else {
            return;
        };
        let supply = first.supply.map_or(u128::MAX, u128::from);
        let mut n = left.div_ceil(first.room).min(supply);
        loop {
            let uncovered = left.saturating_sub(first.room.saturating_mul(n));
            let paid = spent.saturating_add(first.price.saturating_mul(n));
            if self.looks < LOOKS && paid.saturating_add(in_parts(rest, uncovered)) < self.best {
                self.visit(rest, uncovered, paid);
            }
            if n == 0 || self.looks >= LOOKS {
                return;
            }
            self.looks += 1;
            n -= 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn offer(price: u128, room: u128, supply: Option<u64>) -> Offer {
        Offer {
            price,
            room,
            supply,
        }
    }

    #[test]
    fn a_roll_cannot_be_bought_by_the_metre() {
        // A tenth of the roll would do; the roll costs 40, ten sheets would cost 30.
        let offers = sorted([offer(40, 1_000, None), offer(3, 10, None)].into_iter());
        assert_eq!(in_parts(&offers, 100), 4);
        assert_eq!(in_whole(&offers, 100), Some(30));
        assert_eq!(in_whole(&offers, 200), Some(40));
    }

    #[test]
    fn supply_binds() {
        let offers = sorted([offer(0, 30, Some(2)), offer(7, 50, None)].into_iter());
        assert_eq!(in_parts(&offers, 100), 6);
        assert_eq!(in_whole(&offers, 100), Some(7));
    }
}
