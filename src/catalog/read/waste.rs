//! `waste.csv`: what leaves the job as contaminated waste.

use crate::diag::Problems;
use crate::diag::nearest;
use crate::input::Table;
use crate::units::Bound;

use crate::catalog::Catalog;
use crate::catalog::WasteClass;
use crate::catalog::WasteWhen;

pub(super) const COLUMNS: &[&str] = &["material", "grams", "when", "source"];

const GRAMS: Bound = Bound {
    name: "the mass of a used one",
    least: 0.0,
    most: 1_000_000.0,
    unit: "g",
};

/// Reads what is thrown away; a row of a known material replaces it.
pub(super) fn read(table: &Table, catalog: &mut Catalog, problems: &mut Problems) {
    for row in table.rows() {
        let field = row.field("material").required(problems);
        let material = field.text(problems);
        let grams = row
            .field("grams")
            .required(problems)
            .number(GRAMS, problems);
        let when =
            row.field("when")
                .required(problems)
                .choice(WasteWhen::ALL, WasteWhen::name, problems);
        let (Some(material), Some(grams), Some(when)) = (material, grams, when) else {
            continue;
        };
        if !catalog.materials.contains_key(&material) {
            let help = match nearest(&material, catalog.materials.keys().map(String::as_str)) {
                Some(near) => format!("write `{near}` if that is meant"),
                None => "write a material's id, or add it to catalogs/materials.csv".to_owned(),
            };
            field.problem(
                format!("`{material}` is not in the catalogue"),
                help,
                problems,
            );
            continue;
        }
        let source = row.field("source").text(problems).unwrap_or_default();
        catalog.waste.insert(
            material,
            WasteClass {
                grams,
                when,
                source,
            },
        );
    }
}
