//! Random jobs with all features, against the checker.

use proptest::prelude::*;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::*;

/// Makes a job of chains with cross links, lags, longest times, holds, limits, windows and absences.
pub(super) fn job(seed: u64, tasks: usize) -> Problem {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let people = 2 + random.random_range(0..3_usize);
    let mut problem = Problem {
        calendars: vec![office(), Calendar::always(40), short_days()],
        people: (0..people)
            .map(|index| person(index, &mut random))
            .collect(),
        resources: vec![
            Resource {
                capacity: 1,
                absences: vec![(at(2, 0, 0), at(3, 0, 0))],
            },
            Resource {
                capacity: 3,
                ..Resource::default()
            },
        ],
        budgets: vec![DailyBudget { limit: 100 }],
        hand_over: Some(at(10, 17, 0)),
        travel_days: [None, Some(0), Some(1)][random.random_range(0..3_usize)],
        ..Problem::default()
    };
    for index in 0..tasks {
        let task = task(index, &mut random);
        problem.tasks.push(task);
    }
    links(&mut problem, &mut random);
    problem
}

fn short_days() -> Calendar {
    let week = std::array::from_fn(|_| vec![(540, 660), (840, 1080)]);
    Calendar::weekly(week, 3, &std::collections::BTreeSet::from([1, 4]), 30)
}

fn person(index: usize, random: &mut ChaCha8Rng) -> Person {
    let absences = (0..random.random_range(0..3_u8)).map(|_| {
        let start = random.random_range(0..20_000_i64);
        (start, start + random.random_range(30..3000_i64))
    });
    Person {
        // Everyone has skill 0; the first two have skill 1.
        skills: if index < 2 { 0b11 } else { 0b01 },
        absences: absences.collect(),
        rate: random.random_range(1..4_i64),
    }
}

fn task(index: usize, random: &mut ChaCha8Rng) -> Task {
    let mut chance = |percent: u32| random.random_range(0..100_u32) < percent;
    let mut task = Task {
        skill: if chance(90) {
            Some(u8::from(chance(30)))
        } else {
            None
        },
        same_day: chance(20),
        pausable: chance(85),
        most: if chance(40) { 2 } else { 1 },
        tag: index / 4,
        ..Task::default()
    };
    let (earliest, fixed, window, spends) = (chance(10), chance(3), chance(5), chance(25));
    let (uses, table, due) = (chance(30), chance(10), chance(10));
    task.calendar = [0, 0, 0, 2, 1][random.random_range(0..5_usize)];
    let longest = if task.same_day || !task.pausable {
        120
    } else {
        900
    };
    task.site = usize::from(task.calendar == 2);
    task.work = random.random_range(0..longest);
    if table {
        task.durations = Some(
            (task.fewest..=task.most)
                .map(|crew| task.work / (crew as i64))
                .collect(),
        );
    }
    if earliest {
        task.earliest = random.random_range(0..9000);
    }
    if fixed && !task.same_day && task.pausable {
        task.fixed_start = Some(at(random.random_range(0..4_i64), 14, 0));
    }
    if window {
        task.latest_finish = Some(random.random_range(15_000..40_000));
    }
    if due {
        task.due = Some(random.random_range(1000..20_000));
    }
    if spends {
        task.spends = vec![(0, random.random_range(1..70))];
    }
    if uses {
        task.equipment = vec![(random.random_range(0..2_usize), 1)];
    }
    task
}

