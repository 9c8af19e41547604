//! What is mixed when: batches no larger than the pot and none used beyond its pot life.

use std::collections::BTreeMap;

use jiff::civil::DateTime;

use crate::recipe::Solution;
use crate::takeoff::Part;
use crate::takeoff::SolutionNeed;
use crate::units::Mass;

use super::Activity;
use super::Batch;
use super::Given;
use super::Schedule;

/// One stretch of brushing: when, and how many grams.
#[derive(Clone, Copy, Debug)]
struct Brushing {
    from: DateTime,
    to: DateTime,
    grams: f64,
}

/// Mixes every step's solution for each day: a batch is mixed when the one before is used up or past its pot life.
pub(super) fn mix(given: &Given<'_>, schedule: &Schedule) -> Vec<Batch> {
    let needs: BTreeMap<(usize, usize), &SolutionNeed> = given
        .takeoff
        .solutions
        .iter()
        .map(|need| ((need.panel, need.step), need))
        .collect();
    let mut by_step: BTreeMap<(&str, usize), Vec<Brushing>> = BTreeMap::new();
    let mut parts: BTreeMap<(&str, usize), &SolutionNeed> = BTreeMap::new();
    let shares = work_by_step(schedule);
    for activity in &schedule.activities {
        let Some(panel) = activity.panel else {
            continue;
        };
        let Some(need) = needs.get(&(panel, activity.step)) else {
            continue;
        };
        let whole = shares.get(&(panel, activity.step)).copied().unwrap_or(0);
        let key = (activity.recipe.as_str(), activity.step);
        by_step.entry(key).or_default().extend(brushings(
            activity,
            need.mass.to_g() * schedule.left(panel, activity.step),
            whole,
        ));
        parts.insert(key, need);
    }
    let mut batches = Vec::new();
    for ((recipe, step), brushings) in by_step {
        let Some(known) = given.job.recipes.get(recipe) else {
            continue;
        };
        let Some((step, need)) = known.steps.get(step).zip(parts.get(&(recipe, step))) else {
            continue;
        };
        let Some(solution) = known.solution(&need.solution) else {
            continue;
        };
        for (mixed, grams) in fill(
            &one_after_another(&brushings),
            largest(solution, need),
            pot_life(solution),
        ) {
            batches.push(Batch {
                recipe: recipe.to_owned(),
                solution: need.solution.clone(),
                step: step.id.clone(),
                day: mixed.date(),
                mixed,
                mass: Mass::g(grams),
                parts: scaled(&need.parts, grams / need.mass.to_g().max(f64::MIN_POSITIVE)),
            });
        }
    }
    batches.sort_by(|a, b| (a.mixed, &a.recipe, &a.step).cmp(&(b.mixed, &b.recipe, &b.step)));
    batches
}

/// Person-minutes of a step on a panel over all its day sections.
fn work_by_step(schedule: &Schedule) -> BTreeMap<(usize, usize), u64> {
    let mut work: BTreeMap<(usize, usize), u64> = BTreeMap::new();
    for activity in &schedule.activities {
        if let Some(panel) = activity.panel {
            *work.entry((panel, activity.step)).or_default() += u64::from(activity.work_minutes);
        }
    }
    work
}

/// An activity's share of the step's solution, spread evenly over its stretches of work.
fn brushings(activity: &Activity, grams: f64, whole: u64) -> Vec<Brushing> {
    let minutes = |from: DateTime, to: DateTime| {
        f64::from(i32::try_from(to.duration_since(from).as_mins()).unwrap_or(0))
    };
    let worked: f64 = activity
        .stretches
        .iter()
        .map(|&(from, to)| minutes(from, to))
        .sum();
    let share = f64::from(activity.work_minutes) / whole_or_one(whole);
    let stretch = |&(from, to): &(DateTime, DateTime)| Brushing {
        from,
        to,
        grams: grams * share * minutes(from, to) / worked.max(1.0),
    };
    activity.stretches.iter().map(stretch).collect()
}

#[allow(
    clippy::cast_precision_loss,
    reason = "person-minutes of one step stay far below 2^53"
)]
fn whole_or_one(whole: u64) -> f64 {
    whole.max(1) as f64
}

/// The most grams of a batch: its largest volume times the density of the mixture (volumes taken to add up).
fn largest(solution: &Solution, need: &SolutionNeed) -> f64 {
    let volume: f64 = need
        .parts
        .iter()
        .filter_map(|part| part.volume)
        .map(crate::units::Volume::to_ml)
        .sum();
    match solution.largest_batch {
        Some(pot) if volume > 0.0 => pot.to_ml() * need.mass.to_g() / volume,
        Some(pot) => pot.to_ml(),
        None => f64::INFINITY,
    }
}

fn pot_life(solution: &Solution) -> i64 {
    solution.pot_life_minutes.map_or(i64::MAX, i64::from)
}

/// What is brushed in each stretch of time in which the same crews brush, so that crews at work at once draw on one batch.
fn one_after_another(brushings: &[Brushing]) -> Vec<Brushing> {
    let minutes = |from: DateTime, to: DateTime| to.duration_since(from).as_secs_f64() / 60.0;
    // At each moment, the change of crews and of grams a minute.
    let mut changes: BTreeMap<DateTime, (i32, f64)> = BTreeMap::new();
    for brushing in brushings {
        let rate = brushing.grams / minutes(brushing.from, brushing.to).max(1.0);
        for (at, crews, rate) in [(brushing.from, 1, rate), (brushing.to, -1, -rate)] {
            let change = changes.entry(at).or_default();
            *change = (change.0 + crews, change.1 + rate);
        }
    }
    let (mut crews, mut rate) = (0, 0.0);
    let mut merged = Vec::new();
    let moments: Vec<_> = changes.into_iter().collect();
    for two in moments.windows(2) {
        let [(from, change), (to, _)] = *two else {
            continue;
        };
        crews += change.0;
        // With nobody at work what is left of the rate is the noise of its sums.
        rate = if crews > 0 { rate + change.1 } else { 0.0 };
        if crews > 0 {
            let grams = rate * minutes(from, to);
            merged.push(Brushing { from, to, grams });
        }
    }
    merged
}

