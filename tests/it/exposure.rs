//! Vapour, drying and storage of small jobs, with check values from ventilation handbooks.
#![allow(clippy::unwrap_used, clippy::float_cmp, reason = "a failing test may stop where it fails")]

use facelay::catalog::Hazard;
use facelay::catalog::MaterialKind;
use facelay::diag::Ledger;
use facelay::diag::Problems;
use facelay::exposure::Exposure;
use facelay::exposure::MIXING;
use facelay::job::Job;
use facelay::recipe::Solution;
use facelay::recipe::steps::StepKind;
use facelay::takeoff::Part;
use facelay::takeoff::SolutionNeed;
use facelay::units::Mass;
use facelay::units::Temperature;
use facelay::units::Volume;
use proptest::prelude::*;

use crate::small_job::*;

/// One coat of a solution in toluene or water, so many grams of solvent a panel.
fn coat(solvent: &str, grams: &[f64]) -> (Job, Stages) {
    let solution = Solution {
        id: "facing".to_owned(),
        name: "Facing".to_owned(),
        resin: None,
        concentration: None,
        solvents: vec![(solvent.to_owned(), 1.0)],
        pot_life_minutes: None,
        largest_batch: None,
    };
    let mut coat = step("coat", StepKind::Coat);
    coat.solution = Some("facing".to_owned());
    coat.spread = Some(150.0);
    coat.drying_minutes = 480;
    coat.cures_minutes = 1440;
    let mut job = job(vec![coat], vec![solution]);
    let mut liquid = material(solvent, MaterialKind::Liquid);
    liquid.solvent = Some(solvent.to_owned());
    liquid.hazard = if solvent == "water" { Hazard::None } else { Hazard::FlammableToxic };
    job.catalog.materials.insert(solvent.to_owned(), liquid);
    let mut stages = Stages::default();
    for (panel, grams) in grams.iter().enumerate() {
        add_panel(&mut job, &mut stages.survey, &format!("N{panel}"));
        let mass = Mass::g(*grams);
        let part = Part { material: solvent.to_owned(), mass, volume: Some(Volume::ml(grams / 0.8669)) };
        stages.takeoff.solutions.push(SolutionNeed {
            panel,
            step: 0,
            solution: "facing".to_owned(),
            mass,
            parts: vec![part],
        });
    }
    (job, stages)
}

fn expose(job: &Job, stages: &Stages) -> (Exposure, Vec<String>, Ledger) {
    let (mut ledger, mut problems) = (Ledger::new(), Problems::new());
    let exposure = facelay::exposure::expose(job, &stages.survey, &stages.takeoff, &mut ledger, &mut problems);
    (exposure, texts(&problems), ledger)
}

/// trade.md 7, V-11 (computed there): 0.3 kg of toluene takes 11,748.4 m³ at 20 ppm with a mixing factor of 3, and
/// 28.481 m³ at a quarter of the lower explosive limit.
#[test]
fn a_coat_of_toluene_takes_as_much_air_as_the_handbook_says() {
    let (job, stages) = coat("toluene", &[300.0]);
    let (exposure, _, _) = expose(&job, &stages);
    let vapour = &exposure.vapours[0];
    assert_eq!((vapour.panel, vapour.step, vapour.place), (0, 0, 0));
    assert_eq!(vapour.solvents, [("toluene".to_owned(), Mass::g(300.0))]);
    assert!((vapour.health_air_m3 / 11_748.4 - 1.0).abs() < 1e-4, "{}", vapour.health_air_m3);
    assert!((vapour.fire_air_m3 / 28.481 - 1.0).abs() < 1e-4, "{}", vapour.fire_air_m3);
    assert_eq!(MIXING, 3.0);
}

#[test]
fn a_step_beyond_a_days_air_is_a_warning_with_choices_and_never_a_bare_safe() {
    let (mut job, stages) = coat("toluene", &[300.0, 900.0, 20.0]);
    job.places[0].fresh_air_m3_h = Some(500.0);
    job.places[0].room_m3 = Some(900.0);
    let (exposure, texts, ledger) = expose(&job, &stages);
    let air = &exposure.air[0];
    assert_eq!((air.day_m3, air.least_limit_ppm, air.needs_extraction), (Some(4_000.0), Some(20.0), true));
    let low = &texts[0];
    assert!(
        low.starts_with(
            "warning: the least exposure limit at `hall` is 20 ppm: general ventilation is normally not enough"
        ),
        "{low}"
    );
    assert!(
        low.contains("local extraction") && low.contains("respirators") && low.contains("after 8 h at the latest"),
        "{low}"
    );
    let over = &texts[1];
    assert!(
        over.starts_with(
            "warning: step `step coat` on panel `N1` (and 1 panel like it) gives off more vapour than the air of a working day at `hall` takes up: \
             35245 m³ against 4000 m³"
        ),
        "{over}"
    );
    for choice in [
        "local extraction",
        "respirators",
        "at least 4406 m³",
        "at most 11 % of it a day",
        "recipe",
        "the limit is reached after about",
    ] {
        assert!(over.contains(choice), "{choice}: {over}");
    }
    assert!(texts.iter().all(|text| !text.contains("safe") && text.ends_with("these are estimates")), "{texts:?}");
    assert_eq!(ledger.get("air/hall").unwrap().result, "4000 m³ a day");
}

