//! The built-in recipes: they load, their steps stand in a workable order, and slips in a studio's own are told.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use facelay::catalog;
use facelay::diag::Problems;
use facelay::recipe;
use facelay::recipe::Recipe;
use facelay::recipe::steps::StepKind;
use facelay::units::LengthUnit;
use facelay::units::NumberStyle;

const STYLE: NumberStyle = NumberStyle {
    unit: LengthUnit::Mm,
    decimal_comma: false,
};

fn all() -> Vec<Recipe> {
    let catalog = catalog::built_in();
    let mut problems = Problems::new();
    let read = |(file, text): &(&str, &str)| {
        recipe::read(file, text.as_bytes(), &catalog, STYLE, &mut problems)
    };
    let recipes: Vec<Recipe> = recipe::built_in().iter().filter_map(read).collect();
    assert!(problems.is_empty(), "{problems:#?}");
    recipes
}

/// Reads a recipe of one solution and the given steps; returns what was said.
fn said(solution: &str, steps: &str) -> String {
    let text = format!(
        "id = \"own\"\n[[solution]]\nid = \"mix\"\nresin = \"acrylic-copolymer\"\nsolvents = {{ toluene = 1 }}\n{solution}\n{steps}"
    );
    let mut problems = Problems::new();
    drop(recipe::read(
        "recipes/own.toml",
        text.as_bytes(),
        &catalog::built_in(),
        STYLE,
        &mut problems,
    ));
    let line = |problem: &facelay::diag::Problem| {
        format!(
            "{}: {} {}",
            problem.place.as_ref().unwrap(),
            problem.text,
            problem.help.join(" ")
        )
    };
    problems.iter().map(line).collect::<Vec<_>>().join("\n")
}

const SOUND: &str = "concentration = \"10 % w/v\"";

#[test]
fn every_file_of_the_folder_is_built_in_and_loads() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalogs/recipes");
    let files: BTreeSet<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| {
            entry
                .unwrap()
                .path()
                .file_stem()
                .unwrap()
                .to_str()
                .unwrap()
                .to_owned()
        })
        .collect();
    let ids: BTreeSet<String> = all().into_iter().map(|recipe| recipe.id).collect();
    assert_eq!(ids, files);
    assert!(ids.len() >= 5);
}

#[test]
fn the_facing_comes_before_the_release_and_the_crate_after_the_drum() {
    for recipe in all() {
        let at = |kind| recipe.steps.iter().position(|step| step.kind == kind);
        let last_layer = recipe
            .steps
            .iter()
            .rposition(|step| step.kind == StepKind::Layer);
        let Some(release) = at(StepKind::Release) else {
            continue;
        };
        assert!(
            at(StepKind::Marks) < last_layer && last_layer < Some(release),
            "{}",
            recipe.id
        );
        let (roll, reverse) = (at(StepKind::Roll), at(StepKind::Reverse).unwrap());
        assert!(
            roll.is_none_or(|roll| release < roll && Some(roll) < at(StepKind::Crate)),
            "{}",
            recipe.id
        );
        assert!(release < reverse, "{}", recipe.id);
        // Softened paste hardens again, and damp canvas moulds: the reverse may not wait.
        assert!(
            recipe.steps[reverse].within_minutes.is_some(),
            "{}",
            recipe.id
        );
    }
}

/// Common practice: cushion layer first and the heaviest last, each reaching past the one before; fabric overlaps more.
#[test]
fn layers_grow_outwards() {
    let catalog = catalog::built_in();
    for recipe in all() {
        let layers: Vec<_> = recipe
            .steps
            .iter()
            .filter(|step| step.kind == StepKind::Layer)
            .collect();
        for pair in layers.windows(2) {
            assert!(
                pair[0].margin <= pair[1].margin && pair[0].overlap <= pair[1].overlap,
                "{}: {}",
                recipe.id,
                pair[1].id
            );
            assert!(
                pair[1].seam_distance.is_positive(),
                "{}: {}",
                recipe.id,
                pair[1].id
            );
        }
        let Some(first) = layers.first() else {
            continue;
        };
        let cushion = catalog.materials[first.material.as_ref().unwrap()]
            .grams_per_m2
            .unwrap();
        assert!(
            (5.0..=25.0).contains(&cushion),
            "{}: a cushion of {cushion} g/m2",
            recipe.id
        );
    }
}

/// Defaults from memory (trade.md 1.3): overlaps of 10 to 50 mm, 100 to 300 g/m² of wet solution, resin 5 to 15 % w/v.
#[test]
fn layers_take_plausible_amounts() {
    for recipe in all() {
        for step in recipe
            .steps
            .iter()
            .filter(|step| step.kind == StepKind::Layer)
        {
            let (spread, overlap) = (step.spread.unwrap(), step.overlap.to_mm());
            assert!(
                (100.0..=300.0).contains(&spread),
                "{}: {}, {spread} g/m2",
                recipe.id,
                step.id
            );
            assert!(
                (10.0..=50.0).contains(&overlap),
                "{}: {}, {overlap} mm",
                recipe.id,
                step.id
            );
            assert!(
                step.cures_minutes >= step.drying_minutes && step.drying_minutes > 0,
                "{}: {}",
                recipe.id,
                step.id
            );
        }
    }
}

