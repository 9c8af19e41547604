//! Time and memory to plan the demo and generated jobs of 100, 1,000 and 10,000 panels, and how both grow.
//!
//! Prints one tab-separated line a job: name, panels, seconds, ratio, peak MiB, orders' total; then one a stage: name, stage, seconds, and
//! how large the page is.
//! The ratio is against a fixed piece of
//! arithmetic timed in the same run, so that lines from different machines can be compared. Each job runs in a process of its own, since
//! peak memory is a process's. The growth exponent between two sizes is ln(t2/t1) / ln(n2/n1).
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

use libm::log;

fn main() {
    let arguments: Vec<String> = std::env::args()
        .skip(1)
        .filter(|argument| argument != "--bench")
        .collect();
    match arguments.first().map(String::as_str) {
        Some("one") => one(&arguments[1]),
        Some("write") => write(&arguments[1], &arguments[2]),
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
