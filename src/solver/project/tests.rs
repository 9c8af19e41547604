//! Published values, brute force on tiny cases and the rules of a plan.

mod counting;
mod longest;

use proptest::prelude::*;

use super::Activity;
use super::Effort;
use super::Lag;
use super::NoPlan;
use super::Problem;
use super::Solution;
use super::broken_rule;
use super::network::Network;
use super::solve;

const EFFORT: Effort = Effort {
    schedules: 5_000,
    seed: 7,
};

fn plan(problem: &Problem) -> Result<Solution, NoPlan> {
    let outcome = solve(problem, &EFFORT, &mut || false);
    if let Ok(solution) = &outcome {
        assert_eq!(broken_rule(problem, &solution.starts), None);
        let ends = solution.starts.iter().zip(problem.activities());
        let latest = ends
            .map(|(start, activity)| start + activity.duration)
            .max()
            .unwrap_or(0);
        assert_eq!(solution.makespan, latest);
        assert!(solution.lower_bound <= solution.makespan);
    }
    outcome
}

fn after(from: usize, to: usize, least: i64) -> Lag {
    Lag {
        from,
        to,
        least,
        most: None,
    }
}

/// Activities without resources; a row is a duration and the activities it follows.
fn network(rows: &[(i64, &[usize])]) -> Problem {
    let activities = rows
        .iter()
        .map(|row| Activity {
            duration: row.0,
            demands: vec![],
        })
        .collect();
    let mut lags = Vec::new();
    for (to, (_, before)) in rows.iter().enumerate() {
        lags.extend(before.iter().map(|&from| after(from, to, rows[from].0)));
    }
    Problem::new(vec![], activities, lags).unwrap()
}

/// How long each activity may wait without moving the end.
fn slacks(problem: &Problem) -> Vec<usize> {
    let direction = Network::new(problem).unwrap().forwards;
    let through = direction.heads.iter().zip(&direction.tails);
    through
        .map(|(head, tail)| direction.critical_path() - head - tail)
        .collect()
}

/// Taylor, *Introduction to Management Science*, ch. 8: length 20, critical events 1-3-4-5-6, slacks as listed.
#[test]
fn taylor_first_network_has_its_length_and_slacks() {
    // Arrows 1-2, 1-3, 2-4, 3-4, 3-5, 4-5, 5-6.
    let problem = network(&[
        (7, &[]),
        (10, &[]),
        (6, &[0]),
        (5, &[1]),
        (4, &[1]),
        (3, &[2, 3]),
        (2, &[4, 5]),
    ]);
    assert_eq!(plan(&problem).unwrap().makespan, 20);
    assert_eq!(slacks(&problem), [2, 0, 2, 0, 4, 0, 0]);
}

/// Taylor, *Introduction to Management Science*, ch. 8: length 38, critical events 1-3-5-7-8-9.
#[test]
fn taylor_second_network_has_its_length_and_critical_path() {
    // Arrows 1-2, 1-3, 1-4, 2-5, 2-6, 3-5, 4-5 (a dummy), 4-7, 5-7, 5-8, 6-9, 7-8, 8-9.
    let problem = network(&[
        (8, &[]),
        (10, &[]),
        (9, &[]),
        (6, &[0]),
        (4, &[0]),
        (5, &[1]),
        (0, &[2]),
        (7, &[2]),
        (12, &[3, 5, 6]),
        (15, &[3, 5, 6]),
        (18, &[4]),
        (4, &[7, 8]),
        (7, &[9, 11]),
    ]);
    assert_eq!(plan(&problem).unwrap().makespan, 38);
    let critical: Vec<usize> = (0..13)
        .filter(|&arrow| slacks(&problem)[arrow] == 0)
        .collect();
    assert_eq!(critical, [1, 5, 8, 11, 12]);
}

/// Hillier & Lieberman, *Introduction to Operations Research*, construction example (from memory, arithmetic checked):
/// length 44, critical A-B-C-E-F-J-L-N, slacks D 4, G 4, H 4, I 2, K 1, M 4.
#[test]
fn hillier_lieberman_construction_has_its_length_and_slacks() {
    let problem = network(&[
        (2, &[]),
        (4, &[0]),
        (10, &[1]),
        (6, &[2]),
        (4, &[2]),
        (5, &[4]),
        (7, &[3]),
        (9, &[4, 6]),
        (7, &[2]),
        (8, &[5, 8]),
        (4, &[9]),
        (5, &[9]),
        (2, &[7]),
        (6, &[10, 11]),
    ]);
    let solution = plan(&problem).unwrap();
    assert_eq!((solution.makespan, solution.lower_bound), (44, 44));
    assert_eq!(slacks(&problem), [0, 0, 0, 4, 0, 0, 4, 4, 2, 0, 1, 0, 4, 0]);
}

