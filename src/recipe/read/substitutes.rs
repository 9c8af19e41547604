//! The `[substitutes]` table of a recipe: what may be bought instead of a material.

use std::collections::BTreeMap;

use crate::catalog::Catalog;
use crate::catalog::Material;
use crate::diag::Problems;
use crate::diag::nearest;
use crate::input::Field;
use crate::input::Section;

/// Reads which materials may stand in for which; one that could not is a problem, since layers are cut and solutions are
/// mixed for the first.
pub(super) fn read(
    root: &Section<'_>,
    catalog: &Catalog,
    problems: &mut Problems,
) -> BTreeMap<String, Vec<String>> {
    let mut all = BTreeMap::new();
    let Some(table) = root.field("substitutes").section(problems) else {
        return all;
    };
    for field in table.entries() {
        let Some(first) = known(field.name(), &field, catalog, problems) else {
            continue;
        };
        let mut allowed = Vec::new();
        for entry in field.list(problems) {
            let Some(id) = entry.text(problems) else {
                continue;
            };
            let Some(other) = known(&id, &entry, catalog, problems) else {
                continue;
            };
            match first.differs_from(other) {
                Some(how) => entry.problem(
                    format!("`{id}` cannot stand in for `{}`: {how}", first.id),
                    "leave it out, or write a step for it",
                    problems,
                ),
                None => allowed.push(id),
            }
        }
        all.insert(first.id.clone(), allowed);
    }
    all
}

fn known<'a>(
    id: &str,
    field: &Field<'_>,
    catalog: &'a Catalog,
    problems: &mut Problems,
) -> Option<&'a Material> {
    let found = catalog.materials.get(id);
    if found.is_none() {
        let help = match nearest(id, catalog.materials.keys().map(String::as_str)) {
            Some(near) => format!("write `{near}` if that is meant"),
            None => "write a material's id, or add it to catalogs/materials.csv".to_owned(),
        };
        field.problem(format!("`{id}` is not in the catalogue"), help, problems);
    }
    found
}
