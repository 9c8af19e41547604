//! One `[[solution]]` of a recipe.

use crate::catalog::Catalog;
use crate::catalog::MaterialKind;
use crate::catalog::material;
use crate::diag::Problems;
use crate::input::Field;
use crate::input::Section;
use crate::units::Bound;

use crate::recipe::Basis;
use crate::recipe::Concentration;
use crate::recipe::Solution;

const PARTS: Bound = Bound {
    name: "parts of a solvent",
    least: 0.001,
    most: 10_000.0,
    unit: "by volume",
};
const POT_LIFE: Bound = Bound {
    name: "pot life",
    least: 1.0,
    most: 525_600.0,
    unit: "minutes",
};
const BATCH: Bound = Bound {
    name: "a batch",
    least: 1.0,
    most: 1_000_000.0,
    unit: "ml",
};

/// Reads a solution.
pub(super) fn read(
    section: &Section<'_>,
    catalog: &Catalog,
    problems: &mut Problems,
) -> Option<Solution> {
    section.known(
        &[
            "id",
            "name",
            "resin",
            "concentration",
            "solvents",
            "pot_life",
            "largest_batch",
        ],
        problems,
    );
    let id = section.field("id").required(problems).text(problems);
    let resin = material(
        &section.field("resin"),
        &[MaterialKind::Resin, MaterialKind::Liquid],
        catalog,
        problems,
    );
    let solvents = solvents(section, catalog, problems);
    let concentration = concentration(section, resin.as_deref(), &solvents, catalog, problems);
    let id = id?;
    Some(Solution {
        name: section
            .field("name")
            .text(problems)
            .unwrap_or_else(|| id.clone()),
        pot_life_minutes: section.field("pot_life").minutes(POT_LIFE, problems),
        largest_batch: section.field("largest_batch").volume(BATCH, problems),
        id,
        resin,
        concentration,
        solvents,
    })
}

/// `{ toluene = 70, white-spirit = 30 }`: materials with their parts by volume.
fn solvents(
    section: &Section<'_>,
    catalog: &Catalog,
    problems: &mut Problems,
) -> Vec<(String, f64)> {
    let field = section.field("solvents").required(problems);
    let Some(parts) = field.section(problems) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for part in parts.entries() {
        let known = catalog.materials.get(part.name());
        if known.is_none_or(|material| material.kind != MaterialKind::Liquid) {
            let liquids = catalog
                .materials
                .values()
                .filter(|material| material.kind == MaterialKind::Liquid);
            let help = match crate::diag::nearest(
                part.name(),
                liquids.map(|material| material.id.as_str()),
            ) {
                Some(near) => format!("write `{near}`"),
                None => "write the id of a liquid of materials.csv".to_owned(),
            };
            part.problem(
                format!("there is no liquid `{}` in the catalogue", part.name()),
                help,
                problems,
            );
            continue;
        }
        if let Some(share) = part.number(PARTS, problems) {
            found.push((part.name().to_owned(), share));
        }
    }
    found
}

/// Reads `10 % w/v`, `3 g/100 ml solvent` and the like; a bare percentage is an error that shows its readings.
fn concentration(
    section: &Section<'_>,
    resin: Option<&str>,
    solvents: &[(String, f64)],
    catalog: &Catalog,
    problems: &mut Problems,
) -> Option<Concentration> {
    let field = section.field("concentration");
    let field = if resin.is_some() {
        field.required(problems)
    } else {
        field
    };
    let text = field.text(problems)?;
    let (number, basis) = split(&text);
    let value: Option<f64> = number
        .trim()
        .replace(',', ".")
        .parse()
        .ok()
        .filter(|value: &f64| *value > 0.0 && *value < 400.0);
    let Some(value) = value else {
        field.problem(
            format!("`{text}` has no concentration between 0 and 400"),
            "write e.g. `10 % w/v`",
            problems,
        );
        return None;
    };
    match basis_of(basis) {
        Some(basis) if too_strong(value, basis) => {
            field.problem(
                format!("`{text}` leaves no solvent"),
                "write less than 100 %",
                problems,
            );
            None
        }
        Some(basis) => Some(Concentration { value, basis }),
        None => {
            ambiguous(
                &field,
                &text,
                value,
                densities(resin, solvents, catalog),
                problems,
            );
            None
        }
    }
}

fn too_strong(value: f64, basis: Basis) -> bool {
    value >= 100.0 && matches!(basis, Basis::MassInMass | Basis::VolumeInVolume)
}

/// The number, and what stands behind it with `%` and spaces taken off.
fn split(text: &str) -> (&str, &str) {
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',' || c == ' '))
        .unwrap_or(text.len());
    let (number, rest) = text.split_at(end);
    (number, rest.trim().trim_start_matches('%').trim())
}

fn basis_of(words: &str) -> Option<Basis> {
    let plain: String = words
        .to_lowercase()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    match plain.as_str() {
        "w/w" | "m/m" | "by weight" => Some(Basis::MassInMass),
        "w/v" | "m/v" | "g/100 ml solution" | "g per 100 ml solution" => {
            Some(Basis::MassInSolution)
        }
        "g/100 ml solvent" | "g per 100 ml solvent" => Some(Basis::MassToSolvent),
        "v/v" | "by volume" => Some(Basis::VolumeInVolume),
        _ => None,
    }
}

/// Densities of resin and mixed solvent in g/ml, where the catalogue knows them.
fn densities(
    resin: Option<&str>,
    solvents: &[(String, f64)],
    catalog: &Catalog,
) -> Option<(f64, f64)> {
    let density = |id: &str| {
        catalog
            .materials
            .get(id)
            .and_then(|material| material.density)
    };
    let parts: f64 = solvents.iter().map(|(_, parts)| parts).sum();
    let mass: Option<f64> = solvents
        .iter()
        .map(|(id, parts)| Some(density(id)? * parts))
        .sum();
    Some((density(resin?)?, mass.filter(|_| parts > 0.0)? / parts))
}

/// Shows what the same number means on each basis: grams of resin in a litre of solution.
fn ambiguous(
    field: &Field<'_>,
    text: &str,
    value: f64,
    densities: Option<(f64, f64)>,
    problems: &mut Problems,
) {
    let readings = densities.filter(|_| value < 100.0).map(|(resin, solvent)| {
        let in_mass = 1000.0 / (1.0 / solvent + value / (100.0 - value) / resin) * value / (100.0 - value);
        let in_solution = value * 10.0;
        let to_solvent = 1000.0 * value / (100.0 + value / resin);
        let in_volume = value * 10.0 * resin;
        format!(
            "; here it would be {in_mass:.0} g of resin in a litre as w/w, {in_solution:.0} g as w/v, {to_solvent:.0} g as g/100 ml solvent, \
             {in_volume:.0} g as v/v"
        )
    });
    let text = format!(
        "`{text}` does not say what the concentration is counted on{}",
        readings.unwrap_or_default()
    );
    field.problem(
        text,
        format!(
            "write `{value} % w/w`, `{value} % w/v`, `{value} g/100 ml solvent` or `{value} % v/v`"
        ),
        problems,
    );
}
