//! Cut plans: the pieces of each material over all panels and layers, from whole stock units and what is on the shelf.
//!
//! *In*: job and layers laid. *Out*: stock units with pieces named and cuts in order. *Rules*: offcuts and units on the
//! shelf are used before any is bought; what is bought is the least number, or where a material comes in several sizes the
//! least cost; grain is kept; every cut takes the material's `kerf`.

mod asked;
mod family;
mod named;
mod trial;

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::job::Job;
use crate::solver::cutting;
use crate::units::Length;
use crate::units::Money;

use super::layout::Form;
use super::outcome::CutFrom;
use super::outcome::CutTotal;
use super::outcome::CutUnit;
use super::outcome::LaidLayer;

pub use asked::KeptCuts;

use asked::Asked;
use family::Family;
use named::Names;
use trial::Best;

/// What is cut from one material, in all its sizes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cuts {
    /// The stock units.
    pub units: Vec<CutUnit>,
    /// Their numbers and the least possible.
    pub total: CutTotal,
    /// Pieces that no stock unit holds; a layout gives none.
    pub unplaced: u64,
}

/// The pieces of one size, as they lie on the stock unturned.
type Sizes<'a> = BTreeMap<(u64, u64), Vec<(&'a str, bool)>>;

/// Cuts the pieces of every material; the answer does not depend on the order of the panels.
///
/// # Formula
/// What is bought is counted from the cut plan, not from area ÷ sheet area. Every cut runs from edge to edge of the part in hand, and a saw or
/// knife takes its kerf. Beside the count stands the least that any cut plan could need.
///
/// # Sources
/// Named beside the methods in the section on searches.
pub(super) fn cut_all(
    job: &Job,
    layers: &[LaidLayer],
    kept: &mut KeptCuts,
) -> BTreeMap<String, Cuts> {
    let mut sizes: BTreeMap<&str, Sizes<'_>> = BTreeMap::new();
    for layer in layers {
        let Some(form) = Form::of(job, &layer.material) else {
            continue;
        };
        let crosses = form.crosses(layer.way);
        let main = job.catalog.main_size(&layer.material);
        let of_material = sizes.entry(main).or_default();
        for piece in &layer.pieces {
            let (across, along) = form.lies(piece.width, piece.height, layer.way);
            of_material
                .entry((steps(across), steps(along)))
                .or_default()
                .push((&piece.id, crosses));
        }
    }
    let families: Vec<(Family<'_>, Sizes<'_>)> = sizes
        .into_iter()
        .filter_map(|(material, sizes)| Some((Family::of(job, material)?, sizes)))
        .collect();
    let asked = families.iter().map(|(family, sizes)| asked(family, sizes));
    let found = kept.answer(&asked.collect::<Vec<Asked>>());
    let cut = |((family, sizes), best): (&(Family<'_>, Sizes<'_>), Arc<Best>)| {
        (family.material.to_owned(), cut(family, sizes, &best))
    };
    families.iter().zip(found).map(cut).collect()
}

fn asked(family: &Family<'_>, sizes: &Sizes<'_>) -> Asked {
    let piece = |(&(width, length), ids): (&(u64, u64), &Vec<_>)| cutting::Piece {
        width,
        length,
        may_turn: family.turns,
        count: number(ids.len()),
    };
    family.asked(sizes.iter().map(piece).collect())
}

fn cut(family: &Family<'_>, sizes: &Sizes<'_>, best: &Best) -> Cuts {
    let units = Names::new(family, sizes).units(&best.lots);
    Cuts {
        total: total(family, best, &units),
        unplaced: best.unplaced,
        units,
    }
}

fn total(family: &Family<'_>, best: &Best, units: &[CutUnit]) -> CutTotal {
    let from = |wanted| number(units.iter().filter(|unit| unit.from == wanted).count());
    let money = |cents: u64| {
        Money::new(rust_decimal::Decimal::new(
            i64::try_from(cents).unwrap_or(i64::MAX),
            2,
        ))
    };
    CutTotal {
        material: family.material.to_owned(),
        offcuts: from(CutFrom::Offcut),
        shelf: from(CutFrom::Shelf),
        bought: from(CutFrom::Bought),
        least_bought: best.least_bought,
        cost: family
            .is_priced
            .then(|| (money(best.cost), money(best.least_cost))),
    }
}

fn number(count: usize) -> u64 {
    u64::try_from(count).unwrap_or(u64::MAX)
}

fn steps(length: Length) -> u64 {
    u64::try_from(length.to_steps()).unwrap_or(0)
}

fn length(steps: u64) -> Length {
    Length::steps(i64::try_from(steps).unwrap_or(i64::MAX))
}
