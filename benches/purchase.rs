//! Time and gap of purchases of 30 to 300 materials, each offered by 6 suppliers in 5 packs, needed on 20 days.
//!
//! Prints one tab-separated line a size: materials, offers, seconds, total, gap in percent, peak MiB, engine; then how the
//! time grows. The aim at 300 materials: a gap of at most half a percent within 20 seconds and 1 GiB.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    missing_docs,
    reason = "a benchmark may stop where it fails, and says so"
)]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::process::Command;
use std::time::Instant;

use libm::log;
use rand::RngExt;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rust_decimal::prelude::ToPrimitive;

const SIZES: [usize; 4] = [30, 75, 150, 300];
const SUPPLIERS: usize = 6;
const PACKS: [usize; 5] = [1, 5, 10, 25, 100];
const DAYS: usize = 20;

fn main() {
    let size = std::env::args().find_map(|argument| argument.parse::<usize>().ok());
    if let Some(size) = size {
        one(size);
        return;
    }
    println!("materials\toffers\tseconds\ttotal\tgap %\tpeak MiB\tengine");
    let mut before: Option<(usize, f64)> = None;
    for size in SIZES {
        let output = Command::new(std::env::current_exe().unwrap())
            .arg(size.to_string())
            .output()
            .unwrap();
        let line = String::from_utf8(output.stdout).unwrap();
        print!("{line}");
        let seconds: f64 = line.split('\t').nth(2).unwrap().parse().unwrap();
        if let Some((smaller, quicker)) = before {
            let growth = log(seconds / quicker) / log(ratio(size, smaller));
            println!("growth exponent {growth:.2}");
        }
        before = Some((size, seconds));
    }
}

fn ratio(a: usize, b: usize) -> f64 {
    f64::from(u32::try_from(a).unwrap()) / f64::from(u32::try_from(b).unwrap())
}

fn one(size: usize) {
    let (job, problems) = facelay::job::read(&folder(size));
    let job = job.unwrap_or_else(|| panic!("{:?}", problems.iter().next()));
    let offers = job
        .catalog
        .offers
        .iter()
        .filter(|offer| offer.material.starts_with("bench-"))
        .count();
    // Everything before the purchase is small here; its time is taken off.
    let mut stages: Vec<(&str, Instant)> = Vec::new();
    let plan = facelay::plan::make(job, problems, &mut |stage| {
        stages.push((stage, Instant::now()));
    });
    let at = |name: &str| stages.iter().find(|(stage, _)| *stage == name).unwrap().1;
    let seconds = (at("pricing") - at("choosing packs and suppliers")).as_secs_f64();
    assert!(
        !plan.problems.has_errors(),
        "{:?}",
        plan.problems.iter().next()
    );
    let number = |money: facelay::units::Money| money.amount().to_f64().unwrap();
    let (total, bound) = (
        number(plan.purchase.total),
        number(plan.purchase.lower_bound),
    );
    println!(
        "{size}\t{offers}\t{seconds:.2}\t{}\t{:.3}\t{}\t{}",
        plan.purchase.total,
        100.0 * (total - bound) / total,
        peak(),
        plan.purchase.engine
    );
}

/// Peak memory of this process in MiB.
fn peak() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmHWM"));
    let kib = line.and_then(|line| line.split_whitespace().nth(1)?.parse::<u64>().ok());
    kib.unwrap_or(0) / 1024
}

const JOB: &str = r#"title = "Bench"
currency = "EUR"
unit = "mm"
first_day = 2027-01-11
order_day = 2026-12-14
default_recipe = "bench"
[[place]]
role = "site"
name = "Hall"
hours = { mon-fri = ["08:00-16:00"] }
temperature = "20 °C"
humidity = "50 %"
[[place]]
role = "studio"
name = "Studio"
hours = { mon-fri = ["08:00-16:00"] }
temperature = "20 °C"
humidity = "50 %"
[[person]]
name = "conservator"
skills = ["conservator", "assistant", "carpenter"]
cost = "30.00"
charge = "50.00"
"#;

