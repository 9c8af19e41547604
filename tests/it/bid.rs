//! The price of small jobs, added up by hand.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    reason = "a failing test may stop where it fails"
)]

use std::collections::BTreeSet;

use facelay::bid::Bid;
use facelay::bid::CostGroup;
use facelay::catalog::MaterialKind;
use facelay::catalog::Supplier;
use facelay::diag::Ledger;
use facelay::diag::Problems;
use facelay::job::Equipment;
use facelay::job::Job;
use facelay::job::OwnLine;
use facelay::job::PaidPer;
use facelay::job::Person;
use facelay::purchase::Purchase;
use facelay::recipe::steps::StepKind;
use facelay::units::Money;
use facelay::units::Percent;
use jiff::civil::date;
use proptest::prelude::*;
use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;

use crate::small_job::*;

fn person(name: &str, cost: &str, charge: &str) -> Person {
    Person {
        name: name.to_owned(),
        count: 2,
        skills: BTreeSet::from(["conservator".to_owned()]),
        cost: money(cost),
        charge: money(charge),
        away: BTreeSet::new(),
    }
}

/// Two people, one tower, tissue, a tube for the drum and a board for the crate.
fn small() -> (Job, Stages) {
    let mut layer = step("layer", StepKind::Layer);
    layer.equipment = vec![("tower".to_owned(), 1)];
    let mut job = job(vec![layer], Vec::new());
    for (id, kind) in [
        ("tissue", MaterialKind::Sheet),
        ("tube", MaterialKind::Tube),
        ("board", MaterialKind::Board),
    ] {
        job.catalog
            .materials
            .insert(id.to_owned(), material(id, kind));
    }
    job.catalog.suppliers.insert(
        "north".to_owned(),
        Supplier {
            freight_fixed: money("15.00"),
            ..supplier("north")
        },
    );
    job.catalog.offers = vec![
        offer("tissue", "north", "10", &[(1, "11.35")]),
        offer("tube", "north", "1", &[(1, "84.00")]),
        offer("board", "north", "1", &[(1, "61.50")]),
    ];
    job.people = vec![
        person("conservator", "38.00", "62.00"),
        person("assistant", "22.00", "0"),
    ];
    job.equipment = vec![Equipment {
        name: "tower".to_owned(),
        count: 2,
        hire_day: money("35.00"),
        hire_week: Some(money("140.00")),
    }];
    job.terms.own_lines = vec![
        own("Two vans", CostGroup::Travel, money("840.00")),
        own("Drum bearings", CostGroup::Drums, money("99.99")),
    ];
    let mut stages = Stages::default();
    add_panel(&mut job, &mut stages.survey, "N1");
    add_panel(&mut job, &mut stages.survey, "N2");
    stages.workers(&[0, 0, 1]);
    stages.schedule.activities = vec![
        activity(
            0,
            0,
            at(date(2026, 12, 1), 8),
            at(date(2026, 12, 1), 11),
            vec![0, 2],
        ),
        activity(
            1,
            0,
            at(date(2026, 12, 10), 8),
            at(date(2026, 12, 10), 12),
            vec![1],
        ),
    ];
    stages.takeoff.needs.push(need("tissue", 35.0));
    stages.rolling.needs.push(need("tube", 1.0));
    stages.crating.needs.push(need("board", 2.0));
    (job, stages)
}

fn own(text: &str, group: CostGroup, amount: Money) -> OwnLine {
    OwnLine {
        text: text.to_owned(),
        group,
        quantity: Decimal::ONE,
        unit: "sum".to_owned(),
        rate: amount,
        per: PaidPer::Job,
    }
}

fn price(job: &Job, stages: &Stages) -> (Bid, Purchase, Problems, Ledger) {
    let (purchase, mut problems, mut ledger) = stages.order(job);
    let Stages {
        survey,
        takeoff,
        rolling,
        crating,
        schedule,
        ..
    } = stages;
    let bid = facelay::bid::price(
        job,
        survey,
        takeoff,
        rolling,
        crating,
        schedule,
        &purchase,
        &mut ledger,
        &mut problems,
    );
    (bid, purchase, problems, ledger)
}

#[test]
fn lines_stand_in_their_groups_and_add_up_by_hand() {
    let (mut job, stages) = small();
    job.terms.contingency = Percent::new(decimal("10"));
    job.terms.overhead = Percent::new(decimal("12"));
    job.terms.markup = Percent::new(decimal("8"));
    job.terms.tax = Percent::new(decimal("20"));
    let (bid, _, problems, ledger) = price(&job, &stages);
    let lines: Vec<(String, &str, String, String, String)> = bid
        .lines
        .iter()
        .map(|line| {
            (
                line.id.clone(),
                line.group.name(),
                line.text.clone(),
                format!("{} {}", line.quantity, line.unit),
                line.amount.to_string(),
            )
        })
        .collect();
    let expected = [
        (
            "L001",
            "materials",
            "tissue, plain, north supplies",
            "4 pack of 10 sheet",
            "45.40",
        ),
        (
            "L002",
            "freight",
            "north supplies, order of 2026-11-27, freight",
            "1 order",
            "15.00",
        ),
        ("L003", "labour", "conservator", "7 h", "434.00"),
        ("L004", "labour", "assistant", "3 h", "66.00"),
        (
            "L005",
            "equipment",
            "tower, hire by the week",
            "1 week",
            "140.00",
        ),
        (
            "L006",
            "equipment",
            "tower, hire by the day",
            "3 day",
            "105.00",
        ),
        (
            "L007",
            "drums",
            "tube, plain, north supplies",
            "1 pack of 1 each",
            "84.00",
        ),
        ("L008", "drums", "Drum bearings", "1 sum", "99.99"),
        (
            "L009",
            "crates",
            "board, plain, north supplies",
            "2 pack of 1 sheet",
            "123.00",
        ),
        ("L010", "travel", "Two vans", "1 sum", "840.00"),
    ];
    let expected: Vec<_> = expected
        .iter()
        .map(|(a, b, c, d, e)| {
            (
                (*a).to_owned(),
                *b,
                (*c).to_owned(),
                (*d).to_owned(),
                (*e).to_owned(),
            )
        })
        .collect();
    assert_eq!(lines, expected);
    let money = |amount: Money| amount.to_string();
    assert_eq!(money(bid.subtotal), "1952.39");
    assert_eq!(money(bid.contingency), "195.24");
    assert_eq!(money(bid.overhead), "257.72", "12 % of 2147.63 is 257.7156");
    assert_eq!(money(bid.markup), "192.43", "8 % of 2405.35 is 192.428");
    assert_eq!(money(bid.tax), "519.56", "20 % of 2597.78 is 519.556");
    assert_eq!(money(bid.total), "3117.34");
    assert!(
        texts(&problems)[0].starts_with("warning: `assistant` has no charge rate"),
        "{:?}",
        texts(&problems)
    );
    let labour = ledger.get("bid/L003").unwrap();
    assert!(
        labour
            .inputs
            .iter()
            .any(|input| input.name == "cost of these hours" && input.value == "266.00"),
        "{labour:?}"
    );
    assert_eq!(ledger.get("bid/total").unwrap().result, "3117.34 EUR");
}

