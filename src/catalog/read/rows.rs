//! `rates.csv`, `strain.csv` and `layers.csv`.

use crate::diag::Problems;
use crate::input::Row;
use crate::input::Table;
use crate::units::Bound;
use crate::units::Length;
use crate::units::bound;

use crate::catalog::Catalog;
use crate::catalog::Cold;
use crate::catalog::Give;
use crate::catalog::LayerClass;
use crate::catalog::Per;
use crate::catalog::Rate;
use crate::catalog::Strain;

pub(super) const RATE_COLUMNS: &[&str] = &["id", "name", "minutes", "per", "source"];
pub(super) const STRAIN_COLUMNS: &[&str] = &[
    "give",
    "limit",
    "reserve",
    "floor",
    "turns",
    "cold_below",
    "cold_limit",
    "source",
];
pub(super) const LAYER_COLUMNS: &[&str] = &[
    "id",
    "thickness_mm",
    "modulus_mpa",
    "density_g_ml",
    "source",
];

const LIMIT: Bound = Bound {
    name: "strain limit",
    least: 0.0,
    most: 0.5,
    unit: "",
};
const RESERVE: Bound = Bound {
    name: "reserve factor",
    least: 1.0,
    most: 20.0,
    unit: "",
};
const TURNS: Bound = Bound {
    name: "turns on a drum",
    least: 0.25,
    most: 100.0,
    unit: "",
};
const LAYER_THICKNESS: Bound = Bound {
    name: "thickness of a layer",
    least: 0.001,
    most: 100.0,
    unit: "mm",
};
const DENSITY: Bound = Bound {
    name: "density",
    least: 0.005,
    most: 25.0,
    unit: "g/ml",
};
const FLOOR: Bound = Bound {
    name: "least diameter of common practice",
    least: 0.0,
    most: 20_000.0,
    unit: "mm",
};

/// Reads labour rates; one of a known id replaces it.
pub(super) fn read_rates(table: &Table, catalog: &mut Catalog, problems: &mut Problems) {
    for row in table.rows() {
        let id = row.field("id").required(problems).text(problems);
        let minutes = row
            .field("minutes")
            .required(problems)
            .number(bound::WORK, problems);
        let per = row
            .field("per")
            .required(problems)
            .choice(Per::ALL, Per::name, problems);
        let name = row.field("name").text(problems).unwrap_or_default();
        let source = row.field("source").text(problems).unwrap_or_default();
        let (Some(id), Some(minutes), Some(per)) = (id, minutes, per) else {
            continue;
        };
        catalog.rates.insert(
            id.clone(),
            Rate {
                id,
                name,
                minutes,
                per,
                source,
            },
        );
    }
}

/// Reads what bending each class takes; one of a known class replaces it.
pub(super) fn read_strains(table: &Table, catalog: &mut Catalog, problems: &mut Problems) {
    for row in table.rows() {
        let give = row
            .field("give")
            .required(problems)
            .choice(Give::ALL, Give::name, problems);
        let limit = row
            .field("limit")
            .required(problems)
            .number(LIMIT, problems);
        let strain = Strain {
            limit: limit.unwrap_or(0.0),
            reserve: row
                .field("reserve")
                .number(RESERVE, problems)
                .unwrap_or(1.0),
            floor: row
                .field("floor")
                .length(FLOOR, problems)
                .unwrap_or(Length::ZERO),
            turns: row.field("turns").number(TURNS, problems).unwrap_or(1.0),
            cold: cold(&row, problems),
            source: row.field("source").text(problems).unwrap_or_default(),
        };
        if let (Some(give), Some(_)) = (give, limit) {
            catalog.strains.insert(give, strain);
        }
    }
}

/// What the class takes in the cold; both columns or neither.
fn cold(row: &Row<'_>, problems: &mut Problems) -> Option<Cold> {
    let (below, limit) = (row.field("cold_below"), row.field("cold_limit"));
    if below.is_blank() && limit.is_blank() {
        return None;
    }
    let below = below
        .required(problems)
        .temperature(bound::TEMPERATURE, problems);
    let limit = limit.required(problems).number(LIMIT, problems);
    below.zip(limit).map(|(below, limit)| Cold { below, limit })
}

/// Reads the painting's own layers; one of a known id replaces it.
pub(super) fn read_layers(table: &Table, catalog: &mut Catalog, problems: &mut Problems) {
    for row in table.rows() {
        let id = row.field("id").required(problems).text(problems);
        let thickness = row
            .field("thickness_mm")
            .required(problems)
            .length(LAYER_THICKNESS, problems);
        let modulus = row
            .field("modulus_mpa")
            .required(problems)
            .number(bound::MODULUS, problems);
        let density = row
            .field("density_g_ml")
            .required(problems)
            .number(DENSITY, problems);
        let source = row.field("source").text(problems).unwrap_or_default();
        let (Some(id), Some(thickness), Some(modulus), Some(density)) =
            (id, thickness, modulus, density)
        else {
            continue;
        };
        catalog.layers.insert(
            id,
            LayerClass {
                thickness,
                modulus,
                density,
                source,
            },
        );
    }
}
