//! The schedule's rules on whole jobs read from files: places, hours of the day, towers, holds, progress, air; and jobs that cannot be.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use facelay::diag::Level;
use facelay::diag::Problems;
use facelay::job::Effort;
use facelay::plan::Change;
use facelay::plan::Plan;
use facelay::plan::make;
use facelay::plan::what_if;
use facelay::schedule::Activity;
use jiff::civil::Date;
use jiff::civil::date;

const JOB: &str = r#"
title = "Hall"
currency = "EUR"
unit = "mm"
first_day = 2027-01-11
order_day = 2026-11-25
default_recipe = "own"

[[place]]
role = "site"
name = "Hall"
hours = { mon-fri = ["08:00-12:00", "13:00-17:00"] }
temperature = "20 °C"
humidity = "50 %"
room_volume = "900 m3"
fresh_air = "1800 m3/h"

[[place]]
role = "studio"
name = "Studio"
hours = { mon-fri = ["09:00-17:00"] }
temperature = "20 °C"
humidity = "50 %"

[[person]]
name = "conservator"
count = 2
skills = ["conservator"]
cost = "38.00"
charge = "62.00"

[[equipment]]
name = "tower"
count = 2

[terms]
days_in_hand = 0
"#;

const RECIPE: &str = r#"
id = "own"
name = "Own"

[[solution]]
id = "mix"
name = "Resin in white spirit"
resin = "acrylic-butyl"
concentration = "10 % w/v"
solvents = { white-spirit = 1 }

[[step]]
id = "marks"
kind = "marks"
work = [{ minutes = 62, per = "panel" }]
skill = "conservator"
crew = [1, 2]
equipment = { tower = 1 }

[[step]]
id = "coat"
kind = "coat"
solution = "mix"
spread = "100 g/m2"
work = [{ minutes = 60, per = "m2" }]
skill = "conservator"
crew = [1, 2]
drying = "12 h"
same_day = true
equipment = { tower = 1 }

[[step]]
id = "second"
name = "A second look"
kind = "labour"
work = [{ minutes = 45, per = "panel" }]
skill = "conservator"
equipment = { tower = 1 }

[[step]]
id = "studio"
kind = "labour"
work = [{ minutes = 90, per = "panel" }]
skill = "conservator"
place = "studio"
"#;

const PANELS: &str = "panel,place,shape,width,height\nN1,north,rectangle,2000,1500\nN2,north,rectangle,1600,1200\nS1,south,rectangle,1000,800\n";

fn plan(edit: impl Fn(&mut BTreeMap<String, String>)) -> Plan {
    let mut texts = BTreeMap::from([
        ("job.toml".to_owned(), JOB.to_owned()),
        ("recipes/own.toml".to_owned(), RECIPE.to_owned()),
        ("panels.csv".to_owned(), PANELS.to_owned()),
    ]);
    edit(&mut texts);
    let files = texts
        .into_iter()
        .map(|(name, text)| (name, text.into_bytes()))
        .collect();
    let (job, problems) = facelay::job::read(&files);
    let job = job.unwrap_or_else(|| panic!("{problems:#?}"));
    make(job, problems, &mut |_| ())
}

fn replace(texts: &mut BTreeMap<String, String>, file: &str, old: &str, new: &str) {
    let text = texts.get_mut(file).unwrap();
    assert!(text.contains(old), "{old}");
    *text = text.replacen(old, new, 1);
}

fn errors(plan: &Plan) -> Vec<String> {
    let errors = plan
        .problems
        .iter()
        .filter(|problem| problem.level == Level::Error);
    errors
        .map(|problem| {
            format!(
                "{}: {} ({})",
                problem
                    .place
                    .as_ref()
                    .map_or(String::new(), ToString::to_string),
                problem.text,
                problem.help.join("; ")
            )
        })
        .collect()
}

fn activity<'a>(plan: &'a Plan, id: &str) -> &'a Activity {
    let mut found = plan
        .schedule
        .activities
        .iter()
        .filter(|activity| activity.id == id);
    found
        .next()
        .unwrap_or_else(|| panic!("no {id}: {:#?}", errors(plan)))
}

