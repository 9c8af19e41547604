//! The price of small jobs, added up by hand.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    reason = "a failing test may stop where it fails"
)]

use std::collections::BTreeSet;

use facelay::bid::Bid;
use facelay::bid::CostGroup;
use facelay::catalog::Hazard;
use facelay::catalog::LayerClass;
use facelay::catalog::Material;
use facelay::catalog::MaterialKind;
use facelay::catalog::Supplier;
use facelay::catalog::WasteClass;
use facelay::catalog::WasteWhen;
use facelay::diag::Ledger;
use facelay::diag::Problems;
use facelay::job::Disposal;
use facelay::job::Equipment;
use facelay::job::Job;
use facelay::job::MaterialsAt;
use facelay::job::OwnLine;
use facelay::job::PaidPer;
use facelay::job::Person;
use facelay::job::Site;
use facelay::purchase::Purchase;
use facelay::recipe::PlaceRole;
use facelay::recipe::steps::StepKind;
use facelay::schedule::Activity;
use facelay::units::Length;
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
        moving_minutes: 0,
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

/// Two panels of 12 m², one with lead; the reverse is cleaned of 0.5 mm of residue at 1.2 g/ml. Gloves of 15 g are thrown away for lead,
/// rags of 20 g for solvent. Toluene is used beside the solutions, water is no hazard.
fn contaminated() -> (Job, Stages) {
    let mut job = job(vec![step("reverse", StepKind::Reverse)], Vec::new());
    for (id, kind) in [
        ("glove", MaterialKind::Each),
        ("rag", MaterialKind::Each),
        ("thinner", MaterialKind::Liquid),
        ("water", MaterialKind::Liquid),
    ] {
        let hazard = if id == "thinner" {
            Hazard::Flammable
        } else {
            Hazard::None
        };
        let material = Material {
            hazard,
            ..material(id, kind)
        };
        job.catalog.materials.insert(id.to_owned(), material);
        job.catalog
            .offers
            .push(offer(id, "north", "1", &[(1, "1.00")]));
    }
    job.catalog
        .suppliers
        .insert("north".to_owned(), supplier("north"));
    job.catalog.layers.insert(
        "residue-paste".to_owned(),
        LayerClass {
            thickness: Length::mm(0.5),
            modulus: 500.0,
            density: 1.2,
            source: "test".to_owned(),
        },
    );
    for (id, grams, when) in [
        ("glove", 15.0, WasteWhen::Lead),
        ("rag", 20.0, WasteWhen::Solvent),
    ] {
        let source = "test".to_owned();
        let class = WasteClass {
            grams,
            when,
            source,
        };
        job.catalog.waste.insert(id.to_owned(), class);
    }
    let mut stages = Stages::default();
    add_panel(&mut job, &mut stages.survey, "N1");
    add_panel(&mut job, &mut stages.survey, "N2");
    job.panels[0].lead = true;
    stages.takeoff.needs = vec![
        need("glove", 40.0),
        need("rag", 25.0),
        need("thinner", 1_000.0),
        need("water", 9_000.0),
    ];
    stages.schedule.needs = vec![need("thinner", 500.0)];
    (job, stages)
}

/// Grams of each kind of waste, and the lines of disposal.
fn disposed(job: &Job, stages: &Stages) -> (Vec<(String, f64)>, Vec<String>) {
    let (bid, _, _, ledger) = price(job, stages);
    for waste in &bid.waste {
        assert!(ledger.get(&waste.because).is_some(), "{waste:?}");
    }
    let grams = bid.waste.iter().map(|waste| {
        let id = waste.because.trim_start_matches("waste/").to_owned();
        (id, (waste.mass.to_g() * 100.0).round() / 100.0)
    });
    let lines = bid.lines.iter();
    let lines = lines.filter(|line| line.group == CostGroup::Disposal);
    let lines = lines.map(|line| format!("{} {} {}", line.quantity, line.unit, line.amount));
    (grams.collect(), lines.collect())
}

