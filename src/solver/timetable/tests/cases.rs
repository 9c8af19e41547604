//! Small cases worked out by hand.

use super::*;

fn office_of(people: usize, tasks: Vec<Task>, links: Vec<Link>) -> Problem {
    Problem {
        calendars: vec![office()],
        people: vec![worker(); people],
        tasks,
        links,
        ..Problem::default()
    }
}

#[test]
fn drying_runs_over_the_weekend() {
    // Friday 15:00 to 17:00, then 48 hours of drying end on Sunday; work goes on on Monday morning.
    let mut first = work(120, 1);
    first.earliest = at(4, 15, 0);
    let problem = office_of(
        1,
        vec![first, work(60, 1)],
        vec![Link::new(0, 1).lag(48 * 60)],
    );
    let timetable = plan(&problem, 5);
    assert_eq!(timetable.tasks[1].start, at(7, 8, 0));
    let explanations = explain(&problem, &timetable).unwrap();
    assert_eq!(explanations[1].cause, Cause::Link { link: 0 });
    assert_eq!(explanations[1].calendar_wait, 15 * 60);
    // It may end as late as Sunday 08:00 less nothing: no working time lies between.
    assert_eq!(explanations[0].slack, 0);
    assert!(explanations[0].critical);
}

#[test]
fn a_same_day_task_that_does_not_fit_the_afternoon_waits_for_the_morning() {
    let mut task = work(180, 1);
    task.same_day = true;
    task.earliest = at(0, 15, 0);
    let timetable = plan(&office_of(1, vec![task.clone()], vec![]), 1);
    assert_eq!(timetable.tasks[0].start, at(1, 8, 0));
    // It may cross the lunch break.
    task.earliest = at(0, 11, 0);
    let timetable = plan(&office_of(1, vec![task.clone()], vec![]), 1);
    assert_eq!(
        timetable.tasks[0].segments,
        [(at(0, 11, 0), at(0, 12, 0)), (at(0, 13, 0), at(0, 15, 0))]
    );
    // Without pauses it has to wait for the afternoon.
    task.pausable = false;
    let timetable = plan(&office_of(1, vec![task], vec![]), 1);
    assert_eq!(timetable.tasks[0].start, at(0, 13, 0));
}

#[test]
fn a_longest_time_puts_off_the_task_before() {
    // The second task cannot start before Wednesday 08:00 and must start within two hours of the first.
    let mut second = work(60, 1);
    second.earliest = at(2, 8, 0);
    let mut first = work(120, 1);
    first.same_day = true;
    let links = vec![Link::new(0, 1).within(120, End::Start)];
    let timetable = plan(&office_of(1, vec![first, second], links), 5);
    assert!(timetable.broken.is_empty());
    assert_eq!(timetable.tasks[0].start, at(2, 8, 0));
    assert_eq!(timetable.tasks[1].start, at(2, 10, 0));
}

#[test]
fn a_longest_time_waits_for_a_person_who_is_busy() {
    // Person 1 alone can do the second task, and is fixed on another until Tuesday noon.
    let mut problem = office_of(2, vec![work(60, 1), work(60, 1), work(720, 1)], vec![]);
    problem.people[1].skills = 0b10;
    problem.tasks[0].same_day = true;
    problem.tasks[1].skill = Some(1);
    problem.tasks[2].skill = Some(1);
    problem.tasks[2].fixed_start = Some(at(0, 8, 0));
    problem.links = vec![Link::new(0, 1).lag(30).within(60, End::Start)];
    let timetable = plan(&problem, 5);
    assert!(timetable.broken.is_empty(), "{:?}", timetable.broken);
    assert_eq!(timetable.tasks[2].finish, at(1, 12, 0));
    assert_eq!(timetable.tasks[1].start, at(1, 13, 0));
    // Within an hour, lunch included, of 13:00: it ends at noon.
    assert_eq!(timetable.tasks[0].finish, at(1, 12, 0));
    let explanations = explain(&problem, &timetable).unwrap();
    assert_eq!(explanations[0].cause, Cause::Follower);
    assert_eq!(
        explanations[1].cause,
        Cause::Person {
            person: 1,
            after: 2
        }
    );
}

