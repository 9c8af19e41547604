//! Schedules judged by the rules of the trade: both examples, random jobs, and cases worked out by hand.
//!
//! [`faults`] knows the rules of a schedule and nothing of how one is made. Where no source is named, a rule is the job's own statement.

use std::collections::BTreeMap;
use std::path::Path;

use facelay::diag::Level;
use facelay::diag::Problems;
use facelay::schedule::Activity;
use jiff::civil::DateTime;
use jiff::civil::date;
use proptest::prelude::*;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::schedule_rules::Planned;
use crate::schedule_rules::faults;

/// Runs the stages up to the schedule.
fn planned(files: &BTreeMap<String, Vec<u8>>) -> Planned {
    let (job, problems) = facelay::job::read(files);
    let job = job.unwrap_or_else(|| panic!("{problems:?}"));
    Planned::of(job, problems)
}

#[track_caller]
fn sound(files: &BTreeMap<String, Vec<u8>>) -> Planned {
    let planned = planned(files);
    assert!(!planned.problems.has_errors(), "{:#?}", planned.problems);
    let faults = faults(&planned);
    assert!(faults.is_empty(), "{faults:#?}");
    planned
}

fn example(name: &str) -> BTreeMap<String, Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(name);
    facelay::files::read_job(&folder).unwrap()
}

#[test]
fn the_hall_keeps_every_rule() {
    let planned = sound(&example("assembly-hall"));
    assert!(planned.schedule.activities.len() > 100);
    assert!(
        !said(&planned, "keeps every rule"),
        "{:#?}",
        planned.problems
    );
}

#[test]
fn the_three_panels_keep_every_rule() {
    let planned = sound(&example("three-panels"));
    assert!(
        !said(&planned, "keeps every rule"),
        "{:#?}",
        planned.problems
    );
}

/// What is needed first at the other end is rolled last: the schedule keeps the turns that the job gives, whatever order the rows have.
#[test]
fn a_drum_is_rolled_in_the_turns_of_its_paintings() {
    let panels = |turns: [&str; 4]| {
        let rows = turns
            .iter()
            .enumerate()
            .map(|(at, turn)| format!("N{at},800 mm,700 mm,sound,supple,paste,Store,{turn}\n"));
        let rows: String = rows.collect();
        format!("panel,width,height,paint,give,adhesive,destination,return_order\n{rows}")
            .into_bytes()
    };
    for turns in [["1", "2", "3", "4"], ["3", "", "1", "2"]] {
        let mut files = example("three-panels");
        files.retain(|name, _| name == "job.toml");
        files.insert("panels.csv".to_owned(), panels(turns));
        let planned = sound(&files);
        let drum = &planned.rolling.drums[0];
        assert_eq!(drum.panels.len(), 4);
        let rolled = |panel: usize| {
            let mut all = planned.schedule.activities.iter();
            let id = format!("N{panel}/roll");
            all.find(|activity| activity.id == id).unwrap().start
        };
        let key = |panel: usize| turns[panel].parse().unwrap_or(u32::MAX);
        let mut order: Vec<usize> = (0..4).collect();
        order.sort_by_key(|panel| rolled(*panel));
        assert!(
            order.is_sorted_by_key(|panel| std::cmp::Reverse(key(*panel))),
            "{turns:?} are rolled in the order {order:?}"
        );
    }
}

/// Whether a warning says something.
fn said(planned: &Planned, text: &str) -> bool {
    planned
        .problems
        .iter()
        .any(|problem| problem.level == Level::Warning && problem.text.contains(text))
}

// --- random jobs ------------------------------------------------------------------------------------------------------

