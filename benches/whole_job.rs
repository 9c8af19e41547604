//! Time and memory to plan the demo and generated jobs of 100, 1,000 and 10,000 panels, and how both grow.
//!
//! Prints one tab-separated line a job: name, panels, seconds, ratio, peak MiB, orders' total; then one a stage: name, stage, seconds, and
//! how large the page is.
//! The ratio is against a fixed piece of
//! arithmetic timed in the same run, so that lines from different machines can be compared. Each job runs in a process of its own, since
//! peak memory is a process's. The growth exponent between two sizes is ln(t2/t1) / ln(n2/n1).
//!
//! `-- changes` times changes on the page over the demo, from a posted form to the page that answers it: the best of nine for each, the plan
//! before the change being there as it is for whoever changes something. `-- days [SECONDS]` plans 20 panels × 12 steps and prints how long
//! the schedule takes and how far it ends after its bound; then, with SECONDS, how far a search of so many seconds comes.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    missing_docs,
    reason = "a benchmark may stop where it fails, and says so"
)]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

use facelay::plan::Kept;
use facelay::view::Fields;
use facelay::view::Planned;
use facelay::view::Session;
use libm::log;

fn main() {
    let arguments: Vec<String> = std::env::args()
        .skip(1)
        .filter(|argument| argument != "--bench")
        .collect();
    match arguments.first().map(String::as_str) {
        Some("one") => one(&arguments[1]),
        Some("write") => write(&arguments[1], &arguments[2]),
        Some("changes") => changes(),
        Some("days") => days(arguments.get(1).map(|seconds| seconds.parse().unwrap())),
        Some(_) | None => all(),
    }
}

fn all() {
    println!("job\tpanels\tseconds\tratio\tpeak MiB\torders");
    let mut before: Option<(f64, f64)> = None;
    for name in ["demo", "100", "1000", "10000"] {
        let output = Command::new(std::env::current_exe().unwrap())
            .args(["one", name])
            .output()
            .unwrap();
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        let lines = String::from_utf8(output.stdout).unwrap();
        print!("{lines}");
        let fields: Vec<&str> = lines.lines().next().unwrap().split('\t').collect();
        let (panels, seconds): (f64, f64) =
            (fields[1].parse().unwrap(), fields[2].parse().unwrap());
        if let Some((fewer, quicker)) = before {
            println!(
                "growth exponent {:.2}",
                log(seconds / quicker) / log(panels / fewer)
            );
        }
        before = (name != "demo").then_some((panels, seconds));
    }
}

fn one(name: &str) {
    let files = if name == "demo" {
        demo()
    } else {
        generated(name.parse().unwrap())
    };
    let reference = reference();
    let begun = Instant::now();
    let mut stages = vec![("reading", begun)];
    let (job, problems) = facelay::job::read(&files);
    let job = job.unwrap_or_else(|| panic!("{problems:?}"));
    let plan = facelay::plan::make(job, problems, &mut |stage| {
        stages.push((stage, Instant::now()));
    });
    stages.push(("writing plan.json", Instant::now()));
    let json = facelay::format::write_plan(&plan).unwrap();
    stages.push(("laying out and writing report.html", Instant::now()));
    let page = facelay::format::write_html(&facelay::report::page(&plan));
    stages.push(("end", Instant::now()));
    let seconds = begun.elapsed().as_secs_f64();
    assert!(!plan.problems.has_errors(), "{:?}", plan.problems);
    assert!(!plan.purchase.orders.is_empty() && json.len() > 1000);
    println!(
        "{name}\t{}\t{seconds:.3}\t{:.1}\t{}\t{}",
        plan.survey.panels.len(),
        seconds / reference,
        peak_mib(),
        plan.purchase.total.cents()
    );
    for pair in stages.windows(2) {
        let spent = pair[1].1.duration_since(pair[0].1).as_secs_f64();
        println!("{name}\t{}\t{spent:.3}", pair[0].0);
    }
    println!("{name}\tkB of report.html\t{}", page.len() / 1000);
}

