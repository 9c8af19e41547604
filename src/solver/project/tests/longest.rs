//! Longest lags: published optima, planted plans, and the parts that plan them.

use super::Activity;
use super::EFFORT;
use super::Effort;
use super::Lag;
use super::NoPlan;
use super::Problem;
use super::broken_rule;
use super::plan;
use super::solve;
use crate::solver::project::blocks;
use crate::solver::project::blocks::Blocks;
use crate::solver::project::dice::Dice;
use crate::solver::project::distances::Distances;

/// Capacities, durations with demands, and lags `(from, to, least)`.
struct Stated {
    capacities: [i64; 5],
    activities: [(i64, [i64; 5]); 12],
    lags: &'static [(usize, usize, i64)],
}

impl Stated {
    fn problem(&self) -> Problem {
        let activities = self.activities.iter().map(|&(duration, demands)| Activity {
            duration,
            demands: demands.to_vec(),
        });
        let lags = self.lags.iter().map(|&(from, to, least)| Lag {
            from,
            to,
            least,
            most: None,
        });
        Problem::new(
            self.capacities.to_vec(),
            activities.collect(),
            lags.collect(),
        )
        .unwrap()
    }
}

const PSP2: Stated = Stated {
    capacities: [10, 10, 10, 10, 10],
    activities: [
        (0, [0, 0, 0, 0, 0]),
        (4, [4, 3, 7, 7, 2]),
        (4, [1, 9, 6, 4, 1]),
        (10, [2, 0, 0, 4, 2]),
        (10, [0, 7, 4, 7, 10]),
        (3, [6, 6, 3, 6, 6]),
        (1, [10, 1, 4, 7, 10]),
        (8, [9, 0, 10, 4, 6]),
        (10, [4, 0, 0, 0, 0]),
        (9, [0, 8, 0, 0, 0]),
        (5, [4, 1, 6, 9, 6]),
        (0, [0, 0, 0, 0, 0]),
    ],
    lags: &[
        (0, 4, 0),
        (0, 3, 0),
        (0, 1, 0),
        (0, 2, 0),
        (1, 5, 9),
        (2, 5, -3),
        (2, 6, 8),
        (3, 7, 24),
        (4, 9, 22),
        (5, 8, 4),
        (6, 10, 3),
        (7, 10, -2),
        (7, 11, 8),
        (7, 3, -26),
        (8, 11, 10),
        (9, 11, 9),
        (9, 4, -25),
        (10, 11, 5),
    ],
};

const PSP14: Stated = Stated {
    capacities: [10, 13, 12, 14, 12],
    activities: [
        (0, [0, 0, 0, 0, 0]),
        (2, [8, 8, 1, 0, 0]),
        (1, [4, 7, 7, 0, 8]),
        (1, [4, 3, 7, 8, 3]),
        (7, [5, 2, 8, 8, 8]),
        (7, [7, 0, 0, 9, 7]),
        (5, [2, 10, 0, 3, 8]),
        (10, [0, 8, 0, 2, 6]),
        (9, [4, 3, 4, 10, 0]),
        (4, [0, 7, 0, 4, 0]),
        (9, [4, 6, 1, 5, 5]),
        (0, [0, 0, 0, 0, 0]),
    ],
    lags: &[
        (0, 1, 0),
        (0, 2, 0),
        (0, 4, 0),
        (0, 3, 0),
        (1, 8, 0),
        (2, 5, 3),
        (3, 7, 1),
        (4, 6, 15),
        (5, 7, 21),
        (5, 8, 0),
        (5, 9, 12),
        (6, 10, 0),
        (7, 11, 10),
        (7, 3, -1),
        (8, 11, 9),
        (9, 5, -12),
        (9, 11, 4),
        (10, 11, 9),
        (10, 4, -24),
    ],
};

