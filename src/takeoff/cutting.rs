//! Cut plans: the pieces of each material over all panels and layers, from whole stock units.

use std::collections::BTreeMap;

use crate::catalog::Grain;
use crate::catalog::MaterialKind;
use crate::job::Job;
use crate::solver::cutting;
use crate::units::Length;

use super::layout::Form;
use super::outcome::CutPiece;
use super::outcome::CutUnit;
use super::outcome::LaidLayer;

/// Steps of search for a piece, and the most for a material: the plan is then as good as it soon gets.
const STEPS_PER_PIECE: u64 = 100_000;
const MOST_STEPS: u64 = 30_000_000;

/// What is cut from one material.
#[derive(Clone, Debug, Default)]
pub(super) struct Cuts {
    /// The stock units.
    pub units: Vec<CutUnit>,
    /// How many there are, and the least there could be.
    pub bound: (u64, u64),
}

/// The pieces of one size, as they lie on the stock unturned.
type Sizes<'a> = BTreeMap<(u64, u64), Vec<(&'a str, bool)>>;

/// Cuts the pieces of every material; the answer does not depend on the order of the panels.
pub(super) fn cut_all(job: &Job, layers: &[LaidLayer]) -> BTreeMap<String, Cuts> {
    let mut sizes: BTreeMap<&str, Sizes<'_>> = BTreeMap::new();
    for layer in layers {
        let Some(form) = form_of(job, &layer.material) else { continue };
        let crosses = form.crosses(layer.way);
        let of_material = sizes.entry(layer.material.as_str()).or_default();
        for piece in &layer.pieces {
            let (across, along) = form.lies(piece.width, piece.height, layer.way);
            of_material.entry((steps(across), steps(along))).or_default().push((&piece.id, crosses));
        }
    }
    let cut = |(material, sizes): (&str, Sizes<'_>)| {
        form_of(job, material).map(|form| (material.to_owned(), cut_one(material, form, &sizes)))
    };
    sizes.into_iter().filter_map(cut).collect()
}

fn form_of(job: &Job, id: &str) -> Option<Form> {
    let material = job.catalog.materials.get(id)?;
    let (width, length) = material.width.zip(material.length)?;
    Some(Form { width, length, roll: material.kind == MaterialKind::Roll, turns: material.grain == Grain::None })
}

fn cut_one(material: &str, form: Form, sizes: &Sizes<'_>) -> Cuts {
    let stock = cutting::Stock {
        width: steps(form.width),
        length: steps(form.length),
        cost: 1,
        supply: None,
        trim: 0,
        first_cut_across: form.roll,
    };
    let number = |count: usize| u64::try_from(count).unwrap_or(u64::MAX);
    let piece = |(&(width, length), ids): (&(u64, u64), &Vec<_>)| cutting::Piece {
        width,
        length,
        may_turn: form.turns,
        count: number(ids.len()),
    };
    let pieces: Vec<cutting::Piece> = sizes.iter().map(piece).collect();
    let all: u64 = pieces.iter().map(|piece| piece.count).sum();
    let mut effort = cutting::Effort::steps(all.saturating_mul(STEPS_PER_PIECE).min(MOST_STEPS));
    let plan = cutting::cut(&[stock], &pieces, 0, &mut effort);
    let mut left: Vec<std::slice::Iter<'_, (&str, bool)>> = sizes.values().map(|ids| ids.iter()).collect();
    let mut units = Vec::new();
    for unit in &plan.units {
        for _ in 0..unit.times {
            let placed = unit.placed.iter().filter_map(|placed| cut_piece(placed, &mut left)).collect();
            let stock = number(units.len()) + 1;
            units.push(CutUnit { material: material.to_owned(), stock, width: form.width, length: form.length, pieces: placed });
        }
    }
    let bound = (number(units.len()), plan.lower_bound);
    Cuts { units, bound }
}

/// The next piece of a placed size, where it lies.
fn cut_piece(placed: &cutting::Placed, left: &mut [std::slice::Iter<'_, (&str, bool)>]) -> Option<CutPiece> {
    let (id, crosses) = left.get_mut(placed.piece)?.next()?;
    Some(CutPiece {
        id: (*id).to_owned(),
        x: length(placed.x),
        y: length(placed.y),
        width: length(placed.width),
        height: length(placed.length),
        turned: *crosses != placed.turned,
    })
}

fn steps(length: Length) -> u64 {
    u64::try_from(length.to_steps()).unwrap_or(0)
}

fn length(steps: u64) -> Length {
    Length::steps(i64::try_from(steps).unwrap_or(i64::MAX))
}