#[test]
fn vapour_without_known_air_is_said_so() {
    let (job, stages) = coat("toluene", &[300.0]);
    let (exposure, texts, _) = expose(&job, &stages);
    assert_eq!(exposure.air[0].day_m3, None);
    assert!(texts[1].contains("does not say how much fresh air it has"), "{texts:?}");
}

#[test]
fn the_shortest_working_day_sets_the_days_air() {
    let (mut job, stages) = coat("toluene", &[1.0]);
    job.places[0].hours[5] = vec![(480, 720)];
    job.places[0].fresh_air_m3_h = Some(500.0);
    assert_eq!(expose(&job, &stages).0.air[0].day_m3, Some(2_000.0));
}

#[test]
fn water_gives_off_nothing_that_harms() {
    let (job, stages) = coat("water", &[5_000.0]);
    let (exposure, texts, _) = expose(&job, &stages);
    assert!(exposure.vapours.is_empty() && texts.is_empty(), "{texts:?}");
    assert!(!exposure.air[0].needs_extraction);
}

#[test]
fn liquids_used_in_cleaning_evaporate_too() {
    let (job, mut stages) = coat("toluene", &[]);
    let (mut job, survey) = (job, &mut stages.survey);
    add_panel(&mut job, survey, "N1");
    let mut used = need("toluene", 100.0);
    (used.panel, used.step) = (Some(0), Some(0));
    stages.takeoff.needs.push(used);
    let (exposure, _, _) = expose(&job, &stages);
    assert!((exposure.vapours[0].solvents[0].1.to_g() - 86.69).abs() < 1e-9);
}

/// A recipe's drying is a practical time at 20 °C and 50 %: there it stays as written. Ratios of the pressures in
/// trade.md 6, P-3 and P-5.
#[test]
fn drying_follows_the_climate_and_the_place() {
    fn case(solvent: &str, celsius: f64, humidity: f64, place: f64, expected: (u32, u32)) {
        let (mut job, stages) = coat(solvent, &[]);
        job.places[0].temperature = Temperature::celsius(celsius);
        job.places[0].humidity = humidity;
        job.places[0].drying_factor = place;
        let (exposure, _, ledger) = expose(&job, &stages);
        let drying = &exposure.drying[0];
        assert_eq!(
            (drying.dry_minutes, drying.cures_minutes),
            expected,
            "{solvent} at {celsius} °C, {humidity} %: {}",
            drying.factor
        );
        assert!(ledger.get("drying/plain/coat").is_some());
    }
    case("toluene", 20.0, 50.0, 1.0, (480, 1440));
    case("toluene", 20.0, 95.0, 1.0, (480, 1440));
    case("toluene", 10.0, 50.0, 1.0, (845, 2535));
    case("toluene", 30.0, 50.0, 1.0, (286, 857));
    case("water", 20.0, 75.0, 1.0, (960, 2880));
    case("water", 10.0, 50.0, 1.0, (917, 2750));
    case("water", 20.0, 50.0, 2.5, (1200, 3600));
}

#[test]
fn drying_faster_than_an_open_film_is_doubted() {
    let (mut job, stages) = coat("toluene", &[300.0]);
    job.recipes.get_mut("plain").unwrap().steps[0].drying_minutes = 10;
    let (_, texts, _) = expose(&job, &stages);
    let doubt = texts.last().unwrap();
    assert!(
        doubt.starts_with(
            "warning: step `step coat` of recipe `plain` dries 10 min, but its toluene alone takes about 17 min"
        ),
        "{doubt}"
    );
}

#[test]
fn flammable_liquid_beyond_the_limit_must_be_staged() {
    let (mut job, stages) = coat("toluene", &[9_000.0, 9_000.0]);
    job.places[0].flammable_limit = Some(Volume::ml(20_000.0));
    let (exposure, texts, _) = expose(&job, &stages);
    assert!(
        texts.iter().any(|text| text.contains("about 20.8 l of flammable liquid at `hall`") && text.contains("staged")),
        "{texts:?}"
    );
    assert_eq!(exposure.air[0].flammable_limit, Some(Volume::ml(20_000.0)));
}

proptest! {
    #[test]
    fn warmer_or_drier_never_dries_slower(
        solvent in prop::sample::select(vec!["toluene", "water"]), celsius in 1.0..40.0_f64, warmer in 0.0..5.0_f64, humidity in 0.0..99.0_f64,
        drier in 0.0..50.0_f64
    ) {
        let minutes = |celsius: f64, humidity: f64| {
            let (mut job, stages) = coat(solvent, &[]);
            job.places[0].temperature = Temperature::celsius(celsius);
            job.places[0].humidity = humidity;
            expose(&job, &stages).0.drying[0].dry_minutes
        };
        let before = minutes(celsius, humidity);
        prop_assert!(minutes(celsius + warmer, humidity) <= before);
        prop_assert!(minutes(celsius, (humidity - drier).max(0.0)) <= before);
    }

    #[test]
    fn air_grows_with_the_solvent_and_adds_up(grams in prop::collection::vec(1.0..5_000.0_f64, 1..5)) {
        let (job, stages) = coat("toluene", &grams);
        let (exposure, _, _) = expose(&job, &stages);
        let together: f64 = exposure.vapours.iter().map(|vapour| vapour.health_air_m3).sum();
        let (job, stages) = coat("toluene", &[grams.iter().sum()]);
        let whole = expose(&job, &stages).0.vapours[0].health_air_m3;
        prop_assert!((together / whole - 1.0).abs() < 1e-9);
    }
}
