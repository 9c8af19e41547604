//! `solvents.csv`.

use crate::diag::Problems;
use crate::input::Row;
use crate::input::Table;
use crate::units::Bound;

use crate::catalog::Catalog;
use crate::catalog::Solvent;

pub(super) const COLUMNS: &[&str] = &[
    "id",
    "name",
    "molar_mass",
    "density_20c",
    "antoine_a",
    "antoine_b",
    "antoine_c",
    "boiling_c",
    "flash_c",
    "lel_percent",
    "limit_ppm",
    "limit_source",
    "source",
];

const MOLAR_MASS: Bound = Bound {
    name: "molar mass",
    least: 1.0,
    most: 1_000.0,
    unit: "g/mol",
};
const DENSITY: Bound = Bound {
    name: "density",
    least: 0.3,
    most: 3.0,
    unit: "g/ml",
};
const ANTOINE: Bound = Bound {
    name: "an Antoine constant",
    least: -1_000.0,
    most: 10_000.0,
    unit: "",
};
const CELSIUS: Bound = Bound {
    name: "a boiling or flash point",
    least: -100.0,
    most: 500.0,
    unit: "°C",
};
const PERCENT: Bound = Bound {
    name: "lower explosive limit",
    least: 0.1,
    most: 30.0,
    unit: "%",
};
const PPM: Bound = Bound {
    name: "exposure limit",
    least: 0.001,
    most: 10_000.0,
    unit: "ppm",
};

/// Reads the rows; one of a known id replaces it.
pub(super) fn read(table: &Table, catalog: &mut Catalog, problems: &mut Problems) {
    for row in table.rows() {
        if let Some(solvent) = solvent(&row, problems) {
            catalog.solvents.insert(solvent.id.clone(), solvent);
        }
    }
}

fn solvent(row: &Row<'_>, problems: &mut Problems) -> Option<Solvent> {
    let id = row.field("id").required(problems).text(problems);
    let needed = |heading, bound, problems: &mut Problems| {
        row.field(heading)
            .required(problems)
            .number(bound, problems)
    };
    let molar_mass = needed("molar_mass", MOLAR_MASS, problems);
    let density = needed("density_20c", DENSITY, problems);
    let antoine =
        ["antoine_a", "antoine_b", "antoine_c"].map(|heading| needed(heading, ANTOINE, problems));
    let [a, b, c] = antoine;
    let id = id?;
    Some(Solvent {
        name: row
            .field("name")
            .text(problems)
            .unwrap_or_else(|| id.clone()),
        molar_mass: molar_mass?,
        density: density?,
        antoine: [a?, b?, c?],
        boiling_c: row.field("boiling_c").number(CELSIUS, problems),
        flash_c: row.field("flash_c").number(CELSIUS, problems),
        lower_explosive_percent: row.field("lel_percent").number(PERCENT, problems),
        limit_ppm: row.field("limit_ppm").number(PPM, problems),
        limit_source: row.field("limit_source").text(problems).unwrap_or_default(),
        source: row.field("source").text(problems).unwrap_or_default(),
        id,
    })
}
