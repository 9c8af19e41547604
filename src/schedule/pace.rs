//! How long a crew takes: its speed, what the air lets through, moving the tower, and the steps in which time is planned.

use crate::recipe::Step;

use super::draft::Draft;

/// Minutes in which work is planned: nobody keeps to 10:16.
pub const GRID: i64 = 5;

/// Rounds minutes up to the grid.
pub(super) const fn up(minutes: i64) -> i64 {
    minutes.saturating_add(GRID - 1).div_euclid(GRID) * GRID
}

/// The working minutes of each crew of a draft, from the fewest to the most people.
pub(super) fn minutes(draft: &Draft<'_>, step: &Step) -> Vec<i64> {
    (step.crew.0.max(1)..=step.crew.1.max(1))
        .map(|crew| of_crew(draft, step, crew))
        .collect()
}

/// The working minutes of a crew: never fewer than the air allows, then the tower's move, on the grid.
///
/// # Formula
/// `up(max(work ÷ speed, 60 × air ÷ fresh air an hour) + moving)`; the speed is the crew's of the recipe, else its people; `up` goes to the
/// next five minutes.
///
/// # Sources
/// Our own rule: nobody brushes on more in an hour than the fresh air of that hour takes up.
pub(super) fn of_crew(draft: &Draft<'_>, step: &Step, crew: u32) -> i64 {
    let work = f64::from(draft.work) / speed(step, crew);
    let work = i64::from(super::work::rounded_up(work));
    up(work.max(i64::from(draft.air_minutes)) + i64::from(draft.moving)).max(GRID)
}

/// How many people's work a crew does.
pub(super) fn speed(step: &Step, crew: u32) -> f64 {
    let at = usize::try_from(crew.saturating_sub(step.crew.0.max(1))).unwrap_or(usize::MAX);
    let stated = step.speed.get(at).copied().filter(|speed| *speed > 0.0);
    stated.unwrap_or_else(|| f64::from(crew.max(1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_is_planned_in_steps_of_five_minutes() {
        assert_eq!(up(0), 0);
        assert_eq!(up(1), 5);
        assert_eq!(up(5), 5);
        assert_eq!(up(56), 60);
    }
}
