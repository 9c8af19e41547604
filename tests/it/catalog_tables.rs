//! The built-in catalogue against published tables and common practice.

use facelay::catalog;
use facelay::catalog::Adhesive;
use facelay::catalog::Give;
use facelay::catalog::MaterialKind;
use facelay::catalog::Paint;
use facelay::catalog::Per;

/// Source: trade.md P-1 to P-5, computed with chemicals 1.5.2 (table of Poling et al., *The Properties of Gases and
/// Liquids*, 5th ed.), kPa at 10, 20 and 30 °C.
#[test]
fn vapour_pressures_are_those_of_the_property_library() {
    let catalog = catalog::built_in();
    let case = |id: &str, kilopascals: [f64; 3]| {
        let [a, b, c] = catalog.solvents[id].antoine;
        for (celsius, expected) in [10.0, 20.0, 30.0].into_iter().zip(kilopascals) {
            let found = libm::pow(10.0, a - b / (celsius + 273.15 + c)) / 1_000.0;
            assert!(
                (found / expected - 1.0).abs() < 1e-4,
                "{id} at {celsius}: {found} kPa, not {expected}"
            );
        }
    };
    case("acetone", [15.4958, 24.7124, 38.0106]);
    case("ethanol", [3.1285, 5.8613, 10.4652]);
    case("toluene", [1.6517, 2.9066, 4.8867]);
    case("butyl-acetate", [0.6724, 1.2453, 2.1992]);
    case("water", [1.2280, 2.3447, 4.2595]);
}

/// Source: IEC 60079-20-1:2010 as tabulated in chemicals 1.5.2 (flash point in °C, lower explosive limit in percent); OSHA,
/// NIOSH and ACGIH limits as gathered in trade.md 6, the strictest in ppm.
#[test]
fn fire_data_and_limits_are_the_published_ones() {
    let catalog = catalog::built_in();
    let case = |id: &str, flash: f64, lower: f64, limit: f64| {
        let solvent = &catalog.solvents[id];
        let found = (
            solvent.flash_c,
            solvent.lower_explosive_percent,
            solvent.limit_ppm,
        );
        assert_eq!(found, (Some(flash), Some(lower), Some(limit)), "{id}");
        assert!(!solvent.limit_source.is_empty(), "{id}");
    };
    case("toluene", 4.0, 1.0, 20.0);
    case("acetone", -20.0, 2.5, 250.0);
    case("ethanol", 12.0, 3.1, 1000.0);
    case("propanol-2", 12.0, 2.0, 200.0);
    case("ethyl-acetate", -4.0, 2.0, 400.0);
    case("butyl-acetate", 22.0, 1.2, 50.0);
    let water = &catalog.solvents["water"];
    assert_eq!(
        (
            water.flash_c,
            water.lower_explosive_percent,
            water.limit_ppm
        ),
        (None, None, None)
    );
}

/// NIOSH REL 350 mg/m³ as ppm at 25 °C (24.45 l/mol); source: NIOSH Pocket Guide, conversion as in its appendix.
#[test]
fn spirits_are_planned_to_the_limit_by_mass() {
    let catalog = catalog::built_in();
    for id in ["white-spirit", "light-naphtha"] {
        let solvent = &catalog.solvents[id];
        let ppm = 350.0 * 24.45 / solvent.molar_mass;
        assert!(
            (solvent.limit_ppm.unwrap() - ppm).abs() < 1.0,
            "{id}: {ppm} ppm"
        );
    }
}

/// Common practice: a brittle painting in lead white costs ten to thirty times an easy one to remove.
#[test]
fn removal_factors_run_from_one_to_thirty_and_rise_with_the_paint() {
    let catalog = catalog::built_in();
    let factor = |paint: Paint, adhesive: Adhesive| {
        let mut rows = catalog
            .multipliers
            .iter()
            .filter(|row| (row.paint, row.adhesive) == (paint, adhesive));
        let factor = rows.next().unwrap().factor;
        assert!(
            rows.next().is_none(),
            "{} and {} stand twice",
            paint.name(),
            adhesive.name()
        );
        factor
    };
    assert_eq!(
        catalog.multipliers.len(),
        Paint::ALL.len() * Adhesive::ALL.len()
    );
    assert_eq!(factor(Paint::Sound, Adhesive::Paste), 1.0);
    assert_eq!(factor(Paint::Powdering, Adhesive::OilLead), 30.0);
    for adhesive in Adhesive::ALL {
        let column: Vec<f64> = Paint::ALL
            .iter()
            .map(|paint| factor(*paint, *adhesive))
            .collect();
        assert!(column.is_sorted(), "{}: {column:?}", adhesive.name());
    }
    for paint in Paint::ALL {
        assert!(
            (10.0..=30.0).contains(&factor(*paint, Adhesive::OilLead)),
            "{}",
            paint.name()
        );
    }
}