fn days_at(plan: &Plan, person: usize) -> BTreeMap<Date, BTreeSet<usize>> {
    let mut days: BTreeMap<Date, BTreeSet<usize>> = BTreeMap::new();
    for activity in plan
        .schedule
        .activities
        .iter()
        .filter(|activity| activity.people.contains(&person))
    {
        for (from, _) in &activity.stretches {
            days.entry(from.date()).or_default().insert(activity.place);
        }
    }
    days
}

#[test]
fn nobody_is_at_two_places_on_a_day_nor_on_the_days_of_travel() {
    for travel in [0, 2] {
        let plan = plan(|texts| {
            replace(
                texts,
                "job.toml",
                "name = \"Studio\"",
                &format!("name = \"Studio\"\ntravel_days = {travel}"),
            );
        });
        assert_eq!(errors(&plan), Vec::<String>::new());
        for person in 0..2 {
            let days: Vec<_> = days_at(&plan, person).into_iter().collect();
            assert!(days.iter().all(|(_, places)| places.len() == 1));
            for two in days.windows(2).filter(|two| two[0].1 != two[1].1) {
                assert!((two[1].0 - two[0].0).get_days() > travel, "{two:?}");
            }
        }
    }
}

#[test]
fn work_stands_on_steps_of_five_minutes_and_within_hours() {
    let plan = plan(|_| ());
    for activity in &plan.schedule.activities {
        for time in [activity.start, activity.finish] {
            assert_eq!(time.minute() % 5, 0, "{}: {time}", activity.id);
        }
        assert!(activity.start < activity.finish, "{}", activity.id);
    }
    // 62 minutes by one are 65, by two 35.
    let marks = activity(&plan, "N1/marks");
    let minutes = (marks.finish - marks.start).get_hours() * 60
        + i32::try_from((marks.finish - marks.start).get_minutes()).unwrap();
    assert_eq!(minutes, if marks.people.len() == 1 { 65 } else { 35 });
}

#[test]
fn a_crew_has_the_speed_that_the_recipe_says() {
    let plan = plan(|texts| {
        replace(
            texts,
            "recipes/own.toml",
            "crew = [1, 2]\nequipment",
            "crew = [2, 2]\nspeed = [1.25]\nequipment",
        );
    });
    let marks = activity(&plan, "N1/marks");
    // 62 / 1.25 = 49.6: 50 minutes.
    assert_eq!(marks.finish.duration_since(marks.start).as_mins(), 50);
}

#[test]
fn steps_keep_to_daylight_and_to_the_cool_hours() {
    let plan = plan(|texts| {
        replace(
            texts,
            "job.toml",
            "name = \"Hall\"\nhours",
            "name = \"Hall\"\ndaylight = \"09:30-15:00\"\ncool = \"06:00-09:00\"\nhours",
        );
        replace(
            texts,
            "recipes/own.toml",
            "kind = \"marks\"",
            "kind = \"marks\"\nwhen = \"daylight\"",
        );
        replace(
            texts,
            "recipes/own.toml",
            "kind = \"labour\"",
            "kind = \"labour\"\nwhen = \"cool\"",
        );
    });
    assert_eq!(errors(&plan), Vec::<String>::new());
    for activity in &plan.schedule.activities {
        for (from, to) in &activity.stretches {
            let (from, to) = (
                from.strftime("%H:%M").to_string(),
                to.strftime("%H:%M").to_string(),
            );
            match activity.id.split('/').nth(1).unwrap() {
                "marks" => assert!(from.as_str() >= "09:30" && to.as_str() <= "15:00"),
                "second" => assert!(to.as_str() <= "09:00"),
                _ => {}
            }
        }
    }
}

