//! Serial schedule generation: activities in a given order, each as early as arrows and resources let it.

use super::network::Direction;
use super::profile::Profile;

/// When a plan is given up.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limit<'a> {
    /// No plan longer than this is wanted.
    pub(super) longest: usize,
    /// Time every activity needs from its start to the end of the plan.
    pub(super) tails: &'a [usize],
}

/// Builds the plan of an order into `starts`; returns how many activities have their place at the end and the plan's length.
///
/// The order must name every activity once, after all those its arrows come from. The first `known` of it stay where `starts`
/// has them, which must be where they would come. There is no length if by its tails the plan becomes longer than the limit; the
/// last activity counted is then the one that came too late.
pub(super) fn generate(
    direction: &Direction,
    profile: &mut Profile,
    order: &[usize],
    known: usize,
    limit: Limit<'_>,
    starts: &mut [usize],
) -> (usize, Option<usize>) {
    profile.clear();
    let mut makespan = 0;
    for (position, &activity) in order.iter().enumerate() {
        let duration = direction.durations[activity];
        let start = if position < known {
            starts[activity]
        } else {
            let mut earliest = 0;
            for arrow in direction.arrows_into(activity) {
                earliest = earliest.max(arrow.earliest(starts[arrow.from]));
            }
            profile.earliest(activity, earliest, duration)
        };
        if start + limit.tails[activity] > limit.longest {
            return (position + 1, None);
        }
        profile.take(activity, start, duration);
        starts[activity] = start;
        makespan = makespan.max(start + duration);
    }
    (order.len(), Some(makespan))
}