/// A job folder: twenty labour steps on days apart, each using its share of the materials.
fn folder(size: usize) -> BTreeMap<String, Vec<u8>> {
    let (materials, offers, uses) = goods(size);
    let (suppliers, recipe) = (suppliers(), recipe(&uses));
    let panels = "panel,shape,width,height\nP1,rectangle,1000,1000\n";
    [
        ("job.toml", JOB),
        ("panels.csv", panels),
        ("recipes/bench.toml", &recipe),
        ("catalogs/materials.csv", &materials),
        ("catalogs/suppliers.csv", &suppliers),
        ("catalogs/offers.csv", &offers),
    ]
    .into_iter()
    .map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec()))
    .collect()
}

/// Materials, offers and what each step uses.
fn goods(size: usize) -> (String, String, Vec<String>) {
    let mut dice = ChaCha8Rng::seed_from_u64(7);
    let mut materials = "id,name,kind,g_each,hazard,source\n".to_owned();
    let mut offers =
        "material,supplier,pack,price,break1_packs,break1_price,break2_packs,break2_price,breaks,lead_days,source\n"
            .to_owned();
    let mut uses = vec![String::new(); DAYS];
    for number in 0..size {
        let hazard = if dice.random_bool(0.15) {
            "toxic"
        } else {
            "none"
        };
        let grams = dice.random_range(20..900_u32);
        writeln!(
            materials,
            "bench-{number},Bench {number},each,{grams},{hazard},benchmark"
        )
        .unwrap();
        let rate = dice.random_range(1..400_u32);
        let place = &mut uses[number % DAYS];
        write!(
            place,
            "{{ material = \"bench-{number}\", rate = {rate}, per = \"panel\" }}, "
        )
        .unwrap();
        let base = f64::from(dice.random_range(40..900_u32)) / 100.0;
        for supplier in 0..SUPPLIERS {
            let dear = f64::from(dice.random_range(88..115_u32)) / 100.0;
            for pack in PACKS {
                let many = f64::from(u32::try_from(pack).unwrap());
                let price = base * dear * many * (1.0 - 0.04 * log(many));
                let breaks = ["all-packs", "packs-above"][dice.random_range(0..2_usize)];
                writeln!(
                    offers,
                    "bench-{number},bench-{supplier},{pack},{price:.2},4,{:.2},10,{:.2},{breaks},{},benchmark",
                    price * 0.96,
                    price * 0.92,
                    dice.random_range(1..15_u32)
                )
                .unwrap();
            }
        }
    }
    (materials, offers, uses)
}

fn suppliers() -> String {
    let mut suppliers =
        "id,name,minimum_order,freight_fixed,freight_per_kg,freight_free_from,hazard_surcharge,source\n"
            .to_owned();
    for number in 0..SUPPLIERS {
        let free = if number % 2 == 0 { "1500" } else { "" };
        writeln!(
            suppliers,
            "bench-{number},Bench {number},{},{},0.{},{free},{},benchmark",
            60 + 40 * number,
            12 + 9 * number,
            20 + 7 * number,
            10 + 5 * number
        )
        .unwrap();
    }
    suppliers
}

fn recipe(uses: &[String]) -> String {
    let mut recipe = "id = \"bench\"\nname = \"Bench\"\nabout = \"Benchmark.\"\n".to_owned();
    for (number, uses) in uses.iter().enumerate() {
        write!(
            recipe,
            "[[step]]\nid = \"step{number}\"\nname = \"Step {number}\"\nkind = \"labour\"\nwork = [\"set-up\"]\nskill = \"conservator\"\ncrew = [1, 1]\ndrying = \"40 h\"\nuses = [{uses}]\n"
        )
        .unwrap();
    }
    recipe
}
