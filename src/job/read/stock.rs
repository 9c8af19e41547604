//! The table of what is on the shelf.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Catalog;
use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::diag::Problems;
use crate::diag::nearest;
use crate::input::Field;
use crate::input::Row;
use crate::input::Table;
use crate::job::Offcut;
use crate::units::Length;
use crate::units::Misread;
use crate::units::Quantity;
use crate::units::Unit;
use crate::units::bound;
use crate::units::parse_decimal;
use crate::units::parse_mass;
use crate::units::parse_volume;

use super::bounds;
use super::saved::Saved;
use super::settings;
use super::tables::Tables;
use crate::job::Shelved;

/// What is on the shelf: sums, and by age.
#[derive(Default)]
pub(super) struct Stock {
    pub(super) all: BTreeMap<String, Quantity>,
    pub(super) shelf: BTreeMap<String, Vec<Shelved>>,
    /// The materials that a stock table has.
    pub(super) counted: BTreeSet<String>,
}

impl Stock {
    /// Puts some of a material on the shelf.
    pub(super) fn add(&mut self, id: String, quantity: Quantity, received: Option<Date>) {
        self.shelf.entry(id.clone()).or_default().push(Shelved {
            amount: quantity.amount,
            received,
        });
        self.all
            .entry(id)
            .and_modify(|all| all.amount = all.amount.saturating_add(quantity.amount))
            .or_insert(quantity);
    }
}

/// A roll end is as wide as its roll, however it was measured or rounded: sides this near to the whole unit's are equal to it.
const NEAR: Length = Length::whole_mm(1);

/// Whole units by material, and offcuts.
type Shelf = (Stock, Vec<Offcut>);

/// The columns that a stock table may have.
pub(super) const COLUMNS: &[&str] = &[
    "material", "quantity", "unit", "width", "length", "received", "notes",
];
/// Those it must have.
pub(super) const REQUIRED: [&str; 2] = ["material", "quantity"];

/// Reads the stock; rows of one material add up, those of part sheets and roll ends by size.
pub(super) fn read(
    tables: &Tables,
    saved: &Saved,
    catalog: &Catalog,
    problems: &mut Problems,
) -> Shelf {
    let mut stock = Stock::default();
    let mut offcuts = BTreeMap::new();
    let own = tables
        .get("stock")
        .filter(|table| table.check_headings(COLUMNS, &REQUIRED, problems));
    for row in own.into_iter().chain(&saved.stock).flat_map(Table::rows) {
        let received = settings::day(row.field("received"), problems);
        let Some((id, quantity)) = material(&row, catalog, problems) else {
            continue;
        };
        if is_part(&row) {
            let size = catalog
                .materials
                .get(&id)
                .and_then(|material| size(&row, material, problems));
            if let Some(size) = size {
                let count: &mut u64 = offcuts.entry((id, size)).or_default();
                *count = count.saturating_add(quantity.amount.to_u64().unwrap_or(0));
            }
        } else {
            stock.counted.insert(id.clone());
            stock.add(id, quantity, received);
        }
    }
    let offcuts = offcuts.into_iter().filter(|(_, count)| *count > 0).map(
        |((material, (width, length)), count)| Offcut {
            material,
            width,
            length,
            count,
        },
    );
    (stock, offcuts.collect())
}

/// Whether a row is of part sheets or roll ends.
fn is_part(row: &Row<'_>) -> bool {
    !row.field("width").is_blank() || !row.field("length").is_blank()
}

/// The size of a part sheet, a roll end, or a rest of board or timber; a rest of timber is as wide as its timber.
fn size(row: &Row<'_>, material: &Material, problems: &mut Problems) -> Option<(Length, Length)> {
    let kinds = [
        MaterialKind::Sheet,
        MaterialKind::Roll,
        MaterialKind::Board,
        MaterialKind::Timber,
    ];
    if !kinds.contains(&material.kind) {
        let text = format!(
            "`{}` is a {}, and offcuts are used of sheets, rolls, boards and timber only",
            material.id,
            material.kind.name()
        );
        row.field("material").problem(
            text,
            "leave `width` and `length` empty, or delete the row",
            problems,
        );
        return None;
    }
    let mut side = |heading, whole: Option<Length>| {
        let field = row.field(heading).required(problems);
        let side = field.length(bound::STOCK_SIDE, problems)?;
        Some(
            whole
                .filter(|whole| (*whole - side).abs() < NEAR)
                .unwrap_or(side),
        )
    };
    let width = match material.width {
        Some(width) if material.kind == MaterialKind::Timber && row.field("width").is_blank() => {
            Some(width)
        }
        whole => side("width", whole),
    };
    let length = side("length", material.length);
    if material.kind == MaterialKind::Timber && width.is_some() && width != material.width {
        let field = row.field("width");
        field.problem(
            format!("`{}` is not the width of `{}`", field.shown(), material.id),
            "leave `width` empty: a rest of timber is as wide as its timber",
            problems,
        );
        return None;
    }
    width.zip(length)
}