#[test]
fn what_cannot_be_kept_is_reported_not_hidden() {
    // The follower is fixed on Thursday, what goes before on Monday, at most a day between.
    let mut problem = office_of(2, vec![work(60, 1), work(60, 1)], vec![]);
    problem.tasks[0].fixed_start = Some(at(0, 8, 0));
    problem.tasks[1].fixed_start = Some(at(3, 8, 0));
    problem.links = vec![Link::new(0, 1).within(DAY, End::Start)];
    let timetable = plan(&problem, 5);
    assert_eq!(
        timetable.broken,
        [Broken::TooLate {
            link: 0,
            minutes: 2 * DAY - 60
        }]
    );
}

#[test]
fn more_people_are_faster_and_fewer_are_taken_where_they_cost_no_time() {
    let problem = office_of(3, vec![work(600, 3)], vec![]);
    let timetable = plan(&problem, 20);
    assert_eq!(timetable.finish, at(0, 11, 20));
    assert_eq!(timetable.tasks[0].people, [0, 1, 2]);
    let mut table = problem;
    table.tasks[0].durations = Some(vec![500, 240, 240]);
    let timetable = plan(&table, 20);
    assert_eq!(
        (timetable.finish, timetable.tasks[0].people.len()),
        (at(0, 12, 0), 3)
    );
    // With rates the third person, who saves nothing, stays away.
    table.people.iter_mut().for_each(|person| person.rate = 1);
    assert_eq!(plan(&table, 50).cost, 480);
}

#[test]
fn an_absence_stops_a_task_that_only_one_person_can_do() {
    let mut problem = office_of(1, vec![work(600, 1)], vec![]);
    problem.people[0].absences = vec![(at(1, 0, 0), at(2, 0, 0))];
    let timetable = plan(&problem, 3);
    assert_eq!(timetable.finish, at(2, 10, 0));
}

#[test]
fn a_hold_lasts_until_another_task_gives_it_back() {
    // One bay, two chains of brush, dry, lift: the second chain waits for the first to be lifted.
    let mut problem = office_of(
        2,
        vec![work(60, 1), work(60, 1), work(60, 1), work(60, 1)],
        vec![],
    );
    problem.links = vec![Link::new(0, 1).lag(12 * 60), Link::new(2, 3).lag(12 * 60)];
    problem.resources = vec![Resource {
        capacity: 1,
        ..Resource::default()
    }];
    for (owner, until) in [(0, 1), (2, 3)] {
        problem.tasks[owner].holds = vec![Hold {
            resource: 0,
            units: 1,
            until,
        }];
    }
    let timetable = plan(&problem, 10);
    assert_eq!(timetable.finish, at(2, 9, 0));
    let second = if timetable.tasks[0].start > 480 { 0 } else { 2 };
    assert_eq!(timetable.tasks[second].start, at(1, 9, 0));
    let explanations = explain(&problem, &timetable).unwrap();
    assert_eq!(
        explanations[second].cause,
        Cause::Resource {
            resource: 0,
            after: 3 - second
        }
    );
}

#[test]
fn a_daily_limit_spreads_tasks_over_days() {
    let mut task = work(60, 1);
    task.spends = vec![(0, 40)];
    let mut problem = office_of(1, vec![task; 5], vec![]);
    problem.budgets = vec![DailyBudget { limit: 100 }];
    let timetable = plan(&problem, 5);
    // Two whole tasks and half of a third on the first day, in its last half hour; the other half and two more on the second.
    assert_eq!(timetable.finish.div_euclid(DAY), 1);
    // The last of the 200 units can only be spent on the second day, from 08:00 on.
    assert_eq!(timetable.lower_bound_finish, at(1, 8, 1));
}

