//! Lower bounds for packing equal bins that need no linear program.

/// The least number of bins that `sizes` (in falling order) can need, by three families of dual feasible functions.
///
/// # Sources
/// - Martello and Toth 1990, "Lower bounds and reduction procedures for the bin packing problem" (bound L2).
/// - Fekete and Schepers 2001, "New classes of fast lower bounds for bin packing problems".
/// - Carlier, Clautiaux and Moukrim 2007, "New reduction procedures and lower bounds for the two-dimensional
///   bin packing problem with fixed orientation" (the function on multiples of a small size).
pub(super) fn least_bins(sizes: &[(u64, u64)], capacity: u64) -> u64 {
    let total: u128 = sizes.iter().map(|&(size, n)| u128::from(size) * u128::from(n)).sum();
    let mut best = total.div_ceil(u128::from(capacity.max(1)));
    for &(small, _) in sizes.iter().filter(|size| size.0 > 0 && size.0 <= capacity / 2).take(2_000) {
        let big = weigh(sizes, |size| drop_small(size, small, capacity)).div_ceil(u128::from(capacity));
        let steps = weigh(sizes, |size| steps_of(size, small, capacity))
            .div_ceil(u128::from(steps_of(capacity, small, capacity).max(1)));
        best = best.max(big).max(steps);
    }
    u64::try_from(best).unwrap_or(u64::MAX)
}

fn weigh(sizes: &[(u64, u64)], weight: impl Fn(u64) -> u64) -> u128 {
    sizes.iter().map(|&(size, n)| u128::from(weight(size)) * u128::from(n)).sum()
}

/// Sizes over `capacity - small` count as a whole bin, sizes under `small` as nothing.
fn drop_small(size: u64, small: u64, capacity: u64) -> u64 {
    if size > capacity - small {
        capacity
    } else if size < small {
        0
    } else {
        size
    }
}

/// Sizes counted in whole steps of `small`, the big half from above.
fn steps_of(size: u64, small: u64, capacity: u64) -> u64 {
    let all = capacity / small;
    match (2 * size).cmp(&capacity) {
        core::cmp::Ordering::Less => 2 * (size / small),
        core::cmp::Ordering::Equal => all,
        core::cmp::Ordering::Greater => 2 * (all - (capacity - size) / small),
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