/// Reads a row's material and how much of it there is.
pub(super) fn material(
    row: &Row<'_>,
    catalog: &Catalog,
    problems: &mut Problems,
) -> Option<(String, Quantity)> {
    let (id, unit) = known(&row.field("material").required(problems), catalog, problems)?;
    let quantity = quantity(row, unit, problems)?;
    Some((id, quantity))
}

/// Reads a material's id; gives it with the unit that the material is counted in.
pub(super) fn known(
    field: &Field<'_>,
    catalog: &Catalog,
    problems: &mut Problems,
) -> Option<(String, Unit)> {
    let id = field.text(problems)?;
    let Some(material) = catalog.materials.get(&id) else {
        let help = match nearest(&id, catalog.materials.keys().map(String::as_str)) {
            Some(near) => format!(
                "write `{near}` if that is meant, or add the material to catalogs/materials.csv"
            ),
            None => "write a material's id, or add it to catalogs/materials.csv".to_owned(),
        };
        field.problem(
            format!("`{}` is not in the catalogue", field.shown()),
            help,
            problems,
        );
        return None;
    };
    Some((id, material.unit()))
}

/// Reads a quantity in the material's unit; one written with a larger unit is converted.
fn quantity(row: &Row<'_>, unit: Unit, problems: &mut Problems) -> Option<Quantity> {
    let field = row.field("quantity").required(problems);
    let number = field.text(problems)?;
    let written = row.field("unit").text(problems).unwrap_or_default();
    let amount = match amount(&number, &written, unit, &field) {
        Ok(amount) => amount,
        Err(misread) => {
            // A number that is none by itself is the mistake, whatever unit stands beside it.
            let (place, misread) = match parse_decimal(&number, field.number_style()) {
                Err(own) if !written.is_empty() => (field, own),
                Ok(_) if !written.is_empty() => (row.field("unit"), misread),
                Ok(_) | Err(_) => (field, misread),
            };
            place.problem(misread.text, misread.help, problems);
            return None;
        }
    };
    if !bounds::STOCK.holds(amount.to_f64().unwrap_or(f64::MAX)) {
        field.problem(
            format!("`{}`: {}", field.shown(), bounds::STOCK.allowed()),
            "check the number",
            problems,
        );
        return None;
    }
    if unit.is_whole() && !amount.fract().is_zero() {
        let text = format!(
            "`{}` is not a whole number of the unit `{}`",
            field.shown(),
            unit.name()
        );
        field.problem(text, "count whole ones only", problems);
        return None;
    }
    Some(Quantity::new(amount.normalize(), unit))
}

fn amount(number: &str, written: &str, unit: Unit, field: &Field<'_>) -> Result<Decimal, Misread> {
    let style = field.number_style();
    let word = written.trim().to_lowercase();
    let wrong = || Misread {
        text: format!(
            "the material is counted in `{}`, not in `{}`",
            unit.name(),
            written.trim()
        ),
        help: format!("write the quantity in `{}`", unit.name()),
    };
    let decimal = |value: f64| Decimal::try_from(value).unwrap_or(Decimal::MAX);
    match unit {
        Unit::G => parse_mass(&format!("{number} {word}"), style)
            .map(|mass| decimal(mass.to_g()))
            .map_err(|misread| replaced(misread, &word, wrong())),
        Unit::Ml => parse_volume(&format!("{number} {word}"), style)
            .map(|volume| decimal(volume.to_ml()))
            .map_err(|misread| replaced(misread, &word, wrong())),
        Unit::Sheet | Unit::Roll | Unit::Each => {
            let names: &[&str] = match unit {
                Unit::Sheet => &["", "sheet", "sheets"],
                Unit::Roll => &["", "roll", "rolls"],
                Unit::G | Unit::Ml | Unit::Each => &["", "each", "piece", "pieces", "pcs"],
            };
            if names.contains(&word.as_str()) {
                parse_decimal(number, style)
            } else {
                Err(wrong())
            }
        }
    }
}

/// Names the unit as the mistake where there is one; a bare number's own mistake stays.
fn replaced(misread: Misread, word: &str, wrong: Misread) -> Misread {
    if word.is_empty() || misread.text.contains("could be") {
        misread
    } else {
        wrong
    }
}
