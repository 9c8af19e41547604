//! Lower bounds for packing equal bins that need no linear program.

use core::cmp::Ordering;

/// The least number of bins that `sizes` (in falling order) can need, by three families of dual feasible functions.
///
/// # Sources
/// - Martello and Toth 1990, "Lower bounds and reduction procedures for the bin packing problem" (bound L2).
/// - Fekete and Schepers 2001, "New classes of fast lower bounds for bin packing problems".
/// - Carlier, Clautiaux and Moukrim 2007, "New reduction procedures and lower bounds for the two-dimensional
///   bin packing problem with fixed orientation" (the function on multiples of a small size).
pub(super) fn least_bins(sizes: &[(u64, u64)], capacity: u64) -> u64 {
    let total = weigh(sizes, u128::from);
    let mut best = total.div_ceil(u128::from(capacity.max(1)));
    for small in smalls(sizes, capacity) {
        let big =
            weigh(sizes, |size| drop_small(size, small, capacity)).div_ceil(u128::from(capacity));
        let steps = weigh(sizes, |size| steps_of(size, small, capacity))
            .div_ceil(steps_of(capacity, small, capacity).max(1));
        best = best.max(big).max(steps);
    }
    u64::try_from(best).unwrap_or(u64::MAX)
}

/// Where the functions change: at the small sizes, and just above what a big size leaves free.
fn smalls(sizes: &[(u64, u64)], capacity: u64) -> impl Iterator<Item = u64> {
    let at = move |size: u64| {
        if size <= capacity / 2 {
            size
        } else {
            (capacity - size).saturating_add(1)
        }
    };
    let smalls = sizes
        .iter()
        .filter(move |size| size.0 <= capacity)
        .map(move |size| at(size.0));
    smalls
        .filter(move |small| *small > 0 && *small <= capacity / 2)
        .take(2_000)
}

fn weigh(sizes: &[(u64, u64)], weight: impl Fn(u64) -> u128) -> u128 {
    sizes
        .iter()
        .map(|&(size, n)| weight(size).saturating_mul(u128::from(n)))
        .fold(0, u128::saturating_add)
}

/// Sizes over `capacity - small` count as a whole bin, sizes under `small` as nothing.
fn drop_small(size: u64, small: u64, capacity: u64) -> u128 {
    if size > capacity - small {
        u128::from(capacity)
    } else if size < small {
        0
    } else {
        u128::from(size)
    }
}

/// Sizes counted in whole steps of `small`, the big half from above.
fn steps_of(size: u64, small: u64, capacity: u64) -> u128 {
    let all = u128::from(capacity / small);
    match size.cmp(&(capacity - size)) {
        Ordering::Less => 2 * u128::from(size / small),
        Ordering::Equal => all,
        Ordering::Greater => 2 * (all - u128::from((capacity - size) / small)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_big_halves_need_three_bins() {
        assert_eq!(least_bins(&[(51, 3)], 100), 3);
    }

    #[test]
    fn thirds_that_do_not_go_in_threes() {
        // Two of 34 fill a bin of 100 but three do not: seven need four bins; by length alone three.
        assert_eq!(least_bins(&[(34, 7)], 100), 4);
    }
}