/// A job with random hours, people, climates, recipes and panels.
fn random_job(seed: u64, panels: usize) -> BTreeMap<String, Vec<u8>> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut pick = |from: i64, to: i64| random.random_range(from..=to);
    let hours = [
        "{ mon-fri = [\"08:00-12:00\", \"13:00-17:00\"] }",
        "{ mon-thu = [\"07:30-16:00\"], sat = [\"09:00-12:00\"] }",
        "{ tue = [\"10:00-12:00\", \"12:15-14:00\", \"14:30-19:00\"], fri = [\"08:00-12:00\"] }",
        "{ mon-sun = [\"06:00-14:00\"] }",
    ];
    let mut of_four = || usize::try_from(pick(0, 3)).unwrap();
    let (site, studio) = (hours[of_four()], hours[of_four()]);
    let air = [
        "",
        "fresh_air = \"4000 m3/h\"",
        "fresh_air = \"900 m3/h\"",
        "",
    ][of_four()];
    let hand_over = ["", "hand_over = 2027-02-05", "hand_over = 2027-12-31", ""][of_four()];
    let (first, closed, away) = (pick(4, 10), pick(11, 30), pick(11, 25));
    let (warm, damp, hands) = (pick(8, 26), pick(35, 70), pick(0, 5));
    let toml = format!(
        r#"title = "Random"
currency = "EUR"
unit = "mm"
first_day = 2027-01-{first:02}
{hand_over}
order_day = 2026-12-{order:02}
default_recipe = "supple-paste"
[[place]]
role = "site"
name = "Hall"
hours = {site}
closed = [2027-01-{closed}]
temperature = "{warm} °C"
humidity = "{damp} %"
room_volume = "900 m3"
{air}
[[place]]
role = "studio"
name = "Studio"
hours = {studio}
temperature = "20 °C"
humidity = "50 %"
[[person]]
name = "lead"
skills = ["conservator", "assistant"]
cost = "42.00"
charge = "72.00"
[[person]]
name = "conservator"
count = {conservators}
skills = ["conservator", "assistant"]
cost = "34.00"
charge = "58.00"
away = ["2027-01-{away}..2027-01-{back}"]
[[person]]
name = "assistant"
count = {assistants}
skills = ["assistant"]
cost = "22.00"
charge = "36.00"
[[person]]
name = "carpenter"
skills = ["carpenter"]
cost = "31.00"
charge = "52.00"
[[equipment]]
name = "scaffold tower"
count = {towers}
[[equipment]]
name = "take-up track"
count = 1
[[equipment]]
name = "extraction unit"
count = {extraction}
[[equipment]]
name = "studio extraction"
count = 1
[terms]
days_in_hand = {hands}
"#,
        order = pick(1, 28),
        conservators = pick(2, 5),
        assistants = pick(1, 2),
        back = away + pick(0, 5),
        towers = pick(2, 5),
        extraction = pick(1, 2),
    );
    let recipes = ["supple-paste", "stiff-glue", "water-based", "brittle-lead"];
    let gives = ["supple", "stiff", "none"];
    let mut rows = "panel,shape,width,height,recipe,give,adhesive\n".to_owned();
    for at in 0..panels {
        let (width, height) = (pick(900, 4500), pick(700, 2600));
        let recipe = recipes[usize::try_from(pick(0, 3)).unwrap()];
        let give = gives[usize::try_from(pick(0, 9)).unwrap().saturating_sub(7)];
        rows += &format!("P{at},rectangle,{width},{height},{recipe},{give},paste\n");
    }
    BTreeMap::from([
        ("job.toml".to_owned(), toml.into_bytes()),
        ("panels.csv".to_owned(), rows.into_bytes()),
    ])
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, max_shrink_iters: 30, ..ProptestConfig::default() })]

    #[test]
    fn random_jobs_keep_every_rule(seed in any::<u64>(), panels in 1..9_usize) {
        let planned = planned(&random_job(seed, panels));
        prop_assert!(!planned.problems.has_errors(), "{:#?}", planned.problems);
        let faults = faults(&planned);
        prop_assert!(faults.is_empty(), "{faults:#?}");
    }
}

/// A day's air that sections along the seams, of unequal sheets, nearly use up.
#[test]
fn sections_along_seams_keep_to_the_days_air() {
    let planned = sound(&random_job(17_375_965_448_823_350_077, 3));
    let mut activities = planned.schedule.activities.iter();
    assert!(activities.any(|activity| activity.sheets.is_some()));
}

// --- cases worked out by hand -----------------------------------------------------------------------------------------

/// A job at one place, Monday to Friday 08:00 to 12:00 and 13:00 to 17:00, with a recipe of its own and panels of 1 m².
fn hand_worked(steps: &str, panels: usize, people: u32, more: &str) -> BTreeMap<String, Vec<u8>> {
    let toml = format!(
        r#"title = "By hand"
currency = "EUR"
unit = "mm"
first_day = 2027-01-08
order_day = 2026-12-01
default_recipe = "own"
{more}
[[place]]
role = "site"
name = "Hall"
hours = {{ mon-fri = ["08:00-12:00", "13:00-17:00"] }}
temperature = "20 °C"
humidity = "50 %"
[[person]]
name = "painter"
count = {people}
skills = ["paint"]
cost = "30.00"
charge = "50.00"
"#
    );
    let mut rows = "panel,shape,width,height,give\n".to_owned();
    for at in 0..panels {
        rows += &format!("P{at},rectangle,1000,1000,supple\n");
    }
    let recipe =
        format!("id = \"own\"\nname = \"Own\"\nabout = \"A recipe worked out by hand.\"\n{steps}");
    BTreeMap::from([
        ("job.toml".to_owned(), toml.into_bytes()),
        ("panels.csv".to_owned(), rows.into_bytes()),
        ("recipes/own.toml".to_owned(), recipe.into_bytes()),
    ])
}