const PSP28: Stated = Stated {
    capacities: [13, 14, 20, 13, 19],
    activities: [
        (0, [0, 0, 0, 0, 0]),
        (8, [6, 3, 7, 3, 9]),
        (10, [0, 3, 8, 10, 10]),
        (7, [8, 2, 8, 0, 8]),
        (7, [3, 8, 7, 0, 1]),
        (1, [0, 0, 0, 2, 0]),
        (3, [8, 0, 0, 4, 4]),
        (7, [5, 10, 0, 0, 0]),
        (8, [5, 1, 5, 7, 7]),
        (4, [5, 3, 3, 7, 3]),
        (9, [4, 9, 4, 7, 2]),
        (0, [0, 0, 0, 0, 0]),
    ],
    lags: &[
        (0, 2, 0),
        (0, 1, 0),
        (0, 3, 0),
        (1, 8, 19),
        (2, 7, 10),
        (3, 4, 6),
        (4, 3, -7),
        (4, 6, 21),
        (5, 9, 0),
        (5, 6, -8),
        (6, 5, 6),
        (6, 10, 3),
        (7, 11, 7),
        (8, 1, -20),
        (8, 11, 8),
        (9, 11, 4),
        (10, 11, 9),
    ],
};

/// Instances 2, 14 and 28 of the set `ubo10` (Schwindt 1998, ProGen/max), copied from `ptal/kobe-scheduling`; the optima
/// are that source's and were proved again with OR-Tools CP-SAT 9.15.
#[test]
fn published_projects_with_longest_lags_have_their_optima() {
    assert_eq!(plan(&PSP2.problem()).unwrap().makespan, 45);
    assert_eq!(plan(&PSP14.problem()).unwrap().makespan, 41);
    assert_eq!(plan(&PSP28.problem()).unwrap().makespan, 47);
}

/// A project in which a plan is known: lags are read off from it, most of them tight.
fn planted(count: usize, seed: u64) -> (Problem, i64) {
    let mut dice = Dice::new(seed);
    let number = |dice: &mut Dice, low, high| i64::try_from(dice.between(low, high)).unwrap();
    let mut used = vec![0; 20 * count];
    let (mut activities, mut starts) = (Vec::new(), Vec::new());
    for _ in 0..count {
        let (duration, demand) = (dice.between(1, 8), number(&mut dice, 1, 4));
        let fits = |at: &usize| {
            used[*at..at + duration]
                .iter()
                .all(|units| units + demand <= 6)
        };
        let start = (dice.below(count)..usize::MAX).find(fits).unwrap();
        let taken = used[start..start + duration].iter_mut();
        taken.for_each(|units| *units += demand);
        starts.push(i64::try_from(start).unwrap());
        activities.push(Activity {
            duration: i64::try_from(duration).unwrap(),
            demands: vec![demand],
        });
    }
    let mut lags = Vec::new();
    for _ in 0..2 * count {
        let (from, to) = (dice.below(count), dice.below(count));
        let apart = starts[to] - starts[from];
        if from != to && (0..30).contains(&apart) {
            let most = dice.chance(40).then(|| apart + number(&mut dice, 0, 3));
            let least = (apart - number(&mut dice, 0, 9)).max(0);
            lags.push(Lag {
                from,
                to,
                least,
                most,
            });
        }
    }
    let ends = starts.iter().zip(&activities);
    let makespan = ends.map(|(start, one)| start + one.duration).max().unwrap();
    let problem = Problem::new(vec![6], activities, lags).unwrap();
    assert_eq!(broken_rule(&problem, &starts), None);
    (problem, makespan)
}

#[test]
fn a_plan_is_found_wherever_one_was_planted() {
    for (count, seeds) in [(20, 0..4), (60, 6..8), (120, 9..10)] {
        for seed in seeds {
            let (problem, makespan) = planted(count, seed);
            let found = plan(&problem).unwrap_or_else(|none| panic!("{count}, {seed}: {none}"));
            assert!(found.makespan <= makespan, "{count}, {seed}: {found:?}");
        }
    }
}