#[test]
fn a_tower_is_moved_in_once_for_what_is_done_without_drying_between() {
    let plan = plan(|texts| {
        replace(
            texts,
            "job.toml",
            "name = \"tower\"\ncount = 2",
            "name = \"tower\"\ncount = 1\nmoving = \"30 min\"",
        );
        replace(
            texts,
            "job.toml",
            "[terms]",
            "[[bay]]\nname = \"north\"\ntower = \"tower\"\npanels = [\"N1\", \"N2\"]\n\n[terms]",
        );
    });
    assert_eq!(errors(&plan), Vec::<String>::new());
    // In the bay the tower moved in for N1 serves N2 too; the panel outside has it moved in anew.
    for (panel, leader, moved) in [("N1", "N1", 30), ("N2", "N1", 0), ("S1", "S1", 30)] {
        let of = |step: &str| activity(&plan, &format!("{panel}/{step}"));
        assert_eq!(
            (
                of("marks").moving_minutes,
                of("coat").moving_minutes,
                of("second").moving_minutes
            ),
            (moved, 0, moved),
            "{panel}"
        );
        let stands = of("coat")
            .stands_on
            .map(|at| plan.schedule.activities[at].id.clone());
        assert_eq!(stands, Some(format!("{leader}/marks")));
    }
    // The only tower is kept from the first step to the end of the last that stands on it.
    for (leader, last) in [("N1", "N2"), ("S1", "S1")] {
        let from = activity(&plan, &format!("{leader}/marks")).start;
        let to = activity(&plan, &format!("{last}/coat")).finish;
        let strangers = plan.schedule.activities.iter().filter(|other| {
            !other.id.starts_with(leader)
                && !other.id.starts_with(last)
                && !other.id.ends_with("studio")
                && other.start < to
                && other.finish > from
        });
        assert_eq!(strangers.count(), 0, "{leader}");
    }
    assert_eq!(activity(&plan, "N1/marks").bay, Some(0));
    assert_eq!(activity(&plan, "S1/marks").bay, None);
}

#[test]
fn a_clock_and_a_count_of_schedules_end_the_search() {
    struct Clock(u32);
    impl facelay::plan::Waiting for Clock {
        fn next(&mut self, _: &'static str) {}
        fn is_over(&mut self) -> Option<bool> {
            self.0 += 1;
            Some(self.0 > 30)
        }
    }
    let job = || {
        let mut job = plan(|_| ()).job;
        job.planning.effort = Effort::Schedules(12);
        job
    };
    let counted = make(job(), Problems::default(), &mut |_| ());
    assert!(!counted.schedule.by_clock);
    assert_eq!(counted.schedule.schedules, 12);
    let mut free = job();
    free.planning.effort = Effort::Usual;
    let timed = make(free, Problems::default(), &mut Clock(0));
    assert!(timed.schedule.by_clock);
    let schedules = timed.schedule.schedules;
    assert!((2..=31).contains(&schedules), "{schedules}");
    // A count beside the clock: whichever comes first.
    let both = make(job(), Problems::default(), &mut Clock(0));
    assert_eq!(both.schedule.schedules, 12);
}

#[test]
fn a_step_may_name_what_it_waits_for() {
    let plan = plan(|texts| {
        replace(
            texts,
            "recipes/own.toml",
            "id = \"second\"",
            "id = \"second\"\nafter = [\"marks\"]",
        );
        replace(
            texts,
            "recipes/own.toml",
            "id = \"studio\"",
            "id = \"studio\"\nafter = [\"coat\", \"second\"]",
        );
    });
    assert_eq!(errors(&plan), Vec::<String>::new());
    let names = |id: &str| {
        let after = activity(&plan, id).after.iter();
        let mut names: Vec<&str> = after
            .map(|follows| plan.schedule.activities[follows.activity].id.as_str())
            .collect();
        names.sort_unstable();
        names
    };
    for panel in ["N1", "N2", "S1"] {
        let of = |step: &str| format!("{panel}/{step}");
        assert_eq!(names(&of("second")), [of("marks")]);
        assert_eq!(names(&of("studio")), [of("coat"), of("second")]);
        // It does not wait for the coat to dry, which the step in the studio does.
        let (coat, second) = (activity(&plan, &of("coat")), activity(&plan, &of("second")));
        assert!(second.start < coat.finish + jiff::Span::new().hours(12));
        let studio = activity(&plan, &of("studio")).start;
        assert!(studio >= coat.finish + jiff::Span::new().hours(12) && studio > second.finish);
    }
}

#[test]
fn holds_fix_a_day_and_bound_others() {
    let plan = plan(|texts| {
        replace(
            texts,
            "job.toml",
            "[terms]",
            "[[hold]]\nactivity = \"N1/second\"\nday = 2027-01-20\ntime = \"10:00\"\n\n[[hold]]\nactivity = \"S1/marks\"\nearliest = 2027-01-18\n\n[terms]",
        );
    });
    assert_eq!(errors(&plan), Vec::<String>::new());
    assert_eq!(
        activity(&plan, "N1/second").start,
        date(2027, 1, 20).at(10, 0, 0, 0)
    );
    assert!(activity(&plan, "S1/marks").start.date() >= date(2027, 1, 18));
}

#[test]
fn what_is_done_is_not_planned_again_and_still_dries() {
    let with = |progress: &'static str| {
        plan(move |texts| {
            replace(
                texts,
                "job.toml",
                "unit = \"mm\"",
                "unit = \"mm\"\ntoday = 2027-01-13",
            );
            texts.insert("progress.csv".to_owned(), progress.to_owned());
        })
    };
    let some = with(
        "panel,step,done,finished,at\nN1,marks,yes,2027-01-11,\nN1,coat,yes,2027-01-12,16:00\nN2,marks,50 %,,\n",
    );
    assert_eq!(errors(&some), Vec::<String>::new());
    assert!(
        some.schedule
            .activities
            .iter()
            .all(|activity| activity.start.date() >= date(2027, 1, 13))
    );
    assert!(
        some.schedule
            .activities
            .iter()
            .all(|activity| activity.id != "N1/marks" && activity.id != "N1/coat")
    );
    assert_eq!(activity(&some, "N2/marks").work_minutes, 31);
    // Finished on the 12th at 16:00 and dry after twelve hours, it may be looked at on the 13th; finished at 21:00 of the 12th and dry
    // after twelve hours, not before 09:00.
    assert_eq!(activity(&some, "N1/second").start.date(), date(2027, 1, 13));
    let late = with(
        "panel,step,done,finished,at\nN1,marks,yes,2027-01-11,\nN1,coat,yes,2027-01-12,21:00\n",
    );
    assert!(activity(&late, "N1/second").start >= date(2027, 1, 13).at(9, 0, 0, 0));
    let none = with("panel,step,done\n");
    let amount = |plan: &Plan| {
        let demands = plan
            .purchase
            .demands
            .iter()
            .map(|demand| (demand.material.clone(), demand.quantity.amount));
        demands.collect::<BTreeMap<_, _>>()
    };
    let (before, after) = (amount(&none), amount(&some));
    assert!(
        before
            .iter()
            .any(|(material, need)| after.get(material).is_some_and(|left| left < need))
    );
    let unknown = with("panel,step,done\nN9,marks,yes\nN1,mark,yes\nN2,marks,yes\n");
    let said = errors(&unknown).join("\n");
    assert!(
        said.contains("no panel or crate `N9`") && said.contains("write `marks` if that is meant"),
        "{said}"
    );
}