/// Seconds for a fixed piece of integer arithmetic.
fn reference() -> f64 {
    let begun = Instant::now();
    let mut state = 1_u64;
    for _ in 0..50_000_000 {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
    }
    assert_ne!(std::hint::black_box(state), 0);
    begun.elapsed().as_secs_f64()
}

/// The most memory that this process ever held, as Linux counts it.
fn peak_mib() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .unwrap_or("0 kB");
    line.split_whitespace()
        .next()
        .and_then(|kib| kib.parse::<u64>().ok())
        .unwrap_or(0)
        / 1024
}

fn demo() -> BTreeMap<String, Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/assembly-hall");
    facelay::files::read_job(&folder).unwrap()
}

/// The demo's job.toml with as many panels as asked: rectangles, lunettes and arches in 40 sizes, four recipes, every fifth with a door.
fn generated(panels: usize) -> BTreeMap<String, Vec<u8>> {
    let mut files = demo();
    files.retain(|name, _| name == "job.toml");
    let toml = String::from_utf8(files.remove("job.toml").unwrap()).unwrap();
    let toml: String = toml
        .lines()
        .filter(|line| !line.starts_with("hand_over"))
        .fold(String::new(), |all, line| all + line + "\n");
    files.insert("job.toml".into(), toml.into_bytes());
    let mut rows = "panel,place,shape,width,height,spring,recipe,give,adhesive\n".to_owned();
    let mut openings = "panel,shape,left,bottom,width,height\n".to_owned();
    let recipes = ["supple-paste", "stiff-glue", "water-based", "brittle-lead"];
    for at in 0..panels {
        let width = 1800 + 100 * (at % 8);
        let height = 1400 + 150 * (at / 8 % 5);
        let (shape, height, spring) = match at % 3 {
            0 => ("rectangle", height, String::new()),
            1 => ("lunette", width / 2 - 50, String::new()),
            _ => ("arch", height + 400, (height - 200).to_string()),
        };
        let recipe = recipes[at / 3 % 4];
        writeln!(
            rows,
            "P{at},wall {},{shape},{width},{height},{spring},{recipe},stiff,paste",
            at % 7
        )
        .unwrap();
        if at % 15 == 0 {
            writeln!(openings, "P{at},rectangle,{},200,500,700", width / 3).unwrap();
        }
    }
    files.insert("panels.csv".into(), rows.into_bytes());
    files.insert("openings.csv".into(), openings.into_bytes());
    files
}

/// Writes a generated job to a folder, to try the program itself on it.
fn write(panels: &str, folder: &str) {
    std::fs::create_dir_all(folder).unwrap();
    for (name, bytes) in generated(panels.parse().unwrap()) {
        std::fs::write(Path::new(folder).join(name), bytes).unwrap();
    }
}

/// Changes as somebody makes them on the page, by the fields of its form.
const CHANGES: [(&str, &[(&str, &str)]); 8] = [
    ("nothing", &[]),
    ("a conservator more", &[("people.1", "6")]),
    ("a week later", &[("first_day", "2027-01-18")]),
    ("Saturday mornings", &[("hours.site.5", "08:00-12:00")]),
    ("orders sooner", &[("order_day", "2026-11-20")]),
    (
        "another recipe for one panel",
        &[("recipe.0", "stiff-glue")],
    ),
    (
        "another recipe for all",
        &[("recipe_of_all", "water-based")],
    ),
    ("a case", &[("case", "as feared")]),
];

/// Seconds from a form to the page that answers it.
fn changes() {
    let files = demo();
    let begun = Instant::now();
    let mut session = Session::of(files);
    let mut kept = Kept::default();
    session.accept(Planned::of(&session.request(), &mut kept));
    let page = facelay::view::main_page(&session);
    let first = begun.elapsed().as_secs_f64();
    println!("first page\t{first:.3}\tkB\t{}", page.len() / 1000);
    for (name, fields) in CHANGES {
        let fields = fields.iter().chain(&[("form", "1")]);
        let fields: Fields = fields
            .map(|(name, value)| ((*name).to_owned(), (*value).to_owned()))
            .collect();
        let times = (0..9).map(|_| {
            let (mut session, mut kept) = (session.clone(), kept.clone());
            let begun = Instant::now();
            assert!(session.pick(&fields));
            session.accept(Planned::of(&session.request(), &mut kept));
            assert!(facelay::view::main_page(&session).len() > 1000 && session.plan().is_some());
            begun.elapsed().as_secs_f64()
        });
        let mut times: Vec<f64> = times.collect();
        times.sort_by(f64::total_cmp);
        println!("{name}\t{:.3}\tmedian\t{:.3}", times[0], times[4]);
    }
}