/// Fills batches one after the other: when each is mixed, and its grams. A batch never lasts into another day.
fn fill(brushings: &[Brushing], largest: f64, pot_life: i64) -> Vec<(DateTime, f64)> {
    let mut batches: Vec<(DateTime, f64)> = Vec::new();
    for brushing in brushings {
        let mut from = brushing.from;
        let mut left = brushing.grams;
        // A thousandth of a gram is nothing to mix for.
        while left > 1e-3 {
            let fresh = match batches.last() {
                Some((mixed, grams)) => {
                    *grams >= largest - 1e-6
                        || from.date() != mixed.date()
                        || from.duration_since(*mixed).as_mins() >= pot_life
                }
                None => true,
            };
            if fresh {
                batches.push((from, 0.0));
            }
            let Some((mixed, grams)) = batches.last_mut() else {
                return batches;
            };
            let (used, until) = taken(brushing, from, left, largest - *grams, *mixed, pot_life);
            *grams += used;
            left -= used;
            from = until;
        }
    }
    batches
}

/// How much of what is left of a brushing one batch still gives, and until when that lasts.
fn taken(
    brushing: &Brushing,
    from: DateTime,
    left: f64,
    room: f64,
    mixed: DateTime,
    pot_life: i64,
) -> (f64, DateTime) {
    let minutes = brushing.to.duration_since(from).as_mins().max(0);
    let span = f64::from(i32::try_from(minutes).unwrap_or(i32::MAX)).max(1.0);
    let fresh_for = pot_life
        .saturating_sub(from.duration_since(mixed).as_mins())
        .max(1);
    let in_time = f64::from(i32::try_from(fresh_for).unwrap_or(i32::MAX)) / span;
    let used = left.min(room).min(left * in_time.min(1.0));
    let spent = rounded((used / left * span).min(span));
    (
        used,
        from.saturating_add(jiff::Span::new().minutes(spent))
            .min(brushing.to),
    )
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "minutes of one stretch of work, at most a day"
)]
fn rounded(minutes: f64) -> i64 {
    minutes.round().clamp(0.0, 10_000.0) as i64
}

fn scaled(parts: &[Part], share: f64) -> Vec<Part> {
    let part = |part: &Part| Part {
        material: part.material.clone(),
        mass: part.mass.times(share),
        volume: part.volume.map(|volume| volume.times(share)),
    };
    parts.iter().map(part).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::datetime;

    #[test]
    fn a_pot_is_filled_and_then_the_next() {
        let brushing = Brushing {
            from: datetime(2027, 1, 4, 8, 0, 0, 0),
            to: datetime(2027, 1, 4, 12, 0, 0, 0),
            grams: 4000.0,
        };
        let batches = fill(&[brushing], 1500.0, 10_000);
        let grams: Vec<f64> = batches.iter().map(|(_, grams)| *grams).collect();
        assert_eq!(grams, [1500.0, 1500.0, 1000.0]);
        assert_eq!(batches[1].0, datetime(2027, 1, 4, 9, 30, 0, 0));
    }

    #[test]
    fn nothing_is_used_past_its_pot_life() {
        let brushing = Brushing {
            from: datetime(2027, 1, 4, 8, 0, 0, 0),
            to: datetime(2027, 1, 4, 12, 0, 0, 0),
            grams: 400.0,
        };
        let batches = fill(&[brushing], f64::INFINITY, 120);
        let times: Vec<DateTime> = batches.iter().map(|(mixed, _)| *mixed).collect();
        assert_eq!(
            times,
            [
                datetime(2027, 1, 4, 8, 0, 0, 0),
                datetime(2027, 1, 4, 10, 0, 0, 0)
            ]
        );
        assert_eq!(batches.iter().map(|(_, grams)| grams).sum::<f64>(), 400.0);
    }

    #[test]
    fn crews_at_work_at_once_draw_on_one_batch() {
        let brushing = |from: i8, to: i8, grams| Brushing {
            from: datetime(2027, 1, 4, from, 0, 0, 0),
            to: datetime(2027, 1, 4, to, 0, 0, 0),
            grams,
        };
        let all = [
            brushing(8, 12, 400.0),
            brushing(9, 11, 600.0),
            brushing(14, 15, 50.0),
        ];
        let merged = one_after_another(&all);
        let grams = merged.iter().map(|brushing| brushing.grams);
        let near = |(found, expected): (f64, f64)| (found - expected).abs() < 1e-9;
        assert_eq!(merged.len(), 4);
        assert!(
            grams.zip([100.0, 800.0, 100.0, 50.0]).all(near),
            "{merged:?}"
        );
        let mixed: Vec<i8> = fill(&merged, 500.0, 10_000)
            .iter()
            .map(|(mixed, _)| mixed.hour())
            .collect();
        // 500 g are used up at 10:00, 1000 g at noon.
        assert_eq!(mixed, [8, 10, 14]);
    }

    #[test]
    fn yesterdays_pot_is_not_used_today() {
        let day = |day| Brushing {
            from: datetime(2027, 1, day, 8, 0, 0, 0),
            to: datetime(2027, 1, day, 9, 0, 0, 0),
            grams: 100.0,
        };
        assert_eq!(fill(&[day(4), day(5)], 1000.0, 100_000).len(), 2);
    }
}