/// Set 1, instance 1 of the 30-activity projects of Kolisch & Sprecher 1996 (EJOR 96:205–216): duration, demands, successors
/// from 1. Typed from memory; its optimum, 43, was proved with OR-Tools 9.15 and equals the published one.
const J30_1_1: [(i64, [i64; 4], &[usize]); 32] = [
    (0, [0, 0, 0, 0], &[2, 3, 4]),
    (8, [4, 0, 0, 0], &[6, 11, 15]),
    (4, [10, 0, 0, 0], &[7, 8, 13]),
    (6, [0, 0, 0, 3], &[5, 9, 10]),
    (3, [3, 0, 0, 0], &[20]),
    (8, [0, 0, 0, 8], &[30]),
    (5, [4, 0, 0, 0], &[27]),
    (9, [0, 1, 0, 0], &[12, 19, 27]),
    (2, [6, 0, 0, 0], &[14]),
    (7, [0, 0, 0, 1], &[16, 25]),
    (9, [0, 5, 0, 0], &[20, 26]),
    (2, [0, 7, 0, 0], &[14]),
    (6, [4, 0, 0, 0], &[17, 18]),
    (3, [0, 8, 0, 0], &[17]),
    (9, [3, 0, 0, 0], &[25]),
    (10, [0, 0, 0, 5], &[21, 22]),
    (6, [0, 0, 0, 8], &[22]),
    (5, [0, 0, 0, 7], &[20, 22]),
    (3, [0, 1, 0, 0], &[24, 29]),
    (7, [0, 10, 0, 0], &[23, 25]),
    (2, [0, 0, 0, 6], &[28]),
    (7, [2, 0, 0, 0], &[23]),
    (2, [3, 0, 0, 0], &[24]),
    (3, [0, 9, 0, 0], &[30]),
    (3, [4, 0, 0, 0], &[30]),
    (7, [0, 0, 4, 0], &[31]),
    (8, [0, 0, 0, 7], &[28]),
    (3, [0, 8, 0, 0], &[31]),
    (7, [0, 7, 0, 0], &[32]),
    (2, [0, 7, 0, 0], &[32]),
    (2, [0, 0, 2, 0], &[32]),
    (0, [0, 0, 0, 0], &[]),
];

fn j30_1_1() -> Problem {
    let rows = J30_1_1.iter();
    let activities = rows
        .map(|row| Activity {
            duration: row.0,
            demands: row.1.to_vec(),
        })
        .collect();
    let mut lags = Vec::new();
    for (from, (duration, _, successors)) in J30_1_1.iter().enumerate() {
        lags.extend(successors.iter().map(|&to| after(from, to - 1, *duration)));
    }
    Problem::new(vec![12, 13, 4, 12], activities, lags).unwrap()
}

#[test]
fn published_project_of_30_activities_is_planned_and_proved_at_43() {
    let solution = plan(&j30_1_1()).unwrap();
    assert_eq!((solution.makespan, solution.lower_bound), (43, 43));
    assert!(
        solution.schedules < EFFORT.schedules,
        "a proof should save schedules"
    );
}

#[test]
fn published_project_has_the_critical_path_of_38() {
    assert_eq!(
        Network::new(&j30_1_1()).unwrap().forwards.critical_path(),
        38
    );
}

/// The same project through the exact engine: one longest lag that no good plan notices.
#[test]
fn exact_search_proves_the_published_project_at_43() {
    let problem = j30_1_1();
    let mut lags = problem.lags().to_vec();
    lags.push(Lag {
        from: 0,
        to: 31,
        least: 0,
        most: Some(150),
    });
    let same = Problem::new(vec![12, 13, 4, 12], problem.activities().to_vec(), lags).unwrap();
    let solution = plan(&same).unwrap();
    assert_eq!((solution.makespan, solution.lower_bound), (43, 43));
}

#[test]
fn same_seed_gives_the_same_plan() {
    let effort = Effort {
        schedules: 700,
        seed: 3,
    };
    let once = solve(&j30_1_1(), &effort, &mut || false);
    assert_eq!(once, solve(&j30_1_1(), &effort, &mut || false));
}

#[test]
fn effort_is_kept_and_a_stop_is_obeyed() {
    let effort = Effort {
        schedules: 300,
        seed: 3,
    };
    assert!(solve(&j30_1_1(), &effort, &mut || false).unwrap().schedules <= 300);
    let stopped = solve(&j30_1_1(), &effort, &mut || true).unwrap();
    assert_eq!(stopped.schedules, 1);
    assert_eq!(broken_rule(&j30_1_1(), &stopped.starts), None);
}

