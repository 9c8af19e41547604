//! The catalogue and the recipes, joined from what is built in and what the job folder adds.

use std::collections::BTreeMap;

use crate::catalog;
use crate::catalog::Catalog;
use crate::diag::Place;
use crate::diag::Problems;
use crate::input::Section;
use crate::recipe;
use crate::recipe::Recipe;
use crate::units::LengthUnit;
use crate::units::NumberStyle;

/// How the built-in recipes are written.
const BUILT_IN_STYLE: NumberStyle = NumberStyle {
    unit: LengthUnit::Mm,
    decimal_comma: false,
};

/// The built-in catalogue with the rows of the job folder.
pub(super) fn catalog(
    root: &Section<'_>,
    files: &BTreeMap<String, Vec<u8>>,
    problems: &mut Problems,
) -> Catalog {
    let mut catalog = catalog::with_rows(catalog::built_in(), files, problems);
    if root.has("drum")
        && let Some(section) = root.field("drum").section(problems)
    {
        catalog::override_drum(&section, &mut catalog, problems);
    }
    if root.has("crate")
        && let Some(section) = root.field("crate").section(problems)
    {
        catalog::override_crate(&section, &mut catalog, problems);
    }
    catalog
}

/// The recipes there are: the job folder's, read, and the built-in ones, read when they are asked for.
pub(super) struct Book<'a> {
    catalog: &'a Catalog,
    /// Those of the job folder by id; none where a file could not be read.
    own: BTreeMap<String, Option<Recipe>>,
    /// File name and text of the built-in ones by id.
    built_in: BTreeMap<&'static str, (&'static str, &'static str)>,
}

/// Reads the recipes of the job folder; all of them are checked, used or not.
pub(super) fn recipes<'a>(
    files: &BTreeMap<String, Vec<u8>>,
    catalog: &'a Catalog,
    style: NumberStyle,
    problems: &mut Problems,
) -> Book<'a> {
    let mut own: BTreeMap<String, Option<Recipe>> = BTreeMap::new();
    let in_folder = |file: &&String| {
        file.strip_prefix("recipes/")
            .is_some_and(|name| !name.contains('/'))
    };
    for file in files.keys().filter(in_folder) {
        let Some(stem) = file
            .strip_prefix("recipes/")
            .and_then(|name| name.strip_suffix(".toml"))
        else {
            continue;
        };
        let Some(bytes) = files.get(file) else {
            continue;
        };
        let recipe = recipe::read(file, bytes, catalog, style, problems);
        let id = recipe
            .as_ref()
            .map_or(stem, |recipe| recipe.id.as_str())
            .to_owned();
        if own.get(&id).is_some_and(Option::is_some) && recipe.is_some() {
            let place = Place::File { file: file.clone() };
            problems.error(
                Some(place),
                format!("another file has a recipe `{id}` too"),
                "give one of them another `id`",
            );
            continue;
        }
        own.insert(id, recipe);
    }
    let built_in = recipe::built_in()
        .iter()
        .map(|(file, text)| (stem(file), (*file, *text)))
        .collect();
    Book {
        catalog,
        own,
        built_in,
    }
}

impl Book<'_> {
    /// The recipe of an id; the job folder's goes before a built-in one.
    pub(super) fn get(&self, id: &str, problems: &mut Problems) -> Option<Recipe> {
        if let Some(recipe) = self.own.get(id) {
            return recipe.clone();
        }
        let (file, text) = self.built_in.get(id)?;
        recipe::read(
            file,
            text.as_bytes(),
            self.catalog,
            BUILT_IN_STYLE,
            problems,
        )
    }

    /// Every recipe that can be read.
    pub(super) fn all(&self) -> BTreeMap<String, Recipe> {
        let ids = self.ids().into_iter();
        ids.filter_map(|id| Some((id.to_owned(), self.get(id, &mut Problems::new())?)))
            .collect()
    }

    /// Says whether there is a recipe of that id, readable or not.
    pub(super) fn is_known(&self, id: &str) -> bool {
        self.own.contains_key(id) || self.built_in.contains_key(id)
    }

    /// All ids.
    pub(super) fn ids(&self) -> Vec<&str> {
        let own = self.own.keys().map(String::as_str);
        own.chain(
            self.built_in
                .keys()
                .copied()
                .filter(|id| !self.own.contains_key(*id)),
        )
        .collect()
    }
}

/// The ids of the built-in recipes, sorted.
pub(crate) fn built_in_recipes() -> Vec<&'static str> {
    let mut ids: Vec<_> = recipe::built_in()
        .iter()
        .map(|(file, _)| stem(file))
        .collect();
    ids.sort_unstable();
    ids
}

fn stem(file: &'static str) -> &'static str {
    file.rsplit('/')
        .next()
        .unwrap_or(file)
        .trim_end_matches(".toml")
}
