//! `drum.toml` and `crate.toml`, and the same keys in a job's `[drum]` and `[crate]`.

use std::collections::BTreeMap;

use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::input::Document;
use crate::input::Field;
use crate::input::Section;
use crate::units::Bound;
use crate::units::bound;

use super::STYLE;
use crate::catalog::Catalog;
use crate::catalog::CrateKit;
use crate::catalog::DrumKit;
use crate::catalog::MaterialKind;
use crate::catalog::PaintSide;
use crate::catalog::Per;
use crate::catalog::Use;

const CLEARANCE: Bound = Bound {
    name: "a margin or clearance",
    least: 0.0,
    most: 5_000.0,
    unit: "mm",
};
const SAG: Bound = Bound {
    name: "sag over face length",
    least: 0.000_01,
    most: 0.1,
    unit: "",
};
const SHARE: Bound = Bound {
    name: "share of strength",
    least: 0.01,
    most: 1.0,
    unit: "",
};
const TOGETHER: Bound = Bound {
    name: "drums or flat panels in one crate",
    least: 1.0,
    most: 12.0,
    unit: "",
};
const HEAVIEST: Bound = Bound {
    name: "the mass of a shared crate",
    least: 1_000.0,
    most: 20_000_000.0,
    unit: "g",
};
const RATE: Bound = Bound {
    name: "a rate of use",
    least: 0.0,
    most: 1.0e6,
    unit: "",
};

/// Reads both kits where their files are there.
pub(super) fn read(
    files: &BTreeMap<String, Vec<u8>>,
    catalog: &mut Catalog,
    problems: &mut Problems,
) {
    let document = |name: &str, problems: &mut Problems| {
        let bytes = files.get(name)?;
        Document::read(name, bytes, STYLE, problems)
    };
    if let Some(document) = document("catalogs/drum.toml", problems) {
        drum(&document.root(), catalog, problems);
    }
    if let Some(document) = document("catalogs/crate.toml", problems) {
        packing(&document.root(), catalog, problems);
    }
}

/// Puts the keys of a section over the catalogue's drum kit.
pub fn drum(section: &Section<'_>, catalog: &mut Catalog, problems: &mut Problems) {
    section.known(
        &[
            "end_margin",
            "leader",
            "interleaf",
            "interleaf_margin",
            "padding",
            "cover",
            "looseness",
            "sag_limit",
            "stress_share",
            "paint",
            "bar",
            "stand",
            "stand_hire",
            "kerf",
            "uses",
        ],
        problems,
    );
    let mut kit = std::mem::take(&mut catalog.drum_kit);
    let field = |key| section.field(key);
    set(
        &mut kit.end_margin,
        field("end_margin").length(CLEARANCE, problems),
    );
    set(&mut kit.leader, field("leader").length(CLEARANCE, problems));
    set(
        &mut kit.interleaf_margin,
        field("interleaf_margin").length(CLEARANCE, problems),
    );
    set(&mut kit.kerf, field("kerf").length(CLEARANCE, problems));
    set(&mut kit.bar, field("bar").length(CLEARANCE, problems));
    set(
        &mut kit.looseness,
        field("looseness").percent(bound::WASTE, problems),
    );
    set(&mut kit.sag_limit, field("sag_limit").number(SAG, problems));
    set(
        &mut kit.stress_share,
        field("stress_share").number(SHARE, problems),
    );
    turned(section, (&mut kit, &*catalog), problems);
    let rolls = &[MaterialKind::Roll];
    set_some(
        &mut kit.interleaf,
        material(&field("interleaf"), rolls, catalog, problems),
    );
    set_some(
        &mut kit.cover,
        material(&field("cover"), rolls, catalog, problems),
    );
    set_some(
        &mut kit.padding,
        material(
            &field("padding"),
            &[MaterialKind::Roll, MaterialKind::Board],
            catalog,
            problems,
        ),
    );
    if section.has("uses") {
        kit.uses = uses(&field("uses"), catalog, problems);
    }
    catalog.drum_kit = kit;
}

/// How a drum is turned: which way the paint faces, and the stands it turns on.
fn turned(
    section: &Section<'_>,
    (kit, catalog): (&mut DrumKit, &Catalog),
    problems: &mut Problems,
) {
    let field = |key| section.field(key);
    set(
        &mut kit.paint,
        field("paint").choice(PaintSide::ALL, PaintSide::name, problems),
    );
    let counted = &[MaterialKind::Each];
    set_some(
        &mut kit.stand,
        material(&field("stand"), counted, catalog, problems),
    );
    set_some(
        &mut kit.stand_hire,
        material(&field("stand_hire"), counted, catalog, problems),
    );
}

const CRATE_KEYS: &[&str] = &[
    "clearance",
    "end_clearance",
    "board",
    "batten",
    "batten_spacing",
    "skid",
    "foam",
    "support",
    "support_margin",
    "lining",
    "barrier",
    "kerf",
    "buffer",
    "screw",
    "bolt",
    "most_together",
    "heaviest_together",
    "uses",
];

