//! The odds and the cases of a small job, against closed forms.

use std::collections::BTreeMap;
use std::path::Path;

use facelay::bid::Odds;
use facelay::files;
use facelay::job;
use facelay::plan;
use facelay::plan::Plan;
use facelay::units::Money;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// The demo of three panels with lines added to its job.toml.
fn planned(added: &str) -> Plan {
    let files = with(added);
    let (job, problems) = job::read(&files);
    plan::make(job.unwrap(), problems, &mut |_| {})
}

fn with(added: &str) -> BTreeMap<String, Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/three-panels");
    let mut files = files::read_job(&folder).unwrap();
    let text = files.get_mut("job.toml").unwrap();
    text.extend_from_slice(b"\n");
    text.extend_from_slice(added.as_bytes());
    files
}

fn drawn(added: &str) -> (Plan, Odds) {
    let mut plan = planned(added);
    plan::draw(&mut plan, &mut |_| {});
    let odds = plan.odds.clone().unwrap();
    (plan, odds)
}

fn number(money: Money) -> f64 {
    money.amount().to_f64().unwrap()
}

/// A spread that leaves everything as planned.
const NONE: &str = r#"
[[odds.spread]]
of = "labour"
low = "100 %"
likely = "100 %"
high = "100 %"
"#;

#[test]
fn what_is_certain_costs_what_the_bid_says_and_ends_when_the_schedule_says() {
    let (plan, odds) = drawn(NONE);
    for level in &odds.cost {
        assert_eq!(level.value, plan.bid.subtotal);
        assert_eq!((level.from, level.to), (level.value, level.value));
    }
    assert_eq!(odds.mean, plan.bid.subtotal);
    for level in &odds.finish {
        assert_eq!(Some(level.value), plan.schedule.finish);
    }
    assert_eq!(odds.too_long, 0.0);
    assert_eq!(odds.enough, 1.0);
    assert!(odds.drivers.is_empty(), "{:?}", odds.drivers);
    assert_eq!(odds.classes.len(), 1);
}

/// One line of 100,000 that may come to 80,000 to 160,000, most likely 90,000: everything else stays, so that the cost is triangular.
///
/// Closed form: mean (0.8+0.9+1.6)/3 = 1.1; F(0.9) = 1/8; quantile b − √((1−u)(b−a)(b−m)) above it: at 0.5 1.6 − √(0.5·0.8·0.7) = 1.070850,
/// at 0.8 1.6 − √(0.2·0.8·0.7) = 1.265336, at 0.9 1.6 − √(0.1·0.8·0.7) = 1.363357; below it a + √(u(b−a)(m−a)): at 0.1 0.8 + √(0.1·0.8·0.1)
/// = 0.889443.
#[test]
fn one_triangle_has_its_closed_form() {
    let spread = r#"
[[terms.lump_sum]]
text = "Conservation of the plaster by others' rates"
group = "tests"
amount = "100000.00"

[odds]
draws = 40000
seed = 11

[[odds.spread]]
of = "own-lines"
low = "80 %"
likely = "90 %"
high = "160 %"
shared = "100 %"
"#;
    let (plan, odds) = drawn(spread);
    // All own lines move together: shared = 100 %.
    let own: Money = plan
        .job
        .terms
        .own_lines
        .iter()
        .map(|line| line.rate.times(line.quantity))
        .sum();
    let fixed = number(plan.bid.subtotal) - number(own);
    for (level, factor) in odds
        .cost
        .iter()
        .zip([0.889_443, 1.070_850, 1.265_336, 1.363_357])
    {
        let expected = fixed + number(own) * factor;
        // The range holds the level with 95 %, two standard errors to each side: four must hold always, or nearly so.
        let half = (number(level.to) - number(level.from)) / 2.0;
        assert!(
            (number(level.value) - expected).abs() < 2.0 * half,
            "{level:?}: {expected}"
        );
        assert!(half / expected < 0.005, "{level:?}");
    }
    let mean = fixed + number(own) * 1.1;
    assert!(
        (number(odds.mean) - mean).abs() < 0.005 * mean,
        "{} {mean}",
        odds.mean
    );
    assert_eq!(odds.drivers.len(), 1);
    // Factors are rounded to the ten-thousandth, so that a few draws tie.
    assert!((odds.drivers[0].correlation - 1.0).abs() < 1e-4);
    let classes: u32 = odds.classes.iter().map(|class| class.count).sum();
    assert_eq!(classes, 40_000);
}

/// Common causes widen the sum: two equal lines that move together spread √2 times as far as two that do not (variance of a sum).
#[test]
fn a_common_cause_spreads_wider() {
    let lines = |shared: &str| {
        format!(
            r#"
[[terms.lump_sum]]
text = "one"
group = "travel"
amount = "200000.00"
[[terms.lump_sum]]
text = "two"
group = "travel"
amount = "200000.00"
[[odds.spread]]
of = "own-lines"
low = "50 %"
likely = "100 %"
high = "150 %"
shared = "{shared}"
"#
        )
    };
    let width = |odds: &Odds| number(odds.cost[3].value) - number(odds.cost[0].value);
    let (apart, together) = (drawn(&lines("0 %")).1, drawn(&lines("100 %")).1);
    let ratio = width(&together) / width(&apart);
    // Quantiles of a sum of two triangles are not those of one stretched: 1.41 to within a few percent.
    assert!((1.3..1.5).contains(&ratio), "{ratio}");
}

