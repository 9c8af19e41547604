//! Large jobs.

use super::*;

/// Chains of twelve steps: `panels` of them, six people, eight bays, a daily limit.
pub(super) fn chains(panels: usize) -> Problem {
    let mut problem = Problem {
        calendars: vec![office()],
        people: (0..6)
            .map(|index| Person {
                skills: if index < 2 { 0b11 } else { 0b01 },
                ..Person::default()
            })
            .collect(),
        resources: vec![Resource {
            capacity: 8,
            ..Resource::default()
        }],
        budgets: vec![DailyBudget { limit: 2000 }],
        ..Problem::default()
    };
    for panel in 0..panels {
        for step in 0..12 {
            let index = problem.tasks.len();
            let variety = i64::try_from((panel * 7 + step * 13) % 50).unwrap();
            let mut task = work(20 + 2 * variety, if step % 3 == 0 { 2 } else { 1 });
            task.tag = panel;
            task.skill = Some(u8::from(step == 8));
            task.same_day = step % 4 == 1;
            if step % 4 == 2 {
                task.spends = vec![(0, 100 + variety)];
            }
            if step == 0 {
                task.holds = vec![Hold {
                    resource: 0,
                    units: 1,
                    until: index + 9,
                }];
            } else {
                let drying = [0, 240, 60, 720][step % 4];
                let mut link = Link::new(index - 1, index).lag(drying);
                if step == 9 {
                    link = link.within(3 * DAY, End::Start);
                }
                problem.links.push(link);
            }
            problem.tasks.push(task);
        }
    }
    problem
}

#[test]
fn a_hundred_chains_keep_the_rules() {
    let problem = chains(100);
    let timetable = plan(&problem, 3);
    assert!(timetable.broken.is_empty(), "{:?}", timetable.broken);
}

#[test]
fn the_search_finds_what_the_rules_do_not() {
    let problem = chains(6);
    let (rules, searched) = (plan(&problem, 8), plan(&problem, 400));
    assert!(
        searched.finish < rules.finish,
        "{} {}",
        searched.finish,
        rules.finish
    );
    // Within an hour of the bound, in a job of more than four days.
    assert!(searched.finish - searched.lower_bound_finish < 60);
}