/// Puts the keys of a section over the catalogue's crate kit.
pub fn packing(section: &Section<'_>, catalog: &mut Catalog, problems: &mut Problems) {
    section.known(CRATE_KEYS, problems);
    let mut kit: CrateKit = std::mem::take(&mut catalog.crate_kit);
    let field = |key| section.field(key);
    for (key, value) in [
        ("clearance", &mut kit.clearance),
        ("end_clearance", &mut kit.end_clearance),
        ("batten_spacing", &mut kit.batten_spacing),
        ("support_margin", &mut kit.support_margin),
        ("kerf", &mut kit.kerf),
    ] {
        set(value, field(key).length(CLEARANCE, problems));
    }
    for (key, value, kind) in [
        ("board", &mut kit.board, MaterialKind::Board),
        ("batten", &mut kit.batten, MaterialKind::Timber),
        ("foam", &mut kit.foam, MaterialKind::Board),
    ] {
        set(value, material(&field(key), &[kind], catalog, problems));
    }
    for (key, value, kind) in [
        ("skid", &mut kit.skid, MaterialKind::Timber),
        ("support", &mut kit.support, MaterialKind::Board),
        ("lining", &mut kit.lining, MaterialKind::Roll),
        ("barrier", &mut kit.barrier, MaterialKind::Roll),
    ] {
        set_some(value, material(&field(key), &[kind], catalog, problems));
    }
    for (key, value, rate) in [
        ("buffer", &mut kit.buffer, "g_per_m3"),
        ("screw", &mut kit.screw, "per_m"),
        ("bolt", &mut kit.bolt, "per_m"),
    ] {
        set_some(value, rated(&field(key), rate, catalog, problems));
    }
    set(
        &mut kit.most_together,
        field("most_together").whole(TOGETHER, problems),
    );
    set(
        &mut kit.heaviest_together,
        field("heaviest_together").mass(HEAVIEST, problems),
    );
    if section.has("uses") {
        kit.uses = uses(&field("uses"), catalog, problems);
    }
    catalog.crate_kit = kit;
}

fn set<T>(value: &mut T, read: Option<T>) {
    if let Some(read) = read {
        *value = read;
    }
}

fn set_some<T>(value: &mut Option<T>, read: Option<T>) {
    if read.is_some() {
        *value = read;
    }
}

/// A material that the catalogue has, of one of the kinds (any, if none is named).
pub(crate) fn material(
    field: &Field<'_>,
    kinds: &[MaterialKind],
    catalog: &Catalog,
    problems: &mut Problems,
) -> Option<String> {
    let id = field.text(problems)?;
    let Some(found) = catalog.materials.get(&id) else {
        let help = match nearest(&id, catalog.materials.keys().map(String::as_str)) {
            Some(near) => format!("write `{near}`"),
            None => "write the id of a row of materials.csv, or add a row for it to catalogs/materials.csv".to_owned(),
        };
        field.problem(
            format!("there is no material `{id}` in the catalogue"),
            help,
            problems,
        );
        return None;
    };
    if !kinds.is_empty() && !kinds.contains(&found.kind) {
        let allowed: Vec<&str> = kinds.iter().map(|kind| kind.name()).collect();
        let text = format!(
            "`{id}` is of the kind `{}`, and this takes {}",
            found.kind.name(),
            list(&allowed, "or")
        );
        field.problem(text, "write a material of that kind", problems);
        return None;
    }
    Some(id)
}

/// Reads a list of `{ material, rate, per }`.
pub(crate) fn uses(field: &Field<'_>, catalog: &Catalog, problems: &mut Problems) -> Vec<Use> {
    let mut found = Vec::new();
    for section in field.sections(problems) {
        section.known(&["material", "rate", "per"], problems);
        let material = material(
            &section.field("material").required(problems),
            &[],
            catalog,
            problems,
        );
        let rate = section
            .field("rate")
            .required(problems)
            .number(RATE, problems);
        let per = section
            .field("per")
            .required(problems)
            .choice(Per::ALL, Per::name, problems);
        if let (Some(material), Some(rate), Some(per)) = (material, rate, per) {
            found.push(Use {
                material,
                rate,
                per,
            });
        }
    }
    found
}

/// Reads `{ material = …, KEY = number }`.
fn rated(
    field: &Field<'_>,
    key: &str,
    catalog: &Catalog,
    problems: &mut Problems,
) -> Option<(String, f64)> {
    if field.is_blank() {
        return None;
    }
    let section = field.section(problems)?;
    section.known(&["material", key], problems);
    let material = material(
        &section.field("material").required(problems),
        &[],
        catalog,
        problems,
    );
    let rate = section.field(key).required(problems).number(RATE, problems);
    Some((material?, rate?))
}