/// By hand: 12 m² × 0.5 mm × 1.2 g/ml = 7.2 kg of residue (the panel without lead leaves none); 40 × 15 g + 25 × 20 g = 1.1 kg of what is
/// used; 1.5 l × 0.8669 g/ml = 1.300 35 kg of solvent. Together 9.600 35 kg, up to 9.7 kg at 4.50: 43.65.
#[test]
fn contaminated_waste_is_weighed_and_priced_by_hand() {
    let (mut job, stages) = contaminated();
    let kinds = |grams: [f64; 3]| {
        let kinds = ["residue", "used", "solvents"].into_iter().zip(grams);
        let kinds = kinds.filter(|(_, grams)| *grams > 0.0);
        kinds
            .map(|(kind, grams)| (kind.to_owned(), grams))
            .collect::<Vec<_>>()
    };
    let all = kinds([7_200.0, 1_100.0, 1_300.35]);
    assert_eq!(disposed(&job, &stages), (all.clone(), Vec::new()));
    let cost = |least: &str| Disposal {
        per_kg: money("4.50"),
        least: money(least),
    };
    for (least, line) in [
        ("43.64", "9.7 kg 43.65"),
        ("43.65", "9.7 kg 43.65"),
        ("43.66", "1 collection 43.66"),
    ] {
        job.terms.disposal = Some(cost(least));
        assert_eq!(
            disposed(&job, &stages),
            (all.clone(), vec![line.to_owned()]),
            "{least}"
        );
    }
    // Without lead only what the solvent contaminates is left: 25 × 20 g and the solvent.
    job.panels[0].lead = false;
    job.terms.disposal = Some(cost("0"));
    assert_eq!(
        disposed(&job, &stages),
        (
            kinds([0.0, 500.0, 1_300.35]),
            vec!["1.9 kg 8.55".to_owned()]
        )
    );
    // Both panels with lead leave twice the residue; a reverse that nobody cleans leaves none.
    job.panels[0].lead = true;
    job.panels[1].lead = true;
    assert_eq!(disposed(&job, &stages).0[0].1, 14_400.0);
    job.recipes.get_mut("plain").unwrap().steps[0].kind = StepKind::Release;
    assert_eq!(disposed(&job, &stages).0, kinds([0.0, 1_100.0, 1_300.35]));
    let nothing = Stages {
        survey: stages.survey,
        ..Stages::default()
    };
    assert_eq!(disposed(&job, &nothing), (Vec::new(), Vec::new()));
}

/// Own lines by the day at the site: 1 and 10 December are two days; two people on the first and one on the second are three person-days.
/// What is done at the studio, and a stretch without length, count for none.
#[test]
fn own_lines_by_the_day_are_multiplied_by_the_days_at_the_site() {
    let (mut job, mut stages) = small();
    let per = |per: PaidPer| OwnLine {
        quantity: Decimal::TWO,
        per,
        ..own("Lunch", CostGroup::Travel, money("10.00"))
    };
    job.terms.own_lines = vec![
        per(PaidPer::Job),
        per(PaidPer::SiteDay),
        per(PaidPer::PersonDay),
    ];
    job.places.push(Site {
        role: PlaceRole::Studio,
        ..site()
    });
    let studio = Activity {
        place: 1,
        ..activity(
            0,
            0,
            at(date(2026, 12, 14), 8),
            at(date(2026, 12, 14), 9),
            vec![0],
        )
    };
    let morning = at(date(2026, 12, 15), 8);
    let none = activity(0, 0, morning, morning, vec![0]);
    stages.schedule.activities.extend([studio, none]);
    let (bid, _, _, ledger) = price(&job, &stages);
    let lines: Vec<(String, String)> = bid
        .lines
        .iter()
        .filter(|line| line.text == "Lunch")
        .map(|line| (line.quantity.to_string(), line.amount.to_string()))
        .collect();
    let expected = [("2", "20.00"), ("4", "40.00"), ("6", "60.00")];
    let expected = expected.map(|(a, b)| (a.to_owned(), b.to_owned()));
    assert_eq!(lines, expected);
    let input = |id: &str, name: &str| {
        let inputs = &ledger.get(id).unwrap().inputs;
        let found = inputs.iter().find(|input| input.name == name);
        found.map(|input| input.value.clone())
    };
    let tissue = input("bid/L001", "needed in all");
    assert_eq!(tissue.as_deref(), Some("35 sheet, 0 sheet from the shelf"));
}

/// A hire of seven days is a week and no line of no days; who has no minutes at work has no line.
#[test]
fn nothing_is_charged_for_no_days_and_no_minutes() {
    let (mut job, mut stages) = small();
    job.terms.own_lines.clear();
    let last = at(date(2026, 12, 7), 8);
    stages.schedule.activities[1] = activity(1, 0, last, last, vec![2]);
    stages.schedule.activities[0].people = vec![0];
    let (bid, ..) = price(&job, &stages);
    let lines = bid.lines.iter();
    let lines = lines
        .filter(|line| [CostGroup::Equipment, CostGroup::Labour].contains(&line.group))
        .map(|line| format!("{} {} {}", line.text, line.quantity, line.amount));
    assert_eq!(
        lines.collect::<Vec<_>>(),
        ["conservator 3 186.00", "tower, hire by the week 1 140.00"]
    );
}

/// What is bought and not used up is not charged where the terms say so: 35 of 40 sheets are 0.875 of four packs at 11.35, 39.73 (39.725 up).
#[test]
fn materials_as_used_are_charged_by_share() {
    let (mut job, stages) = small();
    job.terms.materials = MaterialsAt::Used;
    let (bid, ..) = price(&job, &stages);
    let tissue = &bid.lines[0];
    assert_eq!(
        (tissue.quantity.to_string(), tissue.amount.to_string()),
        ("3.5".to_owned(), "39.73".to_owned())
    );
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