/// The demo's people and places with 20 panels, each treated in 12 steps.
fn twenty_by_twelve() -> BTreeMap<String, Vec<u8>> {
    let mut files = generated(20);
    let recipe = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalogs/recipes/brittle-lead.toml");
    let recipe = std::fs::read_to_string(recipe).unwrap();
    let recipe = recipe.replace("id = \"brittle-lead\"", "id = \"twelve-steps\"");
    let mut steps: Vec<String> = recipe.split("[[step]]").map(str::to_owned).collect();
    for (step, again) in [("paper-2", "paper-3"), ("cushion", "cushion-2")] {
        let at = steps
            .iter()
            .position(|text| text.contains(&format!("id = \"{step}\"")));
        let copy =
            steps[at.unwrap()].replace(&format!("id = \"{step}\""), &format!("id = \"{again}\""));
        steps.insert(at.unwrap() + 1, copy);
    }
    assert_eq!(steps.len(), 13);
    files.insert(
        "recipes/twelve-steps.toml".into(),
        steps.join("[[step]]").into_bytes(),
    );
    let panels = String::from_utf8(files.remove("panels.csv").unwrap()).unwrap();
    let rows = panels.lines().map(|line| {
        let mut cells: Vec<&str> = line.split(',').collect();
        if cells[0] != "panel" {
            cells[6] = "twelve-steps";
        }
        cells.join(",") + "\n"
    });
    files.insert("panels.csv".into(), rows.collect::<String>().into_bytes());
    files
}

/// Hears when the days are begun, and ends the search some seconds later.
struct Clock {
    seconds: Option<f64>,
    stages: Vec<(&'static str, Instant)>,
}

impl facelay::plan::Waiting for Clock {
    fn next(&mut self, stage: &'static str) {
        self.stages.push((stage, Instant::now()));
    }

    fn is_over(&mut self) -> Option<bool> {
        let begun = self.stages.last()?.1;
        Some(begun.elapsed().as_secs_f64() >= self.seconds?)
    }
}

fn days(seconds: Option<f64>) {
    let (job, problems) = facelay::job::read(&twenty_by_twelve());
    let job = job.unwrap_or_else(|| panic!("{problems:?}"));
    println!("search\tactivities\tseconds\tschedules\tdays\tbound\tgap %");
    for seconds in [None].into_iter().chain(seconds.map(Some)) {
        let mut clock = Clock {
            seconds,
            stages: Vec::new(),
        };
        let plan = facelay::plan::make(job.clone(), problems.clone(), &mut clock);
        assert!(!plan.problems.has_errors(), "{:?}", plan.problems);
        let at = clock
            .stages
            .iter()
            .position(|stage| stage.0 == "arranging days")
            .unwrap();
        let spent = clock.stages[at + 1].1.duration_since(clock.stages[at].1);
        let schedule = &plan.schedule;
        let first = plan
            .job
            .first_day
            .to_datetime(jiff::civil::Time::midnight());
        let day = |end: Option<jiff::civil::DateTime>| {
            end.unwrap().duration_since(first).as_secs_f64() / 86_400.0
        };
        println!(
            "{}\t{}\t{:.2}\t{}\t{:.3}\t{:.3}\t{:.2}",
            if seconds.is_some() {
                "by the clock"
            } else {
                "as usual"
            },
            schedule.activities.len(),
            spent.as_secs_f64(),
            schedule.schedules,
            day(schedule.finish),
            day(schedule.lower_bound_finish),
            schedule.gap_percent,
        );
    }
}