#[test]
fn a_task_that_spends_more_than_a_day_allows_is_spread_over_two() {
    let mut task = work(60, 1);
    task.spends = vec![(0, 150)];
    let mut problem = office_of(1, vec![task], vec![]);
    problem.budgets = vec![DailyBudget { limit: 100 }];
    let timetable = plan(&problem, 5);
    assert_eq!(timetable.tasks[0].start, at(0, 16, 20));
    problem.tasks[0].same_day = true;
    assert_eq!(
        reasons(&problem),
        [Reason::TooMuchADay { task: 0, budget: 0 }]
    );
}

#[test]
fn people_stay_with_a_tag_when_nothing_else_decides() {
    let mut tasks = vec![work(60, 1); 8];
    for (index, task) in tasks.iter_mut().enumerate() {
        task.tag = index % 2;
    }
    let timetable = plan(&office_of(2, tasks, vec![]), 200);
    assert_eq!((timetable.finish, timetable.tag_changes), (at(0, 12, 0), 0));
}

#[test]
fn a_late_plan_says_by_how_much() {
    let mut problem = office_of(1, vec![work(960, 1)], vec![]);
    problem.hand_over = Some(at(1, 12, 0));
    let timetable = plan(&problem, 3);
    assert_eq!(timetable.late_by, 5 * 60);
}

#[test]
fn an_empty_problem_is_finished_at_once() {
    let timetable = plan(&Problem::default(), 3);
    assert_eq!((timetable.finish, timetable.tasks.len()), (0, 0));
}

#[test]
fn impossible_jobs_name_all_their_reasons() {
    let mut problem = office_of(1, vec![work(60, 1); 4], vec![]);
    problem.resources = vec![Resource {
        capacity: 1,
        ..Resource::default()
    }];
    problem.tasks[0].skill = Some(5);
    problem.tasks[1].work = 500;
    problem.tasks[1].same_day = true;
    problem.tasks[2].equipment = vec![(0, 2)];
    problem.tasks[3].work = 300;
    problem.tasks[3].pausable = false;
    assert_eq!(
        reasons(&problem),
        [
            Reason::TooFewPeople {
                task: 0,
                skill: 5,
                needed: 1,
                have: 0
            },
            Reason::TooLong {
                task: 1,
                minutes: 500,
                longest: 480
            },
            Reason::TooLittle {
                task: 2,
                resource: 0,
                needed: 2,
                capacity: 1
            },
            Reason::TooLong {
                task: 3,
                minutes: 300,
                longest: 240
            },
        ]
    );
}

#[test]
fn circles_and_contradictions_are_found() {
    let circle = vec![Link::new(0, 1), Link::new(1, 0)];
    let found = reasons(&office_of(1, vec![work(60, 1); 2], circle));
    assert!(
        matches!(&found[..], [Reason::Circle { tasks }] if tasks.len() == 2),
        "{found:?}"
    );
    // 60 minutes of work and two lags of 600 do not pass within 1200.
    let links = vec![
        Link::new(0, 1).lag(600),
        Link::new(1, 2).lag(600),
        Link::new(0, 2).within(1200, End::Start),
    ];
    let found = reasons(&office_of(1, vec![work(60, 1); 3], links));
    assert_eq!(found, [Reason::Contradiction { tasks: vec![0, 2] }]);
}

#[test]
fn windows_and_calendars_that_end_are_found() {
    let mut problem = office_of(1, vec![work(600, 1)], vec![]);
    problem.tasks[0].latest_finish = Some(at(1, 9, 0));
    let (earliest_finish, latest_finish) = (at(1, 10, 0), at(1, 9, 0));
    assert_eq!(
        reasons(&problem),
        [Reason::Window {
            task: 0,
            earliest_finish,
            latest_finish
        }]
    );
    problem.tasks[0].latest_finish = None;
    problem.calendars = vec![Calendar::from_intervals([(480, 720)])];
    assert_eq!(
        reasons(&problem),
        [Reason::CalendarEnds {
            task: 0,
            calendar: 0
        }]
    );
}