#[test]
fn what_a_coat_gives_off_is_followed_hour_by_hour() {
    let plan = plan(|_| ());
    let course = &plan.schedule.air[0];
    let (on, off) = course.hours.iter().fold((0.0, 0.0), |sum, hour| {
        (sum.0 + hour.applied_g, sum.1 + hour.given_off_g)
    });
    assert!(
        on > 100.0 && (on - off).abs() < 0.01 * on,
        "{on} on, {off} off"
    );
    assert!(course.hours.iter().all(|hour| hour.of_limit.is_some()));
    assert_eq!(course.worst.len(), 97);
}

#[test]
fn jobs_that_cannot_be_planned_say_why_and_where() {
    fn case(said: &[&str], edit: impl Fn(&mut BTreeMap<String, String>)) {
        let plan = plan(edit);
        let errors = errors(&plan).join("\n");
        assert!(said.iter().all(|words| errors.contains(words)), "{errors}");
    }
    case(
        &[
            "`Hall` has no fresh air (0 m³/h)",
            "`coat` of `own` on N1, N2, S1",
            "fresh_air",
        ],
        |texts| {
            replace(texts, "job.toml", "1800 m3/h", "0 m3/h");
        },
    );
    case(
        &[
            "panels.csv",
            "step `marks` of recipe `own` takes 65 minutes",
            "no working day is longer than 10 minutes",
        ],
        |texts| {
            replace(
                texts,
                "job.toml",
                "[\"08:00-12:00\", \"13:00-17:00\"]",
                "[\"08:00-08:10\"]",
            );
            replace(
                texts,
                "recipes/own.toml",
                "kind = \"marks\"\n",
                "kind = \"marks\"\nsame_day = true\n",
            );
            replace(texts, "recipes/own.toml", "crew = [1, 2]", "crew = 1");
        },
    );
    case(
        &[
            "longest times between these activities are shorter",
            "N1/coat",
            "N1/second",
            "lengthen `within`",
        ],
        |texts| {
            replace(
                texts,
                "recipes/own.toml",
                "kind = \"labour\"",
                "kind = \"labour\"\nwithin = \"2 h\"",
            );
        },
    );
    case(
        &[
            "there is no activity `N1/secnd`",
            "write `N1/second` if that is meant",
        ],
        |texts| {
            replace(
                texts,
                "job.toml",
                "[terms]",
                "[[hold]]\nactivity = \"N1/secnd\"\nday = 2027-01-20\n\n[terms]",
            );
        },
    );
    case(
        &["`N1/second` is held to 2027-01-23, when nobody works there"],
        |texts| {
            replace(
                texts,
                "job.toml",
                "[terms]",
                "[[hold]]\nactivity = \"N1/second\"\nday = 2027-01-23\n\n[terms]",
            );
        },
    );
    case(
        &["finished on 2027-01-15, after today, 2027-01-12"],
        |texts| {
            replace(
                texts,
                "job.toml",
                "unit = \"mm\"",
                "unit = \"mm\"\ntoday = 2027-01-12",
            );
            texts.insert(
                "progress.csv".to_owned(),
                "panel,step,finished\nN1,marks,2027-01-15\n".to_owned(),
            );
        },
    );
}

