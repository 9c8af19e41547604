//! `materials.csv`.

use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::input::Row;
use crate::input::Table;
use crate::units::Bound;
use crate::units::bound;

use crate::catalog::Catalog;
use crate::catalog::Grain;
use crate::catalog::Hazard;
use crate::catalog::Material;
use crate::catalog::MaterialKind;

pub(super) const COLUMNS: &[&str] = &[
    "id",
    "name",
    "kind",
    "width",
    "length",
    "thickness",
    "diameter",
    "wall",
    "feather",
    "g_per_m2",
    "density_g_ml",
    "modulus_mpa",
    "strength_mpa",
    "crush_n_mm",
    "g_each",
    "grain",
    "kerf",
    "same_as",
    "keeps_days",
    "hazard",
    "solvent",
    "source",
];

const GRAMS_PER_M2: Bound = Bound {
    name: "mass an area",
    least: 0.1,
    most: 50_000.0,
    unit: "g/m2",
};
const FEATHER: Bound = Bound {
    name: "a torn edge",
    least: 0.0,
    most: 100.0,
    unit: "mm",
};
const DENSITY: Bound = Bound {
    name: "density",
    least: 0.005,
    most: 25.0,
    unit: "g/ml",
};
const CRUSH: Bound = Bound {
    name: "a load that crushes a tube",
    least: 0.001,
    most: 100_000.0,
    unit: "N/mm",
};
const MEGAPASCALS: Bound = Bound {
    name: "a modulus or strength",
    least: 0.001,
    most: 1_000_000.0,
    unit: "MPa",
};
const GRAMS_EACH: Bound = Bound {
    name: "mass of a piece",
    least: 0.0,
    most: 1_000_000.0,
    unit: "g",
};
const KERF: Bound = Bound {
    name: "what a cut or tear takes",
    least: 0.0,
    most: 100.0,
    unit: "mm",
};
const DAYS: Bound = Bound {
    name: "days that a material keeps",
    least: 1.0,
    most: 36_500.0,
    unit: "",
};

/// Reads the rows; one of a known id replaces it.
pub(super) fn read(table: &Table, catalog: &mut Catalog, problems: &mut Problems) {
    let mut seen: Vec<String> = Vec::new();
    for row in table.rows() {
        let Some(material) = material(&row, catalog, problems) else {
            continue;
        };
        if seen.contains(&material.id) {
            let text = format!("the id `{}` stands in two rows", material.id);
            row.field("id").problem(
                text,
                "delete one of the rows, or give it another id",
                problems,
            );
            continue;
        }
        seen.push(material.id.clone());
        catalog.materials.insert(material.id.clone(), material);
    }
    for row in table.rows() {
        check_size(&row, catalog, problems);
    }
}

/// Says what keeps a row from being another size of the material that it names.
///
/// Pieces are laid from the one and cut from either, so both come as sheets or both as rolls, with the same grain.
fn check_size(row: &Row<'_>, catalog: &Catalog, problems: &mut Problems) {
    let field = row.field("same_as");
    let id = row.field("id").text(&mut Problems::new());
    let (Some(base), Some(material)) = (
        field.text(&mut Problems::new()),
        id.and_then(|id| catalog.materials.get(&id)),
    ) else {
        return;
    };
    let of = catalog.materials.get(&base);
    let is_flat = matches!(material.kind, MaterialKind::Sheet | MaterialKind::Roll);
    let wrong = match of {
        None => Some((
            format!("there is no material `{base}`"),
            "write the id of the material that this is another size of".to_owned(),
        )),
        Some(of) if of.id == material.id || of.same_as.is_some() => Some((
            format!("`{base}` is itself given as a size of another material"),
            "name the material that recipes lay, in every row of its other sizes".to_owned(),
        )),
        Some(of) if !is_flat || of.kind != material.kind || of.grain != material.grain => Some((
            format!(
                "`{}` cannot be another size of `{base}`: only sheets or only rolls, of one grain, can",
                material.id
            ),
            "give both the same `kind` and `grain`, or leave `same_as` empty".to_owned(),
        )),
        Some(_) => None,
    };
    if let Some((text, help)) = wrong {
        field.problem(text, help, problems);
    }
}