/// A step of plain work: minutes a panel, for one person unless `more` says otherwise.
fn step(id: &str, minutes: u32, more: &str) -> String {
    format!(
        "[[step]]\nid = \"{id}\"\nname = \"{id}\"\nkind = \"labour\"\nskill = \"paint\"\nwork = [{{ minutes = {minutes}, per = \"panel\" }}]\n{more}\n"
    )
}

fn activity<'a>(planned: &'a Planned, id: &str) -> &'a Activity {
    let found = planned.schedule.activities.iter().find(|a| a.id == id);
    found.unwrap_or_else(|| panic!("no {id} in {:#?}", planned.schedule.activities))
}

fn at(day: i8, hour: i8) -> DateTime {
    date(2027, 1, day).at(hour, 0, 0, 0)
}

#[test]
fn drying_runs_over_the_weekend() {
    // The 8th is a Friday: done at 10:00, dry after 60 h on Sunday at 22:00, so Monday morning.
    let steps = step("first", 120, "drying = \"60 h\"") + &step("second", 60, "");
    let planned = sound(&hand_worked(&steps, 1, 1, ""));
    assert_eq!(activity(&planned, "P0/first").finish, at(8, 10));
    assert_eq!(activity(&planned, "P0/second").start, at(11, 8));
    // 80 h from Friday 10:00 end on Monday at 18:00.
    let steps = step("first", 120, "drying = \"80 h\"") + &step("second", 60, "");
    let planned = sound(&hand_worked(&steps, 1, 1, ""));
    assert_eq!(activity(&planned, "P0/second").start, at(12, 8));
}

#[test]
fn what_must_follow_soon_puts_off_what_comes_before() {
    // Two days' work cannot end on Friday; the hour before it must, by `within`, stand no more than 20 h before its start. Both
    // follow three hours of preparation and fit on Friday; what a second person away on Friday alone can do cannot.
    let steps = step("first", 60, "") + &step("second", 60, "within = \"20 h\"\ncrew = [2, 2]");
    let mut files = hand_worked(&steps, 1, 1, "");
    let toml = String::from_utf8(files["job.toml"].clone()).unwrap()
        + "[[person]]\nname = \"helper\"\nskills = [\"paint\"]\ncost = \"30.00\"\ncharge = \"50.00\"\naway = [2027-01-08]\n";
    files.insert("job.toml".into(), toml.into_bytes());
    let planned = sound(&files);
    assert!(!said(&planned, "keeps every rule"));
    let (first, second) = (
        activity(&planned, "P0/first"),
        activity(&planned, "P0/second"),
    );
    assert!(second.start >= at(11, 8), "{second:#?}");
    assert!(first.finish >= at(10, 12), "{first:#?}");
}

#[test]
fn a_barrier_waits_for_every_panel() {
    let steps = step("first", 240, "") + &step("second", 60, "order = \"all\"");
    let planned = sound(&hand_worked(&steps, 3, 1, ""));
    // 12 h of first steps: Friday, and Monday until noon.
    for panel in ["P0/second", "P1/second", "P2/second"] {
        assert!(activity(&planned, panel).start >= at(11, 13));
    }
    assert_eq!(planned.schedule.finish, Some(at(11, 16)));
}

#[test]
fn work_counted_once_a_job_comes_before_the_step_of_any_other_panel() {
    let once = "[[step]]\nid = \"rig\"\nname = \"rig\"\nkind = \"labour\"\nskill = \"paint\"\nwork = [{ minutes = 300, per = \"job\" }]\n";
    let planned = sound(&hand_worked(
        &(once.to_owned() + &step("next", 60, "")),
        2,
        2,
        "",
    ));
    assert_eq!(activity(&planned, "P0/rig").finish, at(8, 14));
    assert_eq!(activity(&planned, "P1/rig").work_minutes, 0);
    assert!(activity(&planned, "P1/next").start >= at(8, 14));
}

