//! What must stay when a job is changed in a way whose outcome is known beforehand: relations between two plans, where nobody knows the
//! right answer of one.

use std::collections::BTreeMap;

use facelay::diag::Problems;
use facelay::plan::Plan;
use rand::RngExt;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rust_decimal::Decimal;
use serde_json::Value;

use super::random_job::RandomJob;
use super::random_job::Writing;

/// A random job by number.
pub(crate) fn random(seed: u64) -> RandomJob {
    let mut dice = ChaCha8Rng::seed_from_u64(seed);
    RandomJob::of(&mut |most| dice.random_range(0..most))
}

/// Plans a job; none where it is refused, which has to have a reason.
pub(crate) fn plan(job: &RandomJob, writing: Writing) -> Option<Plan> {
    let (read, problems) = facelay::job::read(&job.files(writing));
    let plan = facelay::plan::make(
        read.unwrap_or_else(|| panic!("{problems:?}")),
        Problems::new(),
        &mut |_| {},
    );
    (!plan.problems.has_errors()).then_some(plan)
}

/// Calls a relation for some random jobs, most of which must be plannable.
fn try_jobs(seeds: std::ops::Range<u64>, relation: impl Fn(u64, &RandomJob, &Plan)) {
    let (mut planned, number) = (0, seeds.end - seeds.start);
    for seed in seeds {
        let job = random(seed);
        if let Some(first) = plan(&job, Writing::default()) {
            planned += 1;
            relation(seed, &job, &first);
        }
    }
    assert!(
        planned * 2 > number,
        "only {planned} of {number} random jobs could be planned"
    );
}

fn planned(job: &RandomJob, writing: Writing, seed: u64) -> Plan {
    plan(job, writing).unwrap_or_else(|| panic!("job {seed} cannot be planned once it is changed"))
}

/// Square metres laid, by material.
fn laid(plan: &Plan) -> BTreeMap<String, f64> {
    let mut laid = BTreeMap::new();
    for layer in &plan.takeoff.layers {
        *laid.entry(layer.material.clone()).or_insert(0.0) += layer.laid.to_m2();
    }
    laid
}

fn document(plan: &Plan) -> Value {
    serde_json::from_slice(&facelay::format::write_plan(plan).unwrap()).unwrap()
}

fn assert_near(a: &BTreeMap<String, f64>, b: &BTreeMap<String, f64>, times: f64, seed: u64) {
    assert!(a.keys().eq(b.keys()), "job {seed}");
    for (name, value) in a {
        let other = b[name];
        assert!(
            (value * times - other).abs() <= 1e-9 * other.abs().max(1.0),
            "job {seed}: {name} is {value}, and {other} after"
        );
    }
}

/// Twice as many of each panel lay twice as much and solve twice as much; what is bought costs no less, and no more than twice as
/// much but for the gap that the purchase states.
#[test]
fn twice_the_panels_lay_twice_as_much() {
    try_jobs(0..4, |seed, job, first| {
        let mut double = job.clone();
        for panel in &mut double.panels {
            panel.count *= 2;
        }
        let second = planned(&double, Writing::default(), seed);
        assert_eq!(second.survey.panels.len(), 2 * first.survey.panels.len());
        assert_near(&laid(first), &laid(&second), 2.0, seed);
        assert_near(&solved(first), &solved(&second), 2.0, seed);
        let (one, two) = (&first.purchase, &second.purchase);
        let gap = two.total.amount() - two.lower_bound.amount();
        assert!(
            two.total >= one.lower_bound,
            "job {seed}: twice the job costs {} and once {}",
            two.total,
            one.total
        );
        assert!(
            two.total.amount() <= one.total.amount() * Decimal::TWO + gap.max(Decimal::ZERO),
            "job {seed}: twice the job costs {}, more than twice {}",
            two.total,
            one.total
        );
    });
}

/// Grams of each material in solutions.
fn solved(plan: &Plan) -> BTreeMap<String, f64> {
    let mut solved = BTreeMap::new();
    for part in plan
        .takeoff
        .solutions
        .iter()
        .flat_map(|solution| &solution.parts)
    {
        *solved.entry(part.material.clone()).or_insert(0.0) += part.mass.to_g();
    }
    solved
}

/// Numbers, dates and names of a plan are the same; only words that quote lengths in the job's unit may differ.
#[test]
fn inches_and_millimetres_give_the_same_plan() {
    try_jobs(10..14, |seed, job, first| {
        let second = planned(
            job,
            Writing {
                inches: true,
                ..Writing::default()
            },
            seed,
        );
        let (a, b) = (document(first), document(&second));
        for key in [
            "panels", "layers", "cuts", "drums", "crates", "schedule", "stock", "purchase",
        ] {
            assert_same(&a[key], &b[key], &format!("job {seed}: {key}"));
        }
        for key in [
            "subtotal",
            "contingency",
            "overhead",
            "markup",
            "tax",
            "total",
        ] {
            assert_eq!(a["bid"][key], b["bid"][key], "job {seed}: {key}");
        }
    });
}

/// The same but for texts with a length in them.
fn assert_same(a: &Value, b: &Value, at: &str) {
    match (a, b) {
        (Value::Object(a), Value::Object(b)) => {
            assert!(a.keys().eq(b.keys()), "{at}");
            for (key, value) in a {
                assert_same(value, &b[key], &format!("{at}.{key}"));
            }
        }
        (Value::Array(a), Value::Array(b)) => {
            assert_eq!(a.len(), b.len(), "{at}");
            for (row, (a, b)) in a.iter().zip(b).enumerate() {
                assert_same(a, b, &format!("{at}[{row}]"));
            }
        }
        (Value::String(a), Value::String(b)) if a.contains(" mm") || b.contains('"') => {}
        _ => assert_eq!(a, b, "{at}"),
    }
}