#[test]
fn a_condition_costs_its_chance_times_its_sum_on_average() {
    let condition = format!(
        "{NONE}
[[odds.condition]]
name = \"hidden damage\"
chance = \"30 %\"
cost = \"10000.00\"
"
    );
    let (plan, odds) = drawn(&condition);
    let more = number(odds.mean) - number(plan.bid.subtotal);
    // Standard error of 10,000 draws: 10,000 · √(0.3 · 0.7 / 10,000) = 46.
    assert!((more - 3000.0).abs() < 4.0 * 46.0, "{more}");
    assert_eq!(
        odds.cost[1].value, plan.bid.subtotal,
        "half the draws have no damage"
    );
    assert_eq!(
        odds.cost[2].value - plan.bid.subtotal,
        Money::new(Decimal::from(10_000))
    );
    let driver = &odds.drivers[0];
    assert_eq!(
        (driver.name.as_str(), driver.swing),
        ("hidden damage", Money::new(Decimal::new(1_000_000, 2)))
    );
}

#[test]
fn lost_days_move_the_end_and_never_forwards() {
    let condition = format!(
        "{NONE}
[[odds.condition]]
name = \"site closed\"
chance = \"100 %\"
days = 3
"
    );
    let (plan, odds) = drawn(&condition);
    let finish = plan.schedule.finish.unwrap();
    assert!(odds.finish[0].value > finish);
    let days = (odds.finish[0].value.date() - finish.date()).get_days();
    assert!(
        (3..=7).contains(&days),
        "three working days, weekends between: {days}"
    );
}

#[test]
fn a_seed_gives_the_same_odds_and_another_seed_others() {
    let (_, first) = drawn("[odds]\nseed = 5\ndraws = 1000");
    let (_, again) = drawn("[odds]\nseed = 5\ndraws = 1000");
    let (_, other) = drawn("[odds]\nseed = 6\ndraws = 1000");
    assert_eq!(first, again);
    assert_ne!(first.mean, other.mean);
}

#[test]
fn a_case_that_changes_nothing_costs_the_same_and_others_differ_as_they_say() {
    let mut plan = planned(
        r#"
[[case]]
name = "same"
[[case]]
name = "by others"
by_others = { text = "Wall panels sawn out", amount = "12345.67" }
[[case]]
name = "dearer"
markup = "20 %"
[[case]]
name = "hard"
removal_factor = 30
"#,
    );
    plan::weigh(&mut plan, &mut |_| {});
    let comparison = plan.cases.clone().unwrap();
    let total = |at: usize| comparison.sides[at].outcome.as_ref().unwrap().total;
    assert_eq!(total(1), plan.bid.total, "same");
    let others = comparison.sides[2].outcome.as_ref().unwrap();
    let own: Money = plan.job.terms.own_lines.iter().map(|line| line.rate).sum();
    assert_eq!(
        others.subtotal,
        own + Money::new("12345.67".parse().unwrap()),
        "no panel is left, so that only sums are"
    );
    let price = plan.bid.subtotal + plan.bid.contingency + plan.bid.overhead;
    let markup = Money::new(price.amount() * Decimal::new(2, 1)).cents();
    let dearer = price + markup;
    let tax = plan.job.terms.tax.of(dearer).cents();
    assert_eq!(total(3), dearer + tax, "dearer");
    assert!(total(4) > plan.bid.total, "hard");
    let hours: Vec<Decimal> = comparison
        .curve
        .iter()
        .map(|step| step.outcome.as_ref().unwrap().hours)
        .collect();
    assert!(hours.is_sorted(), "{hours:?}");
    assert_eq!(comparison.curve.len(), 7);
}

#[test]
fn materials_as_used_cost_no_more_than_as_bought() {
    let bought = planned("");
    let mut files = with("");
    let text = String::from_utf8(files["job.toml"].clone()).unwrap();
    let text = text.replacen(
        "[terms]",
        "[terms]\nmaterials = \"as-used\"\nlabour = \"cost\"",
        1,
    );
    files.insert("job.toml".to_owned(), text.into_bytes());
    let (job, problems) = job::read(&files);
    let used = plan::make(job.unwrap(), problems, &mut |_| {});
    let goods = |plan: &Plan| -> Money {
        let packs = plan
            .bid
            .lines
            .iter()
            .filter(|line| line.unit.starts_with("pack"));
        packs.map(|line| line.amount).sum()
    };
    assert!(goods(&used) < goods(&bought));
    assert!(goods(&used) > Money::ZERO);
    let labour: Money = used.bid.labour.iter().map(|row| row.cost).sum();
    let lines = used
        .bid
        .lines
        .iter()
        .filter(|line| line.group == facelay::bid::CostGroup::Labour);
    assert_eq!(lines.map(|line| line.amount).sum::<Money>(), labour);
}
