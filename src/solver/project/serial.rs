//! Serial schedule generation: activities in a given order, each as early as arrows and resources let it.

use super::network::Direction;
use super::profile::Profile;

/// Builds the plan of an order into `starts`; returns how many activities were placed and the plan's length.
///
/// The order must name every activity once, after all those its arrows come from. There is no length if the plan must become
/// longer than `longest`.
pub(super) fn generate(
    direction: &Direction,
    profile: &mut Profile,
    order: &[usize],
    longest: usize,
    starts: &mut [usize],
) -> (usize, Option<usize>) {
    profile.clear();
    let mut makespan = 0;
    for (position, &activity) in order.iter().enumerate() {
        let mut earliest = 0;
        for arrow in direction.arrows_into(activity) {
            earliest = earliest.max(arrow.earliest(starts[arrow.from]));
        }
        let duration = direction.durations[activity];
        let start = profile.earliest(activity, earliest, duration);
        if start + direction.tails[activity] > longest {
            return (position + 1, None);
        }
        profile.take(activity, start, duration);
        starts[activity] = start;
        makespan = makespan.max(start + duration);
    }
    (order.len(), Some(makespan))
}