#[test]
fn a_missed_hand_over_is_a_warning_with_the_days() {
    // 30 h for one person: Friday 8 h, Monday to Wednesday, done on Wednesday at 15:00; the day was Monday.
    let files = hand_worked(&step("long", 1800, ""), 1, 1, "hand_over = 2027-01-11");
    let planned = sound(&files);
    assert_eq!(planned.schedule.wall_clear, Some(at(13, 15)));
    assert_eq!(planned.schedule.late_minutes, 24 * 60 + 15 * 60);
    assert!(said(&planned, "2 days later"), "{:#?}", planned.problems);
    assert!(!planned.problems.has_errors());
}

#[test]
fn studio_work_after_the_wall_is_clear_is_not_late() {
    let mut files = random_job(1, 2);
    let toml = String::from_utf8(files["job.toml"].clone()).unwrap();
    let kept = toml.lines().filter(|line| !line.starts_with("hand_over"));
    let toml: Vec<&str> = kept.collect();
    files.insert("job.toml".into(), toml.join("\n").into_bytes());
    let clear = sound(&files).schedule.wall_clear.unwrap();
    // The day on which the wall can be clear, as hand-over: kept, though studio work ends later.
    let due = format!("hand_over = {}\n", clear.date()) + &toml.join("\n");
    files.insert("job.toml".into(), due.into_bytes());
    let planned = sound(&files);
    assert_eq!(planned.schedule.late_minutes, 0);
    assert!(planned.schedule.finish > planned.schedule.wall_clear);
}

#[test]
fn a_step_longer_than_a_day_is_split_into_days() {
    // 20 h for one person who must finish within the day: three sections of 400 minutes.
    let step = step("coat", 1200, "same_day = true").replace("per = \"panel\"", "per = \"m2\"");
    let planned = sound(&hand_worked(&step, 1, 1, ""));
    let ids = ["P0/coat/1", "P0/coat/2", "P0/coat/3"];
    let days: Vec<i8> = ids
        .iter()
        .map(|id| activity(&planned, id).start.day())
        .collect();
    assert_eq!(days, [8, 11, 12]);
    assert!(
        ids.iter()
            .all(|id| activity(&planned, id).work_minutes == 400)
    );
}

/// The errors of a job, from reading it or from planning it.
fn errors(files: &BTreeMap<String, Vec<u8>>) -> String {
    let (job, problems) = facelay::job::read(files);
    let problems: Problems = match job {
        Some(job) => Planned::of(job, problems).problems,
        None => problems,
    };
    let errors = problems
        .iter()
        .filter(|problem| problem.level == Level::Error);
    errors.map(|problem| format!("{problem:?}\n")).collect()
}

#[test]
fn a_skill_that_nobody_has_names_it() {
    let files = hand_worked(&step("gild", 60, "").replace("paint", "gilding"), 1, 1, "");
    let said = errors(&files);
    assert!(said.contains("gilding") && said.contains("gild"), "{said}");
}

#[test]
fn a_place_that_never_opens_is_an_error() {
    let mut files = hand_worked(&step("one", 60, ""), 1, 1, "");
    let toml = String::from_utf8(files["job.toml"].clone()).unwrap();
    let toml = toml.replace(
        "hours = { mon-fri = [\"08:00-12:00\", \"13:00-17:00\"] }",
        "hours = {}",
    );
    files.insert("job.toml".into(), toml.into_bytes());
    let said = errors(&files);
    assert!(said.contains("hours"), "{said}");
}

#[test]
fn flat_panels_are_not_rolled_and_rolled_ones_share_crates() {
    let mut files = random_job(3, 0);
    let rows = "panel,shape,width,height,recipe,give,adhesive\n\
        F,rectangle,1200,900,supple-paste,none,paste\n\
        R,rectangle,1200,900,supple-paste,supple,paste\n";
    files.insert("panels.csv".into(), rows.into());
    let planned = sound(&files);
    let ids: Vec<&str> = planned
        .schedule
        .activities
        .iter()
        .map(|activity| activity.id.as_str())
        .collect();
    assert!(
        ids.contains(&"R/roll") && !ids.contains(&"F/roll"),
        "{ids:?}"
    );
    let crates = planned.schedule.activities.iter();
    let packed = crates.filter(|activity| activity.packing.is_some()).count();
    assert_eq!(packed, planned.crating.crates.len());
    assert!(packed >= 1);
}
