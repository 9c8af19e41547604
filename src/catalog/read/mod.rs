//! Catalogue rows from `catalogs/*.csv`: the built-in ones, and a job folder's own that replace or add by id.

mod kits;
mod materials;
mod offers;
mod removal;
mod rows;
mod solvents;
mod unlikely;
mod waste;

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::diag::Place;
use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::input::Table;
use crate::input::tables;
use crate::units::LengthUnit;
use crate::units::NumberStyle;

use super::Catalog;

pub use kits::drum as override_drum;
pub(crate) use kits::material;
pub use kits::packing as override_crate;
pub(crate) use kits::uses;

/// Bare lengths in catalogues are millimetres, whatever the job's unit.
const STYLE: NumberStyle = NumberStyle {
    unit: LengthUnit::Mm,
    decimal_comma: false,
};

/// The compiled-in files.
const BUILT_IN: &[(&str, &str)] = &[
    (
        "catalogs/solvents.csv",
        include_str!("../../../catalogs/solvents.csv"),
    ),
    (
        "catalogs/materials.csv",
        include_str!("../../../catalogs/materials.csv"),
    ),
    (
        "catalogs/suppliers.csv",
        include_str!("../../../catalogs/suppliers.csv"),
    ),
    (
        "catalogs/offers.csv",
        include_str!("../../../catalogs/offers.csv"),
    ),
    (
        "catalogs/rates.csv",
        include_str!("../../../catalogs/rates.csv"),
    ),
    (
        "catalogs/removal.csv",
        include_str!("../../../catalogs/removal.csv"),
    ),
    (
        "catalogs/strain.csv",
        include_str!("../../../catalogs/strain.csv"),
    ),
    (
        "catalogs/layers.csv",
        include_str!("../../../catalogs/layers.csv"),
    ),
    (
        "catalogs/waste.csv",
        include_str!("../../../catalogs/waste.csv"),
    ),
    (
        "catalogs/drum.toml",
        include_str!("../../../catalogs/drum.toml"),
    ),
    (
        "catalogs/crate.toml",
        include_str!("../../../catalogs/crate.toml"),
    ),
];

/// A file of a catalogue: its name, and what reads its rows into the catalogue.
struct Kind {
    file: &'static str,
    known: &'static [&'static str],
    required: &'static [&'static str],
    /// The columns that no two rows may have alike; none where the reader itself looks.
    unique: &'static [&'static str],
    read: fn(&Table, &mut Catalog, &mut Problems),
}

/// The tables, each after those that it refers to.
const KINDS: &[Kind] = &[
    Kind {
        file: "solvents.csv",
        known: solvents::COLUMNS,
        required: &[
            "id",
            "molar_mass",
            "density_20c",
            "antoine_a",
            "antoine_b",
            "antoine_c",
        ],
        unique: &["id"],
        read: solvents::read,
    },
    Kind {
        file: "materials.csv",
        known: materials::COLUMNS,
        required: &["id", "kind"],
        unique: &[],
        read: materials::read,
    },
    Kind {
        file: "suppliers.csv",
        known: offers::SUPPLIER_COLUMNS,
        required: &["id"],
        unique: &["id"],
        read: offers::read_suppliers,
    },
    Kind {
        file: "offers.csv",
        known: offers::COLUMNS,
        required: &["material", "supplier", "pack", "price"],
        unique: &[],
        read: offers::read,
    },
    Kind {
        file: "rates.csv",
        known: rows::RATE_COLUMNS,
        required: &["id", "minutes", "per"],
        unique: &["id"],
        read: rows::read_rates,
    },
    Kind {
        file: "removal.csv",
        known: removal::COLUMNS,
        required: &["paint", "adhesive", "factor"],
        unique: &["paint", "adhesive"],
        read: removal::read,
    },
    Kind {
        file: "strain.csv",
        known: rows::STRAIN_COLUMNS,
        required: &["give", "limit"],
        unique: &["give"],
        read: rows::read_strains,
    },
    Kind {
        file: "layers.csv",
        known: rows::LAYER_COLUMNS,
        required: &["id", "thickness_mm", "modulus_mpa", "density_g_ml"],
        unique: &["id"],
        read: rows::read_layers,
    },
    Kind {
        file: "waste.csv",
        known: waste::COLUMNS,
        required: &["material", "grams", "when"],
        unique: &["material"],
        read: waste::read,
    },
];

/// The compiled-in catalogue.
pub fn built_in() -> Catalog {
    let files = BUILT_IN
        .iter()
        .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
        .collect();
    // That these rows have no problem is a test's business; a reader could do nothing about one.
    with_rows(Catalog::default(), &files, &mut Problems::new())
}

/// A catalogue with the rows of files named `catalogs/…` put over it; other files are passed over.
pub fn with_rows(
    base: Catalog,
    files: &BTreeMap<String, Vec<u8>>,
    problems: &mut Problems,
) -> Catalog {
    let mut catalog = base;
    for kind in KINDS {
        let name = format!("catalogs/{}", kind.file);
        let Some(bytes) = files.get(&name) else {
            continue;
        };
        for table in tables(&name, bytes, STYLE, problems) {
            if table.check_headings(kind.known, kind.required, problems) {
                check_unique(&table, kind.unique, problems);
                (kind.read)(&table, &mut catalog, problems);
            }
        }
    }
    kits::read(files, &mut catalog, problems);
    unknown_files(files, problems);
    catalog
}

/// Two rows of one id in a file are a slip of the pen: which of them counts would hang on their order.
fn check_unique(table: &Table, columns: &'static [&'static str], problems: &mut Problems) {
    let Some(first) = columns.first() else {
        return;
    };
    let mut seen = BTreeSet::new();
    for row in table.rows() {
        let key: Vec<String> = columns
            .iter()
            .map(|column| row.field(column).shown().trim().to_lowercase())
            .collect();
        let field = row.field(first);
        if !field.is_blank() && !seen.insert(key.clone()) {
            field.problem(
                format!("`{}` stands in two rows", key.join(", ")),
                "delete one of the rows",
                problems,
            );
        }
    }
}

/// A file that nothing reads is a slip of the pen that would otherwise go unseen.
fn unknown_files(files: &BTreeMap<String, Vec<u8>>, problems: &mut Problems) {
    let known: Vec<&str> = KINDS
        .iter()
        .map(|kind| kind.file)
        .chain(["drum.toml", "crate.toml", "odds.toml"])
        .collect();
    for name in files
        .keys()
        .filter_map(|name| name.strip_prefix("catalogs/"))
    {
        if !known.contains(&name) {
            // Endings are alike in all of them and would make any two names near.
            let stem = |name: &'static str| name.split('.').next().unwrap_or(name);
            let own = name.split('.').next().unwrap_or(name);
            let near = nearest(own, known.iter().map(|name| stem(name)));
            let near = near.and_then(|near| known.iter().find(|name| stem(name) == near));
            let help = match near {
                Some(near) => format!("rename it to `{near}`"),
                None => format!("name it {}", list(&known, "or")),
            };
            let place = Place::File {
                file: format!("catalogs/{name}"),
            };
            problems.error(
                Some(place),
                format!("nothing reads a catalogue named `{name}`"),
                help,
            );
        }
    }
}