/// What blocks planned on their own come to, as a plan of the whole.
fn by_blocks(problem: &Problem) -> Blocks {
    let distances = Distances::new(problem).unwrap();
    blocks::plan(problem, &distances, u64::MAX, &mut 0, &mut || false)
}

#[test]
fn blocks_planned_on_their_own_make_a_plan_of_the_whole() {
    for (count, seeds) in [(12, 0..6), (20, 0..6), (60, 6..8)] {
        for seed in seeds {
            let (problem, _) = planted(count, seed);
            match by_blocks(&problem) {
                Blocks::Plan(starts) => {
                    let starts: Vec<i64> = starts
                        .into_iter()
                        .map(|start| i64::try_from(start).unwrap())
                        .collect();
                    assert_eq!(broken_rule(&problem, &starts), None, "{count}, {seed}");
                }
                Blocks::Unknown => {}
                Blocks::Impossible => panic!("{count}, {seed}: there is a plan"),
            }
        }
    }
}

/// Two days of everybody's work each: the second may begin two days after the first, but not one, and a third block waits for both.
#[test]
fn a_block_that_has_no_plan_proves_that_there_is_none() {
    let one = |demand| Activity {
        duration: 2,
        demands: vec![demand],
    };
    let tied = |most| {
        let lag = |from, to, least, most| Lag {
            from,
            to,
            least,
            most,
        };
        let lags = vec![lag(0, 1, 0, Some(most)), lag(1, 2, 3, None)];
        Problem::new(vec![6], vec![one(6), one(6), one(1)], lags).unwrap()
    };
    assert!(matches!(by_blocks(&tied(1)), Blocks::Impossible));
    let Blocks::Plan(starts) = by_blocks(&tied(2)) else {
        panic!("the second two days after the first");
    };
    assert_eq!(starts, [0, 2, 5]);
}

#[test]
fn the_same_seed_gives_the_same_plan_with_longest_lags() {
    let effort = Effort {
        schedules: 1500,
        seed: 3,
    };
    let (problem, _) = planted(60, 6);
    let once = solve(&problem, &effort, &mut || false);
    assert_eq!(once, solve(&problem, &effort, &mut || false));
    assert!(once.unwrap().schedules <= effort.schedules);
}

#[test]
fn a_stop_leaves_no_plan_or_a_good_one() {
    let (problem, _) = planted(60, 7);
    match solve(&problem, &EFFORT, &mut || true) {
        Ok(found) => assert_eq!(broken_rule(&problem, &found.starts), None),
        Err(none) => assert!(matches!(none, NoPlan::NotFound { .. })),
    }
}

#[test]
fn distances_follow_chains_and_see_the_plan_from_its_end() {
    let one = |duration| Activity {
        duration,
        demands: vec![],
    };
    let lag = |from, to, least, most| Lag {
        from,
        to,
        least,
        most,
    };
    // The second 2 to 5 after the first, the third 3 after the second.
    let lags = vec![lag(0, 1, 2, Some(5)), lag(1, 2, 3, None)];
    let problem = Problem::new(vec![], vec![one(2), one(4), one(1)], lags).unwrap();
    let distances = Distances::new(&problem).unwrap();
    assert_eq!(distances.from(0)[2], 5);
    assert_eq!(distances.from(1)[0], -5);
    assert!(!Distances::is_way(distances.from(2)[0]));
    assert!(distances.are_tied(0, 1) && !distances.are_tied(1, 2));
    assert_eq!(distances.heads(), [0, 2, 5]);
    assert_eq!(distances.tails(&problem), [6, 4, 1]);
    // From the end of the plan the second starts 4 to 7 before the first, which is 2 shorter.
    let mirrored = distances.mirrored(&[2, 4, 1]);
    assert_eq!((mirrored.from(1)[0], mirrored.from(0)[1]), (4, -7));
}