fn links(problem: &mut Problem, random: &mut ChaCha8Rng) {
    let count = problem.tasks.len();
    for after in 1..count {
        if after % 4 == 0 {
            continue;
        }
        let mut link = Link::new(after - 1, after);
        if random.random_range(0..2_u8) == 0 {
            link = link.lag(random.random_range(0..900));
        }
        if random.random_range(0..4_u8) == 0 {
            let end = if random.random_range(0..2_u8) == 0 {
                End::Start
            } else {
                End::Finish
            };
            link = link.within(link.lag + random.random_range(200..3000_i64), end);
        }
        problem.links.push(link);
    }
    for _ in 0..count / 6 {
        let after = random.random_range(1..count);
        let before = random.random_range(0..after);
        problem
            .links
            .push(Link::new(before, after).lag(random.random_range(0..200)));
    }
    for chain in 0..count / 4 {
        if random.random_range(0..3_u8) == 0 {
            let hold = Hold {
                resource: 1,
                units: 1,
                until: 4 * chain + 3,
            };
            problem.tasks[4 * chain].holds.push(hold);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever the job, the plan keeps every rule it does not declare broken.
    #[test]
    fn plans_keep_the_rules(seed in any::<u64>(), tasks in 1..40_usize, effort in 1..25_u64) {
        let problem = job(seed, tasks);
        match solve(&problem, Search { effort, seed }, &mut || false) {
            Ok(timetable) => {
                let faults = checker::faults(&problem, &timetable);
                prop_assert!(faults.is_empty(), "{:#?}", faults);
                let explanations = explain(&problem, &timetable).unwrap();
                prop_assert_eq!(explanations.len(), tasks);
                prop_assert!(explanations.iter().all(|e| e.slack >= e.slack_in_order && e.calendar_wait >= 0));
            }
            Err(infeasible) => prop_assert!(!infeasible.reasons.is_empty()),
        }
    }

    /// The same seed gives the same plan, and more schedules never a worse one.
    #[test]
    fn seeds_repeat_and_effort_helps(seed in any::<u64>()) {
        let problem = job(seed, 24);
        let run = |effort| solve(&problem, Search { effort, seed: 3 }, &mut || false);
        prop_assert_eq!(run(30), run(30));
        if let (Ok(short), Ok(long)) = (run(4), run(60)) {
            let key = |t: &Timetable| (t.broken.len(), t.broken.iter().map(Broken::minutes).sum::<i64>(), t.late_by, t.finish, t.cost);
            prop_assert!(key(&long) <= key(&short));
        }
    }

    /// Any numbers at all give an answer, not a panic.
    #[test]
    fn odd_numbers_do_not_panic(
        numbers in prop::collection::vec(prop_oneof![any::<i64>(), -3..50_i64], 12),
        indexes in prop::collection::vec(0..4_usize, 10),
    ) {
        let task = Task {
            calendar: indexes[0] / 2,
            skill: Some(u8::try_from(indexes[1]).unwrap()),
            work: numbers[0],
            fewest: indexes[2],
            most: indexes[3],
            earliest: numbers[1].rem_euclid(1 << 41),
            latest_finish: Some(numbers[2]).filter(|n| n % 2 == 0),
            fixed_start: Some(numbers[3]).filter(|n| n % 5 == 0),
            equipment: vec![(indexes[4] / 3, numbers[4])],
            holds: vec![Hold { resource: 0, units: numbers[5], until: indexes[5] }],
            spends: vec![(0, numbers[6])],
            ..Task::default()
        };
        let mut problem = office_of_two(task);
        problem.links = vec![Link { before: indexes[6] / 2, after: indexes[7] / 2, lag: numbers[7], within: None }
            .within(numbers[8], End::Finish)];
        problem.people[0].absences = vec![(numbers[9], numbers[10])];
        problem.budgets = vec![DailyBudget { limit: numbers[11] }];
        let answer = solve(&problem, Search { effort: 3, seed: 0 }, &mut || false);
        if let Ok(timetable) = answer {
            let faults = checker::faults(&problem, &timetable);
            prop_assert!(faults.is_empty(), "{:#?}", faults);
        }
    }
}

fn office_of_two(task: Task) -> Problem {
    Problem {
        calendars: vec![office(), Calendar::from_intervals([(10, 20), (30, 400)])],
        people: vec![
            worker(),
            Person {
                skills: 0b11,
                ..Person::default()
            },
        ],
        resources: vec![Resource {
            capacity: 2,
            ..Resource::default()
        }],
        tasks: vec![task.clone(), task],
        ..Problem::default()
    }
}