/// Source: Mecklenburg, Tumosa and Erhardt, in *Painted Wood: History and Conservation*, GCI 1998, p. 545: yield strain
/// 0.004 of artists' materials, 0.0025 of brittle gesso.
#[test]
fn strain_limits_are_the_published_yields() {
    let catalog = catalog::built_in();
    assert_eq!(catalog.strains[&Give::Supple].limit, 0.004);
    assert_eq!(catalog.strains[&Give::Stiff].limit, 0.004);
    assert_eq!(catalog.strains[&Give::Brittle].limit, 0.0025);
    let floors: Vec<_> = [Give::Supple, Give::Stiff, Give::Brittle]
        .map(|give| catalog.strains[&give].floor)
        .to_vec();
    assert!(floors.is_sorted(), "{floors:?}");
}

/// Rolled murals with their residues weighed 2.0 and 3.9 kg/m² (trade.md: two cycloramas, weights and areas as
/// published); one bedded in lead white must come near them, one in paste below.
#[test]
fn a_painting_weighs_about_what_rolled_murals_weighed() {
    let catalog = catalog::built_in();
    let grams = |residue: &str| -> f64 {
        let layers = ["canvas", "size-ground", "paint", residue].map(|id| &catalog.layers[id]);
        layers
            .iter()
            .map(|layer| layer.thickness.to_mm() * layer.density * 1_000.0)
            .sum()
    };
    assert!(
        (2_000.0..=3_900.0).contains(&grams("residue-oil-lead")),
        "{} g/m2",
        grams("residue-oil-lead")
    );
    assert!(
        (900.0..2_000.0).contains(&grams("residue-paste")),
        "{} g/m2",
        grams("residue-paste")
    );
    for adhesive in Adhesive::ALL {
        assert!(
            catalog
                .layers
                .contains_key(&format!("residue-{}", adhesive.name())),
            "{}",
            adhesive.name()
        );
    }
}

/// 6 to 12 m² a person-day for one layer, from memory (trade.md 11), is 40 to 80 minutes a square metre in eight hours.
#[test]
fn facing_rates_lie_in_the_range_remembered() {
    let catalog = catalog::built_in();
    let facing: Vec<_> = catalog
        .rates
        .values()
        .filter(|rate| rate.id.starts_with("facing-") && rate.per == Per::M2)
        .collect();
    assert!(facing.len() >= 3);
    for rate in facing.iter().filter(|rate| {
        ["facing-tissue", "facing-paper", "facing-fabric"].contains(&rate.id.as_str())
    }) {
        assert!(
            (40.0..=80.0).contains(&rate.minutes),
            "{}: {} minutes",
            rate.id,
            rate.minutes
        );
    }
}

/// Source of the paper tubes' modulus and strength: bending tests of a 100 × 12.5 mm paper tube, 1.86 × 10⁴ and
/// 103.2 kgf/cm² (trade.md 5), in megapascals at 9.80665 newtons a kilogram-force.
#[test]
fn paper_tubes_are_as_stiff_as_the_tested_one() {
    let catalog = catalog::built_in();
    let tubes = catalog
        .materials
        .values()
        .filter(|material| material.kind == MaterialKind::Tube);
    let paper: Vec<_> = tubes
        .filter(|tube| tube.name.starts_with("Paper"))
        .collect();
    assert!(paper.len() >= 20);
    for tube in &paper {
        assert!(
            (tube.modulus.unwrap() / (1.86e4 * 0.098_066_5) - 1.0).abs() < 0.01,
            "{}",
            tube.id
        );
        assert!(
            (tube.strength.unwrap() / (103.2 * 0.098_066_5) - 1.0).abs() < 0.01,
            "{}",
            tube.id
        );
    }
    let diameters = || paper.iter().map(|tube| tube.diameter.unwrap().to_mm());
    assert!(
        diameters().fold(f64::MAX, f64::min) <= 150.0 && diameters().fold(0.0, f64::max) >= 1_200.0
    );
}