/// ECMA-376, function ROUND: halves away from zero (trade.md 10.8).
#[test]
fn halves_of_a_cent_go_up() {
    let (mut job, _) = small();
    job.terms.contingency = Percent::new(decimal("2.5"));
    job.terms.own_lines = vec![own("Permit", CostGroup::Other, money("1.80"))];
    let (bid, _, _, _) = price(&job, &Stages::default());
    assert_eq!(
        (
            bid.lines.len(),
            bid.lines[0].text.as_str(),
            bid.lines[0].group
        ),
        (1, "Permit", CostGroup::Other)
    );
    assert_eq!(bid.contingency.to_string(), "0.05", "0.045");
    assert_eq!(bid.total.to_string(), "1.85");
}

#[test]
fn two_towers_at_once_are_hired_twice_and_an_owned_one_is_free() {
    let (mut job, mut stages) = small();
    stages.schedule.activities[1].start = at(date(2026, 12, 1), 10);
    stages.schedule.activities[1].finish = at(date(2026, 12, 1), 12);
    let equipment = |bid: &Bid| {
        bid.lines
            .iter()
            .filter(|line| line.group == CostGroup::Equipment)
            .map(|line| line.amount)
            .sum::<Money>()
    };
    assert_eq!(equipment(&price(&job, &stages).0), money("70.00"));
    job.equipment[0].hire_day = Money::ZERO;
    job.equipment[0].hire_week = None;
    assert_eq!(equipment(&price(&job, &stages).0), Money::ZERO);
}

#[test]
fn an_empty_job_costs_nothing() {
    let (job, _) = small();
    let job = Job {
        terms: facelay::job::Terms::default(),
        ..job
    };
    let (bid, _, _, _) = price(&job, &Stages::default());
    assert!(bid.lines.is_empty());
    assert_eq!(bid.total.to_string(), "0.00");
}

proptest! {
    #[test]
    fn every_sum_agrees_to_the_cent(
        sheets in 0..200_u32, minutes in prop::collection::vec(1..600_i64, 0..6), percents in [0..4_000_u32, 0..4_000_u32, 0..4_000_u32, 0..4_000_u32],
        sums in prop::collection::vec(0..100_000_u32, 0..4)
    ) {
        let (mut job, mut stages) = small();
        let [contingency, overhead, markup, tax] = percents.map(|percent| Percent::new(Decimal::new(i64::from(percent), 2)));
        (job.terms.contingency, job.terms.overhead, job.terms.markup, job.terms.tax) = (contingency, overhead, markup, tax);
        job.terms.own_lines = sums.iter().map(|cents| own("sum", CostGroup::Travel, Money::new(Decimal::new(i64::from(*cents), 2)))).collect();
        stages.takeoff.needs = vec![need("tissue", f64::from(sheets))];
        stages.schedule.activities = minutes.iter().enumerate().map(|(index, minutes)| {
            let from = at(date(2026, 12, 1), 8).checked_add(jiff::Span::new().days(i64::try_from(index).unwrap())).unwrap();
            activity(0, 0, from, from.checked_add(jiff::Span::new().minutes(*minutes)).unwrap(), vec![index % 3])
        }).collect();
        let (bid, purchase, _, _) = price(&job, &stages);
        for line in &bid.lines {
            let exact = line.rate.amount() * line.quantity;
            prop_assert_eq!(line.amount.amount(), exact.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero));
        }
        prop_assert_eq!(bid.subtotal, bid.lines.iter().map(|line| line.amount).sum::<Money>());
        prop_assert_eq!(bid.total, bid.subtotal + bid.contingency + bid.overhead + bid.markup + bid.tax);
        let bought: Money = bid.lines.iter()
            .filter(|line| line.unit.starts_with("pack") || line.unit == "order").map(|line| line.amount).sum();
        prop_assert_eq!(bought, purchase.total, "every order's cent is in the bid");
        let ids: Vec<String> = bid.lines.iter().map(|line| line.id.clone()).collect();
        let numbered: Vec<String> = (1..=ids.len()).map(|number| format!("L{number:03}")).collect();
        prop_assert_eq!(ids, numbered);
    }
}