#[test]
fn indexes_that_name_nothing_are_reasons_not_panics() {
    let mut problem = office_of(1, vec![work(60, 1)], vec![Link::new(0, 7)]);
    problem.tasks[0].calendar = 3;
    problem.tasks[0].equipment = vec![(9, 1)];
    problem.tasks[0].work = i64::MAX;
    assert_eq!(reasons(&problem).len(), 4);
}

#[test]
fn a_long_job_extends_its_calendar() {
    let tasks = vec![work(4800, 1); 100];
    let timetable = plan(&office_of(1, tasks, vec![]), 1);
    // 1000 working days of five a week.
    assert_eq!(timetable.finish, at(199 * 7 + 4, 17, 0));
}

#[test]
fn stop_ends_the_search_after_the_first_schedule() {
    let problem = office_of(2, vec![work(60, 2); 6], vec![]);
    let timetable = solve(
        &problem,
        Search {
            effort: 1000,
            seed: 1,
        },
        &mut || true,
    )
    .unwrap();
    assert_eq!(timetable.schedules, 1);
}

#[test]
fn what_is_due_comes_first_and_the_rest_is_not_late() {
    // One person, two tasks of four hours; the second is due at noon of the first day.
    let mut due = work(240, 1);
    due.due = Some(at(0, 12, 0));
    let mut problem = office_of(1, vec![work(240, 1), due], vec![]);
    let timetable = plan(&problem, 5);
    assert_eq!(timetable.tasks[1].finish, at(0, 12, 0));
    assert_eq!((timetable.late_by, timetable.finish), (0, at(0, 17, 0)));
    // With three hours' notice it is an hour late, and the other task still counts for nothing.
    problem.tasks[1].due = Some(at(0, 11, 0));
    let timetable = plan(&problem, 5);
    assert_eq!(timetable.tasks[1].finish, at(0, 12, 0));
    assert_eq!(timetable.late_by, 60);
    let explanations = explain(&problem, &timetable).unwrap();
    assert_eq!(explanations[1].latest_finish, at(0, 12, 0));
    assert!(explanations[1].critical && explanations[1].slack == 0);
}

#[test]
fn a_hold_that_ends_with_a_fixed_task_keeps_others_out() {
    // The bay is kept from Monday 08:00 to the end of a task fixed on Tuesday at 10:00.
    let mut problem = office_of(2, vec![work(60, 1); 3], vec![Link::new(0, 1)]);
    problem.resources = vec![Resource {
        capacity: 1,
        ..Resource::default()
    }];
    problem.tasks[0].latest_finish = Some(at(0, 9, 0));
    problem.tasks[0].holds = vec![Hold {
        resource: 0,
        units: 1,
        until: 1,
    }];
    problem.tasks[1].fixed_start = Some(at(1, 10, 0));
    problem.tasks[2].equipment = vec![(0, 1)];
    let timetable = plan(&problem, 5);
    assert!(timetable.broken.is_empty(), "{:?}", timetable.broken);
    assert_eq!(timetable.tasks[2].start, at(1, 11, 0));
}

#[test]
fn an_explicit_calendar_that_just_suffices_is_used_to_the_last_minute() {
    // A task of 240 minutes that may not pause fits only the longer of two intervals; some orders leave it none.
    let mut problem = office_of(1, vec![work(120, 1), work(240, 1)], vec![]);
    problem.calendars = vec![Calendar::from_intervals([(0, 120), (200, 440)])];
    problem.tasks[1].pausable = false;
    let timetable = plan(&problem, 50);
    assert_eq!(timetable.finish, 440);
    problem.tasks[0].work = 121;
    assert!(matches!(
        reasons(&problem)[..],
        [Reason::CalendarEnds { calendar: 0, .. }]
    ));
}