/// Columns in another order give the same plan to the byte, but for the digest of the file.
#[test]
fn the_order_of_columns_changes_nothing() {
    try_jobs(20..23, |seed, job, first| {
        let second = planned(
            job,
            Writing {
                columns_backwards: true,
                ..Writing::default()
            },
            seed,
        );
        let (mut a, mut b) = (document(first), document(&second));
        for side in [&mut a, &mut b] {
            side["job"].as_object_mut().unwrap().remove("inputs");
        }
        assert!(a == b, "job {seed}");
    });
}

/// Rows in another order lay, cut and roll the same; days may be handed out otherwise, but no bound is above the other's finish.
#[test]
fn the_order_of_rows_changes_no_quantity() {
    try_jobs(30..34, |seed, job, first| {
        let second = planned(
            job,
            Writing {
                rows_backwards: true,
                ..Writing::default()
            },
            seed,
        );
        assert_near(&laid(first), &laid(&second), 1.0, seed);
        assert_near(&solved(first), &solved(&second), 1.0, seed);
        let drums = |plan: &Plan| {
            let mut tubes: Vec<String> = plan
                .rolling
                .drums
                .iter()
                .map(|drum| drum.tube.clone())
                .collect();
            tubes.sort();
            tubes
        };
        assert_eq!(drums(first), drums(&second), "job {seed}");
        // What is used by the person-day or the batch follows the days, so only what is cut is compared, not the whole purchase.
        let cut = |plan: &Plan| -> BTreeMap<String, u64> {
            let totals = plan.takeoff.cut_totals.iter();
            totals
                .map(|total| (total.material.clone(), total.bought))
                .collect()
        };
        assert_eq!(cut(first), cut(&second), "job {seed}");
        for (one, two) in [(first, &second), (&second, first)] {
            assert!(
                two.schedule.lower_bound_finish <= one.schedule.finish,
                "job {seed}"
            );
        }
    });
}

/// One more person never makes the best finish later: what is found lies within the gap that is stated.
#[test]
fn one_more_person_never_delays() {
    try_jobs(40..44, |seed, job, first| {
        let mut more = job.clone();
        more.people += 1;
        let second = planned(&more, Writing::default(), seed);
        let bound = second.schedule.lower_bound_finish.unwrap();
        assert!(
            bound <= first.schedule.lower_bound_finish.unwrap(),
            "job {seed}: the bound rose with a person"
        );
        let (one, two) = (
            first.schedule.finish.unwrap(),
            second.schedule.finish.unwrap(),
        );
        assert!(
            two <= one || two.duration_since(one) <= two.duration_since(bound),
            "job {seed}: with one more person it ends on {two}, before on {one}; the bound is {bound}"
        );
    });
}

/// Warmer air never dries slower.
#[test]
fn warmer_never_dries_slower() {
    try_jobs(50..54, |seed, job, first| {
        let dry = |plan: &Plan| -> BTreeMap<String, (u32, u32)> {
            let rows = plan.exposure.drying.iter();
            rows.map(|row| {
                (
                    format!("{} {}", row.recipe, row.step),
                    (row.dry_minutes, row.cures_minutes),
                )
            })
            .collect()
        };
        let mut warm = job.clone();
        warm.celsius += 5;
        let second = planned(&warm, Writing::default(), seed);
        let (cold, warm) = (dry(first), dry(&second));
        assert!(
            cold.keys().eq(warm.keys()) && !cold.is_empty(),
            "job {seed}"
        );
        for (step, before) in &cold {
            let after = warm[step];
            assert!(
                after.0 <= before.0 && after.1 <= before.1,
                "job {seed}: step {step} dries and cures in {before:?} minutes, and in {after:?} when it is warmer"
            );
        }
    });
}

/// A case that says what the job says comes to the same; so does the job that says what a case says.
#[test]
fn a_case_and_its_job_come_to_the_same() {
    try_jobs(60..62, |seed, job, first| {
        let names: Vec<String> = job
            .panels
            .iter()
            .map(|panel| format!("\"{}\"", panel.name))
            .collect();
        let mut cases = job.clone();
        cases.more = format!(
            "\n[[case]]\nname = \"same\"\npanels = [{}]\nmarkup = \"8 %\"\n\n[[case]]\nname = \"harder\"\nadhesive = \"contact\"\n",
            names.join(", ")
        );
        let mut with_cases = planned(&cases, Writing::default(), seed);
        facelay::plan::compare(&mut with_cases, &mut |_| {});
        let sides = &with_cases.cases.as_ref().unwrap().sides;
        let total = |at: usize| sides[at].outcome.as_ref().map(|outcome| outcome.total);
        assert_eq!(total(0), Some(first.bid.total), "job {seed}");
        assert_eq!(
            total(1),
            Some(first.bid.total),
            "job {seed}: {:?}",
            sides[1].problems
        );
        let mut harder = job.clone();
        for panel in &mut harder.panels {
            panel.state[2] = "contact";
        }
        let harder = plan(&harder, Writing::default());
        assert_eq!(total(2), harder.map(|plan| plan.bid.total), "job {seed}");
    });
}