/// A pair of cartridges lasts a shift at ordinary work under 200 ppm (OSHA eTool's rule of thumb), so a person takes
/// one a day; a recipe that wants more has counted single cartridges.
#[test]
fn what_a_person_uses_in_a_day_is_plausible() {
    for recipe in all() {
        for (step, used) in recipe
            .steps
            .iter()
            .flat_map(|step| step.uses.iter().map(move |used| (step, used)))
        {
            let most = match used.material.as_str() {
                "cartridge-vapour" | "cartridge-particle" => 1.0,
                "suit" | "mask-particle" | "overshoes" => 2.0,
                "gloves-nitrile" => 10.0,
                _ => continue,
            };
            assert!(
                used.rate <= most,
                "{}: {}, {} {} a {}",
                recipe.id,
                step.id,
                used.rate,
                used.material,
                used.per.name()
            );
        }
    }
}

/// Only these words name skills, so that a job's people fit every built-in recipe.
#[test]
fn skills_keep_to_four_words() {
    let known = ["conservator", "assistant", "rigger", "carpenter"];
    for recipe in all() {
        for step in &recipe.steps {
            assert!(
                known.contains(&step.skill.as_str()),
                "{}: {}",
                recipe.id,
                step.skill
            );
            assert!(
                step.crew.0 >= 1 && step.crew.0 <= step.crew.1,
                "{}: {}",
                recipe.id,
                step.id
            );
        }
    }
}

/// Work in lead white is planned with particle filters, suits and a drum for the waste (29 CFR 1926.62 assumes manual
/// scraping to exceed the limit until it is measured).
#[test]
fn lead_white_is_not_touched_without_protection() {
    let recipe = all()
        .into_iter()
        .find(|recipe| recipe.id == "brittle-lead")
        .unwrap();
    for step in recipe
        .steps
        .iter()
        .filter(|step| matches!(step.kind, StepKind::Release | StepKind::Reverse))
    {
        for needed in ["cartridge-particle", "suit", "gloves-nitrile", "waste-drum"] {
            assert!(
                step.uses.iter().any(|used| used.material == needed),
                "{} takes no {needed}",
                step.id
            );
        }
    }
}

/// Source: trade.md F-7 to F-9, computed for a resin of 1.15 g/ml in toluene of 0.8669 g/ml: 10 % w/v is 100 g in a litre,
/// 10 % w/w 88.9 g, 10 g in 100 ml of solvent 92.0 g.
#[test]
fn a_bare_percentage_shows_its_readings() {
    let said = said("concentration = \"10 %\"", "");
    for reading in [
        "89 g",
        "100 g",
        "92 g",
        "115 g",
        "w/w",
        "w/v",
        "g/100 ml solvent",
        "v/v",
    ] {
        assert!(said.contains(reading), "no `{reading}` in {said}");
    }
}

#[test]
fn each_slip_is_told_with_its_line() {
    fn case(steps: &str, words: &[&str]) {
        let said = said(SOUND, steps);
        for word in words {
            assert!(said.contains(word), "no `{word}` for {steps}: {said}");
        }
    }
    let step = |rest: &str| {
        format!(
            "[[step]]\nid = \"s\"\nskill = \"conservator\"\nwork = [{{ minutes = 5, per = \"m2\" }}]\n{rest}"
        )
    };
    case(&step("kind = \"layer\""), &["material"]);
    case(
        &step("kind = \"layer\"\nmaterial = \"tissue-13\""),
        &["line 12", "tissue-13", "tissue-12"],
    );
    case(
        &step("kind = \"coat\"\nspread = \"100 g/m2\""),
        &["solution"],
    );
    case(
        &step("kind = \"coat\"\nspread = \"100 g/m2\"\nsolution = \"mixx\""),
        &["mixx", "`mix`"],
    );
    case(&step("kind = \"roll\"\noverlap = 10"), &["roll", "overlap"]);
    case(&step("kind = \"roll\"\ncrew = [3, 1]"), &["crew", "3"]);
    case(&step("kind = \"rol\""), &["rol", "roll"]);
    case(
        &step("kind = \"marks\"\ndrying = \"8 h\"\ncures = \"4 h\""),
        &["cures", "drying"],
    );
    case(
        &step("kind = \"marks\"\ncurse = \"4 h\""),
        &["curse", "cures"],
    );
    case(
        "[[step]]\nid = \"s\"\nskill = \"conservator\"\nkind = \"marks\"\nwork = [\"marks-edg\"]",
        &["marks-edg", "marks-edge"],
    );
    case(
        "[[step]]\nid = \"s\"\nskill = \"conservator\"\nkind = \"marks\"",
        &["work"],
    );
}