#[test]
fn lags_that_contradict_each_other_are_infeasible() {
    let one = Activity {
        duration: 2,
        demands: vec![],
    };
    // The second starts at least 5 after the first, which starts at least -4 after the second.
    let lags = vec![after(0, 1, 5), after(1, 0, -4)];
    let problem = Problem::new(vec![], vec![one.clone(), one.clone()], lags).unwrap();
    assert_eq!(plan(&problem), Err(NoPlan::Infeasible));
    let least_above_most = vec![Lag {
        from: 0,
        to: 1,
        least: 5,
        most: Some(4),
    }];
    let problem = Problem::new(vec![], vec![one.clone(), one], least_above_most).unwrap();
    assert_eq!(plan(&problem), Err(NoPlan::Infeasible));
}

#[test]
fn longest_lag_that_the_crew_cannot_keep_is_infeasible() {
    let one = Activity {
        duration: 3,
        demands: vec![2],
    };
    let lag = |most| {
        vec![Lag {
            from: 0,
            to: 1,
            least: 0,
            most: Some(most),
        }]
    };
    let tight = Problem::new(vec![3], vec![one.clone(), one.clone()], lag(2)).unwrap();
    assert_eq!(plan(&tight), Err(NoPlan::Infeasible));
    let loose = Problem::new(vec![3], vec![one.clone(), one], lag(3)).unwrap();
    assert_eq!(plan(&loose).unwrap().starts, [0, 3]);
}

#[test]
fn project_without_activities_ends_at_once() {
    let problem = Problem::new(vec![4], vec![], vec![]).unwrap();
    assert_eq!(plan(&problem).unwrap().makespan, 0);
}

#[test]
fn errors_name_the_activity() {
    let one = |duration, demand| Activity {
        duration,
        demands: vec![demand],
    };
    let message = |activities, lags| {
        Problem::new(vec![3], activities, lags)
            .unwrap_err()
            .to_string()
    };
    assert_eq!(
        message(vec![one(1, 1), one(-2, 1)], vec![]),
        "activity 1 lasts -2, allowed are 0 to 16777216"
    );
    assert_eq!(
        message(vec![one(1, 4)], vec![]),
        "activity 0 needs 4 of resource 0, which has 3"
    );
    assert_eq!(
        message(vec![one(1, 1)], vec![after(0, 0, 1)]),
        "activity 0 has a lag to itself"
    );
    assert_eq!(
        message(vec![one(1, 1)], vec![after(0, 6, 1)]),
        "a lag names activity 6, but the last is 0"
    );
    assert!(
        message(vec![one(1, 1), one(1, 1)], vec![after(0, 1, 1 << 29)])
            .contains("use a coarser unit")
    );
}

/// The shortest plan by trying all starts, or nothing.
fn brute_force(problem: &Problem, longest: i64) -> Option<i64> {
    let count = problem.activities().len();
    let mut best: Option<i64> = None;
    let mut starts = vec![0; count];
    loop {
        let ends = starts.iter().zip(problem.activities());
        let makespan = ends
            .map(|(start, activity)| start + activity.duration)
            .max()
            .unwrap_or(0);
        if best.is_none_or(|best| makespan < best) && broken_rule(problem, &starts).is_none() {
            best = Some(makespan);
        }
        let Some(turn) = (0..count).find(|&one| starts[one] < longest) else {
            return best;
        };
        starts[turn] += 1;
        starts[..turn].fill(0);
    }
}

fn activity() -> impl Strategy<Value = Activity> {
    (0..4_i64, 0..4_i64, 0..3_i64).prop_map(|(duration, one, other)| Activity {
        duration,
        demands: vec![one, other],
    })
}

fn activities() -> impl Strategy<Value = Vec<Activity>> {
    prop::collection::vec(activity(), 4)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn least_lags_are_planned_as_short_as_by_trying_everything(
        activities in activities(),
        lags in prop::collection::vec((0..4_usize, 1..4_usize, -2..4_i64), 0..4),
    ) {
        // Arrows lead to higher numbers, so there is no cycle.
        let lags = lags.into_iter().filter(|lag| lag.0 < lag.1).map(|(from, to, least)| after(from, to, least));
        let problem = Problem::new(vec![3, 2], activities, lags.collect()).unwrap();
        let solution = plan(&problem).unwrap();
        prop_assert_eq!(Some(solution.makespan), brute_force(&problem, 12));
    }

    #[test]
    fn longest_lags_are_planned_or_refused_as_by_trying_everything(
        activities in activities(),
        lags in prop::collection::vec((0..4_usize, 0..4_usize, -3..4_i64, 0..5_i64), 1..4),
    ) {
        let lags = lags.into_iter().filter(|lag| lag.0 != lag.1);
        let lags = lags.map(|(from, to, least, room)| Lag { from, to, least, most: Some(least + room) });
        let problem = Problem::new(vec![3, 2], activities, lags.collect()).unwrap();
        let outcome = plan(&problem);
        prop_assert_ne!(&outcome.as_ref().err().copied(), &Some(NoPlan::NotFound { schedules: EFFORT.schedules }));
        prop_assert_eq!(outcome.ok().map(|solution| solution.makespan), brute_force(&problem, 12));
    }
}