#[test]
fn a_change_is_planned_anew_beside_the_plan_as_it_is() {
    let plan = plan(|texts| {
        replace(
            texts,
            "job.toml",
            "order_day",
            "hand_over = 2027-01-13\norder_day",
        )
    });
    let changes = [
        Change::Person("conservator".into()),
        Change::Longer(120),
        Change::Recipe("none".into()),
    ];
    let trials = what_if(&plan, &changes, &mut |_| ()).single;
    let told: Vec<&str> = trials.iter().map(|trial| trial.change.as_str()).collect();
    assert_eq!(
        told,
        [
            "as it is",
            "one more conservator",
            "2 hours longer each day on site"
        ]
    );
    assert!(
        trials
            .iter()
            .all(|trial| trial.possible && trial.price.amount() > 0.into())
    );
    assert!(trials[1].finish <= trials[0].finish && trials[2].finish <= trials[0].finish);
}

#[test]
fn where_no_change_by_itself_meets_the_hand_over_changes_are_tried_together() {
    let late = |hand_over: Option<Date>| {
        plan(|texts| {
            let day = hand_over.map_or_else(String::new, |day| format!("hand_over = {day}\n"));
            replace(texts, "job.toml", "order_day", &format!("{day}order_day"));
            replace(texts, "recipes/own.toml", "minutes = 62", "minutes = 2000");
        })
    };
    let changes = [Change::Person("conservator".into()), Change::Longer(60)];
    // Without a hand-over nothing is tried together; the day before the best change ends is met by none of them.
    let free = what_if(&late(None), &changes, &mut |_| ());
    assert_eq!(free.together, []);
    let ends = free.single.iter().filter_map(|trial| trial.wall_clear);
    let day = ends.min().unwrap().date().yesterday().unwrap();
    let trials = what_if(&late(Some(day)), &changes, &mut |_| ());
    let least = |trials: &[facelay::plan::Trial]| trials.iter().map(|t| t.late_minutes).min();
    let single = least(&trials.single).unwrap();
    assert!(single > 0, "{trials:#?}");
    let told: Vec<&str> = trials.together.iter().map(|t| t.change.as_str()).collect();
    for both in [
        "2 more conservator",
        "one more conservator and an hour longer each day on site",
        "2 hours longer each day on site",
    ] {
        assert!(told.contains(&both), "{told:?}");
    }
    assert!(least(&trials.together).unwrap() < single, "{trials:#?}");
}

#[test]
fn the_same_job_gives_the_same_calendar() {
    let bytes = || facelay::format::write_calendar(&plan(|_| ()));
    let text = String::from_utf8(bytes()).unwrap();
    assert_eq!(text.as_bytes(), bytes());
    let plan = plan(|_| ());
    let days: usize = plan
        .schedule
        .activities
        .iter()
        .map(|activity| {
            activity
                .stretches
                .iter()
                .map(|(from, _)| from.date())
                .collect::<BTreeSet<_>>()
                .len()
        })
        .sum();
    assert_eq!(text.matches("BEGIN:VEVENT").count(), days);
    assert!(text.contains("DTSTAMP:20261125T000000Z") && text.contains("CATEGORIES:conservator 1"));
}