fn material(row: &Row<'_>, catalog: &Catalog, problems: &mut Problems) -> Option<Material> {
    let id = row.field("id").required(problems).text(problems);
    let kind = row.field("kind").required(problems).choice(
        MaterialKind::ALL,
        MaterialKind::name,
        problems,
    );
    let length =
        |heading, problems: &mut Problems| row.field(heading).length(bound::STOCK_SIDE, problems);
    let material = Material {
        id: id?,
        name: row.field("name").text(problems).unwrap_or_default(),
        kind: kind?,
        width: length("width", problems),
        length: length("length", problems),
        thickness: length("thickness", problems),
        diameter: length("diameter", problems),
        wall: length("wall", problems),
        feather: row
            .field("feather")
            .length(FEATHER, problems)
            .unwrap_or_default(),
        grams_per_m2: row.field("g_per_m2").number(GRAMS_PER_M2, problems),
        density: row.field("density_g_ml").number(DENSITY, problems),
        modulus: row.field("modulus_mpa").number(MEGAPASCALS, problems),
        strength: row.field("strength_mpa").number(MEGAPASCALS, problems),
        crush: row.field("crush_n_mm").number(CRUSH, problems),
        grams_each: row.field("g_each").number(GRAMS_EACH, problems),
        grain: row
            .field("grain")
            .choice(Grain::ALL, Grain::name, problems)
            .unwrap_or(Grain::None),
        kerf: row.field("kerf").length(KERF, problems).unwrap_or_default(),
        same_as: row.field("same_as").text(problems),
        keeps_days: row.field("keeps_days").whole(DAYS, problems),
        hazard: row
            .field("hazard")
            .choice(Hazard::ALL, Hazard::name, problems)
            .unwrap_or(Hazard::None),
        solvent: solvent(row, catalog, problems),
        source: row.field("source").text(problems).unwrap_or_default(),
    };
    complete(row, &material, problems).then_some(material)
}

fn solvent(row: &Row<'_>, catalog: &Catalog, problems: &mut Problems) -> Option<String> {
    let field = row.field("solvent");
    let id = field.text(problems)?;
    if catalog.solvents.contains_key(&id) {
        return Some(id);
    }
    let known = catalog.solvents.keys().map(String::as_str);
    let help = match nearest(&id, known.clone()) {
        Some(near) => format!("write `{near}`"),
        None => format!(
            "write one of {}, or add a row to solvents.csv",
            list(&known.collect::<Vec<_>>(), "or")
        ),
    };
    field.problem(
        format!("there is no solvent `{id}` in solvents.csv"),
        help,
        problems,
    );
    None
}

/// Says whether a material has what its kind cannot do without; what is missing is said at its cell.
fn complete(row: &Row<'_>, material: &Material, problems: &mut Problems) -> bool {
    let needed: &[&str] = match material.kind {
        MaterialKind::Sheet | MaterialKind::Roll => &["width", "length"],
        MaterialKind::Liquid | MaterialKind::Resin => &["density_g_ml"],
        MaterialKind::Tube => &["length", "diameter", "wall"],
        MaterialKind::Board => &["width", "length", "thickness"],
        MaterialKind::Timber => &["length", "width", "thickness"],
        MaterialKind::Each => &[],
    };
    let mut whole = true;
    for heading in needed
        .iter()
        .filter(|heading| row.field(heading).is_blank())
    {
        let text = format!(
            "`{}` is a {} and has no {heading}",
            material.id,
            material.kind.name()
        );
        row.field(heading)
            .problem(text, format!("write its {heading}"), problems);
        whole = false;
    }
    if let Some((diameter, wall)) = material.diameter.zip(material.wall)
        && wall * 2 >= diameter
    {
        let text = format!(
            "the wall of `{}` is {} mm, at least half its diameter of {} mm",
            material.id,
            wall.to_mm(),
            diameter.to_mm()
        );
        row.field("wall").problem(
            text,
            "write the thickness of the tube's wall, less than half the diameter",
            problems,
        );
        whole = false;
    }
    whole
}
