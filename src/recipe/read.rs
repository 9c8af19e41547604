//! Recipes from TOML: the built-in ones, and a job folder's own.

mod after;
mod solution;
mod steps;
mod substitutes;
mod unlikely;

use crate::catalog::Catalog;
use crate::diag::Problems;
use crate::input::Document;
use crate::units::LengthUnit;
use crate::units::NumberStyle;

use super::Recipe;

/// The compiled-in recipes: file name and text.
pub fn built_in() -> &'static [(&'static str, &'static str)] {
    BUILT_IN
}

const BUILT_IN: &[(&str, &str)] = &[
    (
        "recipes/supple-paste.toml",
        include_str!("../../catalogs/recipes/supple-paste.toml"),
    ),
    (
        "recipes/stiff-glue.toml",
        include_str!("../../catalogs/recipes/stiff-glue.toml"),
    ),
    (
        "recipes/brittle-lead.toml",
        include_str!("../../catalogs/recipes/brittle-lead.toml"),
    ),
    (
        "recipes/water-based.toml",
        include_str!("../../catalogs/recipes/water-based.toml"),
    ),
    (
        "recipes/flat-support.toml",
        include_str!("../../catalogs/recipes/flat-support.toml"),
    ),
    (
        "recipes/remount.toml",
        include_str!("../../catalogs/recipes/remount.toml"),
    ),
];

/// Reads one recipe; what is wrong is said with its line. None if there is an error.
///
/// A recipe's bare lengths are millimetres, whatever the job's unit, so that a recipe means the same in every job.
pub fn read(
    file: &str,
    bytes: &[u8],
    catalog: &Catalog,
    style: NumberStyle,
    problems: &mut Problems,
) -> Option<Recipe> {
    let style = NumberStyle {
        unit: LengthUnit::Mm,
        ..style
    };
    let mut found = Problems::new();
    let recipe = Document::read(file, bytes, style, &mut found)
        .and_then(|document| recipe(&document, catalog, &mut found));
    let sound = !found.has_errors();
    problems.extend(found);
    recipe.filter(|_| sound)
}

fn recipe(document: &Document, catalog: &Catalog, problems: &mut Problems) -> Option<Recipe> {
    let root = document.root();
    root.known(
        &["id", "name", "about", "substitutes", "solution", "step"],
        problems,
    );
    let id = root.field("id").required(problems).text(problems);
    let solutions: Vec<_> = root
        .field("solution")
        .sections(problems)
        .iter()
        .filter_map(|section| solution::read(section, catalog, problems))
        .collect();
    let steps: Vec<_> = root
        .field("step")
        .required(problems)
        .sections(problems)
        .iter()
        .filter_map(|section| steps::read(section, &solutions, catalog, problems))
        .collect();
    doubled(document, problems);
    after::check(document, problems);
    let id = id?;
    Some(Recipe {
        name: root
            .field("name")
            .text(problems)
            .unwrap_or_else(|| id.clone()),
        about: root.field("about").text(problems).unwrap_or_default(),
        id,
        substitutes: substitutes::read(&root, catalog, problems),
        solutions,
        steps,
    })
}

/// Ids name their step or solution in every output, so each may stand once.
fn doubled(document: &Document, problems: &mut Problems) {
    for key in ["solution", "step"] {
        let mut seen: Vec<String> = Vec::new();
        let sections = document.root().field(key).sections(&mut Problems::new());
        for section in sections {
            let field = section.field("id");
            let Some(id) = field.text(&mut Problems::new()) else {
                continue;
            };
            if seen.contains(&id) {
                field.problem(
                    format!("the id `{id}` names two {key}s"),
                    "give one of them another id",
                    problems,
                );
            }
            seen.push(id);
        }
    }
}
